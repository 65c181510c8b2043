"""In which order to put set-ups on, and which of several equal trains each time, so that the fewest wheels are changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from benchleaf.kinematics.many import SetUp
from benchleaf.kinematics.trains import Axes

__all__ = ["MOST_PROVED", "cheapest_way"]

MOST_PROVED = 11  # groups for which every order is gone through
_ROUNDS = 6

Apart = Callable[[Axes, Axes], int]


def cheapest_way(variants: Sequence[Sequence[SetUp]], apart: Apart) -> tuple[list[tuple[int, SetUp]], bool]:
    """Order the groups, each with trains to choose from; ``apart`` counts the wheels changed between two trains.

    Returns (group, train) in order, and whether no order is cheaper when every group keeps the train that it was given.  The start is what
    is mounted, to which ``SetUp.changes`` counts.
    """
    if not variants:
        return [], True
    table = _Costs(variants, apart)
    number = len(variants)
    picked: list[int] | None = None
    best: tuple[int, list[int], list[int]] | None = None
    for _ in range(_ROUNDS):
        order = _held_karp(table, picked, number) if number <= MOST_PROVED else _two_opt(table, picked, number)
        picked, cost = _choose(table, order, variants)
        if best is not None and cost >= best[0]:
            break
        best = cost, order, picked
    assert best is not None
    _, order, picked = best
    return [(group, variants[group][picked[group]]) for group in order], number <= MOST_PROVED


class _Costs:
    """Wheels changed between trains, worked out when asked for."""

    def __init__(self, variants: Sequence[Sequence[SetUp]], apart: Apart) -> None:
        self._variants, self._apart = variants, apart
        self._known: dict[tuple[int, int, int, int], int] = {}
        self._least: dict[tuple[int, int], int] = {}

    def between(self, a: int, i: int, b: int, j: int) -> int:
        """From train ``i`` of group ``a`` to train ``j`` of group ``b``."""
        key = (a, i, b, j)
        if key not in self._known:
            self._known[key] = self._known[b, j, a, i] = self._apart(self._variants[a][i].axes, self._variants[b][j].axes)
        return self._known[key]

    def step(self, a: int, b: int, picked: Sequence[int] | None) -> int:
        """From group ``a`` to group ``b``, with the trains picked or else the two that are nearest to each other."""
        if picked is not None:
            return self.between(a, picked[a], b, picked[b])
        key = (min(a, b), max(a, b))
        if key not in self._least:
            pairs = ((i, j) for i in range(len(self._variants[a])) for j in range(len(self._variants[b])))
            self._least[key] = min(self.between(a, i, b, j) for i, j in pairs)
        return self._least[key]

    def first(self, a: int, picked: Sequence[int] | None) -> int:
        """From what is mounted to group ``a``."""
        return self._variants[a][picked[a]].changes if picked is not None else min(item.changes for item in self._variants[a])


def _held_karp(table: _Costs, picked: Sequence[int] | None, number: int) -> list[int]:
    """The cheapest order of all, by going through sets of groups."""
    ends: dict[tuple[int, int], tuple[int, int]] = {(1 << a, a): (table.first(a, picked), -1) for a in range(number)}
    steps = [[table.step(a, b, picked) if a != b else 0 for b in range(number)] for a in range(number)]
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


def _two_opt(table: _Costs, picked: Sequence[int] | None, number: int) -> list[int]:
    """A short order: always to the nearest, then stretches turned round while that helps."""
    order = [min(range(number), key=lambda a: (table.first(a, picked), a))]
    left = set(range(number)) - set(order)
    while left:
        order.append(min(left, key=lambda b: (table.step(order[-1], b, picked), b)))
        left.remove(order[-1])

    def cost(a: int, b: int) -> int:
        return table.first(b, picked) if a < 0 else table.step(a, b, picked)

    better = True
    while better:
        better = False
        for start in range(number - 1):
            for end in range(start + 1, number):
                before = order[start - 1] if start else -1
                old, new = cost(before, order[start]), cost(before, order[end])
                if end + 1 < number:
                    old += table.step(order[end], order[end + 1], picked)
                    new += table.step(order[start], order[end + 1], picked)
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
