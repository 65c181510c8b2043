"""Trains and levers that somebody wrote down: what they cut, and what a careful reader finds wrong with them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from kinematics.machines import problem

from benchleaf.kinematics.evaluate import Stated, arrangement_of, evaluate
from benchleaf.kinematics.levers import allowed_drives, check_levers
from benchleaf.kinematics.model import (
    ARRANGEMENTS,
    Gearbox,
    GearboxRow,
    HeadstockChoice,
    Lever,
    LockedPair,
    Mounted,
    Outcome,
    Place,
    Problem,
    Wheel,
    WheelRef,
    module_of_diametral_pitch,
)
from benchleaf.kinematics.search import search

F = Fraction


MODULE, DP20 = F(5, 4), module_of_diametral_pitch(F(20))


def box(*teeth: int, module: Fraction = MODULE) -> tuple[Wheel, ...]:
    return tuple(Wheel(z, module) for z in teeth)


def stated(*axes: int | tuple[int, ...]) -> Stated:
    return Stated(tuple(tuple(WheelRef(z) for z in axis) if isinstance(axis, tuple) else (WheelRef(axis),) for axis in axes))


def test_an_idler_does_not_change_the_ratio() -> None:
    machine = Problem(F(3), box(30, 50, 60))
    wrong = evaluate(machine, stated(30, 50, 60), F(9, 10))
    assert wrong.train is not None
    assert (wrong.train.lead, wrong.train.error) == (F(3, 2), F(2, 3))
    assert [item.wheel.teeth for item in wrong.idlers] == [50]
    assert wrong.reasons == ()
    right = evaluate(machine, stated(30, 50, 60), F(3, 2))
    assert right.train is not None
    assert right.train.error == 0


def test_a_locked_pair_taken_apart() -> None:
    machine = Problem(F(3), box(40, 50, 60, 100, 127), locked_pairs=(LockedPair(WheelRef(100), WheelRef(127)),))
    apart = evaluate(machine, stated(100, 50, 127), F(127, 50))
    assert apart.reasons == ("locked-pair-apart",)
    assert apart.apart == machine.locked_pairs
    assert evaluate(machine, stated(50, (100, 127), 40), F(1)).reasons == ()
    best = search(machine, F(3) * F(50, 100) * F(127, 40)).best
    assert best is not None
    assert best.error == 0
    assert [sorted(item.wheel.teeth for item in axis) for axis in best.axes][1] == [100, 127]
    with_spare = replace(machine, wheels=(*machine.wheels, Wheel(100, F(5, 4)), Wheel(127, F(5, 4))))
    assert evaluate(with_spare, stated(100, 50, 127), F(127, 50)).reasons == ()


def test_a_wheel_too_large_for_the_cover() -> None:
    machine = problem("dunlin-3")
    assert machine.banjo is not None
    tight = replace(machine, banjo=replace(machine.banjo, largest=F(150)))
    found = evaluate(tight, Stated(stated(30, (127, 60), 36).axes, (("box", "B"),)), F(1))
    fault = next(item for item in found.obstacles if item.id == "wheel-outside-guard")
    assert (fault.teeth, fault.place, fault.has, fault.needs) == (127, Place.STUD_DRIVEN, 150, pytest.approx(161.25))
    roomy = replace(machine, banjo=replace(machine.banjo, largest=F(165)))
    assert "wheel-outside-guard" not in evaluate(roomy, Stated(stated(30, (127, 60), 36).axes, (("box", "B"),)), F(1)).reasons
    at_stud = replace(machine, banjo=replace(machine.banjo, largest=None, largest_at=((Place.STUD_DRIVEN, F(150)),)))
    assert "wheel-outside-guard" in [item.id for item in evaluate(at_stud, found_stated(30, (127, 60), 36), F(1)).obstacles]
    elsewhere = replace(machine, banjo=replace(machine.banjo, largest=None, largest_at=((Place.LAST, F(150)),)))
    assert "wheel-outside-guard" not in [item.id for item in evaluate(elsewhere, found_stated(30, (127, 60), 36), F(1)).obstacles]


def found_stated(*axes: int | tuple[int, ...]) -> Stated:
    return Stated(stated(*axes).axes, (("box", "B"),))


LEVERS = Gearbox(
    (Lever("row", (("A", F(1, 2)), ("B", F(1)), ("C", F(2)))), Lever("column", (("D", F(1)), ("E", F(1, 2)), ("F", F(2))))),
    forbidden=((("row", "B"), ("column", "D")),),
)


def test_levers_that_block_each_other() -> None:
    machine = Problem(F(3), box(20, 30, 40, 60), gearbox=LEVERS)
    found = check_levers(machine, (("row", "B"), ("column", "D")))
    assert found.blocked == ((("row", "B"), ("column", "D")),)
    assert found.ratio == 1
    assert set(found.same_ratio) == {(("row", "A"), ("column", "F")), (("row", "C"), ("column", "E"))}
    quiet = check_levers(machine, (("row", "B"), ("column", "E")))
    assert (quiet.blocked, quiet.unknown) == ((), ())
    result = search(machine, F(3), levers=(("row", "B"), ("column", "D")))
    assert (result.outcome, result.blocked) == (Outcome.LEVERS_BLOCKED, found.blocked)
    assert evaluate(machine, Stated(stated(30, 20, 60).axes, (("row", "B"), ("column", "D"))), F(3)).train is None


def test_a_blocked_setting_names_the_one_that_moves_least() -> None:
    gearbox = replace(LEVERS, levers=(*LEVERS.levers, Lever("side", (("I", F(1)), ("II", F(1))))), forbidden=((("row", "B"), ("side", "II")),))
    found = check_levers(Problem(F(3), box(20, 30), gearbox=gearbox), (("row", "B"), ("column", "D"), ("side", "II")))
    assert found.same_ratio[0] == (("row", "B"), ("column", "D"), ("side", "I"))


def test_a_blocked_setting_with_a_lever_left_open() -> None:
    gearbox = replace(LEVERS, levers=(*LEVERS.levers, Lever("side", (("I", F(1)), ("II", F(3))))))
    found = check_levers(Problem(F(3), box(20, 30), gearbox=gearbox), (("row", "B"), ("column", "D")))
    assert (found.ratio, found.blocked) == (None, LEVERS.forbidden)
    assert set(found.same_ratio) == {(("row", "A"), ("column", "F")), (("row", "C"), ("column", "E"))}


def test_levers_that_do_not_exist() -> None:
    machine = Problem(F(3), box(20, 30, 40, 60), gearbox=LEVERS)
    assert check_levers(machine, (("row", "Z"), ("gate", "1"))).unknown == ("row Z", "gate")
    assert search(machine, F(3), levers=(("row", "Z"),)).unknown_levers == ("row Z",)


def test_rows_that_do_not_factor_and_forbidden_headstock() -> None:
    rows = (GearboxRow((("a", "1"), ("b", "X")), F(1, 4)), GearboxRow((("a", "2"), ("b", "X")), F(3, 8)), GearboxRow((("a", "1"), ("b", "Y")), F(1, 2)))
    machine = Problem(
        F(6), box(20, 30, 40, 60), gearbox=Gearbox(rows=rows, forbidden=((("lead", "coarse"), ("b", "Y")),)),
        headstock=(HeadstockChoice("plain", F(1)), HeadstockChoice("coarse", F(4))), headstock_lever="lead",
    )  # fmt: skip
    drives = allowed_drives(machine)
    assert sorted((drive.headstock, drive.gearbox_ratio) for drive in drives) == [
        ("coarse", F(1, 4)), ("coarse", F(3, 8)), ("plain", F(1, 4)), ("plain", F(3, 8)), ("plain", F(1, 2)),
    ]  # fmt: skip
    given = evaluate(machine, Stated(stated(30, 20, 60).axes, (("a", "2"), ("b", "X"), ("lead", "coarse"))), F(1))
    assert given.train is not None
    assert given.train.lead == F(6) * 4 * F(3, 8) / 2


def test_levers_left_out_stand_where_they_are() -> None:
    machine = Problem(F(3), box(20, 30, 40, 60), gearbox=LEVERS)
    assert evaluate(machine, stated(30, 20, 60), F(1)).levers_left_out == ("row", "column")
    there = replace(machine, mounted=Mounted((), (("row", "C"), ("column", "E"))))
    found = evaluate(there, Stated(stated(30, 20, 60).axes, (("row", "A"),)), F(1))
    assert found.train is not None
    assert found.train.lead == F(3, 2) / 4
    assert found.train.lever_moves == ("row",)


def test_what_is_wrong_with_the_wheels() -> None:
    mixed = problem("ibis-mixed")
    assert evaluate(mixed, stated(20, (40, 24), 32), F(1)).reasons == ()
    assert evaluate(mixed, stated(20, (24, 40), 32), F(1)).reasons == ("modules-do-not-mesh",)
    assert evaluate(mixed, stated(20, (40, 25), 32), F(1)).reasons[0] == "wheel-not-available"
    captive = problem("teal-3-captive")
    found = evaluate(captive, stated(40, (20, 80), 80), F(1))
    assert found.reasons == ("wheel-not-available", "teeth-outside-limits")
    assert [(item.teeth, item.has, item.needs) for item in found.faults] == [(80, 1, 2), (20, 20, 25), (80, 80, 70)]
    no_tumbler = problem("crane-4tpi")
    assert evaluate(no_tumbler, stated(24, 32, 72), F(1), hand="left").reasons == ("wrong-hand",)
    assert evaluate(no_tumbler, stated(24, 32, 36, 72), F(1), hand="left").reasons == ()
    assert evaluate(no_tumbler, stated(24, 72), F(1)).reasons == ("arrangement-not-known",)
    assert evaluate(no_tumbler, stated(24), F(1)).train is None


def test_a_count_that_two_sets_have_is_read_so_that_it_meshes() -> None:
    dp = DP20
    assert dp == F(127, 100)
    machine = Problem(F(127, 40), (*box(30, 40, 60, module=F(5, 4)), *box(40, 50, module=dp)), arrangements=ARRANGEMENTS)
    assert evaluate(machine, stated(30, 40, 60), F(1)).reasons == ()
    found = evaluate(machine, stated(30, (60, 40), 50), F(1))
    assert found.reasons == ()
    assert found.train is not None
    assert [item.wheel.module for item in found.train.wheels] == [F(5, 4), F(5, 4), dp, dp]
    angles = Problem(F(3), (*box(30, 40), Wheel(60, F(5, 4), F(29, 2))))
    assert evaluate(angles, stated(30, 40, 60), F(1)).reasons == ("modules-do-not-mesh",)


def test_names_of_trains() -> None:
    names = [arrangement_of(stated(*axes).axes) for axes in ((1, 2, 3), (1, 2, 3, 4), (1, (2, 3), 4), (1, 2, (3, 4), 5), (1, (2, 3), (4, 5), 6))]
    assert names == list(ARRANGEMENTS)
    assert arrangement_of(stated(1, 2).axes) == ""
