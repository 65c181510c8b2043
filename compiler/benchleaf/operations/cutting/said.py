"""Figures that are the job's own words, and the fault of a blank that does not say enough."""

from __future__ import annotations

from benchleaf.operations.context import Context
from benchleaf.operations.desk import OWNER, Desk, basis
from benchleaf.sheet.model import Figure
from benchleaf.workshop.values import Measure

__all__ = ["near_end", "said", "stands_unknown"]


def said(desk: Desk, figure_id: str, label: str, value: Measure, read_by: str = "caliper") -> Figure:
    """A length as the job says it."""
    return desk.length(figure_id, label, value.value, basis("as the job says", (value,), OWNER), read_by=read_by)


def near_end(start: Measure) -> str:
    """', from 12 mm' for a cut that does not begin at the face."""
    return f", from {start.text}" if start.value else ""


def stands_unknown(side: str, context: Context, why: str) -> None:
    """Report that the blank does not give the diameter that a step starts from."""
    key = "bore" if side == "inside" else "outside"
    context.faults.error(
        "blank/unstated",
        f"{why}, but the blank's {'bore' if side == 'inside' else 'outside diameter'} is not given",
        context.work.blank.origin.span,
        hint=f"add `{key}` to `blank`",
    )
