"""Laws of limits and fits, and sizes as they are written."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import assume, given, reject
from hypothesis import strategies as st

from benchleaf.standards.fits import (
    GRADES,
    HOLES,
    SHAFTS,
    FitError,
    Sized,
    SizeFault,
    SizeLimits,
    ToleranceClass,
    aim,
    attainable,
    fit,
    grade_width,
    grade_within,
    limits,
    parse_tolerance,
    processes,
    sized,
)

SIZES = st.integers(1, 500_000).map(lambda number: F(number, 1000))
CLASSES = st.builds(ToleranceClass, st.sampled_from(HOLES + SHAFTS), st.sampled_from(GRADES))
HOLE_CLASSES = st.builds(ToleranceClass, st.sampled_from(HOLES), st.sampled_from(GRADES[4:14]))
SHAFT_CLASSES = st.builds(ToleranceClass, st.sampled_from(SHAFTS), st.sampled_from(GRADES[4:14]))
INCH = F(127, 5)


def held(size: F, tolerance: ToleranceClass) -> SizeLimits:
    """The limits of what the standard uses; what it does not use says that it is for its class, not its size."""
    found: SizeLimits | FitError
    try:
        found = limits(size, tolerance)
    except FitError as error:
        found = error
    if isinstance(found, FitError):
        assert found.reason == "class"
        reject()
    return found


@given(CLASSES)
def test_classes_read_back(tolerance: ToleranceClass) -> None:
    assert parse_tolerance(str(tolerance)) == tolerance
    assert tolerance.hole == str(tolerance)[0].isupper()


@given(SIZES, CLASSES)
def test_width_is_the_grade(size: F, tolerance: ToleranceClass) -> None:
    got = held(size, tolerance)
    assert got.upper > got.lower
    assert got.width == grade_width(size, tolerance.grade)
    assert got.holds(got.lower)
    assert got.holds(got.upper)
    assert got.holds(got.middle)
    assert not got.holds(got.upper + F(1, 10**9))
    assert not got.holds(got.lower - F(1, 10**9))


@given(SIZES, SIZES, st.sampled_from(GRADES))
def test_grades_grow(one: F, other: F, grade: str) -> None:
    small, large = sorted((one, other))
    assert grade_width(small, grade) <= grade_width(large, grade)
    place = GRADES.index(grade)
    if place:
        assert grade_width(small, GRADES[place - 1]) < grade_width(small, grade)


@given(SIZES, st.sampled_from(SHAFTS[: SHAFTS.index("h") + 1]), st.sampled_from(GRADES))
def test_a_to_h_are_mirrored(size: F, letters: str, grade: str) -> None:
    shaft, hole = held(size, ToleranceClass(letters, grade)), held(size, ToleranceClass(letters.upper(), grade))
    assert (hole.lower_deviation, hole.upper_deviation) == (-shaft.upper_deviation, -shaft.lower_deviation)
    assert hole.lower_deviation >= 0


@given(SIZES, st.sampled_from(["p", "r", "s", "u", "x", "z", "za", "zb", "zc"]), st.integers(8, 16))
def test_coarse_p_to_zc_are_mirrored(size: F, letters: str, grade: int) -> None:
    shaft, hole = held(size, ToleranceClass(letters, str(grade))), held(size, ToleranceClass(letters.upper(), str(grade)))
    assert hole.upper_deviation == -shaft.lower_deviation


@given(SIZES.filter(lambda size: size > 3), st.sampled_from(["k", "m", "n", "p", "r", "s", "t", "u", "v", "x", "y", "z"]), st.integers(5, 8))
def test_the_delta_rule_keeps_a_fit_on_either_basis(size: F, letters: str, grade: int) -> None:
    """H(n) with a shaft of grade n - 1 fits as the hole of grade n does on h(n - 1): what delta is for (ISO 286-1)."""
    if letters not in "kmn":
        grade = min(grade, 7)
    if letters == "m" and grade == 6 and 250 < size <= 315:
        return  # the published table departs from the rule
    fine = str(grade - 1)
    shaft = held(size, ToleranceClass(letters, fine))
    one = fit(held(size, ToleranceClass("H", str(grade))), shaft)
    other = fit(held(size, ToleranceClass(letters.upper(), str(grade))), held(size, ToleranceClass("h", fine)))
    assert (one.loosest, one.tightest) == (other.loosest, other.tightest)


@given(SIZES, st.sampled_from(GRADES), st.sampled_from(["js", "JS"]))
def test_js_is_even(size: F, grade: str, letters: str) -> None:
    got = held(size, ToleranceClass(letters, grade))
    assert got.lower_deviation == -got.upper_deviation


@given(SIZES, st.sampled_from(["6", "7"]))
def test_letters_run_from_loose_to_tight(size: F, grade: str) -> None:
    found = []
    for letters in SHAFTS:
        if letters not in ("js", "j"):
            try:
                found.append(limits(size, ToleranceClass(letters, grade)).upper_deviation)
            except FitError:
                continue
    assert found == sorted(found)


@given(SIZES, HOLE_CLASSES, SHAFT_CLASSES)
def test_clearance_identities(size: F, one: ToleranceClass, other: ToleranceClass) -> None:
    hole, shaft = held(size, one), held(size, other)
    got = fit(hole, shaft)
    assert got.loosest == hole.upper_deviation - shaft.lower_deviation
    assert got.loosest - got.tightest == hole.width + shaft.width
    assert got.largest_clearance - got.smallest_interference == got.loosest
    assert got.smallest_clearance - got.largest_interference == got.tightest
    assert (got.kind == "clearance") == (got.largest_interference == 0)
    assert (got.kind == "interference") == (got.largest_clearance == 0 and got.kind != "clearance")
    assert got.kind != "transition" or (got.largest_clearance > 0 and got.largest_interference > 0)


@given(SIZES, CLASSES, st.sampled_from(["hole", "shaft"]), st.sampled_from([None, *processes()]))
def test_aims_are_within(size: F, tolerance: ToleranceClass, side: str, process: str | None) -> None:
    bounds = held(size, tolerance)
    got = aim(bounds, side, process)
    assert bounds.holds(got.target)
    assert {got.good_from, got.stop_before} == {bounds.lower, bounds.upper}
    assert got.left >= bounds.width / 2
    assert (got.stop_before > got.good_from) == (side == "hole")


@given(SIZES, st.integers(1, 5000).map(lambda number: F(number, 1000)))
def test_grade_within_is_the_coarsest(size: F, width: F) -> None:
    grade = grade_within(size, width)
    if grade is None:
        assert grade_width(size, "01") > width
        return
    assert grade_width(size, grade) <= width
    assert grade == GRADES[-1] or grade_width(size, GRADES[GRADES.index(grade) + 1]) > width


@given(SIZES, st.sampled_from(processes()), st.sampled_from(GRADES))
def test_verdicts(size: F, process: str, grade: str) -> None:
    each = attainable(process)
    bounds = held(size, ToleranceClass("h", grade))
    rank = GRADES.index(grade)
    wanted = "usual" if rank >= GRADES.index(each.usual) else "with care" if rank >= GRADES.index(each.finest) else "too tight"
    assert each.verdict(bounds) == wanted


# What is written, the form, system, nominal size and limits in mm: plane sums.
WRITTEN = [
    ("25 H7", "class", "metric", 25, 25, "25.021"), ("25H7", "class", "metric", 25, 25, "25.021"), ("25 mm H7", "class", "metric", 25, 25, "25.021"),
    ("ø25 H7", "class", "metric", 25, 25, "25.021"), ("⌀ 25 g6", "class", "metric", 25, "24.980", "24.993"), ("12.5 js9", "class", "metric", "12.5", "12.4785", "12.5215"),
    ("1 in h9", "class", "inch", "25.4", "25.348", "25.4"), ("1/2 in H8", "class", "inch", "12.7", "12.7", "12.727"), ('1" h9', "class", "inch", "25.4", "25.348", "25.4"),
    ("1 7/16 in h9", "class", "inch", "36.5125", "36.4505", "36.5125"),
    ("16.00 +0.02/-0.01 mm", "uneven", "metric", 16, "15.99", "16.02"), ("16 mm +0.02/-0.01", "uneven", "metric", 16, "15.99", "16.02"),
    ("16 mm +0.02 / -0.01", "uneven", "metric", 16, "15.99", "16.02"), ("16 mm -0.01/+0.02", "uneven", "metric", 16, "15.99", "16.02"),
    ("16 mm +0.02 -0.01", "uneven", "metric", 16, "15.99", "16.02"), ("16 mm +20 um/-10 um", "uneven", "metric", 16, "15.99", "16.02"),
    ("25 mm +0.03/+0.01", "uneven", "metric", 25, "25.01", "25.03"), ("25 mm -0.02/-0.05", "uneven", "metric", 25, "24.95", "24.98"),
    ("25 mm 0/-0.013", "uneven", "metric", 25, "24.987", 25), ("25 mm +0.05/0", "uneven", "metric", 25, 25, "25.05"), ("25 mm +0.05/\u22120", "uneven", "metric", 25, 25, "25.05"),
    ("1.000 in +0.0005/-0", "uneven", "inch", "25.4", "25.4", "25.4127"), ("1 in +1 thou/-0", "uneven", "inch", "25.4", "25.4", "25.4254"),
    ("1-7/16 in +0.001/-0", "uneven", "inch", "36.5125", "36.5125", "36.5379"),
    ("25 ±0.1 mm", "even", "metric", 25, "24.9", "25.1"), ("25 mm ±0.1", "even", "metric", 25, "24.9", "25.1"), ("25 mm ±0.1 mm", "even", "metric", 25, "24.9", "25.1"),
    ("25 +/-0.1 mm", "even", "metric", 25, "24.9", "25.1"), ("25 mm ±20 um", "even", "metric", 25, "24.98", "25.02"), ("1 in ±0.001", "even", "inch", "25.4", "25.3746", "25.4254"),
    ("24.98 to 25.00 mm", "limits", "metric", "24.99", "24.98", 25), ("25 mm to 24.98 mm", "limits", "metric", "24.99", "24.98", 25),
    ("1/2 in to 5/8 in", "limits", "inch", "14.2875", "12.7", "15.875"), ("12.5 mm", "plain", "metric", "12.5", "12.3", "12.7"), ("\u230025 mm", "plain", "metric", 25, "24.8", "25.2"),
    ("1 in", "plain", "inch", "25.4", "25.2", "25.6"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "form", "system", "nominal", "lower", "upper"), WRITTEN, ids=[case[0] for case in WRITTEN])
def test_written_sizes(text: str, form: str, system: str, nominal: str, lower: str, upper: str) -> None:
    got = sized(text)
    assert isinstance(got, Sized)
    assert got.limits is not None
    assert (got.form, got.system, got.nominal, got.limits.lower, got.limits.upper) == (form, system, F(nominal), F(lower), F(upper))
    assert sized(str(got)) == got


def test_a_plain_size_need_not_have_limits() -> None:
    for text, general in (("12.5 mm", None), ("0.3 mm", "m"), ("4.1 m", "m")):
        got = sized(text, general)
        assert isinstance(got, Sized)
        assert got.limits is None
        assert sized(str(got), general) == got


# The text, why it is no size, and the characters at fault.
FAULTS = [
    ("", "quantity", ""), ("abc", "quantity", "abc"), ("25", "quantity", "25"), ("25 H19", "class", "H19"), ("25 Hh7", "class", "Hh7"), ("25 H7/g6", "class", "H7/g6"),
    ("25 w6", "class", "w6"), ("25,5 H7", "quantity", ","), ("600 H7", "size", "600"), ("5 K9", "class", "K9"), ("20 in H7", "size", "20 in"), ("25 mm +0/-0", "text", "25 mm +0/-0"),
    ("25 mm to 25 mm", "text", "25 mm to 25 mm"), ("0.1 mm ±0.2", "text", "0.1 mm ±0.2"), ("16 +0.02/-0.01", "quantity", "16"), ("25 ±0.1", "quantity", "25"), ("25 ±20 um", "quantity", "25"),
    ("25 mm ±0", "text", "25 mm ±0"), ("25 kg", "quantity", "kg"), ("25 to 26", "quantity", "26"), ("25 mm +0.1/-0.1/-0.2", "quantity", None), ("25 mm ±±0.1", "quantity", None), ("25 mm -1-1/2", "quantity", None), ("25 mm +0.1", "quantity", None),
    ("H7", "quantity", None), ("-25 H7", "quantity", None), ("0 H7", "quantity", None), ("x" * 400, "text", "x" * 80), ("1 +1" * 20, "quantity", None), (" " * 80, "quantity", None), ("25 " + "+1/" * 25, "quantity", None),
]  # fmt: skip


@pytest.mark.parametrize(("text", "reason", "marked"), FAULTS, ids=[case[0][:20] for case in FAULTS])
def test_faults(text: str, reason: str, marked: str | None) -> None:
    got = sized(text)
    assert isinstance(got, SizeFault)
    assert got.reason == reason
    assert (got.code != "") == (reason == "quantity")
    assert got.message
    assert not got.message.endswith(".")
    if marked is not None:
        assert text[got.offset : got.offset + got.length] == marked


NUMBERS = st.integers(1, 499_999).map(lambda number: F(number, 1000))
OFFSETS = st.integers(-900, 900).map(lambda number: F(number, 1000))


def decimal(value: F) -> str:
    return f"{value.numerator * 1000 // value.denominator / 1000:.3f}"


@given(NUMBERS, OFFSETS, OFFSETS, st.sampled_from(["mm", "in"]), st.booleans())
def test_deviations_read_back(size: F, one: F, other: F, unit: str, last: bool) -> None:
    low, high = sorted((one, other))
    assume(low < high and size + low > 0)
    offsets = f"{'+' if high >= 0 else ''}{decimal(high)}/{'+' if low >= 0 else ''}{decimal(low)}"
    got = sized(f"{decimal(size)} {offsets} {unit}" if last else f"{decimal(size)} {unit} {offsets}")
    assert isinstance(got, Sized)
    assert got.limits is not None
    scale = INCH if unit == "in" else F(1)
    assert (got.nominal, got.limits.lower_deviation, got.limits.upper_deviation) == (size * scale, low * scale, high * scale)
    assert sized(str(got)) == got


@given(NUMBERS, CLASSES)
def test_classes_with_sizes_read_back(size: F, tolerance: ToleranceClass) -> None:
    bounds = held(size, tolerance)
    got = sized(f"{decimal(size)} {tolerance}")
    assert got == Sized(size, "class", "metric", tolerance, bounds)
    assert sized(str(got)) == got


@given(st.text("0123456789 ./+-±HhJSgmiunto\"ø,", max_size=24))
def test_never_raises_and_always_reads_back(text: str) -> None:
    got = sized(text)
    if isinstance(got, SizeFault):
        assert 0 <= got.offset <= len(text)
        assert got.offset + got.length <= max(len(text), 1)
        return
    assert sized(str(got)) == got
