"""Which wheels a chart of threads needs, and in which order to put them up so that least is changed.

The rule, which the chart states: a train that cuts the lead exactly goes before any that does not; among those that do not, every train
within the limit will do when it keeps wheels on that another thread needs.  Covers of the threads are taken greedily, once from nothing and
once from what is mounted; that which changes the fewest wheels is kept, as long as it has no more set-ups than the best trains one by
one would have.  Each thread then goes to the set-up that errs least.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from heapq import heapify, heappop, heappush
from itertools import pairwise
from typing import TypeVar

from benchleaf.kinematics.many import ManyLeads, SetUp, TooManyRatiosError, Way, wheels_changed
from benchleaf.kinematics.model import Change, Problem, SearchResult, Train
from benchleaf.kinematics.search import search
from benchleaf.kinematics.swap import mounted_after, swap_list
from benchleaf.kinematics.trains import Chain
from benchleaf.operations.chart.order import cheapest_way

__all__ = ["Group", "Grouping", "Target", "grouped"]

Target = tuple[Fraction, str]
"""A lead (mm per turn) and a hand."""

Value = TypeVar("Value")
_Ratio = tuple[Fraction, str]  # a wheel ratio and the hand it is to cut
_Ways = Mapping[int, Mapping[int, Way]]  # by target and ratio, both by number
_Shares = dict[int, dict[int, Way]]  # by ratio and target
_VARIANTS = 240  # trains in all among which those nearest to the set-up before are chosen, shared by the wheel ratios


@dataclass(frozen=True, slots=True)
class Group:
    """Wheels that stay on: the train of every target that is cut with them, and the wheels to change from the set-up before."""

    trains: Mapping[Target, Train]
    changes: tuple[Change, ...]

    @property
    def train(self) -> Train:
        """One of the trains: all have the same wheels."""
        return next(iter(self.trains.values()))


@dataclass(frozen=True, slots=True)
class Grouping:
    """Groups in the order of the page, what the search says of targets that nothing within the limit cuts, and whether every order of
    these groups was gone through."""

    groups: tuple[Group, ...]
    missing: Mapping[Target, SearchResult]
    proved: bool

    @property
    def changes(self) -> int:
        """Wheels off plus wheels on, down the page."""
        return sum(len(group.changes) for group in self.groups)


def grouped(problem: Problem, targets: Iterable[Target], limit: Fraction) -> Grouping:
    """Group the targets by wheels; ``limit`` is the largest |error| (a share).  Raises ValueError for a lead that is not positive."""
    targets = tuple(dict.fromkeys(targets))
    if not problem.tumbler:
        return _grouped(problem, targets, limit)
    names: dict[Target, list[Target]] = {}  # with a tumbler any train cuts either hand
    for target in targets:
        names.setdefault((target[0], "right"), []).append(target)
    found = _grouped(problem, tuple(names), limit)
    groups = tuple(replace(group, trains=_under(names, group.trains)) for group in found.groups)
    return replace(found, groups=groups, missing=_under(names, found.missing))


def _under(names: Mapping[Target, Sequence[Target]], values: Mapping[Target, Value]) -> dict[Target, Value]:
    return {name: value for known, value in values.items() for name in names[known]}


def _grouped(problem: Problem, targets: Sequence[Target], limit: Fraction) -> Grouping:
    try:
        machine = ManyLeads(problem, len(targets))
    except TooManyRatiosError:
        return _one_by_one(problem, targets, limit)
    options = {target: _options(machine, target, limit) for target in targets}
    missing = {target: _alone(problem, target, limit) for target, ways in options.items() if not ways}
    ratios = _Ratios(machine, targets, options)
    wanted = ratios.wanted
    singly = dict.fromkeys(_single(ratios, ways) for ways in wanted.values())
    covers = [_cover(ratios, ()), list(singly)]
    mounted = [key for key in dict.fromkeys(key for ways in wanted.values() for key in ways) if ratios.best(key).changes == 0]
    if problem.mounted is not None and mounted:
        covers.append(_cover(ratios, mounted))
    plans = [_planned(ratios, cover) for cover in {frozenset(cover): cover for cover in covers}.values()]
    ordering, shares, proved = min((plan for plan in plans if len(plan[0]) <= len(singly)), key=lambda plan: (_cost(plan[0]), len(plan[0])))
    trains = [
        {targets[at]: machine.train(set_up, way.drive, targets[at][0]) for at, way in shares[key].items()} for key, set_up in ordering
    ]
    return Grouping(tuple(_in_turn(problem, trains)), missing, proved)


class _Ratios:
    """The wheel ratios that will do, by number in order of their size; ``wanted``: by number of the target those that will do for it."""

    def __init__(self, machine: ManyLeads, targets: Sequence[Target], options: Mapping[Target, Mapping[_Ratio, Way]]) -> None:
        self._machine = machine
        self._ratios = sorted({ratio for ways in options.values() for ratio in ways}, key=lambda item: (float(item[0]), item))
        number = {ratio: at for at, ratio in enumerate(self._ratios)}
        usable = ((at, options[target]) for at, target in enumerate(targets) if options[target])
        self.wanted = {at: {number[ratio]: way for ratio, way in ways.items()} for at, ways in usable}
        self._best = [machine.set_ups(*ratio)[0] for ratio in self._ratios]

    def best(self, key: int) -> SetUp:
        """The best train of a ratio."""
        return self._best[key]

    def trains(self, key: int, most: int) -> list[SetUp]:
        """Trains of a ratio, the best first."""
        ratio, hand = self._ratios[key]
        return self._machine.set_ups(ratio, hand, most)

    def merit(self, key: int, moves: int) -> tuple[int, ...]:
        """Merit of the best train of a ratio, in the order of the search: changes, lever moves, wheels, teeth."""
        changes, *rest = self._best[key].merit
        return (changes, moves, *rest)


def _planned(ratios: _Ratios, cover: Sequence[int]) -> tuple[list[tuple[int, SetUp]], _Shares, bool]:
    shares = _shared(ratios.wanted, _pruned(ratios.wanted, cover))
    keys = list(shares)
    each = min(max(_VARIANTS // max(len(keys), 1), 4), 24)
    ordering, proved = cheapest_way([ratios.trains(key, each) for key in keys])
    return [(keys[number], set_up) for number, set_up in ordering], shares, proved


def _cost(ordering: Sequence[tuple[int, SetUp]]) -> int:
    set_ups = [set_up for _, set_up in ordering]
    first = set_ups[0].changes if set_ups else 0
    return first + sum(wheels_changed(one.axes, other.axes) for one, other in pairwise(set_ups))


def _in_turn(problem: Problem, groups: Iterable[Mapping[Target, Train]]) -> Iterable[Group]:
    """The groups with what is changed from one to the next."""
    mounted = problem.mounted
    for trains in groups:
        train = next(iter(trains.values()))
        yield Group(trains, swap_list(mounted, train))
        mounted = mounted_after(train, problem.headstock_lever)


def _alone(problem: Problem, target: Target, limit: Fraction) -> SearchResult:
    return search(problem, target[0], hand=target[1], limit=limit, keep=1)


def _one_by_one(problem: Problem, targets: Sequence[Target], limit: Fraction) -> Grouping:
    """Without a list of all ratios: the best train of each, those with the same wheels together."""
    results = {target: _alone(problem, target, limit) for target in targets}
    groups: dict[tuple[tuple[int, ...], ...], dict[Target, Train]] = {}
    for target, result in results.items():
        if result.best is not None:
            groups.setdefault(tuple(tuple(item.wheel.teeth for item in axis) for axis in result.best.axes), {})[target] = result.best
    variants = []
    for axes, trains in groups.items():
        train = next(iter(trains.values()))
        chain = Chain(train.arrangement, tuple(len(axis) > 1 for axis in axes[1:-1]))
        variants.append([SetUp((len(train.changes), *train.teeth), axes, chain)])
    ordering, proved = cheapest_way(variants)
    in_order = [list(groups.values())[number] for number, _ in ordering]
    missing = {target: result for target, result in results.items() if result.best is None}
    return Grouping(tuple(_in_turn(problem, in_order)), missing, proved)


def _options(machine: ManyLeads, target: Target, limit: Fraction) -> dict[_Ratio, Way]:
    """The wheel ratios that will do for a target, the best way with each; exact ones only, where one of them goes on."""
    lead, hand = target
    found: dict[_Ratio, Way] = {}
    exact = False
    for way in machine.ways(lead, limit):  # nearest first
        if exact and way.error:
            break
        if (way.ratio, hand) not in found and machine.set_ups(way.ratio, hand):
            found[way.ratio, hand] = way
            exact = exact or not way.error
    return found


def _single(ratios: _Ratios, ways: Mapping[int, Way]) -> int:
    """What the search for this one lead would take."""
    nearest = next(iter(ways.values())).error
    level = [key for key, way in ways.items() if way.error == nearest]
    return min(level, key=lambda key: ratios.merit(key, len(ways[key].drive.moves)))


def _cover(ratios: _Ratios, given: Sequence[int]) -> list[int]:
    """Ratios that serve every target, taken greedily: most targets, then smallest errors, then least to change and move."""
    serves: dict[int, dict[int, Way]] = {}
    for target, ways in ratios.wanted.items():
        for key, way in ways.items():
            serves.setdefault(key, {})[target] = way
    chosen = list(given)
    left = set(ratios.wanted) - {target for key in given for target in serves[key]}

    def rank(key: int) -> tuple[int, Fraction | int, tuple[int, ...], int]:
        ways = [way for target, way in serves[key].items() if target in left]
        moves = sum([len(way.drive.moves) for way in ways])
        return -len(ways), sum([abs(way.error) for way in ways if way.error]), ratios.merit(key, moves), key

    queue = [rank(key) for key in serves]
    heapify(queue)
    while left:
        known = heappop(queue)
        key = known[-1]
        now = rank(key)
        if now != known:  # some of its targets are served by now: it can only have sunk
            if now[0]:
                heappush(queue, now)
            continue
        chosen.append(key)
        left -= set(serves[key])
    return chosen


def _pruned(wanted: _Ways, cover: Sequence[int]) -> list[int]:
    """The ratios without those that the others make needless, the last taken first."""
    kept = set(cover)
    serving = {target: sum(key in kept for key in ways) for target, ways in wanted.items()}
    served = {key: [target for target, ways in wanted.items() if key in ways] for key in kept}
    for key in reversed(cover):
        if key in kept and all(serving[target] > 1 for target in served[key]):
            kept.remove(key)
            for target in served[key]:
                serving[target] -= 1
    return [key for key in cover if key in kept]


def _shared(wanted: _Ways, keys: Sequence[int]) -> _Shares:
    """Each target to the ratio that errs least for it; of equal ones to that with the fewest lever moves, then the first taken."""
    shares: _Shares = {}
    for target, ways in wanted.items():
        usable = [key for key in keys if key in ways]
        best = min(usable, key=lambda key: (abs(ways[key].error), -ways[key].error, len(ways[key].drive.moves)))
        shares.setdefault(best, {})[target] = ways[best]
    return {key: shares[key] for key in keys if key in shares}
