"""What a train that somebody wrote down really cuts, and everything that is wrong with it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import islice, pairwise, product

from benchleaf.kinematics.box import Kind, in_limits
from benchleaf.kinematics.dress import dressed, fitter_for, hand_of
from benchleaf.kinematics.fit import OBSTACLE_WORDS, places_of
from benchleaf.kinematics.levers import Drive, LeverCheck, allowed_drives, check_levers
from benchleaf.kinematics.model import LockedPair, Obstacle, PlacedWheel, Problem, Setting, Train, Wheel, WheelRef
from benchleaf.kinematics.trains import chains_of
from benchleaf.kinematics.wheels import Place, matches
from benchleaf.record import record

__all__ = ["Evaluation", "Stated", "arrangement_of", "evaluate"]

_NAMES = {
    (1,): "simple", (1, 1): "simple with two idlers", (2,): "compound", (2, 1): "compound with idler", (1, 2): "compound with idler",
    (2, 2): "double compound",
}  # fmt: skip
_MOST_READINGS = 256  # of a train whose tooth counts turn up in several sets


@record
class Stated:
    """A train as somebody wrote it: axes from the headstock on (on a stud driven, driver), and levers (the headstock's among them).

    A lever that is left out is taken where it stands on the machine, or in its only position.
    """

    axes: tuple[tuple[WheelRef, ...], ...]
    levers: Setting = ()


@record
class Evaluation:
    """``train`` is None when the lead cannot be known: levers left out, unknown or blocked, or no train at all.

    ``idlers`` are the wheels alone between two others: they never change the ratio.  ``faults`` concern the wheels themselves (owned,
    meshing, captive, limits, one piece, hand); ``obstacles`` the room on the banjo.  ``margin`` is the least room (mm; negative when
    something is in the way), None where the banjo is not described or the axes are not those of a banjo.  ``apart``
    are the locked pairs taken apart.
    """

    train: Train | None
    idlers: tuple[PlacedWheel, ...]
    faults: tuple[Obstacle, ...]
    obstacles: tuple[Obstacle, ...]
    margin: float | None
    levers: LeverCheck
    levers_left_out: tuple[str, ...]
    apart: tuple[LockedPair, ...]

    @property
    def reasons(self) -> tuple[str, ...]:
        """Ids of what is wrong: of the wheels, or when those are right, of the room."""
        return tuple(dict.fromkeys(item.id for item in self.faults or self.obstacles))

    @property
    def fits(self) -> bool | None:
        """Does it go on?  None where the banjo is not described."""
        if self.reasons:
            return False
        return None if self.margin is None else True


def arrangement_of(axes: Sequence[Sequence[object]]) -> str:
    """The name of a train with these axes; empty for one that has no name here."""
    ends = len(axes) > 1 and len(axes[0]) == len(axes[-1]) == 1
    return _NAMES.get(tuple(len(axis) for axis in axes[1:-1]), "") if ends else ""


def evaluate(problem: Problem, stated: Stated, wanted: Fraction, *, hand: str | None = None) -> Evaluation:
    """The lead that the stated train really cuts (against ``wanted``, mm per turn) and what is wrong with it.

    ``hand``: the hand that is wanted, None for whichever.  Raises ValueError for a lead that is not positive.
    """
    if wanted <= 0:
        raise ValueError("the lead that is wanted must be more than nothing")
    levers, left_out = _settled(problem, stated.levers)
    checked = check_levers(problem, levers)
    shaped = len(stated.axes) >= 2 and all(1 <= len(axis) <= 2 for axis in stated.axes) and len(stated.axes[0]) == len(stated.axes[-1]) == 1
    if not shaped:
        return Evaluation(None, (), (_fault("arrangement-not-known"),), (), None, checked, left_out, ())
    axes = _wheels(problem, stated)
    apart = _apart(problem, axes)
    faults = [*_wheel_faults(problem, axes), *(_fault("locked-pair-apart", pair.a.teeth, against=f"the {pair.b.teeth}") for pair in apart)]
    name = arrangement_of(axes)
    if name not in problem.arrangements or not chains_of((name,)):
        faults.append(_fault("arrangement-not-known", against=name))
    if hand is not None and hand_of(problem, len(axes) - 1) not in (hand, "either"):
        faults.append(_fault("wrong-hand", against=hand))
    order = list(OBSTACLE_WORDS)
    faults.sort(key=lambda fault: order.index(fault.id))
    obstacles: tuple[Obstacle, ...] = ()
    margin = None
    if problem.banjo is not None and len(axes) in (3, 4):
        fit = fitter_for(problem.banjo).check([[Kind(0, wheel, 0, 1) for wheel in axis] for axis in axes])
        obstacles, margin = fit.obstacles, fit.margin
    train = None
    if not (left_out or checked.unknown or checked.blocked):
        drive = _drive(problem, levers)
        train = None if drive is None else dressed(problem, axes, drive, name, wanted)
    idlers = tuple(item for item in train.wheels if item.place is Place.IDLER) if train else ()
    return Evaluation(train, idlers, tuple(faults), obstacles, margin, checked, left_out, apart)


def _fault(
    name: str, teeth: int | None = None, place: Place | None = None, against: str = "", has: int | None = None, needs: int | None = None
) -> Obstacle:
    return Obstacle(name, OBSTACLE_WORDS[name], teeth, place, against, has, needs)


def _settled(problem: Problem, stated: Setting) -> tuple[Setting, tuple[str, ...]]:
    """The levers as stated, filled up from what is mounted or cannot be otherwise; and those that remain open."""
    given = dict(stated)
    mounted = dict(problem.mounted.levers) if problem.mounted else {}
    choices: dict[str, list[str]] = {}
    if problem.headstock:
        choices[problem.headstock_lever] = [item.position for item in problem.headstock]
    for lever in problem.gearbox.levers:
        choices[lever.name] = [name for name, _ in lever.positions]
    for row in problem.gearbox.rows:
        for name, position in row.levers:
            seen = choices.setdefault(name, [])
            if position not in seen:
                seen.append(position)
    left_out = []
    for name, positions in choices.items():
        if name in given:
            continue
        if name in mounted:
            given[name] = mounted[name]
        elif len(positions) == 1:
            given[name] = positions[0]
        else:
            left_out.append(name)
    return tuple(given.items()), tuple(left_out)


def _drive(problem: Problem, levers: Setting) -> Drive | None:
    """The one setting that these levers make; None for a combination that the gearbox's rows do not have."""
    return next(iter(allowed_drives(problem, levers)), None)


def _wheels(problem: Problem, stated: Stated) -> list[list[Wheel]]:
    """The wheels that are meant.  A tooth count that two sets have is read so that the wheels mesh, if it can be."""
    captives = dict(problem.captives)
    places = places_of(stated.axes)
    plain = next(iter(problem.wheels), next(iter(captives.values()), None))
    module, angle = (plain.module, plain.pressure_angle) if plain else (Fraction(1), Fraction(20))
    choices: list[list[Wheel]] = []
    for refs, at in zip(stated.axes, places, strict=True):
        for ref, place in zip(refs, at, strict=True):
            captive = captives.get(place)
            own = [captive] if captive and matches(ref, captive) else [wheel for wheel in problem.wheels if matches(ref, wheel)]
            choices.append(own or [Wheel(ref.teeth, ref.module or module, angle, copies=0)])

    def by_axis(flat: Sequence[Wheel]) -> list[list[Wheel]]:
        rest = iter(flat)
        return [[next(rest) for _ in refs] for refs in stated.axes]

    readings = [by_axis(flat) for flat in islice(product(*choices), _MOST_READINGS)]
    return min(readings, key=lambda axes: sum(not _mesh(a[-1], b[0]) for a, b in pairwise(axes)))


def _mesh(a: Wheel, b: Wheel) -> bool:
    return (a.module, a.pressure_angle) == (b.module, b.pressure_angle)


def _wheel_faults(problem: Problem, axes: Sequence[Sequence[Wheel]]) -> Iterator[Obstacle]:
    captives = dict(problem.captives)
    used: Counter[tuple[int, Fraction, Fraction]] = Counter()
    first_at: dict[tuple[int, Fraction, Fraction], Place] = {}
    for axis, places in zip(axes, places_of(axes), strict=True):
        for wheel, place in zip(axis, places, strict=True):
            what = (wheel.teeth, wheel.module, wheel.pressure_angle)
            if place in captives:
                if (captives[place].teeth, captives[place].module) != (wheel.teeth, wheel.module):
                    yield _fault("captive-wheel", wheel.teeth, place, f"the {captives[place].teeth}", captives[place].teeth, wheel.teeth)
                continue
            used[what] += 1
            first_at[what] = place
            if not in_limits(problem.limits, place, wheel.teeth):
                needs = _nearest_allowed(problem, place, wheel.teeth)
                yield _fault("teeth-outside-limits", wheel.teeth, place, has=wheel.teeth, needs=needs)
    for what, number in used.items():
        owned = sum(w.copies for w in problem.wheels if (w.teeth, w.module, w.pressure_angle) == what)
        if number > owned:
            yield _fault("wheel-not-available", what[0], first_at[what], has=owned, needs=number)
    for a, b in pairwise(axes):
        if not _mesh(a[-1], b[0]):
            yield _fault("modules-do-not-mesh", a[-1].teeth, against=f"the {b[0].teeth}")


def _nearest_allowed(problem: Problem, place: Place, teeth: int) -> int:
    own = [limit for limit in problem.limits if limit.place is place]
    fewest = max((limit.fewest for limit in own if limit.fewest is not None), default=teeth)
    most = min((limit.most for limit in own if limit.most is not None), default=teeth)
    return fewest if teeth < fewest else most


def _apart(problem: Problem, axes: Sequence[Sequence[Wheel]]) -> tuple[LockedPair, ...]:
    """Locked pairs of which a wheel is used that no loose copy can stand in for, without the other beside it on the stud."""
    apart = []
    halves = [ref for pair in problem.locked_pairs for ref in (pair.a, pair.b)]
    for pair in problem.locked_pairs:
        together = sum(len(axis) == 2 and _is_pair(axis[0], axis[1], pair) for axis in axes)
        for ref in (pair.a, pair.b):
            alone = sum(matches(ref, wheel) for axis in axes for wheel in axis) - together
            locked = sum(_same(ref, other) for other in halves)
            loose = sum(wheel.copies for wheel in problem.wheels if matches(ref, wheel)) - locked
            if alone > max(loose, 0):
                apart.append(pair)
                break
    return tuple(apart)


def _same(one: WheelRef, two: WheelRef) -> bool:
    return one.teeth == two.teeth and (None in (one.module, two.module) or one.module == two.module)


def _is_pair(one: Wheel, two: Wheel, pair: LockedPair) -> bool:
    return (matches(pair.a, one) and matches(pair.b, two)) or (matches(pair.a, two) and matches(pair.b, one))
