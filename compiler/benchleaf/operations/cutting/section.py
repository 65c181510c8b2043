"""The section of a cutting step, in the order in which it is wanted at the machine."""

from __future__ import annotations

from collections.abc import Iterable

from benchleaf.operations.context import Context
from benchleaf.sheet.model import Block, FigureGroup, Section, Steps

__all__ = ["section"]


def section(context: Context, kind: str, title: str, subtitle: str, blocks: Iterable[Block | None]) -> Section:
    """A section of the blocks that say something: empty groups and step lists are left out.  A step that the compiler put in says so."""
    kept = tuple(
        block
        for block in blocks
        if block is not None
        and not (isinstance(block, FigureGroup) and not block.figures)
        and not (isinstance(block, Steps) and not block.steps)
    )
    added = "added, because a later step needs it" if context.added else ""
    return Section(context.section_id, kind, title, "; ".join(words for words in (subtitle, added) if words), kept)
