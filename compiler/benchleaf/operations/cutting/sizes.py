"""Sizes that a step works to: read from the job's words, with limits and the size to aim at."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, basis, source
from benchleaf.record import record
from benchleaf.sheet.model import Source
from benchleaf.standards.fits import SizeFault, sized
from benchleaf.workshop.values import Text

__all__ = ["Size", "read_size", "size_figure"]


@record
class Size:
    """A size in mm: nominal, limits (None when the general tolerance is not known for it), what to aim at, and where it comes from."""

    nominal: Fraction
    lower: Fraction | None
    upper: Fraction | None
    aim: Fraction
    formula: str
    source: Source
    at: Text

    @property
    def tolerance(self) -> Fraction | None:
        """Width between the limits, mm."""
        return None if self.lower is None or self.upper is None else self.upper - self.lower


def read_size(words: Text, side: str, context: Context) -> Size | None:
    """The size that the words give, or None with a diagnostic at them.  ``side`` is 'outside' or 'inside'."""
    found = sized(words.value)
    if isinstance(found, SizeFault):
        context.faults.error("size/unreadable", found.message, words, hint=found.hint)
        return None
    lower, upper = found.lower, found.upper
    aim = found.nominal if lower is None or upper is None else (lower + upper) / 2
    return Size(found.nominal, lower, upper, aim, found.formula, source(found.source, found.status), words)


def size_figure(desk: Desk, size: Size, label: str, figure_id: str = "size") -> None:
    """Write the size down, to be measured with a micrometer."""
    limits = None if size.lower is None and size.upper is None else (size.lower, size.upper)
    desk.length(figure_id, label, size.aim, basis(size.formula, (size.at,), size.source), limits=limits)
