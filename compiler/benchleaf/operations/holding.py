"""Checks of how the work is held: capacity, bar behind the spindle, the chuck's own limits."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.desk import Faults, length_text
from benchleaf.standards.cautions import caution
from benchleaf.workshop.inputs import JobInputs

__all__ = ["check"]


def check(inputs: JobInputs, faults: Faults) -> None:
    """Look at blank, machine and holding together; faults go into ``faults``."""
    lathe, job = inputs.machine.lathe, inputs.job
    system = lathe.system.value
    outside = job.blank.outside
    if outside is None:
        return
    if outside.value > lathe.swing.over_bed.value:
        over = length_text(outside.value - lathe.swing.over_bed.value, system, "rule")
        faults.error(
            "holding/swing",
            f"the work is {over} larger than the swing over the bed",
            outside,
            f"this lathe swings {lathe.swing.over_bed.text}",
            related=((lathe.swing.over_bed, "the swing over the bed"),),
        )
    elif outside.value > lathe.swing.over_cross_slide.value and any(
        step.screwcut and step.screwcut.where.value == "outside" for step in job.steps
    ):
        over = length_text(outside.value - lathe.swing.over_cross_slide.value, system, "rule")
        faults.error(
            "holding/swing",
            f"the work swings over the bed, but is {over} larger than the swing over the cross-slide",
            outside,
            f"the tool stands on the cross-slide, which clears {lathe.swing.over_cross_slide.text}",
            related=((lathe.swing.over_cross_slide, "the swing over the cross-slide"),),
        )
    _jaws(inputs, faults, system)
    _tail(inputs, faults, system)


def _jaws(inputs: JobInputs, faults: Faults, system: str) -> None:
    job = inputs.job
    held = next((item for item in inputs.machine.lathe.workholding if item.name.value == job.held.by.value), None)
    outside = job.blank.outside
    if held is None or outside is None:
        return
    if held.holds_to is not None and outside.value > held.holds_to.value:
        faults.error(
            "holding/capacity",
            f"the {held.name.value} holds up to {held.holds_to.text}, the blank is {outside.text}",
            outside,
            "",
            related=((held.holds_to, "the largest it holds"),),
        )
    if held.holds_from is not None and outside.value < held.holds_from.value:
        faults.error(
            "holding/capacity",
            f"the {held.name.value} closes down to {held.holds_from.text}, the blank is {outside.text}",
            outside,
            "",
            related=((held.holds_from, "the smallest it holds"),),
        )


def _tail(inputs: JobInputs, faults: Faults, system: str) -> None:
    """Bar stock that goes through the spindle: does it enter, and does its tail stand out behind?"""
    job, spindle = inputs.job, inputs.machine.lathe.spindle
    outside, length, front = job.blank.outside, job.blank.length, job.held.stands_out
    if outside is None:
        return
    tail = job.held.behind_spindle.value if job.held.behind_spindle else None
    if tail is None and length is not None and front is not None and spindle.length is not None:
        tail = max(length.value - front.value - spindle.length.value, Fraction(0))
    if tail is None or tail == 0:
        return
    if outside.value > spindle.bore.value:
        over = length_text(outside.value - spindle.bore.value, system)
        faults.error(
            "holding/bar-fat",
            f"the bar is {over} too fat for the spindle bore, yet it is to stand out behind",
            outside,
            f"the spindle bore is {spindle.bore.text}",
            hint="cut the bar shorter, or hold it where it does not pass through",
            related=((spindle.bore, "the spindle bore"),),
        )
    elif tail > (free := _free_diameters()) * outside.value:
        at = job.held.behind_spindle or length or outside
        faults.warning(
            "holding/bar-tail",
            f"{length_text(tail, system, 'rule')} of a {outside.text} bar stands out behind the spindle, unsupported",
            at,
            "the tail can bend and flail",
            hint="support it in a tube or stand, or cut it off inside the spindle; until then no speed can be called safe",
            note=f"more than {free} diameters stand free (common practice)",
        )


def _free_diameters() -> Fraction:
    """How many diameters of a bar may stand free before it needs a support: the low end of the practice table's range."""
    bounds = caution("bar_len").bounds
    if bounds is None:
        raise LookupError("the caution on long bars has no range")
    return bounds[0]
