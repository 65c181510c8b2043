"""What heads the sheet of a job of several steps: the contents, and the part as it will be."""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf.operations.context import Context
from benchleaf.sheet.model import Section

__all__ = ["head"]


def head(context: Context, sections: Sequence[Section]) -> tuple[Section, ...]:
    """The section before all others; nothing for a job of one step, whose own section says it all."""
    return ()
