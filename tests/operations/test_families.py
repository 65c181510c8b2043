"""Every family of threads gets a true sheet: grooves with a flat bottom, tapers, gauging, tapping drills.

Each value stands beside the published source that it is held against; 'common practice' and 'from memory' say so.
"""

from __future__ import annotations

import math
from fractions import Fraction as F  # noqa: N817 - tables of sums read better
from pathlib import Path

import pytest
import yaml
from small_shop import Edit, write

from benchleaf.compile import Checked, check_paths
from benchleaf.sheet.model import Figure
from benchleaf.standards.infeed import Tip, chip_area, depth_for_area, flat_groove, infeed_buttress, infeed_external
from benchleaf.standards.tapers import axial_share, half_angle, set_over
from benchleaf.standards.tapping import Drill, choose_drill, clearance_hole, hole_for_share, letter_drill, number_drill, share_of_thread
from benchleaf.standards.threads import parse_designation

INCH = F(127, 5)
PUBLISHED = yaml.load((Path(__file__).parent / "tapping_drills.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)


# --- a small shop with tools for every form -------------------------------------------------------------------------

TOOLS = """\
  - {name: square, where: outside, angle: 0 deg, tip: {flat: 1.9 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: trapezoidal, where: outside, angle: 30 deg, tip: {flat: 1.2 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: acme, where: outside, angle: 29 deg, tip: {flat: 1.2 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: worm, where: outside, angle: 40 deg, tip: {flat: 1 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: buttress, where: outside, angle: 33 deg, tip: {radius: 0.5 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: ba, where: outside, angle: 47.5 deg, tip: {radius: 0.1 mm}, cuts-with: HSS, side-clearance: 9 deg, beyond-tip: 1 mm}
  - {name: in-55, where: inside, angle: 55 deg, tip: {radius: 0.1 mm}, cuts-with: HSS, smallest-bore: 7 mm, reach: 60 mm, side-clearance: 9 deg, beyond-tip: 1 mm}
"""
MORE = """\
thread-micrometers:
  - name: thread micrometer
    smallest: 0 mm
    largest: 25 mm
    anvils: [{angle: 55 deg, finest: 28 TPI, coarsest: 11 TPI}, {angle: 60 deg, finest: 1.75 mm, coarsest: 2 mm}]
thread-gauges:
  - {name: ring M16, kind: ring, thread: M16x2}
  - {name: plug M16, kind: plug, thread: M16x2}
  - {name: old nut, kind: mating part, thread: Sq 24x4}
taps:
  - {name: tap M10, thread: M10x1.5}
  - {name: tap G 1/2, thread: G 1/2}
  - {name: tap cycle, thread: 1/2-20 BSC}
dies:
  - {name: die M16, thread: M16}
drills:
  - {name: stand, sizes: [18.75 mm], run: {smallest: 1 mm, largest: 13 mm, step: 0.1 mm}}
"""
CENTRES: Edit = ("lathe.yaml", "workholding:\n", "workholding:\n  - {name: centres, kind: centres, largest-speed: 900 rpm}\n")


def shop(
    folder: Path, thread: str, blank: str, tool: str, *, where: str = "outside", more: str = "", centres: bool = False, wires: str = "2.5 mm, 3 mm, 0.29 mm", lead: str = "3 mm"
) -> Checked:
    """The small shop with one thread to cut; ``lead`` is the leadscrew's, so that the train is exact."""
    write(
        folder,
        ("job.yaml", "M16x2-6g", thread),
        ("job.yaml", "outside: 15.9 mm", blank),
        ("job.yaml", "where: outside", f"where: {where}"),
        ("job.yaml", "{relief: {width: 6 mm, diameter: 13.0 mm}}", "{relief: {width: 14 mm}}"),
        ("job.yaml", "tool: out-60", f"tool: {tool}{more}"),
        ("job.yaml", "{by: chuck, stands-out: 60 mm}", "{by: centres}" if centres else "{by: chuck, stands-out: 60 mm}"),
        ("tooling.yaml", "wires:\n", TOOLS + "wires:\n"),
        ("tooling.yaml", "0.29 mm", wires),
        ("tooling.yaml", "", MORE),
        ("lathe.yaml", "{lead: 3 mm", f"{{lead: {lead}"),
        CENTRES,
    )  # fmt: skip
    return check_paths([folder], folder)


def sheet(checked: Checked) -> dict[str, Figure]:
    """Figures of the one section, by id."""
    job = checked.jobs[0]
    assert job.sheet is not None, [fault.message for fault in checked.diagnostics]
    return {figure.id: figure for figure in job.sheet.sections[0].figures()}


def codes(checked: Checked) -> list[str]:
    return sorted(fault.code for fault in checked.diagnostics)


def mm(figure: Figure) -> float:
    assert isinstance(figure.value, F)
    return float(figure.value)


# --- grooves with a flat bottom -------------------------------------------------------------------------------------

GROOVES = [
    # form, major, pitch, basic pitch diameter, design root, half angle, width at the bottom, source
    ("Tr8x1.5", "8", "1.5", "7.25", "6.2", "15", 0.366 * 1.5 - 0.536 * 0.15),  # ISO 2904 diameters; 0.366 P - 0.536 ac, common practice
    ("Tr14x3", "14", "3", "12.5", "10.5", "15", 0.9641),  # ISO 2904 diameters; tool of the root's width 0.9641, plane geometry
    ("Tr44x12", "44", "12", "38", "31", "15", 0.366 * 12 - 0.536 * 0.5),  # ISO 2904
    ("Acme 1-5", "25.4", "5.08", "22.86", "19.812", "14.5", (0.3707 * 0.2 - 0.259 * 0.020) * 25.4),  # ASME B1.5: 0.3707 P - 0.259 x clearance
    ("square 4", "24", "4", "22", "20", "0", 2.0),  # half a pitch: common practice
]


@pytest.mark.parametrize(("what", "major", "pitch", "d2", "root", "half", "width"), GROOVES, ids=[row[0] for row in GROOVES])
def test_the_bottom_of_a_flat_groove(what: str, major: str, pitch: str, d2: str, root: str, half: str, width: float) -> None:
    groove = flat_groove(F(major), F(d2), F(root), F(pitch), F(half), F(0))
    assert float(groove.width) == pytest.approx(width, abs=0.0012)
    assert groove.depth == (F(major) - F(root)) / 2
    # A tool of just that width reaches the root when its flanks are in place: both ways of reckoning the depth agree.
    if F(half):
        assert float(infeed_external(F(major), F(d2), F(pitch), F(half), Tip(flat=groove.width)).depth) == pytest.approx(float(groove.depth), abs=1e-12)


def test_tr14x3_goes_as_deep_as_the_published_sum() -> None:
    """Tr14x3-7e, largest pitch diameter 12.415 (ISO 2903), tool 0.9641 wide: 1.7926 deep (plane geometry)."""
    assert float(infeed_external(F(14), F("12.415"), F(3), F(15), Tip(flat=F("0.9641"))).depth) == pytest.approx(1.7926, abs=6e-4)


def test_a_square_groove_gives_way_evenly() -> None:
    for depth in (F(1, 10), F(1), F(5, 2)):
        area = chip_area(depth, F(0), Tip(flat=F(2)))
        assert area == 2 * depth
        assert depth_for_area(area, F(0), Tip(flat=F(2))) == depth


@pytest.mark.parametrize(("flanks", "pitch", "depth_share", "radius_share"), [((7, 45), 3, "0.662714", "0.071405"), ((3, 30), 8, "0.867767", "0.124271")])
def test_a_buttress_tool_with_the_design_radius_goes_to_the_design_depth(flanks: tuple[int, int], pitch: int, depth_share: str, radius_share: str) -> None:
    """Depth and root radius as shares of the pitch: ASME B1.9 (7/45, addendum 0.3 P), DIN 513 (3/30, addendum 0.375 P; from memory)."""
    addendum = F("0.3") if flanks[0] == 7 else F("0.375")
    infeed = infeed_buttress(F(60), 60 - 2 * addendum * pitch, F(pitch), (F(flanks[0]), F(flanks[1])), Tip(radius=F(radius_share) * pitch))
    assert float(infeed.depth) == pytest.approx(float(F(depth_share) * pitch), abs=2e-5 * pitch)


@pytest.mark.parametrize("tip", [Tip(), Tip(flat=F(1, 5)), Tip(radius=F(1, 10))])
def test_a_buttress_with_equal_flanks_is_a_plain_v(tip: Tip) -> None:
    same = infeed_buttress(F(20), F(18), F(2), (F(30), F(30)), tip)
    plain = infeed_external(F(20), F(18), F(2), F(30), tip)
    assert float(same.depth - plain.depth) == pytest.approx(0, abs=1e-15)


def test_a_narrow_tool_is_side_stepped_by_the_rest_of_the_groove(tmp_path: Path) -> None:
    """Tr24x5-7e by ISO 2903: d2 21.094 to 21.394, d3 18.019 to 18.5; between them P/2 - (d2 - d3) tan 15."""
    found = shop(tmp_path, "Tr24x5-7e", "outside: 23.8 mm", "trapezoidal")
    here = sheet(found)
    assert codes(found) == []
    width = 2.5 - (21.244 - 18.2595) * math.tan(math.radians(15))
    assert mm(here["groove_width"]) == pytest.approx(width, abs=5e-4)
    assert mm(here["side_step"]) == pytest.approx(width - 1.2, abs=5e-4)
    assert mm(here["infeed"]) == pytest.approx((23.8 - 18.2595) / 2, abs=5e-4)
    # 0.02 mm divisions of the small shop's top slide, half of it each way.
    assert here["side_step_dial"].shown == f"{round((width - 1.2) / 2 / 0.02) * 0.02:.2f} mm"
    assert here["infeed_way"].value == "straight, by the cross-slide"
    assert "top_slide_scale" not in here
    assert mm(here["widen_share"]) == pytest.approx(math.tan(math.radians(15)), abs=1e-9)


# --- threads without classes ----------------------------------------------------------------------------------------

BASIC = [
    # designation, blank, tool, leadscrew, major, pitch diameter, root (mm)
    ("Sq 24x4", "24 mm", "square", "3 mm", 24, 22, 20),  # half a pitch deep: common practice
    ("9/16-20 BSC", "0.5625 in", "out-60", "8 TPI", 14.2875, 14.2875 - 0.5327 * 1.27, 14.2875 - 2 * 0.5327 * 1.27),  # BS 811: depth 0.5327 P
    ("S48x8", "48 mm", "buttress", "3 mm", 48, 42, 48 - 2 * 0.867767 * 8),  # DIN 513 (from memory): depth 0.86777 P
    ('"worm module 1.5, 24 mm outside"', "24 mm", "worm", "3 mm", 24, 21, 24 - 2 * 2.2 * 1.5),  # addendum m, dedendum 1.2 m: common practice
]


@pytest.mark.parametrize(("thread", "blank", "tool", "lead", "major", "d2", "root"), BASIC, ids=[row[0] for row in BASIC])
def test_without_a_class_the_sheet_works_to_basic_sizes(
    tmp_path: Path, thread: str, blank: str, tool: str, lead: str, major: float, d2: float, root: float
) -> None:
    found = shop(tmp_path, thread, f"outside: {blank}", tool, lead=lead, more="\n      lead-limit: 5000 ppm")
    here = sheet(found)
    assert codes(found) == []
    assert here["sizes"].value == "basic size, no class known"
    for name, size in (("major_diameter", major), ("pitch_diameter", d2), ("minor_diameter", root)):
        assert mm(here[name]) == pytest.approx(size, abs=2e-3), name
        assert here[name].limits is None
        assert here[name].label.endswith(", basic")
    assert here["blank_diameter"].limits is None


def test_a_blank_off_the_basic_size_is_a_warning_and_the_infeed_starts_from_it(tmp_path: Path) -> None:
    found = shop(tmp_path, "Sq 24x4", "outside: 23.7 mm", "square")  # 0.3 mm off, a twentieth of the pitch is 0.2 mm
    assert codes(found) == ["thread/off-basic"]
    assert mm(sheet(found)["infeed"]) == pytest.approx((23.7 - 20) / 2)


# --- tapers ---------------------------------------------------------------------------------------------------------


def test_taper_sums() -> None:
    # 1 in 16: 1 deg 47 min 24 s (pipe taper, 3/4 in per foot); 1 in 50: 0 deg 34 min 23 s (taper pins); half angles.
    assert float(half_angle(F(1, 16))) == pytest.approx(1 + 47 / 60 + 24 / 3600, abs=2e-4)
    assert float(half_angle(F(1, 50))) == pytest.approx(34 / 60 + 23 / 3600, abs=2e-4)
    # The workshop rule: 1 in 50 on 300 mm between centres is 3 mm, and the exact sine 2.9999.
    assert set_over(F(1, 50), F(300)) == 3
    assert float(set_over(F(1, 50), F(300))) == pytest.approx(300 * math.sin(math.radians(float(half_angle(F(1, 50))))), abs=2e-4)
    assert float(axial_share(F(1, 16))) == pytest.approx(math.cos(math.radians(float(half_angle(F(1, 16))))), abs=1e-12)


def test_r_half_with_the_tailstock_set_over(tmp_path: Path) -> None:
    """R 1/2 by ISO 7-1: 20.955 at the gauge plane 8.2 mm from the small end, within 1.8 mm (one turn); 14 threads per inch."""
    found = shop(tmp_path, "R 1/2", "outside: 23 mm", "out-55", centres=True, lead="8 TPI", more="\n      taper-by: set-over")
    here = sheet(found)
    assert codes(found) == []
    assert mm(here["set_over"]) == pytest.approx(100 / 32)
    assert mm(here["gauge_length"]) == pytest.approx(8.2)
    assert mm(here["small_end"]) == pytest.approx(20.955 - 8.2 / 16)
    assert mm(here["large_end"]) == pytest.approx(20.955 + (20 - 8.2) / 16)
    assert mm(here["plane_tolerance"]) == pytest.approx(1.8, abs=0.02)
    assert mm(here["plane_turns"]) == pytest.approx(1, abs=0.02)
    assert mm(here["set_over_lead"]) == pytest.approx((math.cos(math.radians(1.78991)) - 1) * 1e6, abs=0.01)
    assert "attachment" not in here
    # The tool follows the taper, so the depth is that at the gauge plane, whatever the bar measured: from 20.955 with d2 19.793 (ISO 7-1).
    plain = infeed_external(F("20.955"), F("19.793"), INCH / 14, F(55, 2), Tip(radius=F(1, 10)))
    assert mm(here["infeed"]) == pytest.approx(float(plain.depth), abs=1e-6)


def test_npt_by_an_attachment(tmp_path: Path) -> None:
    """1/2-14 NPT by ASME B1.20.1: E0 0.75843, E1 0.77843 in, L1 0.320 in, height 0.8 P: small end over the crests E0 + 0.8 P."""
    found = shop(tmp_path, "1/2-14 NPT", "outside: 23 mm", "out-60", lead="8 TPI", more="\n      taper-by: taper attachment")
    here = sheet(found)
    assert codes(found) == []
    assert mm(here["gauge_length"]) == pytest.approx(0.320 * 25.4)
    assert mm(here["pitch_diameter"]) == pytest.approx(0.77843 * 25.4, abs=1e-3)
    assert mm(here["small_end"]) == pytest.approx((0.75843 + 0.8 / 14) * 25.4, abs=1e-3)
    assert here["attachment"].value == "1 deg 47 min"
    assert "set_over" not in here


def test_an_inside_taper_is_gauged_at_its_mouth(tmp_path: Path) -> None:
    """Rc 1/2 by ISO 7-1: minor diameter 18.631 at the mouth, smaller by a sixteenth of the depth."""
    found = shop(tmp_path, "Rc 1/2", "bore: 18 mm", "in-55", where="inside", lead="8 TPI", more="\n      taper-by: taper attachment")
    here = sheet(found)
    assert codes(found) == []
    assert mm(here["blank_bore"]) == pytest.approx(18.631)
    assert mm(here["small_end"]) == pytest.approx(18.631 - 20 / 16)
    assert "gauge_length" not in here


def test_a_job_must_say_how_the_taper_is_followed_and_is_told_both_ways(tmp_path: Path) -> None:
    (fault,) = shop(tmp_path, "R 1/2", "outside: 23 mm", "out-55", lead="8 TPI").diagnostics
    assert fault.code == "taper/unsaid"
    told = " ".join([*fault.notes, *fault.hints])
    for words in ("set over by 3.13 mm", "1 deg 47 min", "top slide cannot", "taper-by: set-over"):
        assert words in told


# --- gauging --------------------------------------------------------------------------------------------------------

# Constants of M = d2 + a w - b P: Machinery's Handbook 31, p. 2129 (60, 55, 29 degrees); the others by the same formula.
WIRES = [
    ("M16x2-6g", "outside: 15.9 mm", "out-60", "1.1 mm", 3.0, 0.866025, "3 mm"),
    ("1/2-12 BSW", "outside: 12.6 mm", "out-55", "1.1 mm", 3.16568, 0.960491, "8 TPI"),
    ("2 BA", "outside: 4.6 mm", "ba", "0.455 mm", 3.48295, 1.13634, "3 mm"),
    ("Tr24x5-7e", "outside: 23.8 mm", "trapezoidal", "2.5 mm", 4.86370, 1.86603, "3 mm"),
    ("1-5 Acme", "outside: 25.3 mm", "acme", "3 mm", 4.99393, 1.93334, "8 TPI"),
]


@pytest.mark.parametrize(("thread", "blank", "tool", "wire", "a", "b", "lead"), WIRES, ids=[row[0] for row in WIRES])
def test_wires_of_every_form(tmp_path: Path, thread: str, blank: str, tool: str, wire: str, a: float, b: float, lead: str) -> None:
    here = sheet(shop(tmp_path, thread, blank, tool, lead=lead, wires="0.29 mm, 2.5 mm, 3 mm", more="\n      lead-limit: 5000 ppm"))
    w = float(wire.split()[0])
    assert here["wire_size"].value == F(wire.split()[0])
    parsed = parse_designation(thread)
    limits = here["wires"].limits
    sizes = here["pitch_diameter"].limits
    assert limits is not None
    assert sizes is not None
    for reading, d2 in ((limits.lower, sizes.lower), (limits.upper, sizes.upper)):
        assert reading is not None
        assert d2 is not None
        plane = float(d2) + a * w - b * float(parsed.pitch)
        # The lead correction (w / 2) tan^2 cos cot is what is above the plane formula: first-order contact, derived.
        half = math.radians(float(parsed.form.half_angle))
        slope = float(parsed.lead) / (math.pi * float(d2))
        correction = w / 2 * slope**2 * math.cos(half) / math.tan(half)
        assert float(reading) == pytest.approx(plane + correction, abs=2e-4)
    assert "two wires" in str(here["gauge_also"].value)


def test_what_is_owned_is_used_best_first(tmp_path: Path) -> None:
    """Wires, then the thread micrometer, then a ring: each steps in when the one before is not owned (common practice)."""
    here = sheet(shop(tmp_path, "M16x2-6g", "outside: 15.9 mm", "out-60"))
    assert mm(here["wire_size"]) == 1.1
    assert "thread micrometer, on the pitch diameter; ring M16" in str(here["gauge_also"].value)
    without = tmp_path / "b"
    without.mkdir()
    found = shop(without, "M16x2-6g", "outside: 15.9 mm", "out-60")
    assert found.jobs
    text = (without / "tooling.yaml").read_text(encoding="utf-8")
    start, stop = text.index("wires:\n"), text.index("thread-micrometers:")
    (without / "tooling.yaml").write_text(text[:start] + text[stop:], encoding="utf-8")
    here = sheet(check_paths([without], without))
    assert "wires" not in here
    assert here["micrometer"].limits == here["pitch_diameter"].limits  # it reads the pitch diameter
    (without / "tooling.yaml").write_text(text[:start] + text[text.index("thread-gauges:") :], encoding="utf-8")
    here = sheet(check_paths([without], without))
    assert here["wires"].value == "ring M16"


def test_a_square_thread_has_no_wires_and_goes_by_its_nut(tmp_path: Path) -> None:
    here = sheet(shop(tmp_path, "Sq 24x4", "outside: 24 mm", "square"))
    assert here["wires"].value == "old nut"
    assert "wire_size" not in here


def test_an_inside_thread_is_tried_with_its_plug(tmp_path: Path) -> None:
    here = sheet(shop(tmp_path, "M16x2-6H", "bore: 13.9 mm", "in-60", where="inside"))
    assert here["wires"].value == "plug M16"


# --- taps, dies, drills ---------------------------------------------------------------------------------------------

ROWS = [(family, *row) for family, table in PUBLISHED.items() for row in table["rows"]]


@pytest.mark.parametrize(("family", "thread", "drill", "share", "status"), ROWS, ids=[row[1] for row in ROWS])
def test_the_share_that_a_published_drill_leaves(family: str, thread: str, drill: str, share: str, status: str) -> None:
    wanted = parse_designation(thread)
    depth = (wanted.major - wanted.minor_diameter) / 2  # as the standard has it: BS 93 rounds the depth of BA threads
    found = share_of_thread(wanted.major, depth, F(drill))
    assert float(found) * 100 == pytest.approx(float(share), abs=0.2)  # sizes and shares are rounded in the table, minor diameters in the standard
    assert hole_for_share(wanted.major, depth, found) == F(drill)


METRIC = [(thread, drill) for thread, drill, _, _ in PUBLISHED["metric"]["rows"]]


def test_the_middle_of_the_limits_finds_the_published_drill() -> None:
    """ISO 965 limits of 6H and the drills of BS 1157 / DIN 336: from drills by 0.1 mm, ours is the table's or next to it."""
    tenths = [Drill(f"{F(n, 10)}", F(n, 10)) for n in range(5, 650)]
    same = 0
    for thread, drill in METRIC:
        wanted = parse_designation(f"{thread}-6H") if float(drill) > 1.2 else None  # 5H below M1.6
        if wanted is None:
            continue
        minor = wanted.limits(True).minor
        assert minor.lower is not None
        assert minor.upper is not None
        ours = choose_drill(tenths, (minor.lower + minor.upper) / 2, minor.lower, minor.upper)
        assert ours is not None, thread
        assert abs(ours.size - F(drill)) <= F(1, 5), thread
        same += abs(ours.size - F(drill)) <= F(1, 10)
    assert same >= len(METRIC) * 3 // 4


def test_number_and_letter_drills() -> None:
    """ASME B94.11M, in inches."""
    for number, size in ((1, "0.2280"), (7, "0.2010"), (29, "0.1360"), (43, "0.0890"), (60, "0.0400"), (80, "0.0135")):
        assert number_drill(number).size == F(size) * INCH
    for letter, size in (("A", "0.2340"), ("F", "0.2570"), ("Q", "0.3320"), ("Z", "0.4130")):
        assert letter_drill(letter).size == F(size) * INCH
    sizes = [number_drill(number).size for number in range(80, 0, -1)] + [letter_drill(chr(code)).size for code in range(ord("A"), ord("Z") + 1)]
    assert sizes == sorted(set(sizes))
    for wrong in (0, 81):
        with pytest.raises(LookupError):
            number_drill(wrong)


@pytest.mark.parametrize(("size", "fine", "medium", "coarse"), [("3", "3.2", "3.4", "3.6"), ("6", "6.4", "6.6", "7"), ("10", "10.5", "11", "12"), ("16", "17", "17.5", "18.5"), ("24", "25", "26", "28")])
def test_clearance_holes(size: str, fine: str, medium: str, coarse: str) -> None:
    """ISO 273:1979."""
    assert [clearance_hole(F(size), fit) for fit in ("fine", "medium", "coarse")] == [F(fine), F(medium), F(coarse)]
    assert clearance_hole(F(size) + F(1, 7)) is None


def test_a_tap_that_is_owned_is_offered_with_its_drill(tmp_path: Path) -> None:
    """M10x1.5-6H: minor diameter 8.376 to 8.676 (ISO 965-2); the drill of BS 1157 is 8.5."""
    found = shop(tmp_path, "M10-6H", "bore: 8.5 mm", "in-60", where="inside")
    here = sheet(found)
    assert [(fault.severity.value, fault.code) for fault in found.diagnostics] == [("note", "tap/owned")]
    assert (here["tap"].value, here["tap_drill"].value) == ("tap M10", "8.5 mm")
    limits = here["tap_hole"].limits
    assert limits is not None
    assert (float(limits.lower or 0), float(limits.upper or 0)) == (8.376, 8.676)
    assert mm(here["tap_depth"]) == pytest.approx(92.4, abs=0.05)
    assert "infeed" in here  # the thread is still screwcut


def test_a_stated_share_chooses_the_drill(tmp_path: Path) -> None:
    here = sheet(shop(tmp_path, "M10-6H", "bore: 8.5 mm", "in-60", where="inside", more="\n      tap-share: 75 %"))
    assert mm(here["tap_hole"]) == pytest.approx(10 - 0.75 * 1.0825318 * 1.5, abs=5e-4)
    assert here["tap_drill"].value == "8.8 mm"


def test_a_pipe_tap_takes_the_one_large_drill(tmp_path: Path) -> None:
    """G 1/2 by ISO 228-1: minor diameter 18.631 to 19.172."""
    here = sheet(shop(tmp_path, "G 1/2", "bore: 18.8 mm", "in-55", where="inside", lead="8 TPI"))
    assert here["tap_drill"].value == "18.75 mm"


def test_a_tap_without_a_drill_says_so_and_a_thread_without_limits_is_tapped_at_the_usual_share(tmp_path: Path) -> None:
    here = sheet(shop(tmp_path, "1/2-20 BSC", "bore: 11.4 mm", "in-60", where="inside", lead="8 TPI"))
    hole = 12.7 - 0.75 * 2 * 0.5327 * 1.27  # BS 811 depth, 75 per cent: common practice
    assert mm(here["tap_hole"]) == pytest.approx(hole, abs=1e-6)
    assert here["tap_drill"].value == f"{round(hole, 1)} mm"


def test_a_die_that_is_owned_is_offered(tmp_path: Path) -> None:
    found = shop(tmp_path, "M16x2-6g", "outside: 15.9 mm", "out-60")
    assert "tap/owned" in codes(found)
    here = sheet(found)
    assert here["die"].value == "die M16"
    assert mm(here["clearance"]) == 17.5  # ISO 273, medium
