"""Pass plans: published schedules and formulas of equal chips, and the laws a plan and its dial readings obey."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchleaf.standards.infeed import SHARP, Tip, chip_area
from benchleaf.standards.passes import PassPlan, advise_passes, cuts_for_first, plan_by_practice, plan_passes

V60 = F(30)
TIPS = st.one_of(st.just(SHARP), st.fractions(F(1, 50), F(1, 2), max_denominator=100).flatmap(lambda size: st.sampled_from([Tip(flat=size), Tip(radius=size)])))


@pytest.mark.parametrize(("depth", "count", "first", "last"), [("0.92", 8, 0.3253, 0.0594), ("1", 4, 0.5, 0.13397), ("0.9", 9, 0.3, 0.05147), ("1.6", 16, 0.4, 0.05081)])
def test_a_sharp_tool_follows_the_square_root(depth: str, count: int, first: float, last: float) -> None:
    # Handbook rule: running total = depth x sqrt(i / n); the first of n cuts takes 1 / sqrt(n) of the depth.
    plan = plan_passes(F(depth), V60, count=count)
    assert float(plan.cuts[0].step) == pytest.approx(first, abs=1e-4)
    assert float(plan.cuts[-1].step) == pytest.approx(last, abs=1e-4)
    for place, cut in enumerate(plan.cuts, 1):
        assert float(cut.depth) == pytest.approx(float(F(depth)) * (place / count) ** 0.5, abs=1e-12)


def test_a_blunt_tip_starts_further_along_the_curve() -> None:
    # Flat P/8, depth 0.65 P, 60 degrees, nine cuts: by the plain square root the first would take 1.50 times its share.  Plane geometry.
    tip, depth = Tip(flat=F(1, 8)), F("0.65")
    share = chip_area(depth, V60, tip) / 9
    assert float(chip_area(depth / 3, V60, tip) / share) == pytest.approx(1.4997, abs=1e-3)
    plan = plan_passes(depth, V60, tip, count=9)
    assert plan.cuts[0].depth < depth / 3
    assert all(abs(cut.area - share) < F(1, 10**12) for cut in plan.cuts)


@pytest.mark.parametrize(
    ("steps", "count"),
    # Published insert schedules for external metric threads of 1.0, 1.5 and 2.0 mm, radial mm.
    [("0.25 0.15 0.11 0.08 0.05", 5), ("0.28 0.15 0.12 0.10 0.09 0.07 0.06 0.05", 8), ("0.30 0.16 0.13 0.10 0.09 0.09 0.08 0.07 0.07 0.06 0.06 0.05", 12)],
)
def test_near_the_published_schedules(steps: str, count: int) -> None:
    published = [F(step) for step in steps.split()]
    plan = plan_passes(sum(published, F(0)), V60, Tip(radius=F("0.1")), count=count, largest=published[0], least=published[-1])
    for ours, theirs in zip(plan.cuts, published, strict=True):
        assert abs(ours.step - theirs) <= F("0.05"), (float(ours.step), float(theirs))


def test_wishes_are_kept() -> None:
    plan = plan_passes(F("0.92"), V60, Tip(radius=F("0.2")), count=10, first=F("0.22"), last=F("0.03"), spring=2)
    assert [plan.cuts[0].step, plan.cutting[-1].step] == [F("0.22"), F("0.03")]
    assert [cut.spring for cut in plan.cuts] == [False] * 10 + [True] * 2
    assert [cut.depth for cut in plan.cuts[-3:]] == [F("0.92")] * 3
    assert not plan.clamped
    inner = {round(float(cut.area), 9) for cut in plan.cuts[1:9]}
    assert len(inner) == 1


def test_a_tool_that_must_not_rub_gets_fewer_cuts() -> None:
    # Carbide: about 0.05 mm at the least (published insert guides agree).
    plan = plan_passes(F("0.92"), V60, Tip(radius=F("0.2")), largest=F("0.12"), least=F("0.05"))
    assert len(plan.cuts) == 18
    assert min(cut.step for cut in plan.cuts) >= F("0.05")
    assert plan.clamped
    assert cuts_for_first(F("0.92"), V60, Tip(radius=F("0.2")), F("0.12")) > 18


@pytest.mark.parametrize(
    "wishes",
    [{"count": 3, "largest": F("0.2")}, {"count": 30, "least": F("0.05")}, {"count": 2, "first": F("0.5"), "last": F("0.2")}, {"first": F("0.8"), "last": F("0.3")},
     {"count": 1, "first": F("0.5")}, {}, {"count": 0}, {"count": 4, "largest": F(0)}],
)  # fmt: skip
def test_contradictions_are_refused(wishes: dict[str, F]) -> None:
    with pytest.raises(ValueError, match=r"cut|depth"):
        plan_passes(F("0.92"), V60, **wishes)  # type: ignore[arg-type]


@pytest.mark.parametrize("depth", ["0", "-1"])
def test_no_depth_no_plan(depth: str) -> None:
    with pytest.raises(ValueError, match="above nought"):
        plan_passes(F(depth), V60, count=3)


@st.composite
def plans(draw: st.DrawFn) -> PassPlan:
    """A plan that can be made: bounds drawn so that the number of cuts lies between depth / largest and depth / least."""
    half = draw(st.sampled_from([V60, F("27.5"), F(15)]))
    depth, count = draw(st.fractions(F(1, 10), F(4), max_denominator=500)), draw(st.integers(1, 25))
    largest = depth / count * draw(st.fractions(F(1), F(6), max_denominator=20))
    least = depth / count * draw(st.fractions(F(0), F(1), max_denominator=20))
    return plan_passes(depth, half, draw(TIPS), count=count, largest=largest, least=least, spring=draw(st.integers(0, 3)))


@settings(deadline=None, max_examples=60)
@given(plans())
def test_laws_of_a_plan(plan: PassPlan) -> None:
    steps = [cut.step for cut in plan.cutting]
    assert plan.cuts[-1].depth == plan.infeed == sum(steps)
    assert all(step > 0 for step in steps)
    hair = F(1, 10**8)
    assert all(step >= plan.least - hair for step in steps)
    assert all(later <= earlier + hair for earlier, later in pairwise(steps))
    assert abs(sum(cut.area for cut in plan.cuts) - chip_area(plan.infeed, plan.half_angle, plan.tip)) < hair
    if not plan.clamped:
        assert max(cut.area for cut in plan.cutting) - min(cut.area for cut in plan.cutting) < hair


@settings(deadline=None, max_examples=60)
@given(
    depth=st.fractions(F(1, 10), F(2), max_denominator=500), tip=TIPS, largest=st.fractions(F(1, 15), F(1, 2), max_denominator=100), least=st.fractions(F(0), F(1, 20), max_denominator=200)
)
def test_without_a_number_no_chip_is_above_that_of_the_largest_first_cut(depth: F, tip: Tip, largest: F, least: F) -> None:
    assume(least <= largest)
    try:
        plan = plan_passes(depth, V60, tip, largest=largest, least=least)
    except ValueError:
        # Only where whole cuts between least and largest cannot add up to the depth.
        assert not any(least * count <= depth <= largest * count for count in range(1, 250)) or largest * max(int(depth / least) if least else 1, 1) < depth
        return
    assert all(cut.step <= largest + F(1, 10**8) for cut in plan.cuts)
    if not plan.clamped and least == 0:
        assert all(cut.area <= chip_area(largest, V60, tip) + F(1, 10**8) for cut in plan.cuts)


@pytest.mark.parametrize(
    ("pitch", "tool", "material", "fewest", "most"),
    # Published insert threading guides (their pitches, steel) and common practice with HSS in mild steel; brass takes 0.6 of it, stainless 1.5.
    [("1.5", "carbide", "mild steel", 6, 10), ("3", "carbide", "mild steel", 10, 16), ("1.5", "HSS", "mild steel", 9, 14), ("2", "HSS", "mild steel", 11, 17),
     ("1.5", "HSS", "brass", 5, 9), ("1.5", "HSS", "stainless 304", 13, 21), ("127/80", "HSS", "mild steel", 9, 15), ("12", "HSS", "mild steel", 56, 84)],
)  # fmt: skip
def test_practice_by_pitch(pitch: str, tool: str, material: str, fewest: int, most: int) -> None:
    found = advise_passes(F(pitch), tool, material)
    assert (found.fewest, found.most) == (fewest, most)
    assert found.least == (F("0.05") if tool == "carbide" else F("0.02"))
    # Common practice: first cuts to 0.3 mm in steel and 0.4 in brass with HSS; published: no insert pass above 0.5.
    assert found.least <= found.first <= (F("0.5") if tool == "carbide" else F("0.4") if material == "brass" else F("0.3"))
    inside = advise_passes(F(pitch), tool, material, inside=True)
    assert inside.first <= found.first
    assert inside.most == most + 3


@pytest.mark.parametrize("tool", ["HSS", "carbide", "carbon steel"])
@pytest.mark.parametrize("material", ["mild steel", "brass", "stainless 304", "titanium"])
@pytest.mark.parametrize("pitch", ["0.35", "0.5", "1", "127/80", "3", "6", "10"])
def test_a_plan_by_practice_keeps_to_practice(pitch: str, material: str, tool: str) -> None:
    depth, tip = F(pitch) * F("0.6134"), Tip(radius=F(pitch) / 8)  # depth 17H/24 of ISO 68-1, tip at the root radius's floor P/8
    advice = advise_passes(F(pitch), tool, material)
    plan = plan_by_practice(depth, V60, tip, advice, spring=2)
    steps = [cut.step for cut in plan.cutting]
    assert sum(steps) == depth
    assert len(steps) <= advice.most or max(steps) >= advice.first * F(99, 100)
    assert max(steps) <= advice.first + F(1, 10**8)
    assert min(steps) >= min(advice.least, depth) - F(1, 10**8) or len(steps) == 1
    wished = plan_by_practice(depth, V60, tip, advice, first=depth / 4, last=depth / 20)
    assert (wished.cuts[0].step, wished.cuts[-1].step) == (depth / 4, depth / 20)


def test_a_plan_by_practice_is_close_to_the_published_schedule() -> None:
    # Published insert guide, 1.5 mm outside: 0.28 0.15 0.12 0.10 0.09 0.07 0.06 0.05.
    plan = plan_by_practice(F("0.92"), V60, Tip(radius=F("0.15")), advise_passes(F("1.5"), "carbide", "mild steel"))
    assert len(plan.cuts) == 8
    for cut, step in zip(plan.cuts, ["0.28", "0.15", "0.12", "0.10", "0.09", "0.07", "0.06", "0.05"], strict=True):
        assert abs(cut.step - F(step)) <= F("0.025")


@pytest.mark.parametrize(("tool", "material"), [("stone", "mild steel"), ("HSS", "unobtainium")])
def test_practice_that_is_not_known(tool: str, material: str) -> None:
    with pytest.raises(LookupError, match="no threading practice"):
        advise_passes(F(1), tool, material)


def test_fine_pitches_get_lighter_first_cuts() -> None:
    # Common practice, HSS in mild steel: 0.10 at 0.5 mm; half of it at half that pitch.
    assert advise_passes(F("0.25"), "HSS", "mild steel").first == F("0.05")
    assert advise_passes(F("1.125"), "HSS", "mild steel").first == F("0.15")


def test_a_deep_first_cut_does_not_let_the_others_be_deep() -> None:
    plan = plan_passes(F(1), V60, first=F("0.5"), largest=F("0.1"))
    assert plan.cuts[0].step == F("0.5")
    assert all(cut.step <= F("0.1") for cut in plan.cuts[1:])
    assert plan.cuts[-1].depth == 1
