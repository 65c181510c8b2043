"""Traps of the standards, each by name, and what the forms say."""

from __future__ import annotations

import math
from fractions import Fraction

import mpmath
import pytest

from benchleaf.standards.threads import DesignationError, parse_designation, thread_by_hand
from benchleaf.standards.threads.form import form

INCH = Fraction(127, 5)


def test_half_inch_pipe_is_not_half_an_inch() -> None:
    thread = parse_designation("1/2 BSP")
    assert thread.major == Fraction("20.955")  # ISO 228-1
    assert thread.tpi == 14
    assert thread.size_is_nominal_bore
    assert "20.955" in thread.notes[0]


def test_pipe_thread_height_is_rounded_first() -> None:
    """ISO 228-1: h of 14 TPI is 1.162 mm; unrounded it would put the minor diameter of G 1/2 at 18.6315, not 18.631."""
    assert parse_designation("G 1/2").minor_diameter == Fraction("18.631")
    assert parse_designation("G 3/4").minor_diameter == Fraction("24.117")


def test_lead_stands_before_pitch() -> None:
    for designation, pitch, lead, depth in (("Tr40x14(P7)", 7, 14, 4), ("M16xPh3P1.5", Fraction(3, 2), 3, Fraction("0.920"))):
        thread = parse_designation(designation)
        assert (thread.pitch, thread.lead, thread.starts) == (pitch, lead, 2)
        assert abs((thread.major - thread.root_diameter) / 2 - depth) < Fraction(1, 1000)
    single, double = parse_designation("M16x1.5-6g").limits(False), parse_designation("M16xPh3P1.5-6g").limits(False)
    assert (single.pitch, single.major) == (double.pitch, double.major)


def test_pitch_diameter_class_stands_first() -> None:
    """ISO 965-1: 4g6g is grade 4 on the pitch diameter, 6 on the major; 5H6H grade 5 on the pitch diameter, 6 on the minor."""
    both, four, six = (parse_designation(f"M10x1.5-{words}").limits(False) for words in ("4g6g", "4g", "6g"))
    assert (both.pitch, both.major) == (four.pitch, six.major)
    mixed, five, six = (parse_designation(f"M10x1.5-{words}").limits(True) for words in ("5H6H", "5H", "6H"))
    assert (mixed.pitch, mixed.minor) == (five.pitch, six.minor)


def test_small_metric_threads_have_their_own_usual_classes() -> None:
    assert parse_designation("M1.4").tolerance == "5H/6h"
    assert parse_designation("M1.6").tolerance == "6H/6g"
    assert not parse_designation("M1.6").tolerance_given
    assert parse_designation("M1.4").limits(False).allowance == 0


def test_allowance_of_1a_comes_from_the_2a_tolerance() -> None:
    """ASME B1.1: 0.300 x the class 2A tolerance in 1A and 2A; none in 3A and inside."""
    one, two, three = (parse_designation(f"1/4-20 UNC-{words}").limits(False) for words in ("1A", "2A", "3A"))
    assert one.allowance == two.allowance == Fraction(11, 10000) * INCH
    assert three.allowance == 0
    assert one.pitch.upper == two.pitch.upper


def test_engagement_of_the_unified_formula_follows_the_series() -> None:
    """ASME B1.1: one diameter for UNC, UNF and 8-UN, nine pitches for UNEF, 12- to 32-UN and UNS; so 1-12 UNF and 1-12 of the 12-UN differ in name only."""
    wide = parse_designation("2-8 UN-2A").limits(False).basis[0]
    narrow = parse_designation("2-12 UN-2A").limits(False).basis[0]
    assert "LE = D" in wide.formula
    assert "LE = 9 P" in narrow.formula
    assert "LE = D" in parse_designation("1-12 UN-2A").limits(False).basis[0].formula
    assert "LE = 9 P" in parse_designation("1/2-28 UNEF-2A").limits(False).basis[0].formula
    assert "LE = 9 P" in parse_designation("1-14 UNS-2A").limits(False).basis[0].formula


def test_minor_diameter_formula_changes_below_a_quarter_inch() -> None:
    """ASME B1.1 tables: 10-24 UNC-2B bore 0.145 to 0.156 in; the formula for a quarter inch and up would stop at 0.155."""
    assert parse_designation("10-24 UNC-2B").limits(True).minor.upper == Fraction(156, 1000) * INCH
    assert "below 1/4 in" in parse_designation("10-24 UNC-2B").limits(True).basis[2].formula
    assert "below 1/4 in" not in parse_designation("1/4-20 UNC-2B").limits(True).basis[2].formula


def test_bsw_and_unc_of_a_size_are_not_one_thread() -> None:
    whitworth, unified = parse_designation("1/2 BSW"), parse_designation("1/2 UNC")
    assert (whitworth.tpi, whitworth.form.included_angle) == (12, 55)
    assert (unified.tpi, unified.form.included_angle) == (13, 60)


def test_ba_pitch_and_diameter_have_two_significant_figures() -> None:
    """BS 93: 2 BA has a pitch of 0.81 mm, 3 BA 0.73 and not 0.729, 16 BA 0.19 and 0.79 over the crests."""
    assert parse_designation("3 BA").pitch == Fraction("0.73")
    assert (parse_designation("16 BA").pitch, parse_designation("16 BA").major) == (Fraction("0.19"), Fraction("0.79"))
    assert parse_designation("3 BA").tpi is None


def test_trapezoidal_deviation_is_on_the_pitch_diameter_only() -> None:
    thread = parse_designation("Tr20x4-7e")
    limits = thread.limits(False)
    assert limits.major.upper == 20
    assert limits.minor.upper == thread.root_diameter
    assert limits.pitch.upper == thread.pitch_diameter - Fraction("0.095")


def test_acme_clearance_changes_at_ten_threads_per_inch() -> None:
    """ASME B1.5: 0.020 in on diameter from 10 TPI coarser, 0.010 in finer."""
    ten, twelve = parse_designation("1/2-10 Acme").limits(True), parse_designation("3/8-12 Acme").limits(True)
    assert ten.major.lower == Fraction(52, 100) * INCH
    assert twelve.major.lower == Fraction(385, 1000) * INCH


def test_threads_per_inch_need_not_be_whole() -> None:
    assert parse_designation("3 1/4 BSW").pitch == INCH / Fraction("3.25")
    assert parse_designation("1 NPT").tpi == Fraction("11.5")
    assert parse_designation("4 1/4-2 7/8 BSW").lead == INCH / Fraction("2.875")


def test_worm_lead_is_never_rational() -> None:
    thread = parse_designation("worm module 1 x 2 starts, 18 mm outside")
    assert not thread.lead_rational
    with mpmath.workdps(45):
        assert abs(mpmath.mpf(thread.lead.numerator) / thread.lead.denominator - 2 * mpmath.pi) < mpmath.mpf(10) ** -40
        inch = parse_designation("worm 20 DP").lead
        assert abs(mpmath.mpf(inch.numerator) / inch.denominator - mpmath.pi * mpmath.mpf("25.4") / 20) < mpmath.mpf(10) ** -40
    assert thread.pitch_diameter == pytest.approx(16, abs=1e-12)
    assert parse_designation("M10").lead_rational
    assert parse_designation("worm module 1").limits(False).major.upper is None


def test_root_of_a_bolt_and_bore_of_a_nut_are_different() -> None:
    """ISO 724 and ISO 68-1: M30x1.5 has D1 28.376, d3 28.160; the root of a 6g bolt must lie below 28.344."""
    thread = parse_designation("M30x1.5-6g")
    assert (thread.minor_diameter, thread.root_diameter) == (Fraction("28.376"), Fraction("28.160"))
    assert thread.limits(False).minor.upper == Fraction("28.344")
    assert thread.limits(False).minor.lower is None


def test_engagement_beyond_the_class_is_said() -> None:
    assert not parse_designation("M20x1.5-6g").limits(False, Fraction(15)).notes
    assert "long (L)" in parse_designation("M20x1.5-6g").limits(False, Fraction(60)).notes[0]
    assert not parse_designation("M20x1.5-7g6g-L").limits(False, Fraction(60)).notes
    assert "1 1/2 diameters" in parse_designation("1/2-13 UNC").limits(False, 2 * INCH).notes[0]


@pytest.mark.parametrize(
    ("name", "constants"),
    [
        # depth of the bore, design depth outside, both as a share of the pitch (ISO 68-1, ASME B1.1, BS 84, BS 93, BS 811)
        ("metric 60", (0.541266, 0.613435)), ("unified 60", (0.541266, 0.613435)), ("unified rounded root 60", (0.541266, 0.595392)), ("whitworth 55", (0.640327, 0.640327)),
        ("british association 47.5", (0.6, 0.6)), ("cycle 60", (0.5327, 0.5327)),
    ],
)  # fmt: skip
def test_depth_constants(name: str, constants: tuple[float, float]) -> None:
    shape = form(name)
    assert (float(shape.basic_depth(Fraction(1))), float(shape.design_depth(Fraction(1)))) == pytest.approx(constants, abs=2e-6)


@pytest.mark.parametrize("name", ["whitworth 55", "british association 47.5", "cycle 60"])
def test_root_radius_of_rounded_forms_is_the_one_that_fits(name: str) -> None:
    """The largest tip that still reaches the full depth is the radius that the standard states."""
    shape = form(name)
    pitch = Fraction(1)
    largest, stated = shape.largest_tip_radius(pitch, inside=False), shape.design_root_radius(pitch)
    assert largest is not None
    assert stated is not None
    assert float(largest) == pytest.approx(float(stated), rel=0.007)
    assert float(shape.triangle_height(pitch) or 0) == pytest.approx(0.5 / math.tan(math.radians(float(shape.half_angle))), rel=1e-12)


def test_tips_of_the_metric_form() -> None:
    """ISO 68-1: flats of P/4 at the minor and P/8 at the major diameter; ISO 965-1: root radius at least P/8."""
    shape, pitch = form("metric 60"), Fraction(3, 2)
    assert float(shape.largest_tip_flat(pitch, inside=False)) == pytest.approx(float(pitch) / 4, rel=1e-12)
    assert float(shape.largest_tip_flat(pitch, inside=True)) == pytest.approx(float(pitch) / 8, rel=1e-12)
    assert float(shape.crest_flat(pitch)) == pytest.approx(float(pitch) / 8, rel=1e-12)
    assert shape.least_root_radius(pitch) == pitch / 8


def test_flats_of_power_threads() -> None:
    """ISO 2904: root flat 0.366 P - 0.536 a_c; ASME B1.5: crest 0.3707 P, root 0.3707 P - 0.259 x clearance on diameter."""
    shape, pitch = form("trapezoidal 30"), Fraction(3)
    assert float(shape.largest_tip_flat(pitch, inside=False)) == pytest.approx(0.366025 * 3 - 0.535898 * 0.25, abs=1e-5)
    acme = form("acme 29")
    assert float(acme.crest_flat(INCH / 10) / INCH) == pytest.approx(0.0371, abs=5e-5)
    assert float(acme.largest_tip_flat(INCH / 10, inside=False) / INCH) == pytest.approx(0.0319, abs=5e-5)
    assert form("square").largest_tip_flat(Fraction(5), inside=False) == Fraction(5, 2)


def test_buttress_forms() -> None:
    """ASME B1.9: H 0.890643 p, root radius 0.0714 p; DIN 513: H 1.587911 P, d3 = d - 1.735534 P."""
    assert float(form("buttress 7/45").triangle_height(Fraction(1)) or 0) == pytest.approx(0.890643, abs=1e-6)
    assert float(form("buttress 3/30").triangle_height(Fraction(1)) or 0) == pytest.approx(1.587911, abs=1e-6)
    assert parse_designation("S48x8").root_diameter == 48 - Fraction("13.884272")


def test_threads_by_hand() -> None:
    """BS 84: depth 0.640327 P of a 26 TPI thread is 0.02463 in."""
    own = thread_by_hand(major=Fraction("25.908"), lead=INCH / 26, form="Whitworth", system="inch")
    assert (own.designation, own.tpi, own.pitch_diameter / INCH) == ("1.02-26 Whit", 26, Fraction("0.9954"))
    assert own.limits(False).pitch.status == "derived"
    odd = thread_by_hand(major=Fraction("19.2"), lead=Fraction("2.5"), starts=2, form="metric", hand="left", system="metric", tolerance="6g")
    assert odd.designation == "M19.2xPh2.5P1.25-6g-LH"
    assert odd.notes
    bare = thread_by_hand(major=Fraction(20), lead=Fraction(4), form="square", system="metric").limits(False)
    assert (bare.major.lower, bare.major.upper, bare.pitch.upper, bare.minor.upper) == (None, None, None, None)
    assert (bare.major.basic, bare.pitch.basic, bare.minor.basic) == (20, 18, 16)
    assert "no tolerances" in bare.notes[0]


@pytest.mark.parametrize(
    ("wrong", "hint"),
    [({"form": "whitwurth"}, "whitworth"), ({"lead": Fraction(0)}, "lengths"), ({"starts": 0}, "starts"), ({"hand": "lefty"}, "right-hand"), ({"lead": Fraction(40)}, "check"),
     ({"form": "square", "tolerance": "6g"}, "leave the class out"), ({"tolerance": "6k"}, "capitals")],
)  # fmt: skip
def test_what_is_wrong_by_hand(wrong: dict[str, object], hint: str) -> None:
    good: dict[str, object] = {"major": Fraction(20), "lead": Fraction(2), "form": "metric", "system": "metric"}
    with pytest.raises(DesignationError) as caught:
        thread_by_hand(**{**good, **wrong})  # type: ignore[arg-type]
    assert hint in caught.value.hint
