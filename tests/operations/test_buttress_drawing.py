"""The drawing of a buttress thread: which flank is which, and a groove of the form's own sizes.

Flanks 3 and 30 degrees, addendum 0.375 P: DIN 513 (from memory).  That a screw is pushed back on the flank that looks away from its end is
plain mechanics; that it pushes with its end is common practice.
"""

from __future__ import annotations

import json
from math import cos, radians, sin, tan
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from benchleaf.compile import check_paths
from benchleaf.render.json_ import to_json
from benchleaf.resources import data_folder
from benchleaf.sheet.drawings import ThreadProfileDrawing
from benchleaf.sheet.from_json import from_json

SCHEMA = json.loads((data_folder("schemas") / "sheet.schema.json").read_text(encoding="utf-8"))
CASES = Path(__file__).parent / "cases" / "good"


def profile(name: str) -> ThreadProfileDrawing:
    """The drawing, after its sheet has been to JSON and back."""
    job = check_paths([CASES / f"{name}.yaml"], CASES.parent).jobs[0]
    assert job.sheet is not None
    text = to_json(job.sheet)
    assert not list(Draft202012Validator(SCHEMA).iter_errors(json.loads(text)))
    sheet, faults = from_json(text, "sheet.json")
    assert sheet is not None, faults
    drawn = [block for section in sheet.sections for block in section.blocks if isinstance(block, ThreadProfileDrawing)]
    original = [block for section in job.sheet.sections for block in section.blocks if isinstance(block, ThreadProfileDrawing)]
    assert [item.flanks for item in drawn] == [item.flanks for item in original]
    return drawn[0]


@pytest.mark.parametrize(("name", "inside", "left", "right", "load"), [("buttress", False, 30, 3, "right"), ("buttress-inside", True, 3, 30, "left")])
def test_screw_and_nut_are_drawn_to_meet_on_the_load_flank(name: str, inside: bool, left: int, right: int, load: str) -> None:
    drawing = profile(name)
    flanks = drawing.flanks
    assert drawing.inside is inside
    assert flanks is not None
    assert (flanks.left, flanks.right, flanks.load) == (left, right, load)
    labels = dict(drawing.labels)
    assert (labels["load_flank"], labels["clear_flank"]) == ("3.0\u00b0", "30.0\u00b0")
    assert "angle" not in labels  # one angle for two different flanks would mislead
    assert f"load flank 3 degrees on the {load}" in drawing.alt
    assert "mirrored" in drawing.title


@pytest.mark.parametrize("name", ["buttress", "buttress-inside"])
def test_a_finer_tip_is_drawn_with_the_width_that_the_groove_is_opened_to(name: str) -> None:
    """Out from the root: the flat, both corners r (1 - sin) tan + r cos, the straight flanks; at the pitch line it must be half a pitch."""
    drawing = profile(name)
    height = abs(drawing.pitch_radius - drawing.root_radius)
    assert abs(drawing.pitch_radius - 20.0) == pytest.approx(0.375 * 6)  # S40x6
    wide = drawing.tip_flat
    for angle in (3, 30):
        turn, r = radians(angle), drawing.tip_radius
        wide += r * cos(turn) + (height - r * (1 - sin(turn))) * tan(turn)
    assert wide == pytest.approx(3.0, abs=0.002)
    assert drawing.tip_flat > 0.4  # both tips are finer than the form's 0.746 mm


def test_other_forms_say_nothing_of_two_flanks() -> None:
    assert profile("plain").flanks is None
    assert "mirrored" not in profile("plain").title
