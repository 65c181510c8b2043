"""Laws of the search and the banjo, on random boxes of wheels, against plain loops and against general-purpose plane geometry (shapely)."""

from __future__ import annotations

import cmath
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from math import prod

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st
from kinematics import plain
from kinematics.machines import problem
from shapely import Point, Polygon

from benchleaf.kinematics.box import Kind
from benchleaf.kinematics.fit import Fitter
from benchleaf.kinematics.levers import allowed_drives
from benchleaf.kinematics.model import (
    ARRANGEMENTS,
    Arm,
    Banjo,
    Gearbox,
    HeadstockChoice,
    Lever,
    LockedPair,
    Mounted,
    Place,
    PlaceLimit,
    Problem,
    Slot,
    Train,
    Wheel,
    WheelRef,
)
from benchleaf.kinematics.search import search

F = Fraction
# Shrinking searches of a whole box takes minutes and tells little more than the box that failed.
SLOW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck), phases=(Phase.explicit, Phase.reuse, Phase.generate))

teeth = st.integers(20, 75)
leads = st.fractions(F(1, 4), F(8), max_denominator=400)


@st.composite
def banjos(draw: st.DrawFn) -> Banjo:
    near = draw(st.integers(18, 34))
    low = draw(st.integers(-60, 40))
    arm = Arm(F(low), F(low + draw(st.integers(20, 110))), (Slot(F(near), F(near + draw(st.integers(25, 90)))),))
    if draw(st.booleans()):
        arm = replace(arm, slots=(*arm.slots, Slot(F(26), F(100), F(draw(st.integers(20, 45))))))
    if draw(st.booleans()):
        arm = replace(arm, pivot=(F(draw(st.integers(-15, 20))), F(draw(st.integers(-15, 15)))))
    guard = tuple((place, F(draw(st.integers(60, 110)))) for place in draw(st.lists(st.sampled_from(list(Place)), max_size=2, unique=True)))
    return Banjo(
        F(draw(st.integers(60, 105))), F(draw(st.integers(40, 90))), (arm,), F(15, 2), F(8), F(7),
        largest=draw(st.sampled_from([None, F(90), F(150)])), largest_at=guard, planes=draw(st.sampled_from([1, 2, 2, 3])),
    )  # fmt: skip


@st.composite
def problems(draw: st.DrawFn, most: int = 7, geometry: bool = True) -> Problem:
    counts = draw(st.lists(teeth, min_size=4, max_size=most, unique=True))
    modules = draw(st.sampled_from([(F(1),), (F(1),), (F(1), F(5, 4))]))
    wheels = tuple(Wheel(z, draw(st.sampled_from(modules)), copies=draw(st.sampled_from([1, 1, 1, 2]))) for z in counts)
    mounted = Mounted(tuple((WheelRef(z),) for z in draw(st.permutations(counts))[:3])) if draw(st.booleans()) else None
    box = Gearbox((Lever("n", (("1", F(1)), ("2", F(3, 2)), ("3", F(9, 8)))),)) if draw(st.booleans()) else Gearbox()
    return Problem(F(3), wheels, gearbox=box, banjo=draw(banjos()) if geometry else None, mounted=mounted)


def drives(machine: Problem) -> list[Fraction]:
    return [drive.ratio for drive in allowed_drives(machine)]


def multiplies_out(train: Train, machine: Problem, wanted: Fraction) -> None:
    drivers = prod(w.wheel.teeth for w in train.wheels if w.place in (Place.FIRST, Place.STUD_DRIVER))
    driven = prod(w.wheel.teeth for w in train.wheels if w.place in (Place.LAST, Place.STUD_DRIVEN))
    ratios = {lever.name: lever.positions for lever in machine.gearbox.levers}
    levers = prod((dict(ratios[name])[at] for name, at in train.levers), start=F(1))
    assert train.lead == machine.leadscrew_lead * train.headstock_ratio * levers * F(drivers, driven)
    assert train.error == train.lead / wanted - 1


def from_the_box(train: Train, machine: Problem) -> None:
    used = Counter((w.wheel.teeth, w.wheel.module) for w in train.wheels)
    owned: Counter[tuple[int, Fraction]] = Counter()
    for wheel in machine.wheels:
        owned[wheel.teeth, wheel.module] += wheel.copies
    assert not used - owned
    for a, b in zip(train.axes, train.axes[1:], strict=False):
        assert a[-1].wheel.module == b[0].wheel.module


@SLOW
@given(problems(), leads)
def test_the_best_is_the_best_of_all(machine: Problem, wanted: Fraction) -> None:
    result = search(machine, wanted)
    best = plain.best_by_loops(machine, wanted, drives(machine))
    assert result.proved
    if best is None:
        assert result.nearest is None
        return
    train = result.nearest
    assert train is not None
    assert abs(train.error) == best[0]
    assert (len(train.changes), train.wheels_used, train.sum_of_teeth) == best[1]
    multiplies_out(train, machine, wanted)
    from_the_box(train, machine)


@SLOW
@given(problems(most=5, geometry=False), leads, st.sampled_from(["right", "left", None]), st.booleans())
def test_every_kind_of_train_by_arithmetic(machine: Problem, wanted: Fraction, hand: str | None, tumbler: bool) -> None:
    machine = replace(machine, arrangements=ARRANGEMENTS, tumbler=tumbler, wheels=machine.wheels[:5])
    result = search(machine, wanted, hand=hand)
    if hand is None or tumbler:
        loops = machine
    else:
        odd = ("simple with two idlers", "compound with idler", "double compound")
        loops = replace(machine, arrangements=("simple", "compound") if hand == "right" else odd)
    best = plain.best_by_loops(loops, wanted, drives(machine))
    assert (result.nearest is None) == (best is None)
    if best is not None and result.nearest is not None:
        assert (abs(result.nearest.error), len(result.nearest.changes), result.nearest.wheels_used) == (best[0], *best[1][:2])
        assert result.nearest.sum_of_teeth == best[1][2]
        for train in (result.nearest, *result.alternatives):
            multiplies_out(train, machine, wanted)
            from_the_box(train, machine)
            assert hand is None or train.hand in (hand, "either")


@SLOW
@given(problems(), leads, st.fractions(0, Fraction(1, 50), max_denominator=1000))
def test_further_leads_can_be_kept_within_the_limit(machine: Problem, wanted: Fraction, limit: Fraction) -> None:
    every, within = search(machine, wanted, limit=limit), search(machine, wanted, limit=limit, all_within=True)
    assert within == replace(every, alternatives=tuple(train for train in every.alternatives if abs(train.error) <= limit))


@SLOW
@given(problems(), leads)
def test_leads_are_told_in_order_and_once(machine: Problem, wanted: Fraction) -> None:
    result = search(machine, wanted)
    told = [train for train in (result.nearest, *result.alternatives) if train is not None]
    errors = [abs(train.error) for train in told]
    assert errors == sorted(errors)
    assert len({train.lead for train in told}) == len(told)
    for item in result.refused:
        assert result.nearest is None or abs(item.train.error) <= abs(result.nearest.error)
        assert item.obstacles


@SLOW
@given(st.lists(teeth, min_size=5, max_size=6, unique=True), leads, st.booleans())
def test_a_locked_pair_stays_together(counts: list[int], wanted: Fraction, geometry: bool) -> None:
    pair = LockedPair(WheelRef(counts[0]), WheelRef(counts[1]))
    machine = Problem(F(4), tuple(Wheel(z, F(1)) for z in counts), locked_pairs=(pair,), banjo=problem("finch-1.5").banjo if geometry else None)
    result = search(machine, wanted)
    best = plain.best_by_loops(machine, wanted, [F(1)])
    assert (result.nearest is None) == (best is None)
    if best is not None and result.nearest is not None:
        assert (abs(result.nearest.error), result.nearest.sum_of_teeth) == (best[0], best[1][2])


@SLOW
@given(st.lists(teeth, min_size=4, max_size=6, unique=True), leads, st.integers(20, 60), st.integers(25, 45), st.integers(50, 70))
def test_captive_wheel_and_limits(counts: list[int], wanted: Fraction, captive: int, fewest: int, most: int) -> None:
    limits = (PlaceLimit(Place.LAST, fewest, most), PlaceLimit(Place.STUD_DRIVER, None, most))
    machine = Problem(F(4), tuple(Wheel(z, F(1)) for z in counts), captives=((Place.FIRST, Wheel(captive, F(1))),), limits=limits)
    result = search(machine, wanted)
    allowed = [
        abs(machine.leadscrew_lead * plain.ratio(axes) / wanted - 1)
        for _, axes in plain.trains(replace(machine, wheels=(*machine.wheels, Wheel(captive, F(1), key="captive"))))
        if axes[0][0].key == "captive"
        and fewest <= axes[-1][0].teeth <= most
        and not any(wheel.key == "captive" for axis in axes[1:] for wheel in axis)
        and all(len(axis) == 1 or axis[1].teeth <= most for axis in axes)
    ]
    assert (result.nearest is None) == (not allowed)
    if result.nearest is not None:
        assert abs(result.nearest.error) == min(allowed)


@SLOW
@given(problems(geometry=False), leads)
def test_a_mirrored_train_cuts_the_reciprocal(machine: Problem, wanted: Fraction) -> None:
    machine = replace(machine, gearbox=Gearbox(), mounted=None)
    there, back = search(machine, wanted), search(machine, machine.leadscrew_lead**2 / wanted)
    if there.nearest is not None and there.nearest.error == 0:
        assert back.nearest is not None
        assert back.nearest.error == 0
        assert back.nearest.wheel_ratio == 1 / there.nearest.wheel_ratio


def test_levers_that_are_settled_and_the_headstock() -> None:
    machine = replace(problem("heron-6"), headstock=(HeadstockChoice("plain", F(1)), HeadstockChoice("coarse", F(4))), headstock_lever="lead")
    for fixed in ((("n", "4"),), (("lead", "coarse"), ("mult", "B")), (("range", "hi"), ("n", "9"))):
        result = search(machine, F(7, 4), levers=fixed)
        for train in (result.nearest, *result.alternatives):
            assert train is not None
            stands = {**dict(train.levers), "lead": train.headstock}
            assert dict(fixed).items() <= stands.items()
            multiplies_out(train, machine, F(7, 4))


def kinds(axes: plain.Axes) -> list[list[Kind]]:
    return [[Kind(0, wheel, 0, 1) for wheel in axis] for axis in axes]


@settings(max_examples=400, deadline=None)
@given(banjos(), st.lists(st.integers(18, 80), min_size=4, max_size=4), st.booleans(), st.sampled_from([F(1), F(5, 4)]))
def test_room_on_one_stud_by_the_law_of_cosines(banjo: Banjo, z: list[int], compound: bool, second: Fraction) -> None:
    a, b, c, d = Wheel(z[0], F(1)), Wheel(z[1], F(1)), Wheel(z[2], second), Wheel(z[3], second)
    axes: plain.Axes = ((a,), (b, c), (d,)) if compound else ((a,), (b,), (Wheel(z[3], F(1)),))
    room, fitter = plain.one_stud_margin(banjo, axes), Fitter(banjo)
    found = fitter.check(kinds(axes))
    assert found.fits == fitter.fits(kinds(axes)) == (not found.obstacles)
    if abs(room) > 1e-6:
        assert found.fits == (room > 0)
    if room > 0:
        assert found.margin == pytest.approx(room, abs=2e-6)


def clear_of_everything(train: Train, banjo: Banjo) -> None:
    """Wheels as discs: those that mesh stand at their distance, all others keep their air from wheels in their plane and from every other bush."""
    assert train.placement is not None
    at = train.placement.axes
    air, tiny = float(banjo.air), 1e-6
    bushes = [float(banjo.bush_first), *[float(banjo.bush_stud)] * (len(at) - 2), float(banjo.bush_last)]
    shafts = [Point(*xy).buffer(r, quad_segs=256) for xy, r in zip(at, bushes, strict=True)]
    discs: list[Polygon] = [Point(*at[w.axis]).buffer(float(w.wheel.tip_diameter) / 2, quad_segs=256) for w in train.wheels]
    for i, (one, disc) in enumerate(zip(train.wheels, discs, strict=True)):
        for axis, shaft in enumerate(shafts):
            if axis != one.axis:
                assert disc.distance(shaft) >= air - tiny
        for two, other in list(zip(train.wheels, discs, strict=True))[i + 1 :]:
            if one.plane != two.plane:
                continue
            assert one.axis != two.axis
            if two.axis == one.axis + 1 and one is train.axes[one.axis][-1] and two is train.axes[two.axis][0]:
                span = float(one.wheel.module * (one.wheel.teeth + two.wheel.teeth)) / 2 + float(banjo.mesh_clearance)
                assert Point(*at[one.axis]).distance(Point(*at[two.axis])) == pytest.approx(span, abs=1e-6)
            else:
                assert disc.distance(other) >= air - tiny
    assert complex(*at[0]) == pytest.approx(cmath.rect(float(banjo.centre_distance), float(banjo.direction) * cmath.pi / 180))
    assert at[-1] == (0, 0)
    for stud, xy in zip(train.placement.studs, at[1:-1], strict=True):
        arm = banjo.arms[stud.arm]
        slot = arm.slots[stud.slot]
        z = complex(*xy) - complex(*map(float, arm.pivot))
        assert float(slot.nearest) - tiny <= abs(z) <= float(slot.farthest) + tiny
        assert cmath.rect(abs(z), (stud.swing + float(slot.offset)) * cmath.pi / 180) == pytest.approx(z, abs=1e-5)
        assert float(arm.swing_from) - tiny <= stud.swing <= float(arm.swing_to) + tiny
    arms = [(stud.arm, stud.swing) for stud in train.placement.studs]
    if len(arms) == 2 and arms[0][0] == arms[1][0]:
        assert arms[0][1] == pytest.approx(arms[1][1], abs=1e-6)


@SLOW
@given(problems(most=8), leads)
def test_what_fits_is_clear_of_everything(machine: Problem, wanted: Fraction) -> None:
    assert machine.banjo is not None
    result = search(replace(machine, arrangements=ARRANGEMENTS), wanted, keep=3)
    for train in (result.nearest, *result.alternatives):
        if train is not None:
            assert train.placement is not None
            assert train.placement.margin >= -1e-9
            clear_of_everything(train, machine.banjo)


@pytest.mark.parametrize("name", ["plover-4", "plover-4-2planes", "egret-2arms", "curlew-3-pivot"])
@pytest.mark.parametrize("wanted", [F(127, 65), F(9, 10), F(22, 7), F(7, 4), F(11, 3)])
def test_two_studs_on_every_banjo(name: str, wanted: Fraction) -> None:
    machine = problem(name)
    assert machine.banjo is not None
    planes = machine.banjo.planes if machine.banjo.planes > 2 or name.endswith("2planes") else 3
    banjo = replace(machine.banjo, planes=planes)
    two_studs = ("simple with two idlers", "compound with idler", "double compound")
    result = search(replace(machine, banjo=banjo, arrangements=two_studs), wanted, keep=4)
    assert result.nearest is not None
    for train in (result.nearest, *result.alternatives):
        clear_of_everything(train, banjo)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(20, 63), min_size=6, max_size=6), st.sampled_from(["plover-4", "plover-4-2planes"]))
def test_stands_of_two_studs_on_one_arm(z: list[int], name: str) -> None:
    banjo = problem(name).banjo
    assert banjo is not None
    w = [Wheel(teeth, F(1)) for teeth in z]
    axes: plain.Axes = ((w[0],), (w[1], w[2]), (w[3], w[4]), (w[5],))
    fitter = Fitter(banjo)
    d1, d2, d3 = fitter.meshes(kinds(axes))
    stands = fitter.work.stands((d1, d2, d3))
    by_swinging = [(p1, p2, room) for p1, p2, room in plain.two_stud_places(banjo, (d1, d2, d3)) if room > 0.01]
    for p1, p2, room in by_swinging:
        assert any(
            abs(complex(*s.axes[1]) - p1) < 1e-3 and abs(complex(*s.axes[2]) - p2) < 1e-3 and s.room == pytest.approx(room, abs=1e-3)
            for s in stands.allowed
        )
    for stand in stands.allowed:
        if stand.room > 0.5:
            assert any(abs(complex(*stand.axes[1]) - p1) < 1e-3 for p1, _, _ in by_swinging) or abs(d1 + stand.studs[0].radius - 105) < 0.5
    assert fitter.check(kinds(axes)).fits == fitter.fits(kinds(axes))


# Stands that are found in some steps of the swing and missed in others.
PIVOTED = Banjo(
    F(65), F(79), (Arm(F(-19), F(76), (Slot(F(18), F(65)), Slot(F(26), F(100), F(30))), (F(13), F(-4))),), F(15, 2), F(8), F(7), largest=F(90), planes=3
)


@settings(max_examples=150, deadline=None)
@example(PIVOTED, [38, 28, 41, 50, 54, 56], "double compound")
@given(banjos(), st.lists(st.integers(20, 63), min_size=6, max_size=6), st.sampled_from(["simple with two idlers", "compound with idler", "double compound"]))
def test_a_quick_no_is_a_no(banjo: Banjo, z: list[int], name: str) -> None:
    w = [Wheel(teeth, F(1)) for teeth in z]
    axes: plain.Axes = {
        "simple with two idlers": ((w[0],), (w[1],), (w[2],), (w[3],)),
        "compound with idler": ((w[0],), (w[1],), (w[2], w[3]), (w[4],)),
        "double compound": ((w[0],), (w[1], w[2]), (w[3], w[4]), (w[5],)),
    }[name]
    fitter = Fitter(banjo)
    quick = fitter.fits(kinds(axes))
    found = fitter.check(kinds(axes))
    if found.margin is None or abs(found.margin) > 1e-6:
        assert quick == found.fits
    for stand in fitter.work.stands(fitter.meshes(kinds(axes))).found:
        for (a, b), span in zip(zip(stand.axes, stand.axes[1:], strict=False), fitter.meshes(kinds(axes)), strict=True):
            assert abs(complex(*a) - complex(*b)) == pytest.approx(span, abs=1e-5)
