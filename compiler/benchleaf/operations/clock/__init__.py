"""Clocking: proving the lathe and how the work runs, with the indicator or with two collars."""

from __future__ import annotations

from collections.abc import Callable

from benchleaf.operations.clock import collars, slide, spindle, tailstock
from benchleaf.operations.clock.common import Bench, bench
from benchleaf.operations.clock.model import Clock
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.section import section
from benchleaf.operations.registry import Operation
from benchleaf.sheet.model import Block, Section

__all__ = ["OPERATION", "Clock", "plan"]

_PROOFS: dict[str, tuple[str, Callable[[Bench], list[Block] | None]]] = {
    "run-out": ("Clock the run-out", spindle.run_out),
    "spindle lift": ("Clock the spindle's lift", spindle.lift),
    "two collars": ("Turn two collars", collars.two_collars),
    "tailstock": ("Clock the tailstock", tailstock.tailstock),
    "top slide": ("Clock the top slide", slide.top_slide),
    "face run-out": ("Clock a face", spindle.face_run_out),
}


def plan(step: Clock, context: Context) -> Section | None:
    """The section of one proof, or None when its faults leave nothing true to print."""
    title, proof = _PROOFS[step.what.value]
    # Collars are measured with a micrometer.
    this = Bench(context, context.desk(), step, None) if proof is collars.two_collars else bench(step, context)
    if this is None:
        return None
    with_what = f", with {this.indicator.name.value}" if this.indicator is not None else ""
    blocks = proof(this)
    if blocks is None:
        return None
    return section(context, "clock", title, f"on the {context.lathe.name.value}{with_what}", blocks)


OPERATION = Operation(Clock, plan)
