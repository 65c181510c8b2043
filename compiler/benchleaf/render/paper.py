"""Papers: their size, what the holes and the pouch take, and the room that is left."""

from __future__ import annotations

from functools import cache

import yaml

from benchleaf.record import record
from benchleaf.resources import data_folder

__all__ = ["A4", "HOLES", "PAPERS", "Paper", "paper"]

HOLES = ("side", "top", "none")
_GAP = 4.0  # mm between two columns


@record
class Paper:
    """A paper with its margins, mm.  ``columns`` is how many stand side by side; ``bleed`` is what is trimmed off all round."""

    name: str
    width: float
    height: float
    left: float
    top: float
    right: float
    foot: float
    columns: int
    holes: str
    bleed: float

    @property
    def full(self) -> float:
        """Width of the type area."""
        return self.width - self.left - self.right

    @property
    def half(self) -> float:
        """Width of a column."""
        return (self.full - _GAP) / 2 if self.columns == 2 else self.full

    @property
    def tall(self) -> float:
        """Height of the type area."""
        return self.height - self.top - self.foot

    @property
    def look(self) -> str:
        """A class name for the stylesheet: '' for large papers, 'narrow' for those of one column, 'pocket' for the smallest."""
        return "" if self.columns == 2 else "pocket" if self.full < 95 else "narrow"

    def css(self) -> str:
        """The page as the stylesheet wants it."""
        cut = f"bleed: {self.bleed:g}mm; marks: crop;" if self.bleed else ""
        margins = f"{self.top:g}mm {self.right:g}mm {self.foot:g}mm {self.left:g}mm"
        # A tick half-way up shows where the punch is set to.
        tick = (
            '@left-middle { content: ""; border-top: 0.2mm solid #000; height: 0; width: 5mm; margin-right: 9mm; }'
            if self.holes == "side" and self.columns == 2
            else ""
        )
        return f"@page {{ size: {self.width:g}mm {self.height:g}mm; margin: {margins}; {cut} {tick} }}"


@cache
def paper(name: str, holes: str = "side", bleed: float = 0.0) -> Paper:
    """The paper of that name ('A4', 'A5', 'A6', 'letter', 'half-letter').  Raises KeyError for another, ValueError for other holes.

    Margins clear holes at the 'side', at the 'top' (a ring), or are narrow all round ('none').
    """
    if holes not in HOLES:
        raise ValueError(f"holes are {', '.join(HOLES)}")
    row = _rows()[name]
    left, right = (row["hole"], row["far"]) if holes == "side" else (row["edge"], row["edge"])
    top = row["hole"] if holes == "top" else row["top"]
    margins = (float(left), float(top), float(right), float(row["foot"]))
    return Paper(name, float(row["width"]), float(row["height"]), *margins, int(row["columns"]), holes, bleed)


@cache
def _rows() -> dict[str, dict[str, float]]:
    text = (data_folder("templates") / "papers.yaml").read_text(encoding="utf-8")
    found: dict[str, dict[str, float]] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))["papers"]
    return found


PAPERS = ("A4", "A5", "A6", "letter", "half-letter")
A4 = paper("A4")
