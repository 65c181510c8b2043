"""Many leads on one machine: wheel ratios are looked up, and the trains of a ratio are tried on the banjo once for all leads.

Levers only multiply, so they are factored out: settings with the same ratio are merged.  Every product of drivers over every product of
driven wheels is a ratio.  A lead asks for those within a window about it, which is as wide as recent leads needed, and is widened until
enough leads fit.  Floats find, whole numbers decide: :mod:`~benchleaf.kinematics.lookup` says why no two ratios are taken for one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import islice
from math import exp, log
from typing import NamedTuple

from benchleaf.kinematics.levers import Drive, TooManySettingsError
from benchleaf.kinematics.lookup import LARGEST_EXACT, Hit, Lookup, Part
from benchleaf.kinematics.model import Problem, Train
from benchleaf.kinematics.ordered import SetUp, Trains
from benchleaf.kinematics.ratios import outward
from benchleaf.kinematics.search import Candidate, Searcher, Settings
from benchleaf.kinematics.trains import Axes, Chain

__all__ = ["Lead", "ManyLeads", "SetUp", "TooManyRatiosError", "Way", "wheels_changed", "wheels_in_place"]

LARGEST_NUMBER_OF_RATIOS = 40_000_000  # products that are compared for one lead in the worst case
_FAR = 0.2  # what is farther off says nothing of other leads
_FIRST, _WIDER = 1.6, 2.5  # the first window, in what recent leads needed; and how much wider the next is
_UNKNOWN = SetUp((), (), Chain("", ()))
_ROUND = 1e-9  # relative: floats find, Fractions decide


class TooManyRatiosError(ValueError):
    """The box makes more ratios than can be gone through."""


class Way(NamedTuple):
    """A lead by arithmetic: turns of the last wheel for a turn of the first (``ratio``), under a setting of the levers.

    ``error`` = lead / wanted - 1.
    """

    error: Fraction
    ratio: Fraction
    drive: Drive


class Lead(NamedTuple):
    """A lead that a train which goes on can make, with its best train; ``error`` = lead / wanted - 1."""

    error: Fraction
    set_up: SetUp
    drive: Drive


def wheels_changed(one: Axes, other: Axes) -> int:
    """Wheels to take off plus wheels to put on, from one train to another."""
    before, after = wheels_in_place(one), wheels_in_place(other)
    return len(before) + len(after) - 2 * len(before & after)


def wheels_in_place(axes: Axes) -> frozenset[tuple[int, int, int]]:
    """Axis, row and kind of every wheel: what two trains have in common stays on from one to the other."""
    return frozenset((axis, row, kind) for axis, kinds in enumerate(axes) for row, kind in enumerate(kinds))


class _Found:
    """The trains of one wheel ratio that go on, in order of merit, found no further than asked for."""

    __slots__ = ("_known", "_rest")

    def __init__(self, found: Iterable[SetUp]) -> None:
        self._rest = iter(found)
        self._known: list[SetUp] = []

    def first(self, number: int) -> list[SetUp]:
        if len(self._known) < number:
            self._known += islice(self._rest, number - len(self._known))
        return self._known[:number]


class ManyLeads:
    """One machine made ready for about ``number`` leads.

    Raises :class:`TooManyRatiosError` when the wheels or the levers have more combinations than can be gone through: then ask
    :func:`~benchleaf.kinematics.search.search` for one lead after the other.
    """

    def __init__(self, problem: Problem, number: int) -> None:
        self.problem = problem
        self.searcher = Searcher(problem)
        try:
            settings = Settings(problem, self.searcher.drives(), Fraction(1))
        except TooManySettingsError as fault:
            raise TooManyRatiosError(str(fault)) from fault
        self._drives: tuple[Drive, ...] = settings.drives
        self._scales = settings.factors
        self._whole = [(scale.numerator, scale.denominator) for scale in self._scales]
        self._floats = [float(scale) for scale in self._scales]
        self._ratios = self._looked_up(number * len(self._drives))
        self._width = log(10 / (1 + self._ratios.size * len(self._drives)))
        self._trains = Trains(self.searcher)
        self._mounted = problem.mounted is not None and bool(problem.mounted.axes)
        self._moved = any(drive.moves for drive in self._drives)
        self._chains = {hand: self.searcher.chains(hand) for hand in (None, "right", "left")}
        self._found: dict[tuple[float, str | None], _Found] = {}
        self._best: dict[str | None, dict[float, SetUp | None]] = {hand: {} for hand in self._chains}

    def _looked_up(self, questions: int) -> Lookup:
        parts, whole = self.searcher.parts(self.searcher.chains(None))
        size = sum(part.size for part in parts)
        largest = max((max(part.drivers.products[-1], part.driven.products[-1]) for part in parts), default=0)
        if not whole or largest >= LARGEST_EXACT or size > LARGEST_NUMBER_OF_RATIOS:
            raise TooManyRatiosError(f"the wheels make {size} ratios")
        return Lookup([self._sieved(part) if part.is_listed(questions) else part for part in parts], questions)

    def _sieved(self, part: Part) -> Part:
        """Without ratios of which no train goes on, where that is soon told."""
        products = self.searcher.products(part)
        return part if products is None else Part(part.chains, part.drivers, part.driven, products)

    def ways(self, wanted: Fraction, limit: Fraction) -> list[Way]:
        """Every wheel ratio and lever ratio whose lead is within ``limit`` (a share) of ``wanted`` (mm per turn), nearest first.

        Of two leads equally far out the longer one comes first.  Ratios of which no train stands on the banjo may be left out; whether one
        does, and which hand it cuts, is said by :meth:`set_ups`.  Raises ValueError for a lead that is not positive.
        """
        aim = _positive(wanted)
        found = []
        for _, number, key in self._ratios.within(aim, float(limit) + _ROUND, self._floats, self._ratios.size * len(self._floats)) or ():
            _, p, q = self._ratios.made[key][0]
            ratio = Fraction(p, q)
            error = self._scales[number] * ratio / wanted - 1
            if abs(error) <= limit:
                found.append(Way(error, ratio, self._drives[number]))
        found.sort(key=lambda way: (abs(way.error), -way.error))
        return found

    def set_ups(self, ratio: Fraction, hand: str | None = None, most: int = 1) -> list[SetUp]:
        """Trains of this wheel ratio that cut this hand (None: whichever) and go on the banjo, the best ``most`` in order of merit."""
        return self._set_ups(ratio.numerator / ratio.denominator, hand, most)

    def _set_ups(self, key: float, hand: str | None, most: int) -> list[SetUp]:
        known = self._found.get((key, hand))
        if known is None:
            made = self._ratios.made.get(key, ())
            known = self._found[key, hand] = _Found(self._trains.best_first(made, self._chains[hand]))
        return known.first(most)

    def nearest(self, wanted: Fraction, keep: int = 5, hand: str | None = None) -> list[Lead]:
        """The ``keep`` leads nearest to ``wanted`` (mm per turn) that go on, each with its best train; of two equally far the longer first.

        These are the leads that :func:`~benchleaf.kinematics.search.search` finds.  Raises ValueError for a lead that is not positive.
        """
        aim = _positive(wanted)
        found: list[Lead] = []
        for hits in outward(self._ratios, aim, self._floats, exp(self._width) * _FIRST, _WIDER):
            for top, bottom, level in self._levels(wanted, hits):
                best = self._best_of(level, hand)
                if best is not None:
                    bottom *= wanted.numerator
                    found.append(Lead(Fraction(top * wanted.denominator - bottom, bottom), *best))
                    if len(found) >= keep:
                        break
            if len(found) >= keep:
                break
        reach = abs(float(found[-1].error)) if found else 1.0
        if reach < _FAR:
            self._width += (log(max(reach, 1e-9)) - self._width) / 8
        return found

    def _levels(self, wanted: Fraction, hits: Sequence[Hit]) -> list[tuple[int, int, Sequence[Hit]]]:
        """Hits of one and the same lead together, the lead as a fraction; nearest first."""
        made, scales = self._ratios.made, self._whole
        leads = []
        for _, number, key in hits:
            _, p, q = made[key][0]
            over, under = scales[number]
            leads.append((over * p, under * q))
        top, bottom = leads[0]
        if all(over * bottom == under * top for over, under in leads):
            return [(top, bottom, hits)]
        by_error: dict[Fraction, list[tuple[tuple[int, int], Hit]]] = {}
        for lead, hit in zip(leads, hits, strict=True):
            by_error.setdefault(Fraction(*lead) / wanted - 1, []).append((lead, hit))
        in_order = [by_error[error] for error in sorted(by_error, key=lambda error: (abs(error), -error))]
        return [(*level[0][0], [hit for _, hit in level]) for level in in_order]

    def _best_of(self, level: Sequence[Hit], hand: str | None) -> tuple[SetUp, Drive] | None:
        best: tuple[SetUp, Drive] | None = None
        least: tuple[int, ...] = ()
        found = self._best[hand]
        for _, number, key in level:
            known = found.get(key, _UNKNOWN)
            if known is _UNKNOWN:
                known = found[key] = self._trains.best(self._ratios.made[key], self._chains[hand])
            if known is None:
                continue
            drive = self._drives[number]
            merit = self.merit(known, drive) if self._moved else known.merit
            if best is None or merit < least:
                best, least = (known, drive), merit
        return best

    def merit(self, set_up: SetUp, drive: Drive) -> tuple[int, ...]:
        """What orders trains of one lead: changes to what is mounted, lever moves, wheels, teeth; fewest wheels first where nothing is."""
        changes, wheels, *rest = set_up.merit
        return (changes, len(drive.moves), wheels, *rest) if self._mounted else (changes, wheels, len(drive.moves), *rest)

    def train(self, set_up: SetUp, drive: Drive, wanted: Fraction) -> Train:
        """The train in full, against the lead wanted (mm per turn)."""
        return self.searcher.dress(Candidate(set_up.merit, set_up.axes, drive, set_up.chain), wanted)


def _positive(wanted: Fraction) -> float:
    if wanted <= 0:
        raise ValueError("the lead that is wanted must be more than nothing")
    return float(wanted)
