"""Many leads on one machine in one pass: what a chart of threads asks for.

Levers only multiply, so they are factored out: settings with the same ratio are merged, and the ratios that the wheels can make are listed
once, in order.  Every lead then looks up the few wheel ratios that bring it within the limit under any lever ratio, and the trains of a
wheel ratio are tried on the banjo once for all leads.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from math import gcd

from benchleaf.kinematics.levers import Drive, TooManySettingsError, allowed_drives
from benchleaf.kinematics.model import ARRANGEMENTS, Problem, Train
from benchleaf.kinematics.ratios import Part
from benchleaf.kinematics.search import Candidate, Searcher
from benchleaf.kinematics.trains import Axes, Chain, MountedTrain, trains_of

__all__ = ["LARGEST_TABLE", "ManyLeads", "SetUp", "TooManyRatiosError", "Way", "wheels_changed"]

LARGEST_TABLE = 1_500_000  # pairs of products that are listed: a few seconds and some hundred megabytes
_WIDER = 1e-9  # relative: floats find, Fractions decide


class TooManyRatiosError(ValueError):
    """The box makes more ratios than can be listed."""


@dataclass(frozen=True, slots=True)
class Way:
    """A lead by arithmetic: turns of the last wheel for a turn of the first (``ratio``), under a setting of the levers.

    ``error`` = lead / wanted - 1.
    """

    error: Fraction
    ratio: Fraction
    drive: Drive


@dataclass(frozen=True, slots=True)
class SetUp:
    """Wheels as they go on, for one wheel ratio.  ``merit`` orders them: fewest changes to what is mounted, then wheels, then teeth.

    ``changes`` counts wheels off plus wheels on, from what is mounted.
    """

    merit: tuple[int, ...]
    axes: Axes
    chain: Chain

    @property
    def changes(self) -> int:
        """Wheels off plus wheels on, from what is mounted."""
        return self.merit[0]


def wheels_changed(one: Axes, other: Axes) -> int:
    """Wheels to take off plus wheels to put on, from one train to another."""
    before = {(axis, row): kind for axis, kinds in enumerate(one) for row, kind in enumerate(kinds)}
    after = {(axis, row): kind for axis, kinds in enumerate(other) for row, kind in enumerate(kinds)}
    same = sum(after.get(at) == kind for at, kind in before.items())
    return len(before) + len(after) - 2 * same


class _Trains:
    """The fitting trains of one wheel ratio in order of merit, found no further than asked for."""

    def __init__(self, found: Iterator[SetUp]) -> None:
        self._rest = found
        self._known: list[SetUp] = []

    def first(self, number: int) -> list[SetUp]:
        if len(self._known) < number:
            self._known += islice(self._rest, number - len(self._known))
        return self._known[:number]


class ManyLeads:
    """One machine made ready for many leads.

    Raises :class:`TooManyRatiosError` when the wheels or the levers have more combinations than can be listed: then ask
    :func:`~benchleaf.kinematics.search.search` for one lead after the other.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.searcher = Searcher(problem)
        self._mounted = MountedTrain(problem.mounted)
        self._drives = self._merged()
        self._parts, whole = self.searcher.parts(self.searcher.chains(None))
        size = sum(len(part.drivers.products) * len(part.driven.products) for part in self._parts)
        if not whole or size > LARGEST_TABLE:
            raise TooManyRatiosError(f"the wheels make {size} ratios")
        self._made: dict[tuple[int, int], list[tuple[Part, int, int]]] = {}
        for part in self._parts:
            for p in part.drivers.products:
                for q in part.driven.products:
                    common = gcd(p, q)
                    self._made.setdefault((p // common, q // common), []).append((part, p, q))
        self._table = sorted((p / q, p, q) for p, q in self._made)
        self._trains: dict[tuple[Fraction, str | None], _Trains] = {}
        self._fits: dict[Axes, bool] = {}

    def _merged(self) -> tuple[Drive, ...]:
        """One setting for each lever ratio: that with the fewest moves, then the first on the plate."""
        by_ratio: dict[Fraction, Drive] = {}
        try:
            drives = allowed_drives(self.problem)
        except TooManySettingsError as fault:
            raise TooManyRatiosError(str(fault)) from fault
        for drive in drives:
            known = by_ratio.get(drive.ratio)
            if known is None or len(drive.moves) < len(known.moves):
                by_ratio[drive.ratio] = drive
        return tuple(by_ratio.values())

    def ways(self, wanted: Fraction, limit: Fraction) -> list[Way]:
        """Every wheel ratio and lever ratio whose lead is within ``limit`` (a share) of ``wanted`` (mm per turn), nearest first.

        Of two leads equally far out the longer one comes first.  Whether a train stands on the banjo, and which hand it cuts, is not
        asked here: see :meth:`set_ups`.  Raises ValueError for a lead that is not positive.
        """
        if wanted <= 0:
            raise ValueError("the lead that is wanted must be more than nothing")
        table, found = self._table, []
        wide = float(limit) + _WIDER
        for drive in self._drives:
            target = wanted / (self.problem.leadscrew_lead * drive.ratio)
            middle = float(target)
            at = bisect_left(table, (middle * (1 - wide), 0, 0))
            while at < len(table) and table[at][0] <= middle * (1 + wide):
                ratio = Fraction(table[at][1], table[at][2])
                error = ratio / target - 1
                if abs(error) <= limit:
                    found.append(Way(error, ratio, drive))
                at += 1
        found.sort(key=lambda way: (abs(way.error), -way.error))
        return found

    def set_ups(self, ratio: Fraction, hand: str | None = None, most: int = 1) -> list[SetUp]:
        """Trains of this wheel ratio that cut this hand (None: whichever) and go on the banjo, the best ``most`` in order of merit."""
        key = ratio, None if self.problem.tumbler else hand
        if key not in self._trains:
            self._trains[key] = _Trains(self._fitting(ratio, hand))
        return self._trains[key].first(most)

    def _fitting(self, ratio: Fraction, hand: str | None) -> Iterator[SetUp]:
        kinds, box = self.searcher.box.kinds, self.searcher.box
        candidates: list[SetUp] = []
        for chain in self.searcher.chains(hand):
            for part, p, q in self._made.get((ratio.numerator, ratio.denominator), ()):
                if chain not in part.chains:
                    continue
                for drivers in part.drivers.by_product[p]:
                    for driven in part.driven.by_product[q]:
                        for axes in trains_of(box, chain, drivers, driven):
                            teeth = [kinds[i].teeth for axis in axes for i in axis]
                            changes = self._mounted.changes(box, axes) if self._mounted.wheels else 0
                            merit = (changes, len(teeth), sum(teeth), *teeth, ARRANGEMENTS.index(chain.arrangement))
                            candidates.append(SetUp(merit, axes, chain))
        candidates.sort(key=lambda set_up: set_up.merit)
        return (set_up for set_up in candidates if self._goes(set_up.axes))

    def _goes(self, axes: Axes) -> bool:
        if axes not in self._fits:
            self._fits[axes] = self.searcher.fits(axes)
        return self._fits[axes]

    def train(self, set_up: SetUp, drive: Drive, wanted: Fraction) -> Train:
        """The train in full, against the lead wanted (mm per turn)."""
        return self.searcher.dress(Candidate(set_up.merit, set_up.axes, drive, set_up.chain), wanted)

    def best(self, wanted: Fraction, limit: Fraction, hand: str | None = None) -> Train | None:
        """The train that :func:`~benchleaf.kinematics.search.search` finds; None when nothing that fits is within the limit."""
        ways = self.ways(wanted, limit)
        for start, way in enumerate(ways):
            if start and way.error == ways[start - 1].error:
                continue
            level = [each for each in ways[start:] if each.error == way.error]
            found = [(set_up, each.drive) for each in level for set_up in self.set_ups(each.ratio, hand)]
            if found:
                set_up, drive = min(found, key=lambda item: self._merit(*item))
                return self.train(set_up, drive, wanted)
        return None

    def _merit(self, set_up: SetUp, drive: Drive) -> tuple[int, ...]:
        changes, wheels, *rest = set_up.merit
        return (changes, len(drive.moves), wheels, *rest) if self._mounted.wheels else (changes, wheels, len(drive.moves), *rest)
