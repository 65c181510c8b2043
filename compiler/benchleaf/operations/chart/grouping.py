"""Which wheels a chart of threads needs, and in which order to put them up so that least is changed.

The rule, which the chart states: a train that cuts the lead exactly goes before any that does not; among those that do not, every train
within the limit will do when it keeps wheels on that another thread needs.  Of such choices the fewest set-ups are taken (greedily, and never
more than the best trains one by one would need); each thread then goes to the set-up that errs least.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heapify, heappop, heappush

from benchleaf.kinematics.many import ManyLeads, SetUp, Way
from benchleaf.operations.chart.order import cheapest_way

__all__ = ["Group", "Grouping", "Target", "grouped"]

Target = tuple[Fraction, str]
"""A lead (mm per turn) and a hand."""

_Key = tuple[Fraction, str]  # a wheel ratio and the hand it is to cut
_VARIANTS = 24  # trains of one wheel ratio among which the one nearest to the set-up before is chosen


@dataclass(frozen=True, slots=True)
class Group:
    """Wheels that stay on, and what is cut with them: target to the way it is cut.  ``changes``: wheels off plus on, from the set-up before."""

    set_up: SetUp
    cuts: Mapping[Target, Way]
    changes: int


@dataclass(frozen=True, slots=True)
class Grouping:
    """Groups in the order of the page, targets that nothing within the limit cuts, and whether the order is proved to be the cheapest
    for these groups."""

    groups: tuple[Group, ...]
    missing: tuple[Target, ...]
    proved: bool

    @property
    def changes(self) -> int:
        """Wheels off plus wheels on, down the page."""
        return sum(group.changes for group in self.groups)


def grouped(machine: ManyLeads, targets: Iterable[Target], limit: Fraction) -> Grouping:
    """Group the targets by wheels; ``limit`` is the largest |error| (a share)."""
    options = {target: _options(machine, target, limit) for target in dict.fromkeys(targets)}
    missing = tuple(target for target, ways in options.items() if not ways)
    wanted = {target: ways for target, ways in options.items() if ways}
    cover = _cover(machine, wanted)
    singly = {_single(machine, target, ways) for target, ways in wanted.items()}
    if len(singly) < len(cover):
        cover = sorted(singly)
    shares = _shared(wanted, _pruned(wanted, cover))
    keys = list(shares)
    variants = [machine.set_ups(ratio, hand, _VARIANTS) for ratio, hand in keys]
    ordering, proved = cheapest_way(variants, machine.changes)
    groups, before = [], None
    for number, set_up in ordering:
        changes = set_up.changes if before is None else machine.changes(before.axes, set_up.axes)
        groups.append(Group(set_up, shares[keys[number]], changes))
        before = set_up
    return Grouping(tuple(groups), missing, proved)


def _options(machine: ManyLeads, target: Target, limit: Fraction) -> dict[_Key, Way]:
    """The wheel ratios that will do for a target, the best way with each; exact ones only, where one of them goes on."""
    lead, hand = target
    ways = machine.ways(lead, limit)
    exact: dict[_Key, Way] = {}
    for way in ways:
        if way.error == 0 and machine.set_ups(way.ratio, hand):
            exact.setdefault((way.ratio, hand), way)
    if exact:
        return exact
    found: dict[_Key, Way] = {}
    for way in ways:
        if machine.set_ups(way.ratio, hand):
            found.setdefault((way.ratio, hand), way)
    return found


def _merit(machine: ManyLeads, key: _Key, moves: int) -> tuple[int, ...]:
    """Merit of the best train of a ratio, in the order of the search: changes, lever moves, wheels, teeth."""
    changes, *rest = machine.set_ups(*key)[0].merit
    return (changes, moves, *rest)


def _single(machine: ManyLeads, target: Target, ways: Mapping[_Key, Way]) -> _Key:
    """What the search for this one lead would take."""
    return min(ways, key=lambda key: (abs(ways[key].error), -ways[key].error, _merit(machine, key, len(ways[key].drive.moves))))


def _cover(machine: ManyLeads, wanted: Mapping[Target, Mapping[_Key, Way]]) -> list[_Key]:
    """Ratios that serve every target, taken greedily: most targets, then smallest errors, then least to change and move."""
    serves: dict[_Key, dict[Target, Way]] = {}
    for target, ways in wanted.items():
        for key, way in ways.items():
            serves.setdefault(key, {})[target] = way
    left = set(wanted)

    def rank(key: _Key) -> tuple[int, Fraction, tuple[int, ...], _Key]:
        ways = [way for target, way in serves[key].items() if target in left]
        moves = sum(len(way.drive.moves) for way in ways)
        return -len(ways), sum((abs(way.error) for way in ways), Fraction(0)), _merit(machine, key, moves), key

    queue = [rank(key) for key in serves]
    heapify(queue)
    chosen: list[_Key] = []
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


def _pruned(wanted: Mapping[Target, Mapping[_Key, Way]], cover: Sequence[_Key]) -> list[_Key]:
    """The ratios without those that the others make needless, the last taken first."""
    kept = list(cover)
    for key in reversed(cover):
        others = set(kept) - {key}
        if all(others & set(ways) for ways in wanted.values()):
            kept.remove(key)
    return kept


def _shared(wanted: Mapping[Target, Mapping[_Key, Way]], keys: Sequence[_Key]) -> dict[_Key, dict[Target, Way]]:
    """Each target to the ratio that errs least for it; of equal ones to that with the fewest lever moves, then the first taken."""
    shares: dict[_Key, dict[Target, Way]] = {}
    for target, ways in wanted.items():
        usable = [key for key in keys if key in ways]
        best = min(usable, key=lambda key: (abs(ways[key].error), -ways[key].error, len(ways[key].drive.moves)))
        shares.setdefault(best, {})[target] = ways[best]
    return {key: shares[key] for key in keys if key in shares}
