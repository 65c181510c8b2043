"""The teeth of a rack: how deep the owned tool goes for them, and what is measured before the last cut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.sizes import Size
from benchleaf.operations.desk import GEOMETRY, OWNER, Desk, Value, basis, length_text, source
from benchleaf.record import record
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.racks import DEPTH, PIN, BasicRack, best_pin, depth_for, pin_above, pin_fits, pitch_of, tip_for
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Length, Measure

__all__ = ["Form", "plan_teeth"]


@record
class Form:
    """The teeth as the tool makes them, mm and degrees; ``pin`` is what they are measured with, None for a vernier with a blade."""

    pitch: Fraction
    tooth: Fraction
    addendum: Fraction
    depth: Fraction
    tip: Fraction
    angle: Fraction
    pin: Fraction | None


def plan_teeth(
    desk: Desk, context: Context, basic: BasicRack, module: Measure, angle: Measure, size: Size | None, tool: ShapingTool
) -> Form | None:
    """Write down the tooth, its addendum, the depth for this tip and what is measured (``size``); None after an error.

    Writes ``tooth``, ``tooth_aim``, ``addendum``, ``tip``, ``depth``, ``clearance``, ``size``, ``size_aim`` and either ``pin`` with
    ``best_pin`` or ``blade`` with ``travel_for_tooth``.
    """
    if tool.width is None:
        return None
    pitch, a = pitch_of(module.value), basic.addendum * module.value
    tooth = size.aim if size is not None else pitch / 2
    tip = tool.width.value
    at: Value = size.at if size is not None else module
    if tooth <= 2 * a * tan_degrees(basic.angle) or tooth >= pitch:
        context.faults.error(
            "rack/no-tooth",
            f"a tooth of {length_text(tooth, context.system)} at the pitch line leaves no "
            f"{'flat at its top' if tooth < pitch else 'space beside it'}",
            at,
            f"half a pitch is {length_text(pitch / 2, context.system)}",
            hint="leave `thickness` out for half a pitch, or take off it what the wheel wants as play",
        )
        return None
    depth = depth_for(pitch, tooth, a, tip, basic.angle)
    if not _clears(depth - 2 * a, basic, module.value, tool, tip_for(pitch, tooth, basic.dedendum * module.value, basic.angle), context):
        return None
    by = source(basic.source, basic.status)
    desk.length("addendum", "Top to pitch line", a, basis(f"{basic.addendum} x module", (module,), by), read_by="caliper", rational=False)
    desk.length("tip", "Flat at the tool's tip", tip, basis("as the drawer says", (tool.width,), OWNER), read_by="caliper")
    _tooth(desk, size, tooth, module)
    words: tuple[Value | str, ...] = ("tooth_aim", "tip", "addendum", angle, module)
    desk.length("depth", "Down, from the touch-off", depth, basis(DEPTH.formula, words, GEOMETRY), read_by="caliper", rational=False)
    low, high = (length_text(share * module.value, context.system, "caliper") for share in basic.clearance)
    desk.length(
        "clearance",
        "Left under the wheel's tips",
        depth - 2 * a,
        basis(f"depth - 2 x addendum; {low} to {high}", ("depth", "addendum"), by),
        read_by="caliper",
        rational=False,
    )
    pin = _pin(context, pitch - tooth, a, depth, basic.angle)
    if pin is None:
        _blade(desk, tooth, a, size, basic.angle)
    else:
        _over_pin(desk, pin, pitch, tooth, a, size, angle)
    return Form(pitch, tooth, a, depth, tip, basic.angle, None if pin is None else pin.value)


def _clears(left: Fraction, basic: BasicRack, module: Fraction, tool: ShapingTool, wanted: Fraction, context: Context) -> bool:
    """Whether the tips of the wheel find room under them, and no more than weakens the teeth; False after an error."""
    if tool.width is None:
        return False
    low, high = (share * module for share in basic.clearance)
    ideal = length_text(max(wanted, Fraction(0)), context.system, "caliper")
    if left < low:
        room = length_text(max(left, Fraction(0)), context.system, "caliper")
        context.faults.error(
            "rack/tip-wide",
            f"the tool's tip is too wide: when the teeth are to size the spaces leave {room} under the wheel's tips",
            tool.width,
            f"{length_text(low, context.system, 'caliper')} is the least",
            hint=f"grind the tip to {ideal}, or take thinner teeth (`thickness`)",
            note=f"{basic.source} ({basic.status})",
        )
        return False
    if left > high:
        context.faults.warning(
            "rack/tip-narrow",
            f"the tool's tip is narrow: when the teeth are to size the spaces are {length_text(left, context.system, 'caliper')} deeper "
            "than the wheel's tips reach",
            tool.width,
            f"{length_text(high, context.system, 'caliper')} is the most",
            hint=f"grind the tip to {ideal}, or widen the spaces in two places",
            note=f"{basic.source} ({basic.status})",
        )
    return True


def _tooth(desk: Desk, size: Size | None, tooth: Fraction, module: Measure) -> None:
    if size is None:
        why = basis("pi x module / 2", (module,), GEOMETRY)
        desk.length("tooth", "Tooth at the pitch line", tooth, why, rational=False)
    else:
        limits = None if size.limits is None else (size.limits.lower, size.limits.upper)
        desk.length("tooth", "Tooth at the pitch line", tooth, basis(size.formula, (size.at,), size.source), limits=limits)
    words = "the tooth itself" if size is None else size.why
    desk.length("tooth_aim", "Aim at", tooth, basis(words, ("tooth",), GEOMETRY if size is None else size.source), rational=False)


def _pin(context: Context, space: Fraction, addendum: Fraction, depth: Fraction, angle: Fraction) -> Length | None:
    """The pin of the drawers that touches nearest to the pitch line; None where none would do."""
    best = best_pin(space, angle)
    fits = [
        pin for drawer in context.inputs.toolings for owned in drawer.wires for pin in owned.diameters
        if pin_fits(pin.value, space, addendum, depth, angle)
    ]  # fmt: skip
    return min(fits, key=lambda pin: abs(pin.value - best), default=None)


def _over_pin(desk: Desk, pin: Length, pitch: Fraction, tooth: Fraction, a: Fraction, size: Size | None, angle: Measure) -> None:
    space = pitch - tooth
    desk.length(
        "best_pin",
        "Best pin",
        best_pin(space, angle.value),
        basis("space / cos(pressure angle)", ("tooth_aim", angle), GEOMETRY),
        rational=False,
    )
    desk.length(
        "pin",
        "Pin in the space",
        pin.value,
        basis("of those owned the one that touches nearest to the pitch line", (pin, "best_pin"), GEOMETRY),
    )
    stands = pin_above(pin.value, space, a, angle.value)
    inputs: tuple[Value | str, ...] = ("pin", "tooth_aim", "addendum", angle)
    limits = None
    if size is not None and size.limits is not None:
        low, high = ((end - tooth) / (2 * tan_degrees(angle.value)) for end in (size.limits.lower, size.limits.upper))
        limits = (stands + low, stands + high)
    desk.length("size", "Pin above the tops", stands, basis(PIN.formula, inputs, GEOMETRY), rational=False, limits=limits)
    desk.length(
        "size_aim", "Aim at, pin above the tops", stands, basis("where the tooth is what it aims at", ("size",), GEOMETRY), rational=False
    )


def _blade(desk: Desk, tooth: Fraction, a: Fraction, size: Size | None, angle: Fraction) -> None:
    desk.length(
        "blade", "Blade of the tooth vernier set to", a,
        basis("top to pitch line", ("addendum",), GEOMETRY), read_by="caliper", rational=False,
    )  # fmt: skip
    limits = None if size is None or size.limits is None else (size.limits.lower, size.limits.upper)
    desk.length(
        "size", "Tooth, by the vernier", tooth, basis("the tooth at the pitch line", ("tooth",), GEOMETRY), rational=False, limits=limits
    )
    desk.length("size_aim", "Aim at, by the vernier", tooth, basis("the tooth's aim", ("tooth_aim",), GEOMETRY), rational=False)
    travel = 1 / (2 * tan_degrees(angle))
    desk.number(
        "travel_for_tooth", "Down for what comes off the tooth", travel, "", fixed(travel, 3),
        basis("1 / (2 tan(pressure angle))", ("tooth",), GEOMETRY), rational=False,
    )  # fmt: skip
