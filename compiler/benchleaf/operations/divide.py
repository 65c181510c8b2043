"""Dividing: a turn of the work in equal parts, for flats, graduations, holes or teeth."""

from __future__ import annotations

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.division import blocks, divide
from benchleaf.operations.cutting.section import section
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Section
from benchleaf.workshop.values import Count, Origin, Text

__all__ = ["OPERATION", "Divide", "plan"]


@record
class Divide:
    """Divide a turn."""

    origin: Origin
    into: Count
    for_: Text | None
    by: Text | None


def plan(step: Divide, context: Context) -> Section | None:
    """The section of dividing, or None when there is no way with what is owned."""
    desk = context.desk()
    if not divide(desk, step.into, step.by, context):
        return None
    what = f" for {step.for_.value}" if step.for_ is not None else ""
    return section(context, "divide", f"Divide by {step.into.value}{what}", step.by.value if step.by is not None else "", blocks(desk))


OPERATION = Operation(Divide, plan, on="any")
