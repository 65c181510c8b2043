"""What a job says about a taper."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Distance, Flag, Length, Origin, Speed, Text

__all__ = ["TaperStep"]


@record
class TaperStep:
    """Turn or bore a taper.  What is left out of taper, length and ends follows from the rest."""

    origin: Origin
    taper: Text | None
    where: Text
    large_end: Text | None
    from_: Distance
    length: Length | None
    large: Length | None
    small: Length | None
    by: Text | None
    blend: Flag
    gauge: Text | None
    indicator: Text | None
    tool: Text | None
    speed: Speed | None
