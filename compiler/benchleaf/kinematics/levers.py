"""Levers: every allowed setting and what it multiplies to, and settings that an interlock forbids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import product
from math import prod

from benchleaf.kinematics.model import Problem, Setting
from benchleaf.record import record

__all__ = ["Drive", "LeverCheck", "TooManySettingsError", "allowed_drives", "blocking", "check_levers"]

LARGEST_NUMBER_OF_SETTINGS = 50_000
_MOST_NAMED = 3


class TooManySettingsError(ValueError):
    """The levers have more combinations than a search can go through."""


@record
class Drive:
    """One setting of headstock and gearbox: turns of the leadscrew per turn of the spindle when the wheels are 1 to 1.

    ``levers`` are the gearbox's; ``moves`` names those that differ from what is mounted, the headstock's included.
    """

    headstock: str
    headstock_ratio: Fraction
    levers: Setting
    gearbox_ratio: Fraction
    moves: tuple[str, ...]

    @property
    def ratio(self) -> Fraction:
        """Headstock times gearbox."""
        return self.headstock_ratio * self.gearbox_ratio


@record
class LeverCheck:
    """What is wrong with levers that were asked for: interlock entries hit, names or positions that do not exist, and the nearest allowed
    settings of the same ratio (fewest levers moved first; the moved ones differ from what was asked)."""

    blocked: tuple[Setting, ...]
    unknown: tuple[str, ...]
    ratio: Fraction | None
    same_ratio: tuple[Setting, ...]


def blocking(setting: Mapping[str, str], forbidden: Iterable[Setting]) -> tuple[Setting, ...]:
    """The interlock entries that ``setting`` runs into; an entry blocks when all its positions are set."""
    return tuple(entry for entry in forbidden if entry and all(setting.get(name) == position for name, position in entry))


def allowed_drives(problem: Problem, fixed: Setting = ()) -> tuple[Drive, ...]:
    """Every allowed setting that agrees with ``fixed`` (partial), in the order of the plate.

    Raises :class:`TooManySettingsError` when there are more than any gearbox has.
    """
    wanted = dict(fixed)
    mounted = dict(problem.mounted.levers) if problem.mounted else {}
    forbidden = problem.gearbox.forbidden
    heads = [(item.position, item.ratio) for item in problem.headstock] or [("", Fraction(1))]
    if problem.headstock and problem.headstock_lever in wanted:
        heads = [item for item in heads if item[0] == wanted[problem.headstock_lever]]
    drives = []
    for levers, ratio in _gearbox_settings(problem, wanted):
        for position, headstock_ratio in heads:
            setting = dict(levers)
            if problem.headstock:
                setting[problem.headstock_lever] = position
            if forbidden and blocking(setting, forbidden):
                continue
            moves = tuple(name for name, at in setting.items() if mounted.get(name, at) != at)
            drives.append(Drive(position, headstock_ratio, levers, ratio, moves))
    return tuple(drives)


def _gearbox_settings(problem: Problem, wanted: Mapping[str, str]) -> list[tuple[Setting, Fraction]]:
    box = problem.gearbox
    choices: list[list[tuple[Setting, Fraction]]] = []
    if box.rows:
        choices.append([(row.levers, row.ratio) for row in box.rows if _agrees(row.levers, wanted)])
    for lever in box.levers:
        positions: list[tuple[Setting, Fraction]] = [(((lever.name, name),), ratio) for name, ratio in lever.positions]
        choices.append([item for item in positions if _agrees(item[0], wanted)])
    total = 1
    for choice in choices:
        total *= len(choice)
    if total > LARGEST_NUMBER_OF_SETTINGS:
        raise TooManySettingsError(f"the levers have {total} combinations")
    settings = []
    for parts in product(*choices):
        ratio = Fraction(1)
        levers: Setting = ()
        for names, factor in parts:
            levers += names
            ratio *= factor
        settings.append((levers, ratio))
    return settings


def _agrees(levers: Setting, wanted: Mapping[str, str]) -> bool:
    return all(wanted.get(name, position) == position for name, position in levers)


def _positions(problem: Problem) -> dict[str, set[str]]:
    known: dict[str, set[str]] = {}
    if problem.headstock:
        known[problem.headstock_lever] = {item.position for item in problem.headstock}
    for lever in problem.gearbox.levers:
        known[lever.name] = {name for name, _ in lever.positions}
    for row in problem.gearbox.rows:
        for name, position in row.levers:
            known.setdefault(name, set()).add(position)
    return known


def check_levers(problem: Problem, fixed: Setting) -> LeverCheck:
    """Can these levers (partial) stand together?  When not, what else gives the same ratio.

    The ratio is that of the setting as asked for, and None while levers are left out or unknown.
    """
    known = _positions(problem)
    asked = dict(fixed)
    unknown = tuple(f"{name} {at}" if name in known else name for name, at in fixed if at not in known.get(name, ()))
    blocked = blocking(asked, problem.gearbox.forbidden)
    if unknown:
        return LeverCheck(blocked, unknown, None, ())
    ratio = _asked_ratio(problem, asked)
    if not blocked:
        return LeverCheck((), (), ratio, ())
    if ratio is None:
        return LeverCheck(blocked, (), None, _same_product(problem, asked))
    head = problem.headstock_lever
    try:
        drives = allowed_drives(problem)
    except TooManySettingsError:
        return LeverCheck(blocked, (), ratio, ())
    wholes = [d.levers + (((head, d.headstock),) if problem.headstock else ()) for d in drives if d.ratio == ratio]
    return LeverCheck(blocked, (), ratio, _fewest_moves(wholes, asked))


def _fewest_moves(settings: Iterable[Setting], asked: Mapping[str, str]) -> tuple[Setting, ...]:
    return tuple(sorted(settings, key=lambda setting: sum(asked.get(name, at) != at for name, at in setting))[:_MOST_NAMED])


def _same_product(problem: Problem, asked: Mapping[str, str]) -> tuple[Setting, ...]:
    """While other levers are open: positions of the levers asked for that multiply to the same and do not exclude each other."""
    levers = [lever for lever in problem.gearbox.levers if lever.name in asked]
    if len(levers) < len(asked) or prod(len(lever.positions) for lever in levers) > LARGEST_NUMBER_OF_SETTINGS:
        return ()
    wanted = prod((dict(lever.positions)[asked[lever.name]] for lever in levers), start=Fraction(1))
    found = []
    for positions in product(*(lever.positions for lever in levers)):
        setting = tuple((lever.name, name) for lever, (name, _) in zip(levers, positions, strict=True))
        if prod((ratio for _, ratio in positions), start=Fraction(1)) == wanted and not blocking(dict(setting), problem.gearbox.forbidden):
            found.append(setting)
    return _fewest_moves(found, asked)


def _asked_ratio(problem: Problem, asked: Mapping[str, str]) -> Fraction | None:
    ratio = Fraction(1)
    if problem.headstock:
        if len(problem.headstock) > 1 and problem.headstock_lever not in asked:
            return None
        at = asked.get(problem.headstock_lever, problem.headstock[0].position)
        ratio *= next(item.ratio for item in problem.headstock if item.position == at)
    for lever in problem.gearbox.levers:
        if lever.name not in asked:
            return None
        ratio *= dict(lever.positions)[asked[lever.name]]
    if problem.gearbox.rows:
        rows = [row for row in problem.gearbox.rows if all(asked.get(name) == at for name, at in row.levers)]
        if not rows:
            return None
        ratio *= rows[0].ratio
    return ratio
