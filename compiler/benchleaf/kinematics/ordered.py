"""The trains of one ratio that go on the machine, best first: fewest changes to what is mounted, then wheels, then teeth.

Most ratios are asked for their best train only, and most trains do not go on the banjo.  So trains are put up in the order of merit, no
further than asked for, and wheels that do not mesh where they would stand are never put up at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from heapq import merge
from math import inf
from operator import attrgetter, itemgetter
from typing import NamedTuple

from benchleaf.kinematics.lookup import Made
from benchleaf.kinematics.model import ARRANGEMENTS, Place
from benchleaf.kinematics.search import Searcher
from benchleaf.kinematics.trains import Axes, Chain, MountedTrain, trains_of

__all__ = ["SetUp", "Trains"]

_Group = tuple[int, ...]
_Set = tuple[int, _Group, _Group, Chain]  # teeth in all, drivers, driven wheels
_Train = tuple[_Group, Axes]  # teeth from the headstock on
_merit, _first = attrgetter("merit"), itemgetter(0)


class SetUp(NamedTuple):
    """Wheels as they go on, for one wheel ratio.  ``merit`` orders them: fewest changes to what is mounted, then wheels, then teeth."""

    merit: tuple[int, ...]
    axes: Axes
    chain: Chain

    @property
    def changes(self) -> int:
        """Wheels off plus wheels on, from what is mounted."""
        return self.merit[0]


class Trains:
    """One machine; keeps what it worked out."""

    def __init__(self, searcher: Searcher) -> None:
        self._searcher = searcher
        self._mounted = MountedTrain(searcher.problem.mounted)
        box = searcher.box
        self._teeth = tuple(kind.teeth for kind in box.kinds)
        plain = not box.paired and box.families == 1
        self._pairs = searcher.meshing_pairs() if plain else None
        self._idlers = sorted(box.allowed[Place.IDLER], key=self._teeth.__getitem__)
        self._sizes: dict[int, list[tuple[int, _Group]]] = {}  # by the identity of what a part keeps
        self._fits: dict[Axes, bool] = {}

    def best(self, made: Sequence[Made], chains: Sequence[Chain]) -> SetUp | None:
        """The first of :meth:`best_first`; None when no train of this ratio goes on."""
        if self._mounted.wheels or self._pairs is None:
            return next(self._tested(self._everything(made, chains)), None)
        part = made[0][0]
        if len(part.chains) == 1 and part.chains[0].pairs == (True,) and made[-1][0] is part:
            trains = self._on_one_stud(made, part.chains[0], best=True) if part.chains[0] in chains else []
            return SetUp(*min(trains), part.chains[0]) if trains else None
        return next(self._lot_by_lot(made, chains), None)

    def best_first(self, made: Sequence[Made], chains: Sequence[Chain]) -> Iterator[SetUp]:
        """Of these kinds of train those that go on, in order of merit."""
        if self._mounted.wheels or self._pairs is None:
            return self._tested(self._everything(made, chains))
        return self._lot_by_lot(made, chains)

    @staticmethod
    def _ranked(trains: Iterable[tuple[_Group, Axes]], chain: Chain) -> list[SetUp]:
        return [SetUp(merit, axes, chain) for merit, axes in sorted(dict(trains).items())]

    def _lot_by_lot(self, made: Sequence[Made], chains: Sequence[Chain]) -> Iterator[SetUp]:
        """Kinds of train with the fewest wheels first."""
        parts = {id(part): part for part, _, _ in made}
        chains = [chain for chain in chains if any(chain in part.chains for part in parts.values())]
        for number in sorted({chain.wheels for chain in chains}):
            alike = [chain for chain in chains if chain.wheels == number]
            if len(alike) == 1 and alike[0].pairs == (True,):
                yield from self._ranked(self._on_one_stud(made, alike[0]), alike[0])
            elif len(alike) == 1 and alike[0].pairs == (False,):
                yield from self._simple(made, alike[0])
            elif any(chain.idlers for chain in alike):
                yield from self._tested(self._everything(made, alike))
            else:
                yield from self._on_two_studs(made, alike)

    def _simple(self, made: Sequence[Made], chain: Chain) -> Iterator[SetUp]:
        """One idler between the first wheel and the last, the smallest first."""
        rank = ARRANGEMENTS.index(chain.arrangement)
        groups = [(part.drivers.by_product[p], part.driven.by_product[q]) for part, p, q in made if chain in part.chains]
        ways = [self._with_idler(*first, *last) for firsts, lasts in groups for first in firsts for last in lasts]
        for total, teeth, axes in ways[0] if len(ways) == 1 else merge(*ways):
            yield SetUp((0, 3, total, *teeth, rank), axes, chain)

    def _with_idler(self, first: int, last: int) -> Iterator[tuple[int, _Group, Axes]]:
        box, teeth = self._searcher.box, self._teeth
        kinds, ends = box.kinds, self._teeth[first] + self._teeth[last]
        if kinds[first].family != kinds[last].family or not self._enough((first, last)):
            return
        left = (i for i in self._idlers if i not in (first, last) or self._enough((first, i, last)))
        for idler in self._searcher.idlers_between(first, last, left):
            yield ends + teeth[idler], (teeth[first], teeth[idler], teeth[last]), ((first,), (idler,), (last,))

    def _on_one_stud(self, made: Sequence[Made], chain: Chain, *, best: bool = False) -> list[tuple[_Group, Axes]]:
        """Trains with two wheels on one stud, with their merit; ``best``: those with more teeth than one that goes on may be left out."""
        assert self._pairs is not None
        pairs, teeth = self._pairs, self._teeth
        inner, outer, stands = pairs.inner, pairs.outer, pairs.stands
        driver_clears, driven_clears = pairs.driver_clears, pairs.driven_clears
        rank = ARRANGEMENTS.index(chain.arrangement)
        found: list[tuple[_Group, Axes]] = []
        least = inf
        for part, p, q in made:
            if chain not in part.chains:
                continue
            drivers_sets = part.drivers.by_product[p]
            for u, v in part.driven.by_product[q]:
                for x, y in drivers_sets:
                    total = teeth[x] + teeth[y] + teeth[u] + teeth[v]
                    if total > least:
                        continue
                    if (x in (u, v, y) or y in (u, v) or u == v) and not self._enough((x, y, u, v)):
                        continue
                    inner_x, inner_y, outer_x, outer_y = inner[x], inner[y], outer[x], outer[y]
                    ways = []
                    if stands[outer_y[v]][inner_x[u]]:
                        ways.append((x, u, y, v))
                    if stands[outer_y[u]][inner_x[v]]:
                        ways.append((x, v, y, u))
                    if stands[outer_x[v]][inner_y[u]]:
                        ways.append((y, u, x, v))
                    if stands[outer_x[u]][inner_y[v]]:
                        ways.append((y, v, x, u))
                    for a, b, c, d in ways:
                        if driver_clears[inner[a][b]][c] and driven_clears[outer[c][d]][b]:
                            found.append(((0, 4, total, teeth[a], teeth[b], teeth[c], teeth[d], rank), ((a,), (b, c), (d,))))
                            if best:
                                least = total
        return found

    def _on_two_studs(self, made: Sequence[Made], chains: Sequence[Chain]) -> Iterator[SetUp]:
        """Two wheels on each of two studs: sets with the fewest teeth first, no further than asked for."""
        sets = self._sets(made, chains)
        start, count = 0, len(sets)
        while start < count:
            total, end = sets[start][0], start + 1
            while end < count and sets[end][0] == total:
                end += 1
            chain = sets[start][3]
            rank = ARRANGEMENTS.index(chain.arrangement)
            ways = [self._put_up(chain, drivers, driven) for _, drivers, driven, _ in sets[start:end]]
            for teeth, axes in ways[0] if len(ways) == 1 else merge(*ways, key=_first):
                yield SetUp((0, len(teeth), total, *teeth, rank), axes, chain)
            start = end

    def _sets(self, made: Sequence[Made], chains: Sequence[Chain]) -> list[_Set]:
        """Sets of wheels, those with the fewest teeth together first."""
        sized, sets = self._sized, []
        for part, p, q in made:
            for chain in part.chains:
                if chain in chains:
                    driven_sets = sized(part.driven.by_product[q])
                    for total, drivers in sized(part.drivers.by_product[p]):
                        sets += [(total + number, drivers, driven, chain) for number, driven in driven_sets]
        if len(sets) > 1:
            sets.sort(key=_first)
        return sets

    def _sized(self, groups: tuple[_Group, ...]) -> list[tuple[int, _Group]]:
        """Sets of wheels with their teeth in all."""
        known = self._sizes.get(id(groups))
        if known is None:
            teeth = self._teeth
            known = self._sizes[id(groups)] = [(sum([teeth[i] for i in group]), group) for group in groups]
        return known

    def _put_up(self, chain: Chain, drivers: _Group, driven: _Group) -> Iterator[_Train]:
        """One set of wheels without idlers in every way that goes on, in the order of the teeth."""
        if self._pairs is not None and len(set(drivers)) == len(drivers) and len(set(driven)) == len(driven):
            if not self._enough(drivers + driven):
                return
            teeth = self._teeth
            d, n = sorted(drivers, key=teeth.__getitem__), sorted(driven, key=teeth.__getitem__)
            yield from self._by_size(d, n)
            return
        trains = [(self._teeth_of(axes), axes) for axes in trains_of(self._searcher.box, chain, drivers, driven)]
        trains.sort(key=lambda train: train[0])
        for train in trains:
            if self._goes(train[1]):
                yield train

    def _enough(self, used: _Group) -> bool:
        kinds = self._searcher.box.kinds
        return len(set(used)) == len(used) or all(used.count(i) <= kinds[i].copies for i in used)

    def _by_size(self, drivers: Sequence[int], driven: Sequence[int]) -> Iterator[_Train]:
        assert self._pairs is not None
        pairs, teeth = self._pairs, self._teeth
        inner, middle, outer = pairs.inner, pairs.middle, pairs.outer
        driver_clears, driven_clears, stud_clears = pairs.driver_clears, pairs.driven_clears, pairs.stud_clears
        x, y, z = drivers
        u, v, w = driven
        ends = (u, ((v, w), (w, v))), (v, ((u, w), (w, u))), (w, ((u, v), (v, u)))
        for a, rest in ((x, ((y, z), (z, y))), (y, ((x, z), (z, x))), (z, ((x, y), (y, x)))):
            for b, others in ends:
                i = inner[a][b]
                if i < 0:
                    continue
                for c, e in rest:
                    if not driver_clears[i][c]:
                        continue
                    for d, f in others:
                        m, j = middle[c][d], outer[e][f]
                        if m >= 0 and j >= 0 and stud_clears[m][b] and stud_clears[m][e] and driven_clears[j][d]:
                            axes = (a,), (b, c), (d, e), (f,)
                            if self._goes(axes):
                                yield (teeth[a], teeth[b], teeth[c], teeth[d], teeth[e], teeth[f]), axes

    def _everything(self, made: Sequence[Made], chains: Sequence[Chain]) -> list[SetUp]:
        """Every train in order of merit, whether it goes on or not."""
        box, found = self._searcher.box, []
        for part, p, q in made:
            for chain in part.chains:
                if chain not in chains:
                    continue
                rank = ARRANGEMENTS.index(chain.arrangement)
                for drivers in part.drivers.by_product[p]:
                    for driven in part.driven.by_product[q]:
                        for axes in trains_of(box, chain, drivers, driven):
                            teeth = self._teeth_of(axes)
                            changes = self._mounted.changes(box, axes) if self._mounted.wheels else 0
                            found.append(SetUp((changes, len(teeth), sum(teeth), *teeth, rank), axes, chain))
        found.sort(key=_merit)
        return found

    def _tested(self, set_ups: Sequence[SetUp]) -> Iterator[SetUp]:
        return (set_up for set_up in set_ups if self._goes(set_up.axes))

    def _teeth_of(self, axes: Axes) -> _Group:
        return tuple([self._teeth[i] for axis in axes for i in axis])

    def _goes(self, axes: Axes) -> bool:
        known = self._fits.get(axes)
        if known is None:
            known = self._fits[axes] = self._searcher.fits(axes)
        return known
