"""What a job says about proving the machine."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Length, Origin, Speed, Text

__all__ = ["Clock"]


@record
class Clock:
    """Prove one thing with the indicator, or with two collars; ``tool`` and ``speed`` are for turning the collars."""

    origin: Origin
    what: Text
    over: Length | None
    indicator: Text | None
    tool: Text | None
    speed: Speed | None
