"""The order of some set-ups, and of each which of its trains, that moves the fewest wheels: every order and every train is gone through."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from benchleaf.kinematics.many import SetUp, wheels_in_place

__all__ = ["LONGEST_PROVED", "Steps", "best_order"]

LONGEST_PROVED = 11  # set-ups of which every order is gone through
FAR = 10**9  # wheels moved: more than any order takes
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


def best_order(steps: Steps, groups: Sequence[int], below: int = FAR) -> tuple[int, list[tuple[int, int]]]:
    """The fewest wheels moved, and (group, train) in order, begun with what is mounted.  For at most :data:`LONGEST_PROVED` groups.

    Where every order moves ``below`` or more, that number and no order.
    """
    number = len(groups)
    if not number:
        return 0, []
    sizes = [len(steps.first[group]) for group in groups]
    starts = np.cumsum([0, *sizes])
    trains = [slice(starts[a], starts[a + 1]) for a in range(number)]
    ways = np.block([[steps.between(one, other) for other in groups] for one in groups])
    # One row for each set of groups that are done: wheels moved until a train stands that is the last of them.
    ends = np.full((1 << number, starts[-1]), FAR, dtype=np.int64)
    for a, group in enumerate(groups):
        ends[1 << a, trains[a]] = steps.first[group]
    for done in range(1, (1 << number) - 1):
        here = np.flatnonzero(ends[done] < below)
        if not here.size:
            continue
        there = (ends[done, here][:, None] + ways[here]).min(axis=0)
        for b in range(number):
            if not done >> b & 1:
                after = ends[done | 1 << b, trains[b]]
                np.minimum(after, there[trains[b]], out=after)
    done = (1 << number) - 1
    last = min(range(number), key=lambda a: (int(ends[done, trains[a]].min()), a))
    train = int(ends[done, trains[last]].argmin())
    total = left = int(ends[done, trains[last]][train])
    if total >= below:
        return below, []
    order = [(groups[last], train)]
    while done != 1 << last:
        done &= ~(1 << last)
        column = ends[done] + ways[:, starts[last] + train]
        last = next(a for a in range(number) if done >> a & 1 and int(column[trains[a]].min()) == left)
        train = int(column[trains[last]].argmin())
        left = int(ends[done, trains[last]][train])
        order.append((groups[last], train))
    return total, order[::-1]
