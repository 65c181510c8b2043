"""Which wheels to put up, in which order, for a list of threads: the candidates by kinematics, the choice by :mod:`.cover`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import count

from benchleaf.kinematics.many import ManyLeads, SetUp, TooManyRatiosError, Way
from benchleaf.kinematics.model import Problem, Train
from benchleaf.kinematics.search import search
from benchleaf.kinematics.swap import mounted_after, swap_list
from benchleaf.operations.chart.grouping import Group, Grouping, Target, grouped
from benchleaf.operations.planning.cover import Chosen, choose

__all__ = ["Plan", "can_cut", "plan"]

MOST_TRAINS = 200  # of one wheel ratio
_Ratio = tuple[Fraction, str | None]
_Ways = dict[Target, dict[_Ratio, Way]]


@dataclass(frozen=True, slots=True)
class Plan:
    """Set-ups in the order to put them up; ``least`` set-ups and ``least_moved`` wheels are what no plan can go below."""

    grouping: Grouping
    least: int
    least_moved: int

    @property
    def fewest_proved(self) -> bool:
        """No plan has fewer set-ups."""
        return len(self.grouping.groups) <= self.least

    @property
    def moved_proved(self) -> bool:
        """No plan with so few set-ups moves fewer wheels."""
        return self.fewest_proved and self.grouping.changes <= self.least_moved


def plan(problem: Problem, targets: Iterable[Target], limit: Fraction) -> Plan:
    """The fewest set-ups with which levers alone make every target within ``limit`` (a share), and of such plans that which moves the
    fewest wheels.  Each target goes to the set-up of the plan that errs least, then to that with the fewest lever moves.

    Raises ValueError for a lead that is not positive.
    """
    targets = tuple(dict.fromkeys(targets))
    try:
        machine = ManyLeads(problem, len(targets))
    except TooManyRatiosError:
        return Plan(grouped(problem, targets, limit), 0, 0)
    ways = _ways(machine, targets, limit)
    missing = {target: search(problem, target[0], hand=target[1], limit=limit, keep=1) for target in targets if not ways[target]}
    number, ratios = _numbered(ways)
    serves = {number[ratio]: frozenset(at for at, target in enumerate(targets) if ratio in ways[target]) for ratio in ratios}
    variants = {number[ratio]: machine.set_ups(*ratio, MOST_TRAINS) for ratio in ratios}
    whole = all(len(trains) < MOST_TRAINS for trains in variants.values())
    chosen = choose(serves, variants, whole=whole) if serves else Chosen((), 0, 0, 0)
    order = [(ratios[key], variants[key][train]) for key, train in chosen.order]
    grouping = Grouping(tuple(_groups(machine, problem, order, ways)), missing, chosen.moved_proved)
    if not chosen.moved_proved:
        charted = grouped(problem, targets, limit)
        if (len(charted.groups), charted.changes) < (len(grouping.groups), grouping.changes):
            grouping = Grouping(charted.groups, missing, proved=False)
    return Plan(grouping, chosen.least, chosen.least_moved)


def can_cut(problem: Problem, targets: Iterable[Target], limit: Fraction) -> frozenset[Target]:
    """The targets that some train which goes on makes within ``limit``."""
    targets = tuple(dict.fromkeys(targets))
    try:
        machine = ManyLeads(problem, len(targets))
    except TooManyRatiosError:
        return frozenset(t for t in targets if search(problem, t[0], hand=t[1], limit=limit, keep=1).best is not None)
    found = []
    for lead, hand in targets:
        asked = None if problem.tumbler else hand
        if any(machine.set_ups(way.ratio, asked) for way in machine.ways(lead, limit)):
            found.append((lead, hand))
    return frozenset(found)


def _ways(machine: ManyLeads, targets: Sequence[Target], limit: Fraction) -> _Ways:
    """For each target the wheel ratios that will do, with the lever setting that errs least."""
    found: _Ways = {}
    for target in targets:
        lead, hand = target
        asked = None if machine.problem.tumbler else hand  # with a tumbler any train cuts either hand
        ways: dict[_Ratio, Way] = {}
        for way in machine.ways(lead, limit):  # nearest first
            if (way.ratio, asked) not in ways and machine.set_ups(way.ratio, asked):
                ways[way.ratio, asked] = way
        found[target] = ways
    return found


def _numbered(ways: _Ways) -> tuple[Mapping[_Ratio, int], Sequence[_Ratio]]:
    ratios = sorted({ratio for of_target in ways.values() for ratio in of_target}, key=lambda ratio: (ratio[0], ratio[1] or ""))
    return dict(zip(ratios, count())), ratios


def _groups(machine: ManyLeads, problem: Problem, order: Sequence[tuple[_Ratio, SetUp]], ways: _Ways) -> Iterable[Group]:
    shares: dict[_Ratio, dict[Target, Train]] = {ratio: {} for ratio, _ in order}
    set_up = dict(order)
    for target, usable in ways.items():
        there = [ratio for ratio, _ in order if ratio in usable]
        if there:
            best = min(there, key=lambda ratio: (abs(usable[ratio].error), -usable[ratio].error, len(usable[ratio].drive.moves)))
            shares[best][target] = machine.train(set_up[best], usable[best].drive, target[0])
    mounted = problem.mounted
    for ratio, _ in order:
        train = next(iter(shares[ratio].values()))  # of the fewest set-ups none is idle
        yield Group(shares[ratio], swap_list(mounted, train))
        mounted = mounted_after(train, problem.headstock_lever)
