"""Knurling: a blank that a whole number of teeth goes round, slow, with pressure taken up at once."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.said import near_end, said, stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import clear_of_carrier, held_firmly
from benchleaf.operations.desk import Desk, basis, length_text, source, stands_for
from benchleaf.operations.registry import Operation
from benchleaf.record import record
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.sheet.numbers import fixed, round_half_up
from benchleaf.standards.knurling import Knurl as Pitch
from benchleaf.standards.knurling import KnurlBlank, knurl_blank, knurl_profile, knurl_rule, tooth_depth, traverse
from benchleaf.units import convert
from benchleaf.workshop.tooling import Knurl as Wheel
from benchleaf.workshop.values import Distance, Length, Measure, Origin, Speed, Text, Word

__all__ = ["OPERATION", "Knurl", "plan"]

_PROFILES = {"straight": "RAA", "diagonal": "RBL", "diamond": "RGE"}  # letters of DIN 82
_WHEELS = "knurl wheels"
_NEAR = Fraction(1, 20)  # of the pitch: nearer than this to a blank that tracks needs no turning; common practice


@record
class Knurl:
    """Roll a knurl on the outside."""

    origin: Origin
    pattern: Text
    finished: Length | None
    from_: Distance
    length: Length
    tool: Text | None
    speed: Speed | None


def plan(step: Knurl, context: Context) -> Section | None:
    """The section of a knurling step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    start = step.from_.value
    end = start + step.length.value
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.knurls]
    tool = tools.find(step.tool, owned, lambda item: _unsuited(item, step), "knurls", step.pattern, context)
    holding.clears_cross_slide(context)
    sound = (
        stock.not_parted(step.length, context)
        & stock.within_length(end, step.length, context)
        & holding.in_reach(end, step.length, context)
        & clear_of_carrier(end, step.length, context)
        & stock.spares_finished("outside", start, end, step.length, context)
    )
    now = work.measure("outside", start, end)
    if now is None:
        stands_unknown("outside", context, "the outside is knurled")
        return None
    if tool is None:
        work.cut("outside", start, end, now.value, "knurl", step.length)
        return None
    blank = _blank(step, tool, now, context)
    if blank is None:
        return None
    work.cut("outside", start, end, blank.finished, "knurl", step.length)
    sound &= _fits(blank, tool, now, step, context) & held_firmly(context)
    _far_out(now, context)
    if not sound:
        return None
    _figures(desk, step, tool, blank, now)
    speed = spindle(desk, context, "knurling", Word(_WHEELS, stands_for(tool.name)), now.value, now, wish=step.speed)
    if speed is None:
        return None
    return section(
        context,
        "knurl",
        f"Knurl, {step.pattern.value}, {tool.pitch.text} pitch",
        f"{step.length.text} long{near_end(step.from_)}, with {tool.name.value}",
        _blocks(desk),
    )


def _unsuited(tool: Wheel, step: Knurl) -> str:
    return "" if tool.pattern.value == step.pattern.value else f"it rolls {tool.pattern.value}"


def _blank(step: Knurl, tool: Wheel, now: Measure, context: Context) -> KnurlBlank | None:
    """The blank for the finished size, or, where none is asked for, the one that tracks just under the work as it is."""
    profile, pitch = _PROFILES[step.pattern.value], Pitch(tool.name.value, tool.pitch.value)
    finished = step.finished.value if step.finished is not None else now.value + knurl_profile(profile).rise * tool.pitch.value
    try:
        return knurl_blank(finished, pitch, profile)
    except ValueError:
        context.faults.error(
            "knurl/thin",
            f"{length_text(finished, context.system, 'caliper')} is too thin for a knurl of {tool.pitch.text}: no tooth goes round it",
            step.finished or step.length,
            hint="take a finer knurl, or see whether a unit is wrong",
            related=((tool.pitch, "its pitch"),),
        )
        return None


def _fits(blank: KnurlBlank, tool: Wheel, now: Measure, step: Knurl, context: Context) -> bool:
    """Whether the work can be turned to the blank; a blank that does not track is a warning with the size that does."""
    system = context.system
    near = _NEAR * tool.pitch.value
    if now.value < blank.blank - near:
        context.faults.error(
            "knurl/small",
            f"the work is {length_text(now.value, system, 'caliper')}, the knurl wants a blank of "
            f"{length_text(blank.blank, system, 'caliper')}",
            step.finished or step.length,
            hint="start from larger stock, or ask for a smaller finished diameter",
            related=((now, "the work"),),
        )
        return False
    if now.value - blank.blank > near:
        context.faults.warning(
            "knurl/blank",
            f"on {length_text(now.value, system, 'caliper')} the teeth do not come round to a whole number: they double",
            step.length,
            hint=f"turn it to {length_text(blank.blank, system, 'caliper')} first ({blank.teeth} teeth)",
            related=((now, "the work"),),
        )
    return True


def _far_out(now: Measure, context: Context) -> None:
    """Knurls press far harder than a tool cuts: the work wants a centre much sooner."""
    held, holder = context.held, context.holding
    out, free = held.stands_out, knurl_rule("free_length")
    if out is None or held.supported_by.value != "nothing" or (holder is not None and holder.kind.value == "centres"):
        return
    if round_half_up(out.value / now.value, 1) <= free.high:
        return
    context.faults.warning(
        "knurl/far-out",
        f"the work stands out {fixed(out.value / now.value, 1)} of its diameters: knurls press it away and it comes out tapered",
        out,
        f"up to {fixed(free.high, 1)} without a centre",
        hint="bring up a centre in the tailstock (`supported-by: tailstock`), let less stand out, or use a pincer tool",
        note=f"{free.source} ({free.status})",
    )


def _figures(desk: Desk, step: Knurl, tool: Wheel, blank: KnurlBlank, now: Measure) -> None:
    by = source(blank.profile.source, blank.profile.status)
    why = basis(
        "whole teeth x pitch / (pi x cos of the spiral), not above what the finished size allows", (tool.pitch, step.finished or now), by
    )
    desk.length("blank", "Blank to turn to", blank.blank, why, read_by="caliper", rational=False)
    desk.number(
        "teeth",
        "Teeth round",
        Fraction(blank.teeth),
        "",
        str(blank.teeth),
        basis("blank / pitch, a whole number", ("blank", tool.pitch), by),
    )
    rise = basis("blank + what the profile rises by", ("blank", tool.pitch), by)
    desk.length("finished", "Over the knurl, about", blank.finished, rise, read_by="caliper", rational=False)
    said(desk, "length", "Length", step.length)
    deep, along = tooth_depth(tool.pitch.value), traverse(tool.pitch.value)
    why_deep = basis("middle of practice, in pitches", (tool.pitch,), source(deep.source, deep.status))
    desk.length("deep", "Teeth, about, deep", (deep.low + deep.high) / 2, why_deep, read_by="caliper")
    middle = convert((along.low + along.high) / 2, "mm", desk.unit)
    why_along = basis("middle of practice for the pitch", (tool.pitch,), source(along.source, along.status))
    desk.number("feed", "Traverse", middle, f"{desk.unit}/turn", fixed(middle, 2 if desk.unit == "mm" else 4), why_along)
    begin = knurl_rule("start")
    share = begin.low * 100
    why_begin = basis("how much of the wheels bears on the work at the start", (tool.name,), source(begin.source, begin.status))
    desk.number("start", "Start with, of the wheels", share, "%", fixed(share, 0), why_begin)


def _blocks(desk: Desk) -> list[Block | None]:
    steps = (
        Say("Turn the blank to {blank}; chamfer both ends. Wheels square to the work, their pin greased."),
        Say("{start} of the wheels on the end; press in hard at once, a turn or two; stop and look: the teeth must fall into each other."),
        Say(
            "If they double, move off and start again with more pressure. Then traverse at {feed}, oil and brush; "
            "never leave the wheels dwelling."
        ),
    )
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Knurl", desk.pick("blank", "teeth", "finished", "length", "feed", "start"), Weight.WORK),
        Steps("Knurl", steps),
        Check(Say("{teeth} teeth, crisp, no double lines.")),
        caution("knurl"),
        FigureGroup("Background", desk.pick("cutting_speed", "speed_setting", "deep"), Weight.KNOW),
    ]


OPERATION = Operation(Knurl, plan)
