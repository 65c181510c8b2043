"""Work packed up in the vice of a shaper: what the pieces come to, and small work."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path

import pytest

from benchleaf.compile import check_paths
from benchleaf.sheet.model import Check, Figure, Section

CASES = Path(__file__).parent / "cases"
JAWS = F(50)  # mm deep: the vice of the shop of the cases


def section(name: str) -> Section:
    sheet = check_paths([CASES / "good" / f"{name}.yaml"], CASES).jobs[0].sheet
    assert sheet is not None
    return sheet.sections[0]


def figures(name: str) -> dict[str, Figure]:
    return {figure.id: figure for figure in section(name).figures()}


@pytest.mark.parametrize("name", ["slot-small-block", "slot-middle"])
def test_the_pieces_come_to_what_is_shown_and_the_jaws_hold_the_rest(name: str) -> None:
    """Source: arithmetic."""
    found = figures(name)
    pieces = [F(piece.removesuffix(" mm")) for piece in found["packing"].shown.split(" + ")]
    assert found["in_jaws"].value == JAWS - sum(pieces)
    if len(pieces) > 1:
        assert F(found["packing"].also.removesuffix(" mm")) == sum(pieces)


def test_work_that_the_jaws_hardly_hold_goes_on_a_sacrificial_block() -> None:
    """Source: common practice; the depth from memory."""
    small, sound = figures("slot-small-block"), figures("slot-middle")
    assert F(small["in_jaws"].value) < 6 <= F(sound["in_jaws"].value)
    assert "sacrificial" in small["small_work"].shown
    assert small["small_work"].basis.source.status.value == "from memory"
    assert "small_work" not in sound


def test_the_way_of_the_ram_is_cleared_before_the_first_stroke() -> None:
    checks = [repr(block) for block in section("slot-middle").blocks if isinstance(block, Check)]
    assert any("Vice handle off" in text for text in checks)
