"""A list of threads of the owner's own, for a chart."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Origin, Text

__all__ = ["ThreadList"]


@record
class ThreadList:
    """Threads by designation, in the order in which they are to stand."""

    origin: Origin
    name: Text
    note: Text | None
    threads: tuple[Text, ...]
