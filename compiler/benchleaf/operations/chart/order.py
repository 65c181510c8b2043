"""In which order to put set-ups on, and which of several equal trains each time, so that the fewest wheels are changed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from benchleaf.kinematics.many import SetUp, wheels_in_place

__all__ = ["MOST_PROVED", "cheapest_way"]

MOST_PROVED = 11  # groups for which every order is gone through
_ROUNDS = 6

Steps = Sequence[Sequence[int]]
"""Wheels changed from one group to another, by number."""


def cheapest_way(variants: Sequence[Sequence[SetUp]]) -> tuple[list[tuple[int, SetUp]], bool]:
    """Order the groups, each with trains to choose from.

    Returns (group, train) in order, and whether no order is cheaper when every group keeps the train that it was given.  The start is what
    is mounted, to which ``SetUp.changes`` counts.
    """
    if not variants:
        return [], True
    table = _Costs(variants)
    number = len(variants)
    picked: list[int] | None = None
    best: tuple[int, list[int], list[int]] | None = None
    for _ in range(_ROUNDS):
        first, steps = table.first(picked), table.steps(picked)
        order = _held_karp(first, steps) if number <= MOST_PROVED else _two_opt(first, steps)
        picked, cost = _choose(table, order, variants)
        if best is not None and cost >= best[0]:
            break
        best = cost, order, picked
    assert best is not None
    _, order, picked = best
    return [(group, variants[group][picked[group]]) for group in order], number <= MOST_PROVED


class _Costs:
    """Wheels changed between the trains of different groups."""

    def __init__(self, variants: Sequence[Sequence[SetUp]]) -> None:
        self._changes = [[item.changes for item in group] for group in variants]
        self._spots = [[wheels_in_place(item.axes) for item in group] for group in variants]
        self._least: Steps | None = None

    def between(self, a: int, i: int, b: int, j: int) -> int:
        """From train ``i`` of group ``a`` to train ``j`` of group ``b``."""
        one, other = self._spots[a][i], self._spots[b][j]
        return len(one) + len(other) - 2 * len(one & other)

    def steps(self, picked: Sequence[int] | None) -> Steps:
        """From group to group, with the trains picked or else the two that are nearest to each other."""
        if picked is not None:
            spots = [of_group[at] for of_group, at in zip(self._spots, picked, strict=True)]
            return [[len(one) + len(other) - 2 * len(one & other) for other in spots] for one in spots]
        if self._least is None:
            number = len(self._spots)
            least = [[0] * number for _ in range(number)]
            for a, ones in enumerate(self._spots):
                for b, others in enumerate(self._spots[:a]):
                    least[a][b] = least[b][a] = min([len(one) + len(other) - 2 * len(one & other) for one in ones for other in others])
            self._least = least
        return self._least

    def first(self, picked: Sequence[int] | None) -> list[int]:
        """From what is mounted to each group."""
        return [changes[picked[a]] if picked is not None else min(changes) for a, changes in enumerate(self._changes)]


def _held_karp(first: Sequence[int], steps: Steps) -> list[int]:
    """The cheapest order of all, by going through sets of groups."""
    number = len(first)
    ends: dict[tuple[int, int], tuple[int, int]] = {(1 << a, a): (first[a], -1) for a in range(number)}
    for done in range(1, 1 << number):
        for a in range(number):
            here = ends.get((done, a))
            if here is None:
                continue
            for b in range(number):
                if done >> b & 1:
                    continue
                after = (done | 1 << b, b)
                cost = here[0] + steps[a][b]
                if after not in ends or cost < ends[after][0]:
                    ends[after] = cost, a
    done = (1 << number) - 1
    at = min(range(number), key=lambda a: (ends[done, a][0], a))
    order = []
    while at >= 0:
        order.append(at)
        before = ends[done, at][1]
        done &= ~(1 << at)
        at = before
    return order[::-1]


def _two_opt(first: Sequence[int], steps: Steps) -> list[int]:
    """A short order: always to the nearest, then stretches turned round while that helps."""
    number = len(first)
    order = [min(range(number), key=lambda a: (first[a], a))]
    left = set(range(number)) - set(order)
    while left:
        row = steps[order[-1]]
        order.append(min(left, key=lambda b: (row[b], b)))
        left.remove(order[-1])
    better = True
    while better:
        better = False
        for start in range(number - 1):
            before = steps[order[start - 1]] if start else first
            for end in range(start + 1, number):
                one, last = order[start], order[end]
                old, new = before[one], before[last]
                if end + 1 < number:
                    after = order[end + 1]
                    old += steps[last][after]
                    new += steps[one][after]
                if new < old:
                    order[start : end + 1] = order[start : end + 1][::-1]
                    better = True
    return order


def _choose(table: _Costs, order: Sequence[int], variants: Sequence[Sequence[SetUp]]) -> tuple[list[int], int]:
    """For this order the cheapest train of every group, and the cost; of equal ones those of better merit."""
    costs = [set_up.changes for set_up in variants[order[0]]]
    back: list[list[int]] = []
    for a, b in pairwise(order):
        came: list[int] = []
        after: list[int] = []
        for j in range(len(variants[b])):
            i = min(range(len(variants[a])), key=lambda i: (costs[i] + table.between(a, i, b, j), i))
            came.append(i)
            after.append(costs[i] + table.between(a, i, b, j))
        back.append(came)
        costs = after
    at = min(range(len(costs)), key=lambda i: (costs[i], i))
    total = costs[at]
    picked = [0] * len(order)
    for place in range(len(order) - 1, -1, -1):
        picked[order[place]] = at
        if place:
            at = back[place - 1][at]
    return picked, total
