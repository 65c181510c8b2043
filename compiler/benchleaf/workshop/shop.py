"""The workshop file: which files belong together."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Link, Origin, Text

__all__ = ["Shop"]


@record
class Shop:
    """A workshop: machines and jobs by path, relative to the workshop file."""

    origin: Origin
    name: Text
    note: Text | None
    machines: tuple[Link, ...]
    tooling: tuple[Link, ...]
    materials: tuple[Link, ...]
    threads: tuple[Link, ...]
    jobs: tuple[Link, ...]
