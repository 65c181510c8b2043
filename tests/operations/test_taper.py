"""Tapers on the sheet: settings and what proves them, against published tapers and plane geometry."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from small_shop import write

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Box, Check, Figure, FigureRef, Say, Section, Steps, Table

DRAWERS = """\
turning-tools:
  - {name: knife, uses: [turn, face], cuts-with: HSS}
boring-bars:
  - {name: bar, smallest-bore: 14 mm, reach: 130 mm, cuts-with: HSS, shank: 40 mm}
centre-drills:
  - {name: centre 3, cuts-with: HSS, pilot: 3.15 mm, body: 8 mm}
drills:
  - {name: drills, cuts-with: HSS, sizes: [10 mm, 16 mm, 20 mm]}
indicators:
  - {name: plunger, division: 0.002 mm, range: 10 mm}
  - {name: lever, division: 0.01 mm, range: 0.8 mm}
taper-gauges:
  - {name: ring, kind: ring, taper: Morse 3}
  - {name: plug, kind: plug, taper: MT3}
"""
SCALE = "scale-zero: along the bed"
CENTRED = "  - centre-drill: {}\n  - hold: {by: chuck, end-for-end: true}\n  - centre-drill: {}\n  - hold: {by: centres}\n"
CENTRES = "workholding:\n  - {name: centres, kind: centres, largest-speed: 900 rpm}"


def plan(
    folder: Path,
    taper: str,
    *,
    slide: int = 80,
    blank: str = "{outside: 60 mm, length: 300 mm}",
    lathe: tuple[tuple[str, str], ...] = (),
    before: str = "",
) -> Section:
    """The section of one taper: ``taper`` in flow style, ``slide`` the top slide's travel in mm."""
    edits = (("top-slide: {travel: 80 mm", f"top-slide: {{travel: {slide} mm"), *lathe)
    write(folder, ("tooling.yaml", "", DRAWERS), *(("lathe.yaml", old, new) for old, new in edits))
    job = (
        f"schema: 1\nkind: job\nname: Taper\nmachine: lathe.yaml\nmaterial: steel.yaml\nblank: {blank}\nheld: "
        f"{{by: chuck}}\nmissing-steps: plan\nsteps:\n{before}  - taper: {taper}\n"
    )
    (folder / "job.yaml").write_text(job, encoding="utf-8")
    checked = check_paths([folder / "job.yaml"], folder)
    sheet = checked.jobs[0].sheet
    assert sheet is not None, [f"{fault.span} {fault.message}" for fault in checked.diagnostics]
    return sheet.sections[-1]


def figures(section: Section) -> dict[str, Figure]:
    return {figure.id: figure for figure in section.figures()}


def number(section: Section, name: str) -> float:
    value = figures(section)[name].value
    assert not isinstance(value, str)
    return float(value)


def words(section: Section) -> str:
    """Everything that the section says in sentences."""
    said: list[Say] = []
    for block in section.blocks:
        if isinstance(block, Steps):
            said += block.steps
        elif isinstance(block, Check):
            said.append(block.words)
        elif isinstance(block, Box):
            said.append(block.rule)
    return " ".join(say.words for say in said)


MORSE_2, MORSE_3 = 0.59941 / 12, 0.60235 / 12  # ASME B5.10: taper in inches over a foot


@pytest.mark.parametrize(
    ("taper", "slide", "half_angle", "reading"),
    [
        # Half angles: ASME B5.10 (Morse), ISO 297 (7:24, 8 deg 17 min 50 s), DIN 254 (1:10, 2 deg 51 min 45 s; 1:50, 34 min 23 s).
        # Readings: the sine over 100 or 50 mm of the slide, plane geometry; at 7:24 the tangent would be 0.076 mm more.
        ("{taper: Morse 2, where: outside, large: 50 mm, length: 60 mm}", 100, 1.4307, 2.4968),
        ("{taper: Morse 3, where: outside, large: 50 mm, length: 60 mm}", 100, 1.4377, 2.5090),
        ("{taper: '7:24', where: outside, large: 50 mm, length: 40 mm}", 50, 8.2971, 7.2153),
        ("{taper: '1:10', where: outside, large: 50 mm, length: 40 mm}", 100, 2.8624, 4.9938),
        ("{taper: '1:50', where: outside, large: 50 mm, length: 40 mm}", 100, 0.5729, 0.9999),
    ],
)  # fmt: skip
def test_the_needle_moves_by_the_sine_on_a_parallel_bar(tmp_path: Path, taper: str, slide: int, half_angle: float, reading: float) -> None:
    section = plan(tmp_path, taper, slide=slide)
    assert number(section, "half_angle") == pytest.approx(half_angle, abs=2e-4)
    assert number(section, "clock_travel") == slide
    assert number(section, "clock_reading") == pytest.approx(reading, abs=6e-4)


@pytest.mark.parametrize(
    ("taper", "travel", "reading"),
    [
        # Tangents over the saddle's travel along the finished taper: half the rate (plane geometry; rates ASME B5.10, ISO 297).
        ("{taper: Morse 3, where: outside, large: 50 mm, length: 100 mm}", 100, 2.5098),
        ("{taper: '7:24', where: outside, large: 50 mm, length: 50 mm}", 50, 7.2917),
    ],
)
def test_along_the_taper_it_moves_by_the_tangent(tmp_path: Path, taper: str, travel: int, reading: float) -> None:
    section = plan(tmp_path, taper, slide=120)
    assert number(section, "saddle_travel") == travel
    assert number(section, "saddle_reading") == pytest.approx(reading, abs=6e-4)


@pytest.mark.parametrize(("zero", "scale"), [("along the bed", 5), ("across the bed", 85)])
def test_the_scale_reads_the_half_angle_from_where_its_zero_is(tmp_path: Path, zero: str, scale: int) -> None:
    """10 deg included is 5 deg of slide (plane geometry): 5 from the bed, 85 from across it."""
    section = plan(
        tmp_path, "{taper: 10 deg included, where: outside, large: 50 mm, length: 40 mm}", lathe=((SCALE, f"scale-zero: {zero}"),)
    )
    assert number(section, "slide_setting") == scale
    assert figures(section)["slide_setting"].shown == f"{scale}.0"


def test_an_outside_morse_taper(tmp_path: Path) -> None:
    """Morse 3 by ASME B5.10: 0.938 in at the gauge line, 0.60235 in per foot, 3.1875 in long, hence 0.778 in at the small end."""
    section = plan(tmp_path, "{taper: Morse 3, where: outside}", slide=100, blank="{outside: 25 mm, length: 140 mm}")
    assert number(section, "large_end") == pytest.approx(0.938 * 25.4)
    assert number(section, "small_end") == pytest.approx(0.778 * 25.4, abs=0.001 * 25.4)
    assert number(section, "length") == pytest.approx(3.1875 * 25.4)
    # The most metal comes off at the small end, and the dial reads depth: half of the difference.
    table = next(table for table in section.tables() if table.title.startswith("Cuts"))
    last = table.rows[-1].values[3]
    assert last is not None
    assert float(last) == pytest.approx((25 - 0.778 * 25.4) / 2, abs=0.02)
    assert "at the small end" in table.title
    # One scale division (1 deg) over the length: 2 L (tan(a + 1 deg) - tan a).
    angle = math.atan(MORSE_3 / 2)
    assert number(section, "scale_worth") == pytest.approx(2 * 3.1875 * 25.4 * (math.tan(angle + math.radians(1)) - math.tan(angle)))
    # One division of the needle over the travel: asin((s sin a + 0.002) / s) - a, in minutes.
    travel = number(section, "clock_travel")
    finer = math.asin(math.sin(angle) + 0.002 / travel) - angle
    assert number(section, "needle_angle") == pytest.approx(60 * math.degrees(finer), rel=1e-6)
    assert number(section, "needle_worth") == pytest.approx(2 * 3.1875 * 25.4 * (math.tan(angle + finer) - math.tan(angle)), rel=1e-6)
    assert figures(section)["gauge"].value == "ring"
    said = words(section)
    assert "headstock end towards you" in said
    assert "Or along plug, held between true centres" in said
    assert "Contact on the large end alone: angle too large" in said, "a steep shank bears at the mouth of its ring"


def test_an_inside_taper_of_one_in_ten(tmp_path: Path) -> None:
    """30 mm at the mouth, 1:10 over 40 mm: 26 mm inside (arithmetic), the bore at 20 opened by 5 mm on the radius at the mouth."""
    section = plan(
        tmp_path, "{taper: '1:10', where: inside, large: 30 mm, length: 40 mm}", blank="{outside: 60 mm, bore: 20 mm, length: 80 mm}"
    )
    assert number(section, "small_end") == 26
    assert number(section, "to_remove") == 10
    assert number(section, "half_angle") == pytest.approx(2.8624, abs=1e-4)
    table = next(table for table in section.tables() if table.title.startswith("Cuts"))
    assert table.rows[-1].values[3] == 5, "the running total of the dial, which reads depth"
    assert table.rows[-1].shown[3] == "1.00", "wound towards the operator the collar counts down from its 2 mm: 5 mm leave it at 1.00"
    assert "at the large end" in table.title
    said = words(section)
    assert "headstock end away from you" in said
    assert "Contact on the small end alone: angle too large" in said


def test_the_hole_of_an_inside_taper_is_planned_when_asked(tmp_path: Path) -> None:
    """Solid bar: drilled first, smaller than the small end by what boring wants."""
    blank = "{outside: 60 mm, bore: 5 mm, length: 80 mm}"
    section = plan(tmp_path, "{taper: '1:10', where: inside, large: 30 mm, length: 40 mm}", blank=blank.replace(", bore: 5 mm", ""))
    assert number(section, "stock") == 20


def test_a_gauge_that_stands_off_says_what_is_left(tmp_path: Path) -> None:
    """Morse 2: 0.05 mm on the diameter is 1.001 mm along (arithmetic on ASME B5.10), so 0.2 mm on it, 5 divisions of 0.02 deep, 4.004."""
    section = plan(tmp_path, "{taper: Morse 2, where: outside, large: 50 mm, length: 60 mm}")
    table: Table = next(table for table in section.tables() if table.id == "stand_off")
    row = next(row for row in table.rows if row.values[2] == 5)
    assert row.values[0] is not None
    assert float(row.values[0]) == pytest.approx(4.004, abs=0.002)
    assert row.shown[1] == "0.10"


def test_set_over_goes_by_the_whole_length(tmp_path: Path) -> None:
    """1:50 on work 300 mm between centres: 2.9999 along its own axis, 3.0 by the usual rule (plane geometry)."""
    section = plan(
        tmp_path,
        "{taper: '1:50', where: outside, large: 50 mm, length: 40 mm, by: set-over}",
        lathe=(("workholding:", CENTRES),),
        before=CENTRED,
    )
    assert number(section, "set_over") == pytest.approx(2.9999, abs=6e-4)
    assert number(section, "set_over_rule") == 3
    assert "towards you" in words(section)


def test_a_known_offset_counts_towards_the_set_over(tmp_path: Path) -> None:
    """The tailstock stands 0.5 mm towards the operator already, which is where it goes for a small end at the tailstock: 2.5 mm are "
    "left."""
    reading = "stop-time: 1.5 s\nreadings: [{what: tailstock across, reads: 0.5 mm, date: 2026-10-04}]"
    section = plan(
        tmp_path,
        "{taper: '1:50', where: outside, large: 50 mm, length: 40 mm, by: set-over}",
        lathe=(("workholding:", CENTRES), ("stop-time: 1.5 s", reading)),
        before=CENTRED,
    )
    assert number(section, "set_over_from_here") == pytest.approx(2.4999, abs=6e-4)


def test_a_taper_attachment_is_clocked_by_the_saddle(tmp_path: Path) -> None:
    """It is set to the half angle; the saddle moves along the bed, so the needle shows the tangent: 100 mm x 0.59941 / 24 (plane "
    "geometry)."""
    section = plan(
        tmp_path,
        "{taper: Morse 2, where: outside, large: 50 mm, length: 60 mm, by: taper attachment}",
        lathe=(
            ("stop-time: 1.5 s", "stop-time: 1.5 s\ntaper-attachment: {largest-angle: 8 deg, length: 200 mm, scale-division: 0.5 deg}"),
        ),
    )
    assert number(section, "attachment_setting") == pytest.approx(1.4307, abs=1e-4)
    assert number(section, "clock_travel") == 100
    assert number(section, "clock_reading") == pytest.approx(100 * MORSE_2 / 2)
    assert number(section, "needle_worth") == pytest.approx(2 * 60 * 0.002 / 100)


def test_a_long_taper_is_blended_when_allowed(tmp_path: Path) -> None:
    """1:20 over 90 mm with 80 mm of slide: two lengths of 45 mm, the cross-slide moved by 45 / 40 = 1.125 mm (arithmetic)."""
    section = plan(tmp_path, "{taper: '1:20', where: outside, large: 50 mm, length: 90 mm, by: top slide, blend: true}")
    assert number(section, "blend_lengths") == 2
    assert number(section, "blend_saddle") == 45
    assert number(section, "blend_cross") == pytest.approx(1.125)


def test_a_taper_from_its_ends(tmp_path: Path) -> None:
    """30 to 27 mm over 60 mm is 1:20 (ISO 3040's definition of the rate); half angle 1 deg 25 min 56 s (DIN 254)."""
    section = plan(tmp_path, "{large: 30 mm, small: 27 mm, length: 60 mm, where: outside}")
    assert figures(section)["taper"].value == "1 in 20.000"
    assert number(section, "half_angle") == pytest.approx(1 + 25 / 60 + 56 / 3600, abs=2e-4)


def test_a_taper_too_steep_for_the_indicator_is_measured_with_the_cross_slide(tmp_path: Path) -> None:
    """60 deg included over 80 mm of slide: 80 sin 30 deg = 40 mm, 20 turns of 2 mm of a dial that reads depth (plane geometry)."""
    section = plan(tmp_path, "{taper: 60 deg included, where: outside, large: 50 mm, length: 20 mm, indicator: lever}")
    assert "clock_reading" not in figures(section)
    assert number(section, "clock_cross") == pytest.approx(40)
    assert figures(section)["clock_cross"].shown == "20 turns"


@pytest.mark.parametrize(
    "taper",
    [
        "{taper: Morse 3, where: outside}",
        "{taper: 60 deg included, where: outside, large: 50 mm, length: 20 mm, indicator: lever}",
        "{taper: '1:20', where: outside, large: 50 mm, length: 90 mm, by: top slide, blend: true}",
        "{taper: '1:10', where: inside, large: 30 mm, length: 40 mm}",
    ],
)
def test_every_figure_rests_on_figures_that_are_on_the_sheet(tmp_path: Path, taper: str) -> None:
    section = plan(tmp_path, taper, slide=85)
    known = {figure.id for figure in section.figures()} | {table.id for table in section.tables()}
    bases = [figure.basis for figure in section.figures()] + [column.basis for table in section.tables() for column in table.columns]
    assert {each.id for basis in bases for each in basis.inputs if isinstance(each, FigureRef)} <= known


def test_what_the_machine_cuts_of_its_own_is_said(tmp_path: Path) -> None:
    """Collars 0.06 mm apart in diameter over 150 mm: 0.016 mm more at the headstock over 40 mm (plane geometry)."""
    reading = "stop-time: 1.5 s\nreadings: [{what: two collars, reads: 0.06 mm, over: 150 mm, date: 2026-10-04}]"
    taper = "{taper: '1:10', where: outside, large: 50 mm, length: 40 mm}"
    section = plan(tmp_path, taper, lathe=(("stop-time: 1.5 s", reading),))
    assert number(section, "of_its_own") == pytest.approx(0.016)
    assert "at the headstock" in figures(section)["of_its_own"].label
