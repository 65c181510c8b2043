"""Down-feed: how many cuts, the tool-head's dial at each, and the last one left open for what is measured before it."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.shaping.feeds import heavy, slide_dial
from benchleaf.operations.shaping.readings_table import cuts_table
from benchleaf.record import record
from benchleaf.sheet.model import Source, Table
from benchleaf.standards.shaping import depth_of_cut
from benchleaf.standards.turning import cutting_force, largest_depth, specific_force, turning_rule

__all__ = ["FIGURES", "Down", "plan_down"]

FIGURES = ("depth", "depth_of_cut", "finish_cut", "cuts", "thrust")
_STEEL_AT = Fraction(1, 10)  # mm of feed, at which the owner's largest cut in mild steel is set against another material

Bound = tuple[Fraction, str, tuple[Value | str, ...], Source]


@record
class Down:
    """The cuts down to a face: how many rough, the depths of all from the touch-off in mm (the last is what it should come to), and the
    table."""

    roughing: int
    depths: tuple[Fraction, ...]
    table: Table
    dial: Collar

    @property
    def count(self) -> int:
        """All cuts, the last one included."""
        return len(self.depths)


def plan_down(
    desk: Desk, context: Context, total: Fraction, at: Value, inputs: tuple[Value | str, ...], *, feed: Fraction, speed: Fraction,
    becomes: tuple[Fraction, int] | None = None, measured: str = "Height",
) -> Down | None:  # fmt: skip
    """Divide ``total`` mm of depth, the dial at zero where the tool touches; ``feed`` mm a stroke and ``speed`` m/min (the fastest) let the
    motor's power bound a cut.  ``becomes`` is what is measured before the first cut, mm, and by how many times the depth it shrinks.

    Writes :data:`FIGURES`, ``dial_worth`` and the readings ``first_dial`` and ``before_last``.  None after an error.
    """
    head = context.shaper.head
    if total > head.travel.value:
        context.faults.error(
            "shaping/slide-travel",
            f"{length_text(total, context.system, 'caliper')} is to come off, and the tool slide travels {head.travel.text}",
            at,
            hint="raise the table for the rest, in a second step",
            related=((head.travel, "its travel"),),
        )
        return None
    dial = slide_dial(head.dial)
    desk.length(
        "depth",
        "To take off, in depth",
        total,
        basis("what stands there less what it is to be", inputs, GEOMETRY),
        read_by="caliper",
        rational=False,
    )
    deepest = _deepest(desk, context, feed, speed)
    last = min(_finish(desk, context, dial), total)
    rough = total - last
    roughing = -(-rough.numerator * deepest.denominator // (rough.denominator * deepest.numerator)) if rough > 0 else 0
    if not few_enough(roughing + 1, total, at, context):
        return None
    depths = (*(rough * number / roughing for number in range(1, roughing + 1)), total)
    words = f"{roughing} roughing, then measure, then the last" if roughing else "one, after measuring"
    why = basis("depth less the last cut, in equal cuts no deeper than allowed", ("depth", "depth_of_cut", "finish_cut"), PRACTICE)
    desk.words("cuts", "Cuts", words, why)
    _thrust(desk, context, depths, feed)
    desk.length(
        "dial_worth",
        "One division of the tool-head",
        dial.division,
        basis("as the profile says", (head.dial.division,), source("the shaper's profile", "owner")),
    )
    notes = [*("" for _ in depths[:-2]), *(["then measure"] if roughing else []), "last cut: fill in"]
    causes = ("cuts", "depth", "depth_of_cut", "finish_cut")
    table = cuts_table(desk, context, dial, tuple(zip(depths, notes, strict=True)), causes, becomes, measured)
    return Down(roughing, depths, table, dial)


def _deepest(desk: Desk, context: Context, feed: Fraction, speed: Fraction) -> Fraction:
    shaper, group = context.shaper, context.material.group
    found = depth_of_cut(group.value, "roughing", heavy=heavy(shaper))
    force = specific_force(group.value)
    if shaper.largest_cut is not None:
        share = min(specific_force("mild steel").at(_STEEL_AT) / force.at(_STEEL_AT), Fraction(1))
        words = "largest cut that the profile states for mild steel, by the cutting force of this material"
        bound: Bound = (shaper.largest_cut.value * share, words, (shaper.largest_cut, group), source(force.source, force.status))
        if found is not None:
            low, high = (length_text(end, context.system, "caliper") for end in (found.low, found.high))
            used = (
                found.use,
                f"practice for a shaper of this stroke, {low} to {high}, within what the profile states",
                (shaper.largest_cut, shaper.ram.longest_stroke, group),
                source(found.source, found.status),
            )
            bound = min(bound, used, key=lambda item: item[0])
    elif found is not None:
        bound = (
            found.use,
            "practice for a shaper of this stroke and this material",
            (shaper.ram.longest_stroke, group),
            source(found.source, found.status),
        )
    else:
        bound = (feed, "as deep as the feed: practice knows no depth for this material", (group,), PRACTICE)
    if shaper.power is not None:
        drives = largest_depth(shaper.power.value, force.at(feed), feed, speed, efficiency=turning_rule("efficiency").low)
        power: Bound = (
            drives,
            "60000 x power x efficiency / (specific force x feed x fastest cutting speed)",
            (shaper.power, group),
            source(force.source, force.status),
        )
        bound = min(bound, power, key=lambda item: item[0])
    desk.length("depth_of_cut", "Deepest cut", bound[0], basis(bound[1], bound[2], bound[3]), read_by="caliper", rational=False)
    return bound[0]


def _finish(desk: Desk, context: Context, dial: Collar) -> Fraction:
    """The last cut: practice, to whole divisions, so that it can be set."""
    found = depth_of_cut(context.material.group.value, "finishing", heavy=heavy(context.shaper))
    use = dial.division if found is None else found.use
    value = max(dial.at(use).travel, dial.division)
    by = PRACTICE if found is None else source(found.source, found.status)
    why = basis("practice, to whole divisions of the dial", (context.shaper.head.dial.division, context.material.group), by)
    desk.length("finish_cut", "Left for the last cut", value, why, read_by="caliper")
    return value


def _thrust(desk: Desk, context: Context, depths: tuple[Fraction, ...], feed: Fraction) -> None:
    """What the work has to be held against."""
    deep = max(after - before for before, after in zip((Fraction(0), *depths[:-1]), depths, strict=True))
    if not deep:
        return
    push, force = cutting_force(context.material.group.value, deep, feed), specific_force(context.material.group.value)
    why = basis("specific force x depth x feed, of the deepest cut", ("depth", "cuts"), source(force.source, force.status))
    tens = push / 10
    desk.number("thrust", "Push of the cut on the work, about", push, "N", str(max(round(tens), 1) * 10), why, rational=False)
