"""Practice of clocking a lathe: how far a spindle lifts, how test collars are made.  Lengths in mm, forces in N."""

from __future__ import annotations

from benchleaf.standards.speeds import Range
from benchleaf.standards.tables import table

__all__ = ["clocking_practice"]


def clocking_practice(name: str) -> Range:
    """A figure of practice by its id, such as 'lift_plain'.  Raises LookupError when there is none.

    Source: ``data/clocking.yaml``, from memory.
    """
    for row in table("clocking", "practice").where("id", name):
        low, high = row.span("range")
        return Range(low, high, row.text("unit"), row.text("about"), row.source, row.status)
    raise LookupError(f"no practice of clocking {name}")
