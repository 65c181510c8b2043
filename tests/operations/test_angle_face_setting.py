"""How the head is set for a slanting face, and how near the tool comes to the jaws when it runs out at the foot."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Figure

GOOD = Path(__file__).parent / "cases" / "good"
_DEPTH_OF_JAWS = 50  # mm: the vice of the shop of the cases


def figures(text: str, folder: Path) -> dict[str, Figure]:
    for name in ("shaper.yaml", "shaper-box.yaml", "steel.yaml"):
        (folder / name).write_bytes((GOOD.parent / "shop" / name).read_bytes())
    job = folder / "job.yaml"
    job.write_text(text.replace("../shop/", ""), encoding="utf-8")
    sheet = check_paths([job], folder).jobs[0].sheet
    assert sheet is not None
    return {figure.id: figure for figure in sheet.sections[0].figures()}


@pytest.mark.parametrize(
    ("upright", "angle", "swing", "scale"),
    [  # common practice: the head swings by the complement; a scale that reads 90 upright comes to the angle itself
        (0, "60 deg", "30", "scale at 30"),
        (90, "60 deg", "30", "scale at 60"),
        (0, "52.5 deg", "37.5", "scale at 37.5, between its marks"),
        (90, "52.5 deg", "37.5", "scale at 52.5, between its marks"),
    ],
)
def test_the_head_in_the_terms_of_its_own_scale(upright: int, angle: str, swing: str, scale: str, tmp_path: Path) -> None:
    text = (GOOD / "angle-face.yaml").read_text(encoding="utf-8").replace("60 deg", angle)
    if upright:
        text = text.replace("../shop/shaper.yaml", "ninety.yaml")
        shaper = (GOOD.parent / "shop" / "shaper.yaml").read_text(encoding="utf-8")
        (tmp_path / "ninety.yaml").write_text(shaper.replace("swivel: 60 deg", "swivel: 60 deg, scale-upright: 90 deg"), encoding="utf-8")
    found = figures(text, tmp_path)
    assert (found["swing"].shown, found["swing"].also) == (swing, scale)


@pytest.mark.parametrize("height", ["9.9 to 10.1", "15.9 to 16.1", "27.9 to 28.1"])
def test_the_tool_that_runs_out_at_the_foot_stays_above_the_jaws(height: str, tmp_path: Path) -> None:
    """Plane geometry: the slide goes as far beyond the foot as its travel exceeds the slant at one end, and comes down by its sine."""
    text = (GOOD / "angle-face.yaml").read_text(encoding="utf-8").replace("11.9 to 12.1", height)
    found = figures(text, tmp_path)
    down, travel, packing = (found[name].value for name in ("size_aim", "slide_travel", "packing"))
    assert isinstance(down, Fraction)
    assert isinstance(travel, Fraction)
    sine = math.sin(math.radians(60))
    lowest = 50 - float(down) - (float(travel) - float(down) / sine) / 2 * sine
    packed = 0.0 if "none" in str(packing) else sum(float(part.split()[0]) for part in str(packing).split(" + "))
    above = lowest + packed - _DEPTH_OF_JAWS
    assert above >= 1.5 - 1e-9  # mm, common practice
    assert float(found["above_jaws"].value) == pytest.approx(above, abs=1e-9)  # type: ignore[arg-type]
