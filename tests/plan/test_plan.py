"""Plans against greedy ones, against going through everything, and checked from the wheels alone."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, permutations, product
from random import Random
from time import perf_counter

import pytest
from plan.plainly import Axes, Target, axes_of, check, covering, greedily, mounted_axes, moved, random_machine, random_targets

from benchleaf.kinematics.choosing import Condition, minimise
from benchleaf.kinematics.model import Problem
from benchleaf.operations.chart import named_set
from benchleaf.operations.planning.plan import plan
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.resources import data_folder
from benchleaf.workshop.charts import load_charts

LIMIT = Fraction(200, 10**6)


@pytest.mark.parametrize("lot", range(10))
def test_a_plan_is_never_worse_than_a_greedy_one(lot: int) -> None:
    """200 random machines and lists: never more set-ups; with as many never more wheels moved; everything said recomputed."""
    better = 0
    for number in range(20):
        random = Random(lot * 100 + number)
        problem = random_machine(random, random.randint(5, 6), banjo=number % 4 == 0)
        targets = random_targets(random, problem, random.randint(3, 10))
        found = plan(problem, targets, LIMIT)
        total = check(problem, targets, found)
        trains = covering(problem, targets)
        assert frozenset().union(*trains.values()) == set(targets) - set(found.grouping.missing)
        mine, greedy = (len(found.grouping.groups), total), greedily(problem, trains)
        assert mine <= greedy, (lot, number)
        assert found.fewest_proved, (lot, number)
        better += mine < greedy
    assert better, "greedy is beaten somewhere in every lot"


def by_going_through_everything(problem: Problem, trains: dict[Axes, frozenset[Target]]) -> tuple[int, int]:
    wanted = frozenset().union(*trains.values())
    by_cut: dict[frozenset[Target], list[Axes]] = {}
    for axes, cut in trains.items():
        by_cut.setdefault(cut, []).append(axes)
    for size in range(1, len(wanted) + 1):
        best = None
        for cuts in combinations(by_cut, size):
            if frozenset().union(*cuts) != wanted:
                continue
            for order in permutations(cuts):
                # Trains in turn: the least to come to each train of the next set-up.
                costs = {axes: moved(mounted_axes(problem), axes) for axes in by_cut[order[0]]}
                for cut in order[1:]:
                    costs = {b: min(cost + moved(a, b) for a, cost in costs.items()) for b in by_cut[cut]}
                least = min(costs.values())
                best = least if best is None else min(best, least)
        if best is not None:
            return size, best
    return 0, 0


def test_small_plans_are_the_best_of_all() -> None:
    proved = 0
    for seed in range(40):
        random = Random(seed + 5000)
        problem = random_machine(random, 4, banjo=seed % 3 == 0)
        targets = random_targets(random, problem, 4)
        found = plan(problem, targets, LIMIT)
        total = check(problem, targets, found)
        trains = covering(problem, targets)
        best = by_going_through_everything(problem, trains) if trains else (0, 0)
        assert (len(found.grouping.groups), total) == best, seed
        assert best[1] >= found.least_moved
        proved += found.moved_proved
    assert proved == 40


@pytest.fixture(scope="module")
def demo() -> dict[str, Problem]:
    profiles = data_folder("profiles")
    loaded = load_charts(profiles / "osier-lane", [], profiles)
    return {machine.path.stem: problem_of(machine.inputs) for machine in loaded.machines if machine.inputs is not None}


@pytest.mark.parametrize(("sets", "moves_too"), [(("metric coarse",), True), (("UNC",), True), (("metric coarse", "UNC", "BSW", "BA"), False)])
def test_a_workshop_is_proved_in_seconds(demo: dict[str, Problem], sets: tuple[str, ...], moves_too: bool) -> None:
    targets = [wish.target for name in sets for wish in named_set(name)]
    for name, problem in demo.items():
        began = perf_counter()
        found = plan(problem, targets, LIMIT)
        assert perf_counter() - began < 20
        assert found.fewest_proved
        assert found.grouping.changes >= found.least_moved
        if moves_too and name == "long-lathe":
            assert found.moved_proved
        again = plan(problem, targets, LIMIT)
        assert [axes_of(group.train) for group in again.grouping.groups] == [axes_of(group.train) for group in found.grouping.groups]


def test_the_solver_is_right_on_choices_that_can_be_gone_through() -> None:
    for seed in range(60):
        random = Random(seed)
        number = random.randint(3, 9)
        costs = [random.randint(0, 9) for _ in range(number)]
        conditions = [
            Condition({at: random.choice((-1, 1, 2)) for at in random.sample(range(number), 3)}, random.choice((None, 0, 1)), random.choice((None, 2)))
            for _ in range(random.randint(1, 5))
        ]
        best = None
        for picks in product((0, 1), repeat=number):
            sums = [(sum(weight * picks[at] for at, weight in c.weights.items()), c) for c in conditions]
            if all((c.least is None or total >= c.least) and (c.most is None or total <= c.most) for total, c in sums):
                cost = sum(cost for cost, pick in zip(costs, picks, strict=True) if pick)
                best = cost if best is None else min(best, cost)
        found = minimise(costs, conditions)
        assert (None if found is None else (found.cost, found.proved)) == (None if best is None else (best, True)), seed
