"""A list of threads of the owner's own, for a chart."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.workshop.values import Origin, Text

__all__ = ["ThreadList"]


@dataclass(frozen=True, slots=True)
class ThreadList:
    """Threads by designation, in the order in which they are to stand."""

    origin: Origin
    name: Text
    note: Text | None
    threads: tuple[Text, ...]
