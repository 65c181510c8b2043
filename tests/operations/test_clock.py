"""Clocking sheets: what is to be read, what a reading means, and what later sheets make of it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from small_shop import write

from benchleaf.compile import check_paths, finished, render
from benchleaf.sheet.model import Check, Figure, FigureRef, Section, Table

DRAWERS = """\
turning-tools:
  - {name: knife, uses: [turn], cuts-with: HSS}
indicators:
  - {name: lever, division: 0.01 mm, range: 0.8 mm}
"""
KINDS = ("run-out", "face run-out", "spindle lift", "two collars", "tailstock", "top slide")


def plan(
    folder: Path,
    clock: str,
    *,
    blank: str = "{outside: 40 mm, length: 220 mm}",
    held: str = "{by: chuck, stands-out: 175 mm}",
    readings: str = "",
) -> Section:
    """The section of one clocking step, given in flow style."""
    edits = [("lathe.yaml", "", readings)] if readings else []
    write(folder, ("tooling.yaml", "", DRAWERS), ("lathe.yaml", "workholding:", "workholding:\n  - {name: centres, kind: centres}"), *edits)
    job = (
        f"schema: 1\nkind: job\nname: Proof\nmachine: lathe.yaml\nmaterial: steel.yaml\nblank: {blank}\nheld: {held}\nsteps:\n  - "
        f"clock: {clock}\n"
    )
    (folder / "job.yaml").write_text(job, encoding="utf-8")
    checked = check_paths([folder / "job.yaml"], folder)
    sheet = checked.jobs[0].sheet
    assert sheet is not None, [f"{fault.span} {fault.message}" for fault in checked.diagnostics]
    contents, faults = render(finished(checked.jobs[0]), ["text", "html", "json"])
    assert not faults
    assert len(contents) == 3
    return sheet.sections[-1]


def figures(section: Section) -> dict[str, Figure]:
    return {figure.id: figure for figure in section.figures()}


def number(section: Section, name: str) -> float:
    value = figures(section)[name].value
    assert not isinstance(value, str)
    return float(value)


def column(table: Table, name: str) -> list[float]:
    place = [each.id for each in table.columns].index(name)
    return [float(value) for row in table.rows if (value := row.values[place]) is not None]


@pytest.mark.parametrize("what", KINDS)
def test_every_proof_says_what_it_should_read_and_leaves_room_to_write(tmp_path: Path, what: str) -> None:
    over = ", over: 200 mm" if what == "tailstock" else ""
    section = plan(tmp_path, f"{{what: {what}{over}}}")
    titles = [getattr(block, "title", "") for block in section.blocks]
    assert "Should read" in titles
    assert "If it does not" in titles
    assert any(type(block).__name__ == "SketchDrawing" for block in section.blocks)
    assert any(type(block).__name__ == "Box" for block in section.blocks)
    known = {figure.id for figure in section.figures()} | {table.id for table in section.tables()}
    bases = [figure.basis for figure in section.figures()] + [each.basis for table in section.tables() for each in table.columns]
    assert {each.id for basis in bases for each in basis.inputs if isinstance(each, FigureRef)} <= known
    kept = [block.words.words for block in section.blocks if isinstance(block, Check) and "readings" in block.words.words]
    assert bool(kept) == (what != "face run-out"), "what the profile has a place for is to be kept there"


def test_two_collars(tmp_path: Path) -> None:
    """175 mm out, 10 mm to the jaws, 15 mm collars: 150 mm middle to middle.  ISO 1708 allows 0.04 mm over 300 mm, hence 0.02 mm; larger
    at the headstock only.  The axis leans by half the difference over the distance (plane geometry)."""
    section = plan(tmp_path, "{what: two collars}")
    assert number(section, "over") == 150
    assert number(section, "limit") == pytest.approx(0.02)
    table = next(section.tables())
    assert column(table, "read") == pytest.approx([0.01, 0.02, 0.05, 0.1, 0.2])
    assert column(table, "per") == pytest.approx([0.02, 0.04, 0.1, 0.2, 0.4])
    assert column(table, "axis") == pytest.approx([0.01, 0.02, 0.05, 0.1, 0.2])


def test_the_collars_are_cut(tmp_path: Path) -> None:
    """What a later step finds is the collars: a turn to the bar's own size has no metal there."""
    write(tmp_path, ("tooling.yaml", "", DRAWERS))
    job = (
        "schema: 1\nkind: job\nname: Proof\nmachine: lathe.yaml\nmaterial: steel.yaml\nblank: "
        "{outside: 40 mm, length: 220 mm}\nheld: {by: chuck, stands-out: 175 mm}\nsteps:\n  - clock: {what: two collars}\n  - turn: "
        "{to: 39.9 mm, length: 15 mm}\n"
    )
    (tmp_path / "job.yaml").write_text(job, encoding="utf-8")
    codes = [fault.code for fault in check_paths([tmp_path / "job.yaml"], tmp_path).diagnostics]
    assert "route/no-metal" in codes


def test_the_tailstock(tmp_path: Path) -> None:
    """A bar of 220 mm read 200 mm apart: the tailstock is out by 220 / 200 of the reading, and the work tapers by twice that (plane
    geometry).  Collars between centres: half their difference, in proportion (the handbooks' rule).  Limits: ISO 1708."""
    section = plan(tmp_path, "{what: tailstock}", held="{by: centres}")
    assert number(section, "over") == 200
    assert number(section, "bar") == 220
    table = next(section.tables())
    assert column(table, "move") == pytest.approx([0.011, 0.022, 0.055, 0.11, 0.22])
    assert column(table, "cost") == pytest.approx([0.022, 0.044, 0.11, 0.22, 0.44])
    assert number(section, "collar_move") == pytest.approx(0.01 / 2 * 220 / 200)
    assert number(section, "height_limit") == pytest.approx(0.04)


def test_the_top_slide(tmp_path: Path) -> None:
    """72 mm is 36 turns of 2 mm within nine tenths of 80 mm.  A scale read to a tenth of a degree shows no less than 72 sin(0.1 deg);
    0.1 mm astray is asin(0.1 / 72) (plane geometry)."""
    section = plan(tmp_path, "{what: top slide}")
    assert number(section, "over") == 72
    assert number(section, "turns") == 36
    assert number(section, "scale_sees") == pytest.approx(72 * math.sin(math.radians(0.1)))
    assert column(next(section.tables()), "out")[3] == pytest.approx(60 * math.degrees(math.asin(0.1 / 72)))


def test_the_latest_reading_is_shown_with_its_day(tmp_path: Path) -> None:
    readings = (
        "readings:\n  - {what: tailstock across, reads: 0.08 mm, date: 2026-10-04}\n  - "
        "{what: tailstock across, reads: 0.01 mm, date: 2025-01-09}\n"
    )
    found = figures(plan(tmp_path, "{what: tailstock, over: 150 mm}", readings=readings))["last_read"]
    assert (found.value, found.also) == ("0.08 mm", "on 2026-10-04, the latest of 2")


@pytest.mark.parametrize(
    ("held", "reads", "expected"),
    [
        ("{by: centres}", "0.08 mm", "0.144 mm of taper on the diameter over this length, smaller at the tailstock end"),
        ("{by: centres}", "-0.08 mm", "0.144 mm of taper on the diameter over this length, smaller at the headstock end"),
        ("{by: chuck}", "0.08 mm", ""),
    ],
)
def test_what_the_tailstock_reads_tells_on_later_sheets(tmp_path: Path, held: str, reads: str, expected: str) -> None:
    """0.08 mm towards the operator over 200 mm between centres is 0.16 mm on the diameter, 0.144 mm over the 180 mm that are turned (plane
    geometry), smaller at the tailstock; in a chuck alone it does not matter."""
    readings = f"readings:\n  - {{what: tailstock across, reads: {reads}, date: 2026-10-04}}\n"
    centres = ("lathe.yaml", "workholding:", "workholding:\n  - {name: centres, kind: centres}")
    drills = "centre-drills:\n  - {name: centre 3, cuts-with: HSS, pilot: 3.15 mm, body: 8 mm}\n"
    write(tmp_path, ("tooling.yaml", "", DRAWERS + drills), centres, ("lathe.yaml", "", readings))
    centred = "  - centre-drill: {}\n  - hold: {by: chuck, end-for-end: true}\n  - centre-drill: {}\n"
    job = (
        "schema: 1\nkind: job\nname: Parallel\nmachine: lathe.yaml\nmaterial: steel.yaml\nblank: "
        f"{{outside: 42 mm, length: 200 mm}}\nheld: {{by: chuck}}\nsteps:\n{centred}  - hold: {held}\n  - turn: "
        f"{{to: 39.98 to 40.00 mm, length: 180 mm}}\n"
    )
    (tmp_path / "job.yaml").write_text(job, encoding="utf-8")
    found = [fault.message for fault in check_paths([tmp_path / "job.yaml"], tmp_path).diagnostics if fault.code == "machine/tailstock-out"]
    assert expected in found[0] if expected else not found, found
