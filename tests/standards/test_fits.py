"""Limits and fits against the tables of ISO 286-1 and ISO 286-2, the formulas behind them, and the classes of keyways."""

from __future__ import annotations

import json
from fractions import Fraction as F  # noqa: N817 - sums read better
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from benchleaf.standards.fits import (
    GRADES,
    FitError,
    SizeLimits,
    advice,
    aim,
    attainable,
    fit,
    general_limits,
    grade_width,
    grade_within,
    limits,
    parse_fit,
    parse_tolerance,
    processes,
    purposes,
)
from benchleaf.standards.tables import table

CASES: dict[str, Any] = json.loads((Path(__file__).parent / "fits_cases.json").read_text("utf-8"))["tables"]
UM = F(1, 1000)


def held(size: F | int | str, name: str) -> SizeLimits:
    found = parse_tolerance(name)
    assert found is not None
    return limits(F(size), found)


def micrometres(size: F | int | str, name: str) -> tuple[F, F]:
    got = held(size, name)
    return got.upper_deviation / UM, got.lower_deviation / UM


def rows(name: str) -> list[Any]:
    return [pytest.param(row, id=f"{row.get('over', row.get('d_mm'))}-{row.get('class', row.get('fit', ''))}") for row in CASES[name]["rows"]]


def exact(value: float) -> F:
    return F(str(value))


def inside(row: dict[str, Any]) -> tuple[F, ...]:
    """Sizes of a range, 'over, up to and including': just over its lower end, between, and its upper end."""
    low, high = F(row["over"]), F(row["to"])
    # Holes A and B, N9 and coarse grades are not used up to 1 mm.
    return max(low, F(1)) + F(1, 1000), (low + high) / 2, high


@pytest.mark.parametrize("row", rows("it_grades_um"))
def test_grades(row: dict[str, Any]) -> None:
    for size in inside(row):
        assert {grade: grade_width(size, grade) / UM for grade in GRADES} == {grade: exact(row[f"IT{grade}"]) for grade in GRADES}


@pytest.mark.parametrize("row", rows("shaft_deviations_um"))
def test_shafts(row: dict[str, Any]) -> None:
    for size in inside(row):
        for letter in "cdefgh":
            assert micrometres(size, f"{letter}7")[0] == row[f"{letter}_es"]
            assert micrometres(size, f"{letter}11")[0] == row[f"{letter}_es"]
        for letter in "mnprs":
            assert micrometres(size, f"{letter}6")[1] == row[f"{letter}_ei"]
        for grade in GRADES[2:]:
            between = grade in ("4", "5", "6", "7")
            assert micrometres(size, f"k{grade}")[1] == row["k_ei_IT4_to_IT7" if between else "k_ei_other_grades"]
        half = grade_width(size, "7") / UM / 2
        assert micrometres(size, "js7") == micrometres(size, "JS7") == (half, -half)


@pytest.mark.parametrize("row", rows("hole_deviations_um"))
def test_holes(row: dict[str, Any]) -> None:
    def delta(size: F, grade: int) -> F:
        return F(0) if size <= 3 else (grade_width(size, str(grade)) - grade_width(size, str(grade - 1))) / UM

    for size in inside(row):
        for letter in "CDEFGH":
            assert micrometres(size, f"{letter}8")[1] == row[f"{letter}_EI"]
        for letter, last in (("K", 8), ("M", 8), ("N", 8), ("P", 7)):
            for grade in range(3, last + 1):
                if (letter, grade) != ("M", 6):
                    assert micrometres(size, f"{letter}{grade}")[0] == row[f"{letter}_ES_to_IT{last}_before_delta"] + delta(size, grade)
            above = row[f"{letter}_ES_over_IT{last}"]
            if above is None:
                with pytest.raises(FitError) as caught:
                    held(size, f"{letter}{last + 1}")
                assert caught.value.reason == "class"
            else:
                assert micrometres(size, f"{letter}{last + 1}")[0] == above


@pytest.mark.parametrize("row", rows("delta_um"))
def test_delta(row: dict[str, Any]) -> None:
    """What a hole N has over the mirrored shaft n is the tabled delta."""
    for size in inside(row):
        for grade in range(3, 9):
            assert micrometres(size, f"N{grade}")[0] + micrometres(size, "n6")[1] == exact(row[f"IT{grade}"])


@pytest.mark.parametrize("row", rows("fit_limits"))
def test_fits(row: dict[str, Any]) -> None:
    pair = parse_fit(row["fit"])
    assert pair is not None
    hole, shaft = (limits(F(row["d_mm"]), each) for each in pair)
    assert (hole.lower, hole.upper) == (exact(row["hole_min_mm"]), exact(row["hole_max_mm"]))
    assert (shaft.lower, shaft.upper) == (exact(row["shaft_min_mm"]), exact(row["shaft_max_mm"]))
    assert (hole.lower_deviation / UM, shaft.upper_deviation / UM) == (row["hole_EI_um"], row["shaft_es_um"])
    got = fit(hole, shaft)
    assert (got.tightest / UM, got.loosest / UM) == (row["clearance_min_um"], row["clearance_max_um"])
    kind = "clearance" if row["clearance_min_um"] >= 0 else "interference" if row["clearance_max_um"] <= 0 else "transition"
    assert got.kind == kind


@pytest.mark.parametrize("row", rows("hole_class_limits_um"))
def test_hole_classes(row: dict[str, Any]) -> None:
    sizes = (F(row["example_d_mm"]),) if "example_d_mm" in row else inside(row)
    assert {micrometres(size, row["class"]) for size in sizes} == {(row["ES_um"], row["EI_um"])}


# ISO 286-2:2010, from memory: sizes on either side of the ends of ranges, letters and grades that no case above has.
REMEMBERED = [
    (25, "e8", -40, -73), (40, "f6", -25, -41), (30, "k5", 11, 2), (50, "m6", 25, 9), (50, "n6", 33, 17), (60, "r6", 60, 41), (80, "r6", 62, 43),
    (50, "s6", 59, 43), (40, "u6", 76, 60), (50, "u6", 86, 70), (45, "t6", 70, 54), (28, "t6", 54, 41), (20, "x6", 67, 54), (30, "x6", 77, 64),
    (30, "JS7", "10.5", "-10.5"), (30, "J7", 12, -9), (30, "J6", 8, -5), (30, "J8", 20, -13), (25, "j6", 9, -4), (25, "j5", 5, -4),
    (25, "j7", 13, -8), (25, "a11", -300, -430), (25, "b11", -160, -290), (25, "B11", 290, 160), (25, "A11", 430, 300),
    (25, "R7", -20, -41), (25, "S7", -27, -48), (28, "T7", -33, -54), (20, "U7", -33, -54), (28, "X7", -56, -77), (25, "M7", 0, -21),
    (25, "M6", -4, -17), (25, "N6", -11, -24), (25, "P6", -18, -31), (25, "M8", 4, -29), (25, "N9", 0, -52), (25, "D10", 149, 65),
    (25, "H11", 130, 0), (25, "H6", 13, 0), (25, "h5", 0, -9), (100, "g6", -12, -34), (120, "s6", 101, 79), (121, "s6", 117, 92),
    (140, "p6", 68, 43), (300, "M6", -9, -41), (300, "K7", 16, -36), (4, "g6", -4, -12), (4, "p6", 20, 12), (4, "H7", 12, 0),
    (4, "r6", 23, 15), (4, "s6", 27, 19), (100, "H7", 35, 0), (100, "H8", 54, 0), (100, "H9", 87, 0), (100, "H11", 220, 0),
    (2, "K7", 0, -10), (2, "N7", -4, -14), (2, "P7", -6, -16), (2, "k6", 6, 0), (2, "S7", -14, -24), (2, "js6", 3, -3), (2, "j7", 6, -4),
    (500, "H7", 63, 0), (500, "h6", 0, -40), (8, "cd8", -56, -78), (8, "ef6", -18, -27), (8, "fg6", -8, -17), (8, "CD8", 78, 56),
    (1, "f7", -6, -16), (50, "h01", 0, "-0.6"), (50, "h0", 0, -1), (20, "zb8", 169, 136), (12, "z8", 77, 50),
]  # fmt: skip


@pytest.mark.parametrize(("size", "name", "upper", "lower"), REMEMBERED, ids=lambda value: str(value))
def test_published_limits(size: int, name: str, upper: str | int, lower: str | int) -> None:
    assert micrometres(size, name) == (F(upper), F(lower))


def test_keyways_agree() -> None:
    """The limits of keyways of DIN 6885-1 / BS 4235-1, in its own table, are those of their classes."""
    found = 0
    for row in table("keys", "metric_widths").rows:
        for name in ("h9", "H9", "D10", "N9", "JS9", "P9"):
            upper, lower = micrometres(row.number("to"), name)
            assert row.span(name) == (lower, upper)
            found += 1
    assert found >= 36


def mean(row: Any) -> float:
    low, high = float(row.number("over")), float(row.number("to"))
    return ((low or 1.0) * high) ** 0.5


# ISO 286-1 (1988) annex: what the tables were made from, D the geometric mean of the range in mm, before rounding.
MULTIPLES = {"5": 7, "6": 10, "7": 16, "8": 25, "9": 40, "10": 64, "11": 100, "12": 160, "13": 250, "14": 400, "15": 640, "16": 1000, "17": 1600, "18": 2500}


@pytest.mark.parametrize("row", table("limits/iso286", "grades").rows, ids=lambda row: str(row.number("to")))
def test_grades_come_from_their_formula(row: Any) -> None:
    size = mean(row)
    unit = 0.45 * size ** (1 / 3) + 0.001 * size
    for grade, many in MULTIPLES.items():
        assert float(row.number(f"IT{grade}")) == pytest.approx(many * unit, rel=0.17 if row.number("over") == 0 else 0.07, abs=1)
    for grade, first, rate in (("01", 0.3, 0.008), ("0", 0.5, 0.012), ("1", 0.8, 0.020)):
        assert float(row.number(f"IT{grade}")) == pytest.approx(first + rate * size, rel=0.19, abs=0.25)


def expected(letters: str, size: float, it: dict[str, float]) -> float | None:
    """The formula of a letter; published figures depart widely from it for c to 40 mm, m and n to 3 mm, and u to zc to 10 mm."""
    if (size < 10 and letters in ("u", "v", "x", "y", "z", "za", "zb", "zc")) or (size < 3 and letters in ("m", "n")):
        return None
    formulas = {
        "a": -(265 + 1.3 * size) if size <= 120 else -3.5 * size, "b": -(140 + 0.85 * size) if size <= 160 else -1.8 * size,
        "c": -(95 + 0.8 * size) if size > 40 else None, "t": it["7"] + 0.63 * size, "u": it["7"] + size, "v": it["7"] + 1.25 * size,
        "x": it["7"] + 1.6 * size, "y": it["7"] + 2 * size, "z": it["7"] + 2.5 * size, "za": it["8"] + 3.15 * size, "zb": it["9"] + 4 * size,
        "zc": it["10"] + 5 * size, "d": -16 * size**0.44, "e": -11 * size**0.41, "f": -5.5 * size**0.41, "g": -2.5 * size**0.34,
        "n": 5 * size**0.34, "m": it["7"] - it["6"], "cd": -((52 * size**0.2 * 16 * size**0.44) ** 0.5),
        "ef": -((11 * 5.5) ** 0.5) * size**0.41, "fg": -((5.5 * size**0.41 * 2.5 * size**0.34) ** 0.5),
    }  # fmt: skip
    return formulas.get(letters)


@pytest.mark.parametrize("name", ["deviations", "stepped"])
def test_deviations_come_from_their_formulas(name: str) -> None:
    checked = 0
    for row in table("limits/iso286", name).rows:
        it = {grade: float(grade_width(row.number("to"), grade) / UM) for grade in ("6", "7", "8", "9", "10")}
        for letters in row.cells:
            formula = expected(letters, mean(row), it)
            if formula is not None:
                assert float(row.number(letters)) == pytest.approx(formula, rel=0.12 if row.number("to") == 14 else 0.09, abs=1.6), (letters, row.number("to"))
                checked += 1
    assert checked > 80


@pytest.mark.parametrize("name", ["grades", "deviations", "stepped"])
def test_tables_run_on_from_range_to_range(name: str) -> None:
    """No gap, no overlap, and no figure that goes back towards nought with size."""
    found = table("limits/iso286", name).rows
    assert (found[0].number("over"), found[-1].number("to")) == (0, 500)
    for one, other in pairwise(found):
        assert one.number("to") == other.number("over")
        for column in set(one.cells) & set(other.cells) - {"over", "to", "remembered"}:
            assert abs(one.number(column)) <= abs(other.number(column)), column


def test_r_lies_between_its_neighbours() -> None:
    """r is the geometric mean of p and s (ISO 286-1)."""
    for row in table("limits/iso286", "stepped").rows:
        size = row.number("to")
        p, r, s = (float(held(size, f"{letter}6").lower_deviation / UM) for letter in "prs")
        assert r == pytest.approx((p * s) ** 0.5, rel=0.05, abs=1)


@pytest.mark.parametrize(
    ("size", "name", "reason"),
    [("500.001", "H7", "size"), ("0", "H7", "size"), ("-1", "h6", "size"), ("5", "K9", "class"), ("20", "t6", "class"), ("24", "T7", "class"),
     ("14", "v6", "class"), ("18", "y6", "class"), ("12", "cd8", "class"), ("25", "j4", "class"), ("25", "J9", "class"), ("25", "j8", "class"),
     ("1", "a11", "class"), ("1", "B11", "class"), ("1", "N9", "class"), ("1", "h14", "class"), ("1", "JS16", "class"), ("25", "K2", "class"),
     ("25", "P01", "class")],
)  # fmt: skip
def test_what_the_standard_does_not_use(size: str, name: str, reason: str) -> None:
    with pytest.raises(FitError) as caught:
        held(size, name)
    assert caught.value.reason == reason
    assert caught.value.hint
    assert not str(caught.value).endswith(".")


def test_ends_of_what_is_used() -> None:
    assert [micrometres(size, name)[0] for size, name in ((24 + UM, "t6"), (14 + UM, "v6"), (1 + UM, "a11"), (1 + UM, "N9"))] == [54, 50, -270, -4]


def test_statuses() -> None:
    """A result is trusted as far as the least of its figures; what came from a rule says so."""
    assert (held(25, "g6").status, held(25, "g6").basis) == ("published", "table")
    assert (held(25, "K7").status, held(25, "K7").basis) == ("published", "rule")
    assert (held(25, "u6").status, held(4, "s6").status, held(4, "h9").status, held(4, "h7").status) == ("from memory",) * 3 + ("published",)
    assert held(25, "h17").status == "from memory"
    assert held(300, "M6").basis == "table"


@pytest.mark.parametrize("text", ["H19", "H", "7", "h00", "Hh7", "Js6", "I7", "l6", "O6", "q6", "w6", "ab6", "H7g6", "", "H 7", "H007", "H-7", "H٧"])
def test_no_tolerance_class(text: str) -> None:
    assert parse_tolerance(text) is None


@pytest.mark.parametrize("text", ["g6/H7", "H7", "H7/H7", "g6/g6", "H7/g6/h6", "H7/", "/g6"])
def test_no_fit(text: str) -> None:
    assert parse_fit(text) is None


# ISO 2768-1:1989 table 1, from memory: plus and minus, mm.
@pytest.mark.parametrize(
    ("size", "f", "m", "c", "v"),
    [("0.5", "0.05", "0.1", "0.2", None), ("3", "0.05", "0.1", "0.2", None), ("3.001", "0.05", "0.1", "0.3", "0.5"), ("6", "0.05", "0.1", "0.3", "0.5"),
     ("6.01", "0.1", "0.2", "0.5", "1"), ("30", "0.1", "0.2", "0.5", "1"), ("31", "0.15", "0.3", "0.8", "1.5"), ("120", "0.15", "0.3", "0.8", "1.5"),
     ("121", "0.2", "0.5", "1.2", "2.5"), ("400", "0.2", "0.5", "1.2", "2.5"), ("401", "0.3", "0.8", "2", "4"), ("1000", "0.3", "0.8", "2", "4"),
     ("2000", "0.5", "1.2", "3", "6"), ("2001", None, "2", "4", "8"), ("4000", None, "2", "4", "8"), ("4001", None, None, None, None),
     ("0.49", None, None, None, None)],
)  # fmt: skip
def test_general_tolerances(size: str, f: str | None, m: str | None, c: str | None, v: str | None) -> None:
    for grade, wanted in (("f", f), ("m", m), ("c", c), ("v", v)):
        got = general_limits(F(size), grade)
        assert (got is None) == (wanted is None)
        if got is not None and wanted is not None:
            assert (got.lower_deviation, got.upper_deviation, got.basis, got.status) == (-F(wanted), F(wanted), "general", "from memory")


def test_general_tolerance_classes_end() -> None:
    with pytest.raises(FitError):
        general_limits(F(10), "x")


def test_advice_gives_the_preferred_fits() -> None:
    """ANSI B4.2 (ISO 286-1) preferred fits: hole basis and shaft basis; from memory."""
    hole = ["H11/c11", "H9/d9", "H8/f7", "H7/g6", "H7/h6", "H7/k6", "H7/n6", "H7/p6", "H7/s6", "H7/u6"]
    shaft = ["C11/h11", "D9/h9", "F8/h7", "G7/h6", "H7/h6", "K7/h6", "N7/h6", "P7/h6", "S7/h6", "U7/h6"]
    found = [advice(purpose) for purpose in purposes()]
    assert [f"{each.hole}/{each.shaft}" for each in found] == hole
    assert [f"{each.hole_on_shaft}/{each.shaft_h}" for each in found] == shaft
    with pytest.raises(FitError, match="no fit is known for rattling"):
        advice("rattling")


@pytest.mark.parametrize("size", ["2", "5", "10", "25", "63", "100", "180", "315", "500"])
def test_advised_fits_do_what_they_are_for(size: str) -> None:
    """From loose to tight without a step back, each of its kind, and on either basis the same but for P7 and tighter up to 3 mm."""
    kinds, tightest = [], []
    for purpose in purposes():
        each = advice(purpose)
        one = fit(limits(F(size), each.hole), limits(F(size), each.shaft))
        other = fit(limits(F(size), each.hole_on_shaft), limits(F(size), each.shaft_h))
        kinds.append(one.kind)
        tightest.append(one.tightest)
        if F(size) > 3:
            assert (one.loosest, one.tightest) == (other.loosest, other.tightest)
    assert kinds[:5] == ["clearance"] * 5
    assert kinds[5:7] == ["transition"] * 2
    assert kinds[8:] == ["interference"] * 2
    assert tightest == sorted(tightest, reverse=True)


def test_aims() -> None:
    """Common practice: in the middle, or with metal left on when another cut can follow."""
    bore, journal = held(25, "H7"), held(25, "g6")
    assert aim(bore, "hole").target == bore.middle == F("25.0105")
    reamed = aim(bore, "hole", "reaming")
    assert (reamed.target, reamed.good_from, reamed.stop_before) == (bore.middle, 25, F("25.021"))
    bored, turned = aim(bore, "hole", "boring"), aim(journal, "shaft", "turning")
    assert (bored.target, bored.good_from, bored.stop_before, bored.left) == (F("25.00525"), 25, F("25.021"), F("0.01575"))
    assert (turned.target, turned.good_from, turned.stop_before) == (F("24.98975"), F("24.993"), F("24.980"))
    for side, process in (("slot", None), ("hole", "wishing")):
        with pytest.raises(FitError) as caught:
            aim(bore, side, process)
        assert caught.value.reason == "name"


def test_processes() -> None:
    """Workshop handbooks agree on the order; IT7 to IT8 for a sound reamed hole from an open reaming guide."""
    reaming = attainable("reaming")
    assert (reaming.usual, reaming.coarsest) == ("7", "8")
    for name in processes():
        each = attainable(name)
        assert GRADES.index(each.finest) < GRADES.index(each.usual) < GRADES.index(each.coarsest)
    best = {name: GRADES.index(attainable(name).usual) for name in processes()}
    assert best["lapping"] < best["grinding"] < best["reaming"] < best["turning"] < best["drilling"]
    assert attainable("drilling").verdict(held(10, "H7")) == "too tight"
    assert attainable("drilling").verdict(held(10, "H11")) == "with care"
    assert attainable("drilling").verdict(held(10, "H12")) == "usual"
    written = [SizeLimits(F(1200), -width / 2, width / 2, "as written", "as written", "owner") for width in (F("0.01"), F(1))]
    assert [attainable("turning").verdict(limits) for limits in written] == ["too tight", "usual"]  # the tables end at 500 mm
    with pytest.raises(FitError):
        attainable("wishing")


def test_grade_within() -> None:
    assert grade_within(F(25), F("0.03")) == "7"
    assert grade_within(F(25), F("0.021")) == "7"
    assert grade_within(F(25), F("0.0209")) == "6"
    assert grade_within(F(25), F("0.0001")) is None
