"""A slanting face in layers: the head swung so that the tool follows the face down its own slide, each layer set by the table."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.exact import sin_degrees, tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.shaping.feeds import heavy, slide_dial
from benchleaf.operations.shaping.readings_table import cuts_table
from benchleaf.record import record
from benchleaf.sheet.model import Table
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.shaped import angular_face
from benchleaf.standards.shaping import depth_of_cut, fact
from benchleaf.workshop.values import Measure

__all__ = ["FIGURES", "Flank", "plan_flank"]

FIGURES = ("head_scale", "table_for_height")
_CLEAR = Fraction(3)  # mm that the slide runs beyond the face at either end; common practice


@record
class Flank:
    """Layers of a face: how many, strokes of each, the table of readings, the table's dial."""

    desk: Desk
    layers: int
    strokes: int
    table: Table
    dial: Collar


def plan_flank(
    desk: Desk,
    context: Context,
    height: Fraction,
    angle: Measure,
    at: Value,
    inputs: tuple[Value | str, ...],
    measured: str,
    *,
    open_below: bool,
) -> Flank | None:
    """Divide a face ``height`` mm high at ``angle`` degrees to the base into layers, from the corner inwards.

    ``measured`` heads the column of heights; ``open_below`` where the tool runs out at the foot.

    Writes ``swing``, ``head_scale``, ``slide_travel``, ``down_feed``, ``layer_strokes``, ``depth`` (what the table moves in all),
    ``layer``, ``finish_cut``, ``cuts``, ``dial_worth`` and ``table_for_height``.  None after an error.
    """
    head, cross = context.shaper.head, context.shaper.table.cross
    setting = angular_face(height, angle.value)
    if setting.swing > head.swivel.value:
        context.faults.error(
            "shaping/head-swivel",
            f"the head is to be swung {fixed(setting.swing, 1)} degrees from upright, and it swings {head.swivel.text}",
            angle,
            hint="set the block up on the slant in the vice, and shape the face level",
            related=((head.swivel, "how far it swings"),),
        )
        return None
    travel = setting.slide + (2 if open_below else 1) * _CLEAR
    if travel > head.travel.value:
        context.faults.error(
            "shaping/slide-travel",
            f"the slide is to travel {length_text(travel, context.system, 'caliper')} along the face, and it travels {head.travel.text}",
            at,
            hint="set the block up on the slant in the vice, and shape the face level",
            related=((head.travel, "its travel"),),
        )
        return None
    _head(desk, context, setting.swing, angle)
    strokes = _feed(desk, context, travel, angle, inputs, "beyond it at either end" if open_below else "above it")
    dial = slide_dial(cross.dial)
    total = height / tan_degrees(angle.value)
    why = basis("height / tan(angle): from the corner to the face along the top", (*inputs, angle), GEOMETRY)
    desk.length("depth", "Table, from the touch-off", total, why, read_by="caliper", rational=False)
    ratio = 1 / tan_degrees(angle.value)
    desk.number(
        "table_for_height",
        "Table for what is wanting in height",
        ratio,
        "",
        fixed(ratio, 3),
        basis("1 / tan(angle)", (angle,), GEOMETRY),
        rational=False,
    )
    stops = _layers(desk, context, total, angle, dial, at)
    if stops is None:
        return None
    becomes = (Fraction(0), -tan_degrees(angle.value))
    table = cuts_table(desk, context, dial, stops, ("depth", "layer", "finish_cut"), becomes, measured, cross)
    return Flank(desk, len(stops), strokes, table, dial)


def _head(desk: Desk, context: Context, swing: Fraction, angle: Measure) -> None:
    head = context.shaper.head
    why = basis("90 degrees - angle of the face to the base", (angle,), GEOMETRY)
    upright = head.scale_upright.value
    reads = abs(upright - swing)
    scale = basis(
        "what the scale reads upright, less the swing" if upright else "what the scale reads upright, and the swing",
        (head.scale_upright, "swing"),
        GEOMETRY,
    )
    shown = fixed(swing, 2).rstrip("0").rstrip(".")
    desk.number("swing", "Tool-head swung", swing, "°", shown, why, also=f"scale at {fixed(reads, 2).rstrip('0').rstrip('.')}")
    desk.number("head_scale", "Scale of the head reads", reads, "°", fixed(reads, 2).rstrip("0").rstrip("."), scale)


def _feed(desk: Desk, context: Context, travel: Fraction, angle: Measure, inputs: tuple[Value | str, ...], where: str) -> int:
    """Strokes of a layer."""
    head, found = context.shaper.head, fact("down_feed")
    divisions = max(int(found.use / head.dial.division.value), 1)
    feed = divisions * head.dial.division.value
    low, high = (length_text(end, context.system) for end in (found.low, found.high))
    why = basis(
        f"practice, {low} to {high}, in whole divisions of the slide's dial", (head.dial.division,), source(found.source, found.status)
    )
    words = f"{divisions} division{'' if divisions == 1 else 's'}"
    desk.words("down_feed", "Down the slide, each return", words, why, also=f"{length_text(feed, context.system, 'caliper')} a stroke")
    clear = length_text(_CLEAR, context.system, "caliper")
    desk.length(
        "slide_travel",
        "Slide, over the face",
        travel,
        basis(f"height / sin(angle), and {clear} {where}", (*inputs, angle), GEOMETRY),
        read_by="caliper",
        rational=False,
    )
    strokes = ceil(travel / feed)
    desk.number(
        "layer_strokes",
        "Strokes of a layer",
        Fraction(strokes),
        "",
        str(strokes),
        basis("slide / feed, rounded up", ("slide_travel", "down_feed"), PRACTICE),
    )
    return strokes


def _layers(
    desk: Desk, context: Context, total: Fraction, angle: Measure, dial: Collar, at: Value
) -> tuple[tuple[Fraction, str], ...] | None:
    """Readings from the touch-off, mm of the table's travel, with a note each; None after an error."""
    group, weight = context.material.group.value, heavy(context.shaper)
    rough, fine = depth_of_cut(group, "roughing", heavy=weight), depth_of_cut(group, "finishing", heavy=weight)
    lean = sin_degrees(angle.value)  # square to the face, for the table's travel
    deep = (rough.use if rough is not None else fact("down_feed").use) / lean
    by = PRACTICE if rough is None else source(rough.source, rough.status)
    desk.length(
        "layer",
        "Deepest layer, by the table",
        deep,
        basis("practice for a cut square to the face, / sin(angle)", (context.material.group, angle), by),
        read_by="caliper",
        rational=False,
    )
    left = min(max(dial.at((fine.use if fine is not None else dial.division) / lean).travel, dial.division), total)
    by = PRACTICE if fine is None else source(fine.source, fine.status)
    desk.length(
        "finish_cut",
        "Left for the last cut, by the table",
        left,
        basis("practice, / sin(angle), to whole divisions", (context.material.group, angle), by),
        read_by="caliper",
    )
    roughing = ceil((total - left) / deep) if total > left else 0
    if not few_enough(roughing + 1, total, at, context):
        return None
    desk.words(
        "cuts",
        "Layers",
        f"{roughing} roughing, then measure, then the last" if roughing else "one, after measuring",
        basis("the table's way less the last layer, in equal layers no deeper than allowed", ("depth", "layer", "finish_cut"), PRACTICE),
    )
    desk.length(
        "dial_worth",
        "One division of the table",
        dial.division,
        basis("as the profile says", (context.shaper.table.cross.dial.division,), source("the shaper's profile", "owner")),
    )
    places = [(total - left) * number / roughing for number in range(1, roughing + 1)]
    notes = [*("" for _ in places[:-1]), *(["then measure"] if places else []), "last layer: fill in"]
    return tuple(zip((*places, total), notes, strict=True))
