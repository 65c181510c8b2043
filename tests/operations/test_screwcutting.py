"""The main job against sums by hand: what the wheels give, what it costs, and what every sheet must carry."""

from __future__ import annotations

import json
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import Any

import pytest
from small_shop import Edit, write

from benchleaf.compile import check_paths, finished, render
from benchleaf.resources import data_folder

ALWAYS = {
    "lead_wanted", "lead_actual", "lead_error", "engagement_limit", "train", "levers", "spindle_speed", "half_nuts", "major_diameter",
    "pitch_diameter", "minor_diameter", "infeed", "passes", "relief", "wires", "scratch_check",
}  # fmt: skip
INCH: tuple[Edit, ...] = (
    ("job.yaml", "thread: M16x2-6g", "thread: 5/8-16 UN-2A"),
    ("job.yaml", "outside: 15.9 mm", "outside: 15.75 mm"),
    ("job.yaml", "diameter: 13.0 mm", "diameter: 13.4 mm"),
)


def sheet(folder: Path, *edits: Edit) -> dict[str, Any]:
    """The section of the one job of a small shop, as JSON."""
    checked = check_paths([write(folder, *edits)], folder)
    planned = checked.jobs[0].sheet
    assert planned is not None, [f"{fault.span} {fault.message}" for fault in checked.diagnostics]
    contents, faults = render(finished(checked.jobs[0]), ["json"])
    assert not faults
    return {figure["id"]: figure for figure in json.loads(contents[".json"])["sections"][0]["figures"]}


def test_sixteen_to_the_inch_with_a_forty_and_a_sixty_three(tmp_path: Path) -> None:
    """3 mm x 40/63 x 5/6 = 100/63 mm for 127/80 mm: 8000/8001, hence -1/8001 (arithmetic).

    Over 20 mm that is 2.4997 um, and 2.4997 x cot 30 = 4.3296 um on the pitch diameter (virtual pitch diameter, practice of BS 919).
    """
    figures = sheet(tmp_path, *INCH)
    assert figures["lead_wanted"]["exact"] == "127/80"
    assert figures["lead_actual"]["exact"] == "100/63"
    assert F(figures["lead_error"]["exact"]) == F(-1_000_000, 8001)
    assert figures["lead_error"]["shown"] == "\u2212125.0"
    assert float(figures["pitch_diameter_cost"]["value"]) == pytest.approx(0.0043296, abs=1e-7)
    assert figures["half_nuts"]["value"] == "never"


def test_a_hundred_and_twenty_seven_makes_it_exact(tmp_path: Path) -> None:
    figures = sheet(tmp_path, *INCH, ("gears.yaml", "75, 80]", "75, 80, 127]"))
    assert figures["lead_error"]["exact"] == "0"
    assert figures["lead_actual"]["exact"] == "127/80"
    assert "127" in figures["train"]["value"]
    assert figures["half_nuts"]["value"] == "never"
    assert figures["engagement_limit"]["value"] == "any length"


def test_without_the_sixty_three_the_best_is_named_and_what_would_mend_it(tmp_path: Path) -> None:
    folder = write(tmp_path, *INCH, ("job.yaml", "tool: out-60", "tool: out-60\n      without: [63]"))
    faults = [fault for fault in check_paths([folder], folder).diagnostics if fault.severity.value == "error"]
    assert [fault.code for fault in faults] == ["train/none-in-limit"]
    assert "one more wheel, of 127 teeth, would give an exact lead" in faults[0].hints[0] or "63" in faults[0].hints[0]


@pytest.mark.parametrize("shop", ["osier-lane", "starter"])
def test_every_demo_sheet_carries_what_is_wanted_at_the_machine(shop: str) -> None:
    profiles = data_folder("profiles")
    for job in check_paths([profiles / shop], profiles).jobs:
        assert job.sheet is not None, job.job.key
        for section in (section for section in job.sheet.sections if section.kind == "screwcut"):
            ids = {figure.id for figure in section.figures()}
            assert not ALWAYS - ids, (job.job.key, ALWAYS - ids)
            assert {"blank_diameter", "blank_bore"} & ids
            table = next(table for table in section.tables() if table.id == "pass_table")
            depth = [row.values[4] for row in table.rows]
            assert all(value is not None for value in depth)
            assert depth == sorted(depth, key=lambda value: value or F(0)), "a pass never goes back"


def test_passes_end_at_the_infeed_to_half_a_division(tmp_path: Path) -> None:
    """The last reading is the infeed rounded to the dial: 0.02 mm divisions of a slide at 29.5 degrees, so within 0.01 x cos 29.5."""
    checked = check_paths([write(tmp_path)], tmp_path)
    planned = checked.jobs[0].sheet
    assert planned is not None
    section = planned.sections[0]
    table = next(table for table in section.tables() if table.id == "pass_table")
    infeed = next(figure for figure in section.figures() if figure.id == "infeed")
    assert isinstance(infeed.value, F)
    last = table.rows[-1].values[4]
    assert last is not None
    assert abs(last - infeed.value) <= F(1, 100)


@pytest.mark.parametrize(
    ("stop_by", "hand", "way"),
    [("power", "", "towards the headstock"), ("power", "-LH", "away from the headstock"), ("outwards", "", "away from the headstock"),
     ("outwards", "-LH", "towards the headstock")],
)  # fmt: skip
def test_the_saddle_goes_where_hand_and_spindle_send_it(tmp_path: Path, stop_by: str, hand: str, way: str) -> None:
    """Common practice: right-hand forwards runs to the headstock; left hand, or reverse, turns it round; both together turn it back."""
    edits: tuple[Edit, ...] = (
        ("job.yaml", "thread: M16x2-6g", f"thread: M16x2-6g{hand}"),
        ("job.yaml", "tool: out-60", f"tool: out-60\n      stop-by: {stop_by}"),
    )
    checked = check_paths([write(tmp_path, *edits)], tmp_path)
    planned = checked.jobs[0].sheet
    assert planned is not None, [fault.message for fault in checked.diagnostics]
    contents, _ = render(finished(checked.jobs[0]), ["text"])
    text = " ".join(contents[".txt"].decode().split())
    assert f"Tumbler so that the saddle moves {way}" in text


def test_an_inside_thread_counts_the_collar_down(tmp_path: Path) -> None:
    """Wound out towards the operator, a collar that rises going in falls: the first cut of a 2 mm collar reads just under 2 (common practice)."""
    edits: tuple[Edit, ...] = (
        ("job.yaml", "outside: 15.9 mm", "outside: 30 mm, bore: 14.0 mm"),
        ("job.yaml", "where: outside", "where: inside"),
        ("job.yaml", "thread: M16x2-6g", "thread: M16x2-6H"),
        ("job.yaml", "diameter: 13.0 mm", "diameter: 16.8 mm"),
        ("job.yaml", "tool: out-60", "tool: in-60"),
    )
    checked = check_paths([write(tmp_path, *edits)], tmp_path)
    planned = checked.jobs[0].sheet
    assert planned is not None, [fault.message for fault in checked.diagnostics]
    table = next(table for table in planned.sections[0].tables() if table.id == "pass_table")
    shown = [F(row.shown[3]) for row in table.rows]
    totals = [row.values[3] for row in table.rows]
    assert all(total is not None and (reading + total) % 2 == 0 for reading, total in zip(shown, totals, strict=True))


@pytest.mark.parametrize(
    ("inside", "hand", "stop_by", "side"),
    [
        (False, "", "power", "tailstock"),
        (False, "-LH", "power", "headstock"),
        (True, "", "power", "headstock"),
        (True, "-LH", "power", "tailstock"),
        (False, "", "outwards", "headstock"),
    ],
)
def test_the_top_slide_is_swung_so_that_the_leading_edge_cuts(tmp_path: Path, inside: bool, hand: str, stop_by: str, side: str) -> None:
    """Common practice: right hand outside, handle towards the tailstock; turned round for left hand, for inside, and for cutting outwards."""
    thread = f"M16x2-6{'H' if inside else 'g'}{hand}"
    edits: tuple[Edit, ...] = (("job.yaml", "thread: M16x2-6g", f"thread: {thread}"),)
    if inside:
        edits += (
            ("job.yaml", "outside: 15.9 mm", "outside: 30 mm, bore: 14.0 mm"),
            ("job.yaml", "where: outside", "where: inside"),
            ("job.yaml", "diameter: 13.0 mm", "diameter: 16.8 mm"),
        )
    edits += (("job.yaml", "tool: out-60", f"tool: {'in-60' if inside else 'out-60'}\n      stop-by: {stop_by}"),)
    checked = check_paths([write(tmp_path, *edits)], tmp_path)
    planned = checked.jobs[0].sheet
    assert planned is not None, [fault.message for fault in checked.diagnostics]
    figure = next(figure for figure in planned.sections[0].figures() if figure.id == "top_slide_scale")
    assert figure.also.endswith(f"handle swung towards the {side}")
    assert figure.value == F(121, 2)  # 90 - 29.5: this scale reads 0 along the bed
