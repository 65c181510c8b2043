"""Which one, two or three wheels to add so that most of the threads that are not cut come within the limit, the cheapest first.

Every tooth count is tried alone and, of two, every pair in one train; which of them to get is then integer programming: a thread is mended
when one of the wheels that mend it alone, or both of a pair that does, are got.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from benchleaf.kinematics.choosing import Condition, minimise
from benchleaf.kinematics.extra_wheel import USUAL_WHEELS
from benchleaf.kinematics.model import Problem, Wheel
from benchleaf.kinematics.new_pairs import fitting_pairs
from benchleaf.operations.chart.grouping import Target
from benchleaf.operations.planning.plan import can_cut

__all__ = ["Choice", "candidates", "choices", "with_wheels"]

METRIC_WHEEL = 127
WORK = 120_000  # trains of two new wheels put up; then what was found so far is taken
_Set = frozenset[int]


@dataclass(frozen=True, slots=True)
class Choice:
    """Wheels to add (tooth counts) out of at most ``most``; ``metric_wheel`` says whether a 127 was called for, barred or neither (None).

    ``mended`` are the targets that come within the limit, ``cost`` the sum of the prices (of the teeth where there are none).  ``proved``:
    no such choice mends more, and none that mends as many costs less.
    """

    most: int
    metric_wheel: bool | None
    wheels: tuple[int, ...]
    mended: frozenset[Target]
    cost: int
    proved: bool


def candidates(problem: Problem, prices: Mapping[int, int]) -> tuple[int, ...]:
    """Tooth counts that may be got: those with a price, or where none is given, those that are usual and that the machine has room for."""
    if prices:
        return tuple(sorted(prices))
    wheel = _like(problem, 1)
    largest = problem.banjo.largest if problem.banjo is not None else None
    room = [teeth for teeth in USUAL_WHEELS if largest is None or replace(wheel, teeth=teeth).tip_diameter <= largest]
    return tuple(room)


def with_wheels(problem: Problem, teeth: Sequence[int]) -> Problem:
    """The machine with one more wheel of each of these tooth counts, of the tooth size that most wheels of the box have."""
    return replace(problem, wheels=(*problem.wheels, *(_like(problem, number) for number in teeth)))


def choices(problem: Problem, missing: Sequence[Target], limit: Fraction, most: int, prices: Mapping[int, int]) -> tuple[Choice, ...]:
    """For up to one, two ... ``most`` wheels the choice that mends most of ``missing`` at the least cost; where no 127 is owned also with
    it and without it."""
    if not missing or not problem.wheels:
        return ()
    teeth = candidates(problem, prices)
    bare = replace(problem, mounted=None)
    alone = {number: can_cut(with_wheels(bare, (number,)), missing, limit) for number in teeth}
    pairs: dict[_Set, set[Target]] = {}
    complete = True
    if most > 1:
        owned = {wheel.teeth for wheel in problem.wheels}
        fresh = [number for number in teeth if number not in owned]
        done = {target: [number for number in teeth if target in alone[number]] for target in missing}
        cost = {number: prices.get(number, number) for number in teeth}
        pairs, complete = fitting_pairs(bare, _like(problem, 1), fresh, done, limit, cost, WORK)
    usual = METRIC_WHEEL in teeth and all(wheel.teeth != METRIC_WHEEL for wheel in problem.wheels)
    found = []
    for number in range(1, most + 1):
        for metric in (True, False) if usual else (None,):
            choice = _chosen(missing, alone, pairs if number > 1 else {}, prices, number, metric)
            if choice is not None:
                found.append(choice if complete or number == 1 else replace(choice, proved=False))
    return tuple(found)


def _like(problem: Problem, teeth: int) -> Wheel:
    """A wheel of the tooth size that most wheels of the box have."""
    sizes = [(wheel.module, wheel.pressure_angle) for wheel in problem.wheels]
    module, angle = max(sizes, key=sizes.count)
    return Wheel(teeth, module, angle)


def _chosen(
    missing: Sequence[Target],
    alone: Mapping[int, frozenset[Target]],
    pairs: Mapping[_Set, set[Target]],
    prices: Mapping[int, int],
    most: int,
    metric: bool | None,
) -> Choice | None:
    teeth = [number for number in alone if metric is not False or number != METRIC_WHEEL]
    both = [pair for pair in pairs if pair <= set(teeth)]
    price = [prices.get(number, number) for number in teeth]
    penalty = sum(price) + 1
    at = {number: place for place, number in enumerate(teeth)}
    costs = [*price, *([0] * len(both)), *([penalty] * len(missing))]
    conditions = [Condition(dict.fromkeys(range(len(teeth)), 1), most=most)]
    conditions += _needs_both(both, at, len(teeth))
    for number, target in enumerate(missing):
        ways = {at[wheel]: 1 for wheel in teeth if target in alone[wheel]}
        ways |= {len(teeth) + place: 1 for place, pair in enumerate(both) if target in pairs[pair]}
        conditions.append(Condition({**ways, len(teeth) + len(both) + number: 1}, least=1))
    if metric:
        conditions.append(Condition({at[METRIC_WHEEL]: 1}, least=1))
    try:
        solution = minimise(costs, conditions)
    except TimeoutError:
        return None
    assert solution is not None, "nothing mended is always possible"
    wheels = tuple(number for number in teeth if at[number] in solution.chosen)
    mended = {target for wheel in wheels for target in alone[wheel]} | {t for pair in both if pair <= set(wheels) for t in pairs[pair]}
    cost = sum(prices.get(number, number) for number in wheels)
    return Choice(most, metric, wheels, frozenset(mended), cost, solution.proved)


def _needs_both(pairs: Sequence[_Set], at: Mapping[int, int], offset: int) -> Iterator[Condition]:
    for place, pair in enumerate(pairs):
        for wheel in pair:
            yield Condition({offset + place: 1, at[wheel]: -1}, most=0)
