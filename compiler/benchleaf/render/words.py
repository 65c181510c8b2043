"""Drawings in words, for a terminal and for whoever cannot see the picture."""

from __future__ import annotations

from benchleaf.sheet.drawings import DrawnLever, GearTrainDrawing, ThreadProfileDrawing

__all__ = ["LABELS", "lever_line", "profile_lines", "train_strip"]

LABELS = {
    "pitch": "pitch",
    "major": "major",
    "pitch_diameter": "pitch diameter",
    "minor": "minor",
    "angle": "angle",
    "tip": "tool",
    "infeed": "infeed",
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
