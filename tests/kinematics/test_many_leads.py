"""Many leads in one pass against one search after the other, and against plain loops."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from kinematics.machines import problem
from kinematics.test_laws import SLOW, leads, problems

from benchleaf.kinematics.many import ManyLeads
from benchleaf.kinematics.model import ARRANGEMENTS, Problem
from benchleaf.kinematics.search import search


def agrees(machine: Problem, wanted: list[Fraction], number: int, hand: str | None = None) -> None:
    many = ManyLeads(machine, number)
    for lead in wanted:
        alone = search(machine, lead, hand=hand)
        assert alone.proved
        expected = [train for train in (alone.nearest, *alone.alternatives) if train is not None]
        assert [many.train(found.set_up, found.drive, lead) for found in many.nearest(lead, hand=hand)] == expected


@SLOW
@given(problems(), st.lists(leads, min_size=1, max_size=4), st.booleans(), st.sampled_from([None, "right", "left"]), st.sampled_from([1, 10**6]))
def test_many_leads_are_what_one_search_after_the_other_finds(
    machine: Problem, wanted: list[Fraction], tumbler: bool, hand: str | None, number: int
) -> None:
    agrees(replace(machine, tumbler=tumbler), wanted, number, hand)


@SLOW
@given(problems(most=5), leads, st.booleans(), st.sampled_from([1, 10**6]))
def test_on_every_kind_of_train(machine: Problem, wanted: Fraction, geometry: bool, number: int) -> None:
    banjo = machine.banjo if geometry else None
    agrees(replace(machine, arrangements=ARRANGEMENTS, banjo=banjo, wheels=machine.wheels[:5]), [wanted], number)


def test_on_machines_with_gearboxes_captive_wheels_and_two_modules() -> None:
    wanted = [Fraction(7, 4), Fraction(127, 65), Fraction(22, 7)]
    for name in ("heron-6", "dunlin-3", "teal-3-captive", "ibis-mixed", "plover-4"):
        for number in (1, 10**6):
            agrees(problem(name), wanted, number)
