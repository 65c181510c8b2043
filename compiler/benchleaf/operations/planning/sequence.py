"""The order of some set-ups, and of each which of its trains, that moves the fewest wheels: every order and every train is gone through."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from benchleaf.kinematics.many import SetUp, wheels_in_place

__all__ = ["LONGEST_PROVED", "Steps", "best_order"]

LONGEST_PROVED = 11  # set-ups of which every order is gone through
_Ints = NDArray[np.int64]


class Steps:
    """Wheels moved (off plus on) between trains of groups, worked out when asked for."""

    def __init__(self, variants: Sequence[Sequence[SetUp]]) -> None:
        self.first: list[_Ints] = [np.array([item.changes for item in group], dtype=np.int64) for group in variants]
        self._spots = [[wheels_in_place(item.axes) for item in group] for group in variants]
        self._rows: list[_Ints | None] = [None] * len(variants)
        self._number: dict[tuple[int, int, int], int] = {}
        for group in self._spots:
            for spots in group:
                for spot in spots:
                    self._number.setdefault(spot, len(self._number))
        self._known: dict[tuple[int, int], _Ints] = {}
        self._least: dict[tuple[int, int], int] = {}

    def between(self, one: int, other: int) -> _Ints:
        """A row for each train of the one, a column for each of the other."""
        known = self._known.get((one, other))
        if known is None:
            a, b = self._row(one), self._row(other)
            sizes = a.sum(axis=1)[:, None] + b.sum(axis=1)[None, :]
            known = self._known[one, other] = sizes - 2 * (a @ b.T)
            self._known[other, one] = known.T
        return known

    def least(self, one: int, other: int) -> int:
        """The fewest between any train of the one and any of the other."""
        key = (one, other) if one < other else (other, one)
        if key not in self._least:
            self._least[key] = int(self.between(*key).min())
        return self._least[key]

    def floor(self, groups: Sequence[int]) -> int:
        """No order of these moves fewer: an order joins them all to what is mounted, and the shortest tree that does is no longer."""
        left = {group: int(self.first[group].min()) for group in groups}
        total = 0
        while left:
            near = min(left, key=lambda group: (left[group], group))
            total += left.pop(near)
            for group in left:
                left[group] = min(left[group], self.least(near, group))
        return total

    def _row(self, group: int) -> _Ints:
        row = self._rows[group]
        if row is None:
            row = np.zeros((len(self._spots[group]), len(self._number)), dtype=np.int64)
            for at, spots in enumerate(self._spots[group]):
                row[at, [self._number[spot] for spot in spots]] = 1
            self._rows[group] = row
        return row


def best_order(steps: Steps, groups: Sequence[int]) -> tuple[int, list[tuple[int, int]]]:
    """The fewest wheels moved, and (group, train) in order, begun with what is mounted.  For at most :data:`LONGEST_PROVED` groups."""
    number = len(groups)
    if not number:
        return 0, []
    ends: dict[tuple[int, int], _Ints] = {(1 << a, a): steps.first[group] for a, group in enumerate(groups)}
    for done in range(1, 1 << number):
        for a in range(number):
            here = ends.get((done, a))
            if here is None:
                continue
            for b in range(number):
                if done >> b & 1:
                    continue
                there = (here[:, None] + steps.between(groups[a], groups[b])).min(axis=0)
                key = (done | 1 << b, b)
                known = ends.get(key)
                ends[key] = there if known is None else np.minimum(known, there)
    done = (1 << number) - 1
    last = min(range(number), key=lambda a: (int(ends[done, a].min()), a))
    train = int(ends[done, last].argmin())
    total = int(ends[done, last][train])
    order = [(groups[last], train)]
    left = total
    while done != 1 << last:
        before = done & ~(1 << last)
        for a in range(number):
            if not before >> a & 1:
                continue
            costs = ends[before, a] + steps.between(groups[a], groups[last])[:, train]
            if int(costs.min()) == left:
                at = int(costs.argmin())
                done, last, train, left = before, a, at, int(ends[before, a][at])
                order.append((groups[last], train))
                break
    return total, order[::-1]
