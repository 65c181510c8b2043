"""Names that a screwcutting step uses: levers of the lathe, gauges of the drawers."""

from __future__ import annotations

from benchleaf.diagnostics import has_errors
from benchleaf.operations.context import Context
from benchleaf.operations.names import pick
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.workshop.checks import check_levers, levers, speed_levers

__all__ = ["known"]


def known(step: Screwcut, context: Context) -> bool:
    """Whether the levers asked for exist: nothing can be planned around one that does not.  A gauge that is not there leaves the rest
    worth planning."""
    if step.gauge is not None:
        gauges = [gauge for drawer in context.inputs.toolings for gauge in drawer.thread_gauges]
        pick(step.gauge, gauges, "thread gauges and mating parts", "gauge/unknown", context)
    faults = list(check_levers(step.levers, levers(context.lathe), speed_levers(context.lathe)))
    context.faults.found.extend(faults)
    return not has_errors(faults)
