"""What leads a long cut astray: what the machine's own readings say of a parallel cut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.sizes import Size
from benchleaf.operations.desk import length_text
from benchleaf.workshop.lathe import MachineReading

__all__ = ["check", "expected_taper"]


def check(start: Fraction, end: Fraction, size: Size, context: Context) -> None:
    """Warn when the machine is known to cut more taper over this length than the size allows."""
    taper, reading = expected_taper(start, end, context)
    if reading is None or size.tolerance is None or abs(taper) <= size.tolerance:
        return
    system = context.system
    smaller = "tailstock" if taper > 0 else "headstock"
    offset = reading.what.value == "tailstock across"
    back = "away from you" if reading.reads.value > 0 else "towards you"
    context.faults.warning(
        "machine/tailstock-out" if offset else "machine/cuts-taper",
        f"this machine is known to cut {length_text(abs(taper), system)} of taper on the diameter over this length, smaller at the "
        f"{smaller} end; "
        f"the size allows {length_text(size.tolerance, system)}",
        size.at,
        "the size",
        hint=f"before cutting, bring the tailstock {back} by {length_text(abs(reading.reads.value), system)} with the indicator on its "
             "barrel, "
        "clock it (`clock: {what: tailstock}`) and write the new reading down"
        if offset
        else "level the bed and prove it again (`clock: {what: two collars}`), or support the free end with the tailstock",
        note=f"the {reading.what.value if not offset else 'tailstock'} read on {reading.date.value}",
        related=((reading.reads, "the reading"),),
    )


def expected_taper(start: Fraction, end: Fraction, context: Context) -> tuple[Fraction, MachineReading | None]:
    """How much larger the work comes out at the headstock end of a cut than at the tailstock end, mm on the diameter, and the latest
    reading that says so; None where no reading bears on it: a steady sets the axis anew, and no reading knows where."""
    between = context.holding is not None and context.holding.kind.value == "centres"
    tailed = between or context.held.supported_by.value == "tailstock"
    if context.held.supported_by.value == "fixed steady":
        return Fraction(0), None
    wanted = "tailstock across" if tailed else "two collars"
    readings = [item for item in context.lathe.readings if item.what.value == wanted]
    if not readings:
        return Fraction(0), None
    latest = max(readings, key=lambda item: item.date.value)
    if tailed:
        # The axis swings about the headstock's end of what is held.  A tailstock towards the operator brings the work to the tool: smaller
        # there, on the diameter by twice the offset over the whole length held, and in proportion over a part of it.
        held = context.work.overall if between else context.held.stands_out or context.work.overall
        whole = held.value if held is not None else end - start
        return 2 * latest.reads.value * (end - start) / whole, latest
    if latest.over is None:  # reported with the lathe
        return Fraction(0), None
    return latest.reads.value * (end - start) / latest.over.value, latest
