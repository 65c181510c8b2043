"""Drawings in words, for a terminal and for whoever cannot see the picture."""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf.sheet.drawings import (
    DrawnLabel,
    DrawnLever,
    DrawnStretch,
    GearTrainDrawing,
    PartDrawing,
    SketchDrawing,
    ThreadProfileDrawing,
)

__all__ = ["LABELS", "lever_line", "part_lines", "profile_lines", "sketch_lines", "train_strip"]

LABELS = {
    "pitch": "pitch",
    "major": "major",
    "pitch_diameter": "pitch diameter",
    "minor": "minor",
    "angle": "angle",
    "tip": "tool",
    "infeed": "infeed",
    "load_flank": "load flank",
    "clear_flank": "clearance flank",
}


def train_strip(drawing: GearTrainDrawing) -> str:
    """The train on one line: ``A 40 -> B 63 / C 50 -> D 60``.  An arrow is a mesh, a stroke two wheels on one stud."""
    text = ""
    before = None
    for wheel in drawing.wheels:
        text += "" if before is None else " / " if before.axis == wheel.axis else " -> "
        text += f"{wheel.name} {wheel.teeth}".strip()
        before = wheel
    return text


def lever_line(lever: DrawnLever) -> str:
    """All positions of a lever with the chosen one in brackets: ``A  [B]  C``."""
    return "  ".join(f"[{position}]" if position == lever.chosen else position for position in lever.positions)


def profile_lines(drawing: ThreadProfileDrawing) -> list[tuple[str, str]]:
    """What the profile's labels say, named."""
    return [(LABELS.get(at, at), words) for at, words in drawing.labels]


def part_lines(drawing: PartDrawing) -> list[tuple[str, str]]:
    """A part in words: its outside and bore from the front face on, then the lengths that are given."""
    lines = [*_stretches("outside", drawing.outside), *_stretches("bore", [item for item in drawing.bore if item.near or item.far])]
    if drawing.places:
        lines.append(("from the front face", ", ".join(place.words for place in drawing.places)))
    return [*lines, ("", drawing.note)] if drawing.note else lines


def _stretches(name: str, stretches: Sequence[DrawnStretch]) -> list[tuple[str, str]]:
    said = [item.words for item in stretches if item.words]
    return [(name if number == 0 else "", words) for number, words in enumerate(said)]


def sketch_lines(drawing: SketchDrawing) -> list[str]:
    """The words of a sketch, in order."""
    return [shape.words for shape in drawing.shapes if isinstance(shape, DrawnLabel) and shape.words]
