"""Pairs of wheels, neither of them owned, that make a thread together in one train which goes on the banjo."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, combinations_with_replacement, permutations, product

import numpy as np
from numpy.typing import NDArray

from benchleaf.kinematics.levers import TooManySettingsError
from benchleaf.kinematics.model import Place, Problem, Wheel
from benchleaf.kinematics.search import Searcher
from benchleaf.kinematics.trains import Axes, Chain, trains_of

__all__ = ["fitting_pairs"]

_ROUND = 1e-9
_Target = tuple[Fraction, str]  # lead and hand
_Kinds = tuple[int, ...]
_Train = tuple[Chain, _Kinds, _Kinds, int | None]  # drivers, driven wheels, and the idler where that is new
_Floats = NDArray[np.float64]


def fitting_pairs(
    problem: Problem,
    like: Wheel,
    teeth: Sequence[int],
    alone: Mapping[_Target, Sequence[int]],
    limit: Fraction,
    cost: Mapping[int, int],
    work: int,
) -> tuple[dict[frozenset[int], set[_Target]], bool]:
    """By pair of tooth counts the targets that it makes; False when the ``work`` (trains put up) ran out before the last.

    ``alone`` says for each target which wheels make it alone: pairs with one of those are left out.  Trains with one idler or one pair of
    wheels on a stud are looked at: with two wheels that are not owned, more studs are seldom worth it.
    """
    machine = replace(problem, wheels=(*problem.wheels, *(replace(like, teeth=number) for number in teeth)))
    searcher = Searcher(machine)
    try:
        drives = searcher.drives()
    except TooManySettingsError:
        return {}, False
    tables = _Tables(searcher, set(teeth))
    found: dict[frozenset[int], set[_Target]] = {}
    for target, mending in alone.items():
        hits: dict[frozenset[int], list[_Train]] = {}
        for drive in drives:
            factor = problem.leadscrew_lead * drive.ratio / target[0]
            for pair, train in tables.near(factor, limit):
                if not pair & set(mending):
                    hits.setdefault(pair, []).append(train)
        chains = searcher.chains(target[1])
        for pair in sorted(hits, key=lambda pair: (sum(cost[number] for number in pair), sorted(pair))):
            if tables.looked_at > work:
                return found, False
            if any(tables.fits(train) for train in hits[pair] if train[0] in chains):
                found.setdefault(pair, set()).add(target)
    return found, True


class _Tables:
    """What two new wheels, and what owned ones beside them, do to the ratio."""

    def __init__(self, searcher: Searcher, new: set[int]) -> None:
        self._searcher = searcher
        self._fits: dict[Axes, bool] = {}
        self._new = new
        self.looked_at = 0
        box = searcher.box
        self._teeth = [kind.teeth for kind in box.kinds]
        fresh = [kind.index for kind in box.kinds if kind.teeth in new and kind.place is None]
        captive = {kind.place for kind in box.kinds if kind.place is not None}
        owned = [kind.index for kind in box.kinds if kind.teeth not in new or kind.place is not None]
        chains = {chain.pairs: chain for chain in searcher.chains(None)}
        self._lots: list[tuple[Chain, _Floats, Sequence[tuple[_Kinds, _Kinds]], Sequence[tuple[_Kinds, _Kinds]], _Floats]] = []
        self._fresh = fresh
        crossed = [((a,), (b,)) for a, b in permutations(fresh, 2)]
        if (False,) in chains and not captive & {Place.FIRST, Place.LAST}:
            self._lot(chains[False,], crossed, [((), ())])
            if searcher.problem.banjo is not None:  # a new idler beside a new end; without a banjo any idler will do
                self._lot(chains[False,], [((a,), ()) for a in fresh], [((), (b,)) for b in owned])
                self._lot(chains[False,], [((), (a,)) for a in fresh], [((b,), ()) for b in owned])
        if (True,) in chains:
            self._lot(chains[True,], crossed, [((a,), (b,)) for a, b in product(owned, repeat=2) if a != b])
            both = list(combinations(fresh, 2))
            beside = list(combinations_with_replacement(owned, 2))
            self._lot(chains[True,], [(pair, ()) for pair in both], [((), group) for group in beside])
            self._lot(chains[True,], [((), pair) for pair in both], [(group, ()) for group in beside])

    def _lot(self, chain: Chain, new: Sequence[tuple[_Kinds, _Kinds]], beside: Sequence[tuple[_Kinds, _Kinds]]) -> None:
        ratios = np.array([self._ratio(*item) for item in new])
        order = np.argsort(ratios)
        self._lots.append((chain, ratios[order], [new[at] for at in order], beside, np.array([self._ratio(*item) for item in beside])))

    def _ratio(self, drivers: _Kinds, driven: _Kinds) -> float:
        top = bottom = 1
        for kind in drivers:
            top *= self._teeth[kind]
        for kind in driven:
            bottom *= self._teeth[kind]
        return top / bottom

    def near(self, factor: Fraction, limit: Fraction) -> Iterator[tuple[frozenset[int], _Train]]:
        """The pairs with all wheels of their train, whose ratio x ``factor`` is within ``limit`` of 1."""
        reach = float(limit) + _ROUND
        for chain, ratios, new, beside, others in self._lots:
            aims = 1 / (float(factor) * others)
            lows, highs = np.searchsorted(ratios, aims * (1 - reach)), np.searchsorted(ratios, aims * (1 + reach))
            for other in np.flatnonzero(highs > lows):
                others_of = beside[int(other)]
                for at in range(int(lows[other]), int(highs[other])):
                    drivers, driven = new[at][0] + others_of[0], new[at][1] + others_of[1]
                    if abs(self._exactly(drivers, driven) * factor - 1) <= limit:
                        got = new[at][0] + new[at][1]
                        idlers = [None] if len(got) == 2 else [kind for kind in self._fresh if kind not in got]
                        for idler in idlers:
                            pair = frozenset(self._teeth[kind] for kind in (*got, *(() if idler is None else (idler,))))
                            yield pair, (chain, tuple(sorted(drivers)), tuple(sorted(driven)), idler)

    def _exactly(self, drivers: _Kinds, driven: _Kinds) -> Fraction:
        ratio = Fraction(1)
        for kind in drivers:
            ratio *= self._teeth[kind]
        for kind in driven:
            ratio /= self._teeth[kind]
        return ratio

    def fits(self, train: _Train) -> bool:
        """Does some train of these wheels go on?  Idlers are owned, but for the one that is named."""
        chain, drivers, driven, idler = train
        for axes in trains_of(self._searcher.box, chain, drivers, driven):
            if idler is None and not self._owned_idlers(axes, drivers + driven):
                continue
            if idler is not None and axes[1] != (idler,):
                continue
            if axes not in self._fits:
                self.looked_at += 1
                self._fits[axes] = self._searcher.fits(axes)
            if self._fits[axes]:
                return True
        return False

    def _owned_idlers(self, axes: Axes, used: _Kinds) -> bool:
        return all(kind in used or self._teeth[kind] not in self._new for axis in axes for kind in axis)
