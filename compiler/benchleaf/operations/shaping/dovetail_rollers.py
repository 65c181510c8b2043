"""Two rollers in the corners of a dovetail: which of those owned, and what is measured over or between them."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.sizes import Size
from benchleaf.operations.desk import GEOMETRY, Desk, basis, length_text, source
from benchleaf.standards.shaped import OVER_ROLLERS, between_rollers, largest_roller, over_rollers, smallest_roller
from benchleaf.workshop.values import Length, Measure

__all__ = ["choose_roller", "measured_figure"]


def choose_roller(asked: Length | None, width: Size, depth: Fraction, angle: Fraction, inside: bool, context: Context) -> Measure | None:
    """The rollers asked for, or the largest owned that will do; None after an error."""
    system, most = context.system, largest_roller(depth, angle)
    least = Fraction(0) if inside else smallest_roller(depth, angle)
    if inside:
        most = min(most, width.aim / (2 * (1 + 1 / tan_degrees(angle / 2))))  # both of them go in, with room to measure
    owned = [item for drawer in context.inputs.toolings for box in drawer.wires for item in box.diameters]
    pool = owned if asked is None else [asked]
    fit = [item for item in pool if least < item.value < most]
    if fit:
        return max(fit, key=lambda item: item.value)
    between = f"{length_text(least, system, 'caliper')} and {length_text(most, system, 'caliper')}"
    said = "none of the rollers owned will do" if asked is None else f"rollers of {asked.text} will not do"
    context.faults.error(
        "dovetail/no-roller", f"{said}: between {between} is wanted", width.at if asked is None else asked,
        hint="drill shanks or ground pins do: add them as `wires` to a drawer, or say `roller`",
        related=tuple((item, "owned") for item in owned[-1:]),
    )  # fmt: skip
    return None


def measured_figure(desk: Desk, roller: Measure, width: Size, angle: Measure, inside: bool) -> None:
    """Write down ``roller``, and as ``size`` and ``size_aim`` what is measured over or between the two."""
    reckon = between_rollers if inside else over_rollers
    limits = (width.lower or width.aim, width.upper or width.aim)
    by = source(OVER_ROLLERS.source, OVER_ROLLERS.status)
    formula = OVER_ROLLERS.formula.replace(" + ", " - ", 1) if inside else OVER_ROLLERS.formula
    why = basis("the largest owned that touches the flank below its edge", (roller, "deep_aim", angle), GEOMETRY)
    desk.length("roller", "Two rollers", roller.value, why)
    low, high = (reckon(end, roller.value, angle.value) for end in limits)
    label = "Between the rollers" if inside else "Over the rollers"
    inputs = ("width", "roller", angle)
    aim = reckon(width.aim, roller.value, angle.value)
    desk.length("size", label, aim, basis(formula, inputs, by), limits=(low, high), rational=False)
    desk.length("size_aim", "Aim at", aim, basis(formula, ("width_aim", "roller", angle), by), rational=False)
