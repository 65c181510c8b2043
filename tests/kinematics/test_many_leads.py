"""Many leads in one pass against one search after the other, and against plain loops."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st
from kinematics import plain
from kinematics.machines import problem
from kinematics.test_laws import SLOW, drives, leads, problems

from benchleaf.kinematics.many import ManyLeads
from benchleaf.kinematics.model import ARRANGEMENTS, Problem
from benchleaf.kinematics.search import search

NUMBERS = st.sampled_from([1, 10**6])  # leads to expect: without and with a table of ratios


def agrees(machine: Problem, wanted: list[Fraction], number: int, hand: str | None = None) -> None:
    many = ManyLeads(machine, number)
    for lead in wanted:
        alone = search(machine, lead, hand=hand)
        assert alone.proved
        expected = [train for train in (alone.nearest, *alone.alternatives) if train is not None]
        assert [many.train(found.set_up, found.drive, lead) for found in many.nearest(lead, hand=hand)] == expected


@SLOW
@given(problems(), st.lists(leads, min_size=1, max_size=4), st.booleans(), st.sampled_from([None, "right", "left"]), NUMBERS)
def test_many_leads_are_what_one_search_after_the_other_finds(
    machine: Problem, wanted: list[Fraction], tumbler: bool, hand: str | None, number: int
) -> None:
    agrees(replace(machine, tumbler=tumbler), wanted, number, hand)


@SLOW
@given(problems(most=5), leads, st.booleans(), NUMBERS)
def test_on_every_kind_of_train(machine: Problem, wanted: Fraction, geometry: bool, number: int) -> None:
    banjo = machine.banjo if geometry else None
    agrees(replace(machine, arrangements=ARRANGEMENTS, banjo=banjo, wheels=machine.wheels[:5]), [wanted], number)


def test_on_machines_with_gearboxes_captive_wheels_and_two_modules() -> None:
    wanted = [Fraction(7, 4), Fraction(127, 65), Fraction(22, 7)]
    for name in ("heron-6", "dunlin-3", "teal-3-captive", "ibis-mixed", "plover-4"):
        for number in (1, 10**6):
            agrees(problem(name), wanted, number)


def by_loops(machine: Problem, wanted: Fraction, keep: int) -> list[tuple[Fraction, tuple[int, ...]]]:
    """Errors of the nearest leads that go on, each with the merit of its best train (changes, wheels, teeth), by looking at every train."""
    found: dict[Fraction, tuple[int, ...]] = {}
    for _, axes in plain.trains(machine):
        if not plain.meshes(axes) or not plain.locked_together(machine, axes):
            continue
        if machine.banjo is not None:
            margin = plain.one_stud_margin(machine.banjo, axes)
            assume(abs(margin) > 1e-7)  # no room and no want of it: the two ways of reckoning may differ
            if margin < 0:
                continue
        wheels = [wheel for axis in axes for wheel in axis]
        merit = (plain.changes(machine, axes), len(wheels), sum(wheel.teeth for wheel in wheels))
        ratio = machine.leadscrew_lead * plain.ratio(axes) / wanted
        for drive in drives(machine):
            error = drive * ratio - 1
            found[error] = min(found.get(error, merit), merit)
    return sorted(found.items(), key=lambda item: (abs(item[0]), -item[0]))[:keep]


# The widest leads are beyond what any of these wheels cut: then the nearest are the extreme ones.
@SLOW
@given(problems(most=6), st.lists(st.one_of(leads, st.sampled_from([Fraction(1, 10**4), Fraction(10**4)])), min_size=2, max_size=3), NUMBERS)
def test_the_five_nearest_are_those_of_plain_loops(machine: Problem, wanted: list[Fraction], number: int) -> None:
    machine = replace(machine, wheels=machine.wheels[:6])
    many = ManyLeads(machine, number)
    for lead in wanted:
        found = [(item.error, (item.set_up.changes, *item.set_up.merit[1:3])) for item in many.nearest(lead)]
        assert found == by_loops(machine, lead, 5)
