"""The next start of a multi-start thread, the swap from one train to another, the wheel to get, and work without end."""

from __future__ import annotations

import time
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kinematics.machines import data, problem, wanted_lead

from benchleaf.kinematics.extra_wheel import best_with_extra_wheel
from benchleaf.kinematics.half_nuts import DialWheel
from benchleaf.kinematics.indexing import index_options
from benchleaf.kinematics.model import (
    ARRANGEMENTS,
    Gearbox,
    HeadstockChoice,
    Lever,
    Mounted,
    Outcome,
    Problem,
    Train,
    Wheel,
    WheelRef,
)
from benchleaf.kinematics.search import search
from benchleaf.kinematics.strain import strain_of
from benchleaf.kinematics.swap import mounted_after, swap_list

F = Fraction


def train(machine: Problem, wanted: Fraction, **more: object) -> Train:
    found = search(machine, wanted, **more).best  # type: ignore[arg-type]
    assert found is not None
    return found


def test_two_starts_by_the_first_wheel() -> None:
    found = index_options(train(problem("dunlin-3"), F(9, 2)), 3, top_slide_travel=F(90), faceplate_slots=(4, 6))
    assert found.pitch == F(3, 2)
    assert [(option.driver.wheel.teeth, option.teeth) for option in found.teeth][:1] == [(30, 10)]
    assert found.top_slide is not None
    assert (found.top_slide.advance, found.top_slide.travel) == (F(3, 2), F(3))
    assert [(option.slots, option.move) for option in found.slots] == [(6, 2)]


def test_one_start_needs_nothing_and_a_short_slide_does_not_serve() -> None:
    best = train(problem("dunlin-3"), F(9, 2))
    assert index_options(best, 1).teeth == ()
    assert index_options(best, 3, top_slide_travel=F(2)).top_slide is None
    with pytest.raises(ValueError, match="start"):
        index_options(best, 0)


@settings(max_examples=60, deadline=None)
@given(st.fractions(F(2), F(20), max_denominator=12), st.integers(2, 6), st.sampled_from([F(1), F(2), F(4), F(1, 2), F(2, 3)]))
def test_teeth_counted_turn_the_spindle_by_a_share(lead: Fraction, starts: int, head: Fraction) -> None:
    machine = replace(problem("plover-4"), banjo=None, headstock=(HeadstockChoice("H", head),))
    best = train(machine, lead)
    for option in index_options(best, starts).teeth:
        turns_of_driver = F(option.teeth, option.driver.wheel.teeth)
        between = F(1)
        for a, b in zip(best.axes, best.axes[1:], strict=False):
            if a[-1] == option.driver:
                break
            between *= F(a[-1].wheel.teeth, b[0].wheel.teeth)
        assert turns_of_driver / between / head == F(1, starts)


@given(st.integers(1, 24), st.integers(1, 24), st.integers(2, 6), st.integers(8, 32), st.integers(1, 16))
def test_marks_for_each_start(a: int, b: int, starts: int, teeth: int, marks: int) -> None:
    screw = F(3)
    best = replace(train(replace(problem("finch-1.5-open"), leadscrew_lead=screw), screw), lead=screw * F(a, b))
    for option in index_options(best, starts, leadscrew_lead=screw, dials=[DialWheel(teeth, marks)]).dial:
        assert option.leads * screw % best.lead == best.lead / starts
        for start, on in enumerate(option.marks):
            assert on
            for mark in on:
                for turn in range(3):
                    assert (turn * teeth + F(mark * teeth, marks)) * screw % best.lead == start * best.lead / starts


def test_two_starts_by_the_dial() -> None:
    """Lead twice the leadscrew's: the second start lies one leadscrew lead on (common practice)."""
    machine = problem("dunlin-3")
    found = index_options(train(machine, F(6)), 2, leadscrew_lead=F(3), dials=[DialWheel(16, 16)])
    assert [(option.leads, option.marks[0][:2], option.marks[1][:2]) for option in found.dial] == [(1, (0, 2), (1, 3))]


@settings(max_examples=40, deadline=None)
@given(st.fractions(F(1, 2), F(6), max_denominator=40), st.fractions(F(1, 2), F(6), max_denominator=40))
def test_the_swap_list_makes_the_one_train_the_other(before: Fraction, after: Fraction) -> None:
    machine = problem("dunlin-3")
    mounted = mounted_after(train(machine, before))
    found = train(replace(machine, mounted=mounted), after)
    assert found.changes == swap_list(mounted, found)
    rows = ("inner", "outer")
    on_machine = {(axis, rows[row]): ref.teeth for axis, refs in enumerate(mounted.axes) for row, ref in enumerate(refs)}
    for change in found.changes:
        if change.action == "off":
            assert on_machine.pop((change.axis, change.row)) == change.teeth
        else:
            assert (change.axis, change.row) not in on_machine
            on_machine[change.axis, change.row] = change.teeth
    assert on_machine == {(item.axis, rows[row]): item.wheel.teeth for axis in found.axes for row, item in enumerate(axis)}
    assert abs(found.error) == abs(train(machine, after).error)
    assert train(replace(machine, mounted=mounted_after(found)), after).changes == ()


def test_of_equal_trains_the_one_that_changes_least() -> None:
    machine = replace(problem("dunlin-3"), mounted=Mounted(((WheelRef(40),), (WheelRef(66),), (WheelRef(40),)), (("box", "B"),)))
    best = train(machine, F(3, 2))
    assert best.error == 0
    mounted = {(0, 40), (1, 66), (2, 40)}
    assert mounted & {(item.axis, item.wheel.teeth) for item in best.wheels}
    assert len(best.changes) <= 4


# Threads that a wheel would mend; the answer of a search with each wheel in turn put in the box is the measure.
@pytest.mark.parametrize("name", ["G08", "G13", "G18", "G22"])
def test_the_wheel_to_get(name: str) -> None:
    case = next(case for case in data()["cases"] if case["id"] == name)
    machine, wanted = problem(case["machine"]), wanted_lead(case["thread"])
    found = best_with_extra_wheel(machine, wanted, limit=F(case["tolerance_ppm"], 10**6))
    errors: dict[int, Fraction] = {}
    for teeth in range(15, 128):
        with_it = search(replace(machine, wheels=(*machine.wheels, Wheel(teeth, machine.wheels[0].module))), wanted, keep=1)
        assert with_it.nearest is not None
        errors[teeth] = abs(with_it.nearest.error)
    assert found.proved
    assert [abs(item.train.error) for item in found.wheels] == sorted(errors.values())[:3]
    for item in found.wheels:
        assert errors[item.wheel.teeth] == abs(item.train.error)
        assert item.wheel.teeth in item.train.teeth
        assert item.within_limit == (abs(item.train.error) <= F(case["tolerance_ppm"], 10**6))


def test_a_wheel_to_get_as_idler_and_for_the_other_hand() -> None:
    machine = Problem(F(3), (Wheel(40, F(1)), Wheel(20, F(1))), arrangements=("simple",))
    found = best_with_extra_wheel(machine, F(6))
    assert found.wheels[0].train.error == 0
    assert found.wheels[0].train.teeth == (40, 15, 20)


def test_nothing_to_get_where_the_box_is_exact() -> None:
    assert best_with_extra_wheel(problem("dunlin-3"), F(3)).wheels == ()


def test_strain() -> None:
    found = strain_of(F(18), F(3), F(32))
    assert (found.up_gearing, found.leadscrew_speed, found.carriage_speed, found.beyond_usual) == (6, 192, 576, True)
    assert not strain_of(F(12), F(3), F(32)).beyond_usual


def absurd() -> dict[str, Problem]:
    machine = problem("dunlin-3")
    lever = tuple((str(j), F(j + 7, 8)) for j in range(6))
    return {
        "three thousand wheels": replace(machine, wheels=tuple(Wheel(z, F(5, 4)) for z in range(10, 3000))),
        "four hundred wheels on two studs": replace(machine, wheels=tuple(Wheel(z, F(5, 4)) for z in range(10, 410)), arrangements=ARRANGEMENTS),
        "sixty levers": replace(machine, gearbox=Gearbox(tuple(Lever(f"lever {i}", lever) for i in range(60)))),
        "a million copies": replace(machine, wheels=tuple(replace(wheel, copies=10**6) for wheel in machine.wheels)),
        "teeth beyond reason": replace(machine, wheels=tuple(Wheel(10**30 + z, F(5, 4)) for z in range(8))),
        "no wheels": replace(machine, wheels=()),
        "no copies": replace(machine, wheels=tuple(replace(wheel, copies=0) for wheel in machine.wheels)),
        "no arms": replace(machine, banjo=replace(machine.banjo, arms=()) if machine.banjo else None),
    }


@pytest.mark.parametrize("name", absurd())
@pytest.mark.parametrize("wanted", [F(22, 7), F(1, 10**12), F(10**12)])
def test_absurd_boxes_end(name: str, wanted: Fraction) -> None:
    start = time.perf_counter()
    result = search(absurd()[name], wanted)
    assert time.perf_counter() - start < 20
    assert (result.nearest is None) == (result.outcome not in (Outcome.FOUND, Outcome.BEYOND_LIMIT))
    if result.outcome is Outcome.TOO_MUCH_WORK:
        assert not result.proved


def test_leads_that_are_none() -> None:
    for nothing in (F(0), F(-1)):
        with pytest.raises(ValueError, match="lead"):
            search(problem("dunlin-3"), nothing)
