"""The nearest leads that fit, for many leads on one machine: what a search gives for each, without starting afresh every time.

Every product of drivers over every product of driven wheels is a ratio.  A lead asks for those within a window about it: found by bisection
in one sorted table of ratios when many are asked for, or driven product by driven product when the table would cost more than it saves.
The window is as wide as recent leads needed, and is widened until enough leads fit.  A quotient of two products below 2**26 is different
from every other quotient of such, so floats serve as keys; errors are compared as whole numbers.  Which train of a ratio goes on, and
is the best of those, does not depend on the lead: it is worked out when the ratio is first met, and kept.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import repeat
from math import exp, log
from typing import NamedTuple

from benchleaf.kinematics.levers import Drive, allowed_drives
from benchleaf.kinematics.model import ARRANGEMENTS, Problem, Train
from benchleaf.kinematics.ratios import SAME, Part
from benchleaf.kinematics.search import Candidate, Searcher, Settings
from benchleaf.kinematics.trains import Axes, Chain, MountedTrain, trains_of

__all__ = ["Lead", "NearestLeads", "TooManyTrainsError"]

LARGEST_EXACT = 2**26  # products below this: no two different ratios have the same float quotient
LARGEST_NUMBER_OF_RATIOS = 40_000_000  # products that are compared for one lead in the worst case
_PAIR_COST = 1.5  # a ratio in the table costs so many times as much as one driven product looked up
_WIDER = 6.0
_INSIDE = 1 - 1e-9

_Made = tuple[Part, int, int]
_Known = tuple[tuple[int, ...], Axes, Chain]
_Hit = tuple[float, int, float]
_Set = tuple[int, tuple[int, ...], tuple[int, ...], Chain]


class TooManyTrainsError(ValueError):
    """The wheels or the levers have more combinations than can be gone through together."""


class Lead(NamedTuple):
    """A lead that a train which fits can make; ``error`` = lead / wanted - 1."""

    error: Fraction
    candidate: Candidate


class NearestLeads:
    """One machine made ready for ``number`` leads.  Raises :class:`TooManyTrainsError` when it has too many combinations."""

    def __init__(self, problem: Problem, number: int, hand: str | None = None) -> None:
        self.problem = problem
        self.searcher = Searcher(problem)
        self._mounted = MountedTrain(problem.mounted)
        self._chains = self.searcher.chains(hand)
        self._teeth = tuple(kind.teeth for kind in self.searcher.box.kinds)
        settings = Settings(problem, allowed_drives(problem), Fraction(1))
        self._drives: tuple[Drive, ...] = settings.drives
        self._scales = settings.factors
        self._floats = [float(scale) for scale in self._scales]
        self._parts, whole = self.searcher.parts(self._chains)
        pairs = sum(len(part.drivers.products) * len(part.driven.products) for part in self._parts)
        largest = max((max(part.drivers.products[-1], part.driven.products[-1]) for part in self._parts), default=0)
        if not whole or largest >= LARGEST_EXACT or pairs > LARGEST_NUMBER_OF_RATIOS:
            raise TooManyTrainsError
        looked_up = number * len(self._drives) * sum(len(part.driven.products) for part in self._parts)
        ratios = [(part.drivers.products[-1] / part.driven.products[0]) for part in self._parts]
        self._highest = max(ratios, default=0.0) * max(self._floats, default=0.0)
        self._hits: Callable[[float, float], Iterator[tuple[_Hit, list[_Made]]]]
        self._hits = self._in_table if pairs * _PAIR_COST < looked_up else self._by_products
        self._made: dict[float, list[_Made]] = {}
        if pairs * _PAIR_COST < looked_up:
            self._list_ratios()
        by_wheels: dict[int, list[Chain]] = {}
        for chain in self._chains:
            by_wheels.setdefault(chain.wheels, []).append(chain)
        self._lots = [by_wheels[wheels] for wheels in sorted(by_wheels)]
        self._plain = None if self.searcher.box.paired else self.searcher.meshing_pairs()
        self._best: dict[float, _Known | None] = {}
        self._fits: dict[Axes, bool] = {}
        self._reached: dict[tuple[float, float], bool] = {}
        self._width = log(10 / (1 + pairs * len(self._drives)))

    def _list_ratios(self) -> None:
        made = self._made
        for part in self._parts:
            for q in part.driven.products:
                for p in part.drivers.products:
                    key = p / q
                    if key in made:
                        made[key].append((part, p, q))
                    else:
                        made[key] = [(part, p, q)]
        self._table = sorted(made)
        self._table.append(float("inf"))

    def nearest(self, wanted: Fraction, keep: int = 5) -> list[Lead]:
        """The ``keep`` leads nearest to ``wanted`` (mm per turn) that fit, each with its best train; of two equally far the longer first.

        Raises ValueError for a lead that is not positive.
        """
        if wanted <= 0:
            raise ValueError("the lead that is wanted must be more than nothing")
        aim = float(wanted)
        widest = max(self._highest / aim, 1.0) * 1.001
        width = min(exp(self._width) * 1.7, widest)
        while True:
            found = self._within(wanted, aim, width, keep, width >= widest)
            if len(found) >= keep or width >= widest:
                break
            width = min(width * _WIDER, widest)
        if found:
            reach = abs(float(found[-1].error))
            self._width += (log(max(reach, 1e-9)) - self._width) / 8
        return found

    def _within(self, wanted: Fraction, aim: float, width: float, keep: int, everything: bool) -> list[Lead]:
        made: dict[float, list[_Made]] = {}
        hits: list[_Hit] = []
        for hit, ways in self._hits(aim, width):
            hits.append(hit)
            made[hit[2]] = ways
        hits.sort()
        found: list[Lead] = []
        start, count = 0, len(hits)
        while start < count:
            key, end = hits[start][0], start + 1
            while end < count and hits[end][0] - key <= SAME * (1 + key):
                key = hits[end][0]
                end += 1
            if key > width * _INSIDE and not everything:
                break
            for error, level in self._levels(wanted, hits[start:end], made):
                best = self._best_of(level, made)
                if best is not None:
                    found.append(Lead(self._error(wanted, level[0], made) if error is None else error, best))
                    if len(found) == keep:
                        return found
            start = end
        return found

    def _levels(
        self, wanted: Fraction, run: Sequence[_Hit], made: dict[float, list[_Made]]
    ) -> Iterable[tuple[Fraction | None, Sequence[_Hit]]]:
        """Hits of one and the same lead together, nearest first; the error is left out where there is one lead only."""
        if len(run) == 1:
            return [(None, run)]
        by_error: dict[Fraction, list[_Hit]] = {}
        for hit in run:
            by_error.setdefault(self._error(wanted, hit, made), []).append(hit)
        levels = sorted(by_error, key=lambda e: (abs(e), -e))
        return [(error, by_error[error]) for error in levels]

    def _error(self, wanted: Fraction, hit: _Hit, made: dict[float, list[_Made]]) -> Fraction:
        _, p, q = made[hit[2]][0]
        scale = self._scales[hit[1]]
        bottom = scale.denominator * q * wanted.numerator
        return Fraction(scale.numerator * p * wanted.denominator - bottom, bottom)

    def _in_table(self, aim: float, width: float) -> Iterator[tuple[_Hit, list[_Made]]]:
        table, made = self._table, self._made
        low, high = aim * (1 - width), aim * (1 + width)
        targets = [low / scale for scale in self._floats]
        for drive, at in enumerate(map(bisect_left, repeat(table), targets)):
            scale = self._floats[drive]
            most = high / scale
            key = table[at]
            while key <= most:
                yield (abs(key * scale / aim - 1), drive, key), made[key]
                at += 1
                key = table[at]

    def _by_products(self, aim: float, width: float) -> Iterator[tuple[_Hit, list[_Made]]]:
        for drive, scale in enumerate(self._floats):
            ways: dict[float, list[_Made]] = {}
            least, most = aim * (1 - width) / scale, aim * (1 + width) / scale
            for part in self._parts:
                drivers = [*part.drivers.products, LARGEST_EXACT * 1_000_000]
                driven = part.driven.products
                places = map(bisect_left, repeat(drivers), [q * least for q in driven])
                near = [(q, at) for q, at in zip(driven, places, strict=True) if drivers[at] <= q * most]
                for q, at in near:
                    p = drivers[at]
                    while p <= q * most:
                        ways.setdefault(p / q, []).append((part, p, q))
                        at += 1
                        p = drivers[at]
            for key, made in ways.items():
                yield (abs(key * scale / aim - 1), drive, key), made

    def _best_of(self, level: Sequence[_Hit], made: dict[float, list[_Made]]) -> Candidate | None:
        best: Candidate | None = None
        for _, number, key in level:
            if key not in self._best:
                self._best[key] = self._first_that_goes(made[key])
            known = self._best[key]
            if known is None:
                continue
            drive = self._drives[number]
            (changes, wheels, *rest), axes, chain = known
            moves = len(drive.moves)
            merit = (changes, moves, wheels, *rest) if self._mounted.wheels else (changes, wheels, moves, *rest)
            if best is None or merit < best.merit:
                best = Candidate(merit, axes, drive, chain)
        return best

    def _first_that_goes(self, made: Sequence[_Made]) -> _Known | None:
        """The best train of one ratio: fewest changes to what is mounted, then wheels, then teeth."""
        if self._mounted.wheels:
            return next((known for known in self._ordered(made, self._chains) if self._goes(known[1])), None)
        for chains in self._lots:
            for sets in self._by_teeth(made, chains):
                trains = self._ordered(made, chains) if sets is None else self._put_up(sets)
                for known in trains:
                    if self._goes(known[1]):
                        return known
        return None

    def _by_teeth(self, made: Sequence[_Made], chains: Sequence[Chain]) -> Iterator[list[_Set] | None]:
        """Sets of wheels with equally many teeth together, fewest first; None once where idlers decide how many teeth there are."""
        if any(chain.idlers for chain in chains):
            yield None
            return
        sums, sets = self._sums, []
        for part, p, q in made:
            for chain in part.chains:
                if chain in chains:
                    driven_sets = part.driven.by_product[q]
                    for drivers in part.drivers.by_product[p]:
                        total = sums(drivers)
                        sets += [(total + sums(driven), drivers, driven, chain) for driven in driven_sets]
        if len(sets) > 1:
            sets.sort(key=lambda item: item[0])
        start = 0
        while start < len(sets):
            end = start + 1
            while end < len(sets) and sets[end][0] == sets[start][0]:
                end += 1
            yield sets[start:end]
            start = end

    def _sums(self, group: tuple[int, ...]) -> int:
        return sum([self._teeth[i] for i in group])

    def _put_up(self, sets: Sequence[_Set]) -> list[_Known]:
        """Every train of these sets, the one with the smaller wheels first; of trains on one stud only those whose meshing pairs go."""
        box, teeth_of, found = self.searcher.box, self._teeth, []
        for total, drivers, driven, chain in sets:
            rank = ARRANGEMENTS.index(chain.arrangement)
            if len(drivers) != 2 or self._plain is None:
                trains: Iterable[Axes] = trains_of(box, chain, drivers, driven)
            else:
                trains = self._on_one_stud(drivers, driven)
            for axes in trains:
                teeth = [teeth_of[i] for axis in axes for i in axis]
                found.append(((0, len(teeth), total, *teeth, rank), axes, chain))
        if len(found) > 1:
            found.sort(key=lambda known: known[0])
        return found

    def _on_one_stud(self, drivers: tuple[int, ...], driven: tuple[int, ...]) -> Iterator[Axes]:
        """Two drivers and two driven wheels, put up in the ways in which each mesh by itself goes."""
        assert self._plain is not None
        box, inner, outer = self.searcher.box, self._plain.inner, self._plain.outer
        kinds = box.kinds
        x, y = drivers
        u, v = driven
        if x in driven or y in driven or x == y or u == v:
            used = drivers + driven
            if any(used.count(i) > kinds[i].copies for i in used):
                return
        for a, c in ((x, y), (y, x)) if x != y else ((x, y),):
            for b, d in ((u, v), (v, u)) if u != v else ((u, v),):
                d1, d2 = inner.get((a, b)), outer.get((c, d))
                if d1 is None or d2 is None:
                    continue
                goes = self._reached.get((d1, d2))
                if goes is None:
                    goes = self._reached[d1, d2] = self._plain.reaches(d1, d2)
                if goes:
                    yield (a,), (b, c), (d,)

    def _ordered(self, made: Sequence[_Made], chains: Sequence[Chain]) -> list[_Known]:
        box, teeth_of, found = self.searcher.box, self._teeth, []
        for part, p, q in made:
            for chain in part.chains:
                if chain not in chains:
                    continue
                rank = ARRANGEMENTS.index(chain.arrangement)
                for drivers in part.drivers.by_product[p]:
                    for driven in part.driven.by_product[q]:
                        for axes in trains_of(box, chain, drivers, driven):
                            teeth = [teeth_of[i] for axis in axes for i in axis]
                            changes = self._mounted.changes(box, axes) if self._mounted.wheels else 0
                            found.append(((changes, len(teeth), sum(teeth), *teeth, rank), axes, chain))
        found.sort(key=lambda known: known[0])
        return found

    def _goes(self, axes: Axes) -> bool:
        if axes not in self._fits:
            self._fits[axes] = self.searcher.fits(axes)
        return self._fits[axes]

    def train(self, lead: Lead, wanted: Fraction) -> Train:
        """The train in full, against the lead wanted (mm per turn)."""
        return self.searcher.dress(lead.candidate, wanted)
