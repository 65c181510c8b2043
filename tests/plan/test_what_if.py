"""Wheels lost, levers stuck, and wheels to add: against trains worked out plainly and against every choice."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from random import Random

import pytest
from plan.plainly import LIMIT, Target, check, covering, random_machine, random_targets

from benchleaf.kinematics.model import LockedPair, Problem, Wheel, WheelRef
from benchleaf.operations.planning.adding import candidates, choices, with_wheels
from benchleaf.operations.planning.plan import can_cut, plan
from benchleaf.operations.planning.whatif import WhatIf, faults_of, less


def cut_plainly(problem: Problem, targets: list[Target]) -> frozenset[Target]:
    return frozenset().union(*covering(problem, targets).values())


@pytest.mark.parametrize("seed", range(12))
def test_what_is_left_is_cut_and_the_rest_is_lost(seed: int) -> None:
    random = Random(seed)
    problem = random_machine(random, 6, banjo=seed % 3 == 0)
    targets = random_targets(random, problem, 10)
    gone = random.choice(problem.wheels)
    left = [replace(wheel, copies=wheel.copies - (wheel is gone)) for wheel in problem.wheels]
    by_hand = replace(problem, wheels=tuple(wheel for wheel in left if wheel.copies))
    what_if = WhatIf((gone.teeth,), (), can_cut(problem, targets, LIMIT))
    assert what_if.whole == cut_plainly(problem, targets)
    found = plan(less(problem, what_if), targets, LIMIT)
    check(by_hand, targets, found)
    assert what_if.lost(found.grouping.missing) == cut_plainly(problem, targets) - cut_plainly(by_hand, targets)


@pytest.mark.parametrize("seed", range(12))
def test_a_stuck_lever_stands_where_it_is_stuck(seed: int) -> None:
    random = Random(seed + 100)
    problem = random_machine(random, 6, banjo=False)
    targets = random_targets(random, problem, 10)
    what_if = WhatIf((), (("range", "B"),), can_cut(problem, targets, LIMIT))
    found = plan(less(problem, what_if), targets, LIMIT)
    check(problem, targets, found)
    assert {dict(train.levers)["range"] for group in found.grouping.groups for train in group.trains.values()} <= {"B"}
    box = problem.gearbox
    one = tuple(replace(lever, positions=lever.positions[1:2]) if lever.name == "range" else lever for lever in box.levers)
    stuck = cut_plainly(replace(problem, gearbox=replace(box, levers=one)), targets)
    assert what_if.lost(found.grouping.missing) == cut_plainly(problem, targets) - stuck


def test_a_wheel_of_one_piece_takes_the_other_along() -> None:
    wheels = tuple(Wheel(teeth, Fraction(1)) for teeth in (30, 40, 100, 127))
    problem = Problem(Fraction(3), wheels, locked_pairs=(LockedPair(WheelRef(100), WheelRef(127)),))
    assert [wheel.teeth for wheel in less(problem, WhatIf((127,))).wheels] == [30, 40]
    loose = replace(problem, wheels=(*wheels, Wheel(127, Fraction(1))))
    assert sorted(wheel.teeth for wheel in less(loose, WhatIf((127,))).wheels) == [30, 40, 100, 127]
    assert less(loose, WhatIf((127,))).locked_pairs == problem.locked_pairs


def test_what_cannot_be_left_out_is_said() -> None:
    problem = random_machine(Random(3), 6, banjo=False)
    one = problem.wheels[0]
    assert [fault.code for fault in faults_of(problem, WhatIf((one.teeth,) * (one.copies + 1)))] == ["path/wheel-not-owned"]
    assert faults_of(problem, WhatIf((one.teeth,) * one.copies)) == []
    assert [fault.code for fault in faults_of(problem, WhatIf((), (("rnage", "A"), ("range", "Q"))))] == ["path/lever", "path/lever-position"]
    assert [fault.code for fault in faults_of(problem, WhatIf((), (("range", "A"), ("range", "B"))))] == ["path/lever-position"]
    barred = replace(problem, gearbox=replace(problem.gearbox, forbidden=((("range", "A"),),)))
    assert [fault.code for fault in faults_of(barred, WhatIf((), (("range", "A"),)))] == ["path/levers-blocked"]


@pytest.mark.parametrize("banjo", [False, True])
@pytest.mark.parametrize("seed", range(1, 5))
def test_wheels_to_add_are_the_best_of_all_choices(seed: int, banjo: bool) -> None:
    """Every choice of one and of two wheels out of six that have a price, each machine gone through train by train."""
    random = Random(seed + 900)
    problem = replace(random_machine(random, 4, banjo=banjo), mounted=None)
    offered = random.sample([teeth for teeth in range(21, 80) if all(wheel.teeth != teeth for wheel in problem.wheels)], 6)
    prices = {teeth: random.randint(1, 30) for teeth in offered}
    targets = [target for pair in combinations(offered, 2) for target in random_targets(random, with_wheels(problem, pair), 1)]
    missing = sorted(set(targets) - cut_plainly(problem, targets))
    found = {choice.most: choice for choice in choices(problem, missing, LIMIT, 2, prices)}
    for most in (1, 2):
        chosen = found[most]
        assert chosen.proved
        assert chosen.cost == sum(prices[teeth] for teeth in chosen.wheels)
        assert len(chosen.wheels) <= most
        assert chosen.mended == cut_plainly(with_wheels(problem, chosen.wheels), missing)
        every = [group for size in range(most + 1) for group in combinations(offered, size)]
        merits = [(-len(cut_plainly(with_wheels(problem, group), missing)), sum(prices[teeth] for teeth in group)) for group in every]
        assert min(merits) == (-len(chosen.mended), chosen.cost)
    assert len(found[2].mended) > 0


def test_a_127_makes_millimetres_on_an_inch_leadscrew() -> None:
    """127 teeth, 5 x 25.4, translate exactly (well-known); 63 is 125 parts in a million short, so that within 50 only the 127 will do."""
    wheels = tuple(Wheel(teeth, Fraction(127, 100)) for teeth in (20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80))
    problem = Problem(Fraction(127, 40), wheels)  # 8 threads per inch
    missing = [(Fraction(pitch, 100), "right") for pitch in (100, 125, 150, 175, 200)]
    tight = choices(problem, missing, Fraction(1, 10**6), 1, {})
    assert [(choice.metric_wheel, choice.wheels, len(choice.mended)) for choice in tight] == [(True, (127,), 5), (False, (), 0)]
    loose = {choice.metric_wheel: choice for choice in choices(problem, missing, Fraction(130, 10**6), 1, {})}
    assert (loose[False].wheels, len(loose[False].mended)) == ((63,), 5)
    assert candidates(problem, {})[-1] == 127
