"""The section of a taper."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from benchleaf.exact import sin_degrees
from benchleaf.operations import clocking_sketches as sketches
from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, support, times
from benchleaf.operations.cutting.bits import largest_up_to
from benchleaf.operations.cutting.feeds import feed
from benchleaf.operations.cutting.indicators import choose
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.desk import Desk, basis, length_text, source, stands_for
from benchleaf.operations.drill import Drill
from benchleaf.operations.taper import metal, proving, settings
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.wanted import Wanted, wanted
from benchleaf.operations.taper.ways import ATTACHMENT, SET_OVER, TOP_SLIDE, Way, way
from benchleaf.sheet.model import Block, FigureGroup, Say, Section, Steps, Table, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.sheet.words import shown_with_unit
from benchleaf.standards.holes import boring_allowance
from benchleaf.standards.speeds import feed as practice_feed
from benchleaf.workshop.tooling import Indicator
from benchleaf.workshop.values import Measure

__all__ = ["needs", "plan"]


def needs(step: TaperStep, context: Context) -> list[tuple[str, Any]]:
    """A hole for the boring bar, drilled as large as leaves enough to bore at the small end, where there is none."""
    before = len(context.faults.found)
    asked = wanted(step, context) if step.where.value == "inside" else None
    del context.faults.found[before:]  # said when the taper itself is planned
    if asked is None or all(item.smallest for item in context.work.over("inside", asked.start, asked.end)):
        return []
    bars = [bar.smallest_bore.value for drawer in context.inputs.toolings for bar in drawer.boring_bars]
    bit = largest_up_to(asked.small.value - boring_allowance(asked.small.value).high, context, min(bars, default=Fraction(0)))
    if bit is None:
        return []
    depth = (
        None
        if asked.end >= context.work.end
        else Measure(asked.end, "mm", length_text(asked.end, context.system, "caliper"), stands_for(asked.at))
    )
    return [("drill", Drill(step.origin, Measure(bit.size, "mm", bit.name, stands_for(asked.at)), depth, None))]


def plan(step: TaperStep, context: Context) -> Section | None:
    """The section of a taper, or None when its faults leave nothing true to print."""
    asked = wanted(step, context)
    if asked is None:
        return None
    taken = way(step, asked, context)
    if not asked.inside:
        holding.clears_cross_slide(context)
    at = step.length or Measure(asked.length.value, "mm", asked.at.text, stands_for(asked.at))
    sound = (
        stock.not_parted(asked.at, context)
        & stock.within_length(asked.end, at, context)
        & holding.in_reach(asked.end, at, context)
        & stock.spares_finished(asked.side, asked.start, asked.end, asked.at, context)
        & support.held_firmly(context)
        & support.clear_of_carrier(asked.end, at, context)
        & (not asked.inside or support.end_free("the taper is bored", asked.at, context))
        & metal.room_for_the_wall(asked, context)
    )
    thickest = metal.metal(asked, context)
    tool = metal.tool_for(step, asked, thickest, context)
    gauge = proving.gauge_for(step, asked, context)
    indicator = _indicator(step, taken, asked, context)
    behind = context.work.over(asked.side, asked.end, asked.end + Fraction(1, 1000))
    if thickest is not None:
        context.work.cut(asked.side, asked.start, asked.end, asked.near, "taper", asked.at, far=asked.far)
    if taken is None or thickest is None or tool is None or not sound or gauge.faulty or (step.indicator is not None and indicator is None):
        return None
    desk = context.desk()
    settings.sizes(desk, asked)
    settings.write(desk, taken, asked, indicator, context)
    largest = asked.large.value if asked.inside else thickest.diameter
    operation = "boring" if asked.inside else "turning"
    speed = spindle(desk, context, operation, tool.cuts_with, largest, "large_end" if asked.inside else thickest.made, wish=step.speed)
    if speed is None:
        return None
    _feeds(desk, taken, operation, tool, speed.speed.value, context)
    cuts = metal.cut_plan(desk, asked, thickest, tool, context, turns=speed.speed.value)
    if cuts is None:
        return None
    if "rough_feed" in desk and "fine_feed" in desk:
        rough, fine = (_per_turn(desk, name) for name in ("rough_feed", "fine_feed"))
        minutes = asked.length.value / speed.speed.value * (cuts.roughing / rough + cuts.finishing / fine)
        times.estimate(desk, minutes, cuts.count, ("rough_feed", "fine_feed", "spindle_speed", "cuts"))
    table = proving.stand_off(desk, asked, context)
    proof = proving.blocks(desk, asked, gauge, context)
    shoulder = any(item.largest is not None and item.largest > asked.far for item in behind) and not asked.inside
    name = asked.taper.name or f"1 in {fixed(asked.taper.one_in, 3)}"
    ends = "headstock" if asked.large_at_headstock else "front face"
    return section(
        context,
        "taper",
        f"{'Bore' if asked.inside else 'Turn'} a taper, {name}",
        f"{asked.side}, large end towards the {ends}, by {taken.name}, with {tool.name.value}",
        [
            FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
            FigureGroup(
                "Set", desk.pick("slide_setting", "attachment_setting", "set_over", "set_over_cross", "set_over_from_here"), Weight.SET
            ),
            FigureGroup("Clock", desk.pick("clock_travel", "clock_reading", "clock_cross"), Weight.SET),
            FigureGroup("Dial", desk.pick("first_dial", "last_dial"), Weight.SET),
            FigureGroup("Taper", desk.pick("half_angle", "large_end", "small_end", "length", "stock", "to_remove"), Weight.WORK),
            FigureGroup("Proof", desk.pick("clock_turns", "saddle_travel", "saddle_reading"), Weight.WORK),
            FigureGroup(
                "Worth",
                desk.pick(
                    "needle_angle", "needle_worth", "scale_worth", "scale_out", "rate_tolerance", "of_its_own", "along", "height_cost"
                ),
                Weight.WORK,
            ),
            FigureGroup("Feed", desk.pick("rough_feed", "fine_feed", *_BLEND), Weight.WORK),
            *_drawn(desk, taken, asked, gauge),
            Steps("Set", tuple(Say(words) for words in _setting_words(desk, taken, asked, gauge, indicator))),
            Steps("Cut", tuple(Say(words) for words in _cutting_words(desk, taken, asked, shoulder))),
            cuts.table,
            *_proof(table, proof),
            *(caution(name) for name in _cautions(taken, asked, context)),
            FigureGroup("Background", desk.pick("taper", *_KNOW, "gauge", "contact", "division_on"), Weight.KNOW),
        ],
    )


_BLEND = ("blend_lengths", "blend_saddle", "blend_cross")
_KNOW = (
    "slide_travel", "slide_spare", "set_over_rule", "set_over_most", "cutting_speed", "speed_setting", "depth_of_cut", "finish_cut", "cuts",
    "dial_worth", "time",
)  # fmt: skip


def _drawn(desk: Desk, taken: Way, asked: Wanted, gauge: proving.Gauge) -> list[Block]:
    """Where the indicator stands."""
    if taken.name == SET_OVER and "saddle_reading" in desk:
        sign = "more" if asked.large_at_headstock else "less"
        needle = f"{shown_with_unit(desk['saddle_reading'])} {sign}"
        return [sketches.tailstock_offset(shown_with_unit(desk["saddle_travel"]), needle, title="Prove the set-over")]
    if taken.name != TOP_SLIDE or "clock_reading" not in desk:
        return []
    travel, scale = shown_with_unit(desk["clock_travel"]), shown_with_unit(desk["slide_setting"])
    angle = float(asked.taper.half_angle if asked.large_at_headstock else -asked.taper.half_angle)
    drawn: list[Block] = [sketches.top_slide_angle(angle, scale, travel, f"the needle moves {shown_with_unit(desk['clock_reading'])}")]
    if gauge.master is not None and asked.large_at_headstock:
        drawn.append(sketches.taper_between_centres(travel, "the needle stands still", title=f"Or along {gauge.master.name.value}"))
    return drawn


def _proof(table: Table, proof: list[Block]) -> list[Block]:
    return [table, *proof] if table.rows else proof


def _cautions(taken: Way, asked: Wanted, context: Context) -> tuple[str, ...]:
    own = {TOP_SLIDE: ("compound_clear",), SET_OVER: ("carrier", "dead_centre"), ATTACHMENT: ()}[taken.name]
    return ("measure", *own, *(("bore",) if asked.inside and asked.end < context.work.end else ()))


def _indicator(step: TaperStep, taken: Way | None, asked: Wanted, context: Context) -> Indicator | None:
    """The indicator that the job names, or the one that reads this setting finest."""
    slide, attachment, whole = context.lathe.slides.top_slide, context.lathe.taper_attachment, context.work.overall
    sine = sin_degrees(asked.taper.half_angle)
    if taken is not None and taken.name == SET_OVER and whole is not None:
        return choose(step.indicator, context, Fraction(1), whole.value * sine)
    most = asked.length.value
    if taken is not None and taken.name == TOP_SLIDE and slide is not None:
        most = slide.travel.value
    elif taken is not None and taken.name == ATTACHMENT and attachment is not None:
        most = attachment.length.value
    return choose(step.indicator, context, sine, most)


def _per_turn(desk: Desk, name: str) -> Fraction:
    value = desk[name].value
    if isinstance(value, str):
        raise TypeError(f"{name} is a number")
    return value if desk.unit == "mm" else value * Fraction(127, 5)


def _feeds(desk: Desk, taken: Way, operation: str, tool: metal.Tool, rpm: Fraction, context: Context) -> None:
    """Feeds: of the machine where the saddle drives the tool; by hand, with the pace of the handle, where the top slide does."""
    slide = context.lathe.slides.top_slide
    if taken.name != TOP_SLIDE or slide is None:
        feed(desk, context, operation, tool.cuts_with, "roughing", prefix="rough_")
        feed(desk, context, operation, tool.cuts_with, "finishing", prefix="fine_")
        return
    for cut, name, label in (("roughing", "rough_feed", "Feed by hand, roughing"), ("finishing", "fine_feed", "Feed by hand, finishing")):
        found = practice_feed(operation, tool.cuts_with.value, cut) or practice_feed(operation, tool.cuts_with.value, "all")
        if found is None:
            continue
        middle = (found.low + found.high) / 2
        why = basis(
            "middle of practice: no power feed drives the top slide",
            (context.material.group, tool.cuts_with),
            source(found.source, found.status),
        )
        seconds = 60 * slide.dial.turn.value / (middle * rpm)
        shown, unit = (fixed(middle, 2), "mm/turn") if desk.unit == "mm" else (fixed(middle / Fraction(127, 5), 4), "in/turn")
        amount = middle if desk.unit == "mm" else middle / Fraction(127, 5)
        desk.number(name, label, amount, unit, shown, why, also=f"one turn of the handle in {fixed(seconds, 0)} s")


def _setting_words(desk: Desk, taken: Way, asked: Wanted, gauge: proving.Gauge, indicator: Indicator | None) -> list[str]:
    towards, rises = ("towards you", "falls back") if asked.large_at_headstock else ("away from you", "is pressed in")
    named = f"the {indicator.name.value}" if indicator is not None else "an indicator"
    master = gauge.master.name.value if gauge.master is not None else "a true taper of this size"
    plane = "plunger square to the bar, at centre height"
    words: list[str] = []
    if taken.name == TOP_SLIDE:
        words.append(f"Swing the top slide to {{slide_setting}}, its headstock end {towards}. Nip the bolts. The scale is only a start.")
        if "clock_reading" in desk:
            words += [
                f"Clock it. A parallel bar, true in the chuck or between centres; {named} on the top slide, {plane}. "
                f"Top slide {{clock_travel}} ({{clock_turns}}) towards the headstock: the needle {rises} by {{clock_reading}}. "
                "Tap the slide round until it does.",
                f"Or along {master}, held between true centres: over the same travel the needle stands still.",
            ]
        else:
            way = "in" if asked.large_at_headstock else "out"
            words.append(
                "Clock it. Steeper than the indicator's range, so the cross-slide measures. "
                f"A parallel bar, true in the chuck; {named} on the top slide, {plane}, zeroed, the cross-slide wound {way} last. "
                f"Top slide {{clock_travel}} ({{clock_turns}}) towards the headstock; cross-slide {way} until the needle is back at zero: "
                "its dial has moved by {clock_cross}. Tap the slide round until it does."
            )
        words.append("Tighten, clock again. Take up the slide's backlash the same way each time. Lock the saddle.")
    elif taken.name == ATTACHMENT:
        words.append(f"Set the guide bar to {{attachment_setting}}, its headstock end {towards}. The scale is only a start.")
        if "clock_reading" in desk:
            words.append(
                f"Clock it. A parallel bar between true centres; {named} in the tool post, {plane}. "
                f"Saddle {{clock_travel}} towards the headstock, backlash taken up: the needle {rises} by {{clock_reading}}."
            )
        words += [
            "Start each cut well off the work, so that the attachment's play is taken up before the tool touches.",
            "Where the attachment takes over the cross-slide's screw: top slide square to the bed, and its dial for the infeed.",
        ]
    else:
        side = "towards you" if asked.large_at_headstock else "away from you"
        words += [
            f"Zero {named}, on the cross-slide, on the tailstock barrel at centre height, from your side. Wind the cross-slide {side} by "
            "{set_over_cross}. Ease the clamp; bring the tailstock over until the needle is back at zero; clamp; read again."
            if "set_over_cross" in desk
            else f"Zero {named} on the tailstock barrel, at centre height, from your side. Ease the clamp; "
            f"set the tailstock over by {{set_over}}, {side}; clamp; read again.",
            "Ball-ended centres, or deep clean centre holes and grease; carrier tied so that it cannot rock.",
        ]
        if "set_over_from_here" in desk:
            words.append("That is from true. From where the tailstock stood when it was last read: {set_over_from_here}.")
        if "saddle_reading" in desk:
            words.append(
                f"Prove it on a parallel bar as long as the work, between these centres: {named} in the tool post, "
                f"saddle {{saddle_travel}} towards the tailstock: "
                f"the needle {'is pressed in' if asked.large_at_headstock else 'falls back'} by {{saddle_reading}}. "
                "Along the finished taper it stands still."
            )
    off = "0.1 mm" if desk.unit == "mm" else "0.005 in"
    cost = f": {off} off leaves the taper short by {{height_cost}}" if "height_cost" in desk else ""
    words.append(f"Tool on centre height{cost}. Above or below it the side comes out hollow.")
    return words


def _cutting_words(desk: Desk, taken: Way, asked: Wanted, shoulder: bool) -> list[str]:
    start = "the front face" if asked.start == 0 else "its near end"
    words = [f"Mark the end of the taper, {{length}} from {start}." + (" Stop short of the shoulder." if shoulder else "")]
    if taken.name == TOP_SLIDE:
        words.append("Infeed with the cross-slide by the table, saddle locked. Feed with the top slide, both hands, without a stop.")
        if "blend_lengths" in desk:
            words.append(
                "In {blend_lengths}: finish one length, then move the saddle by {blend_saddle} towards the headstock and the "
                f"cross-slide by {{blend_cross}} {'out' if asked.large_at_headstock else 'in'}, and go on. Look at the join with blue."
            )
    else:
        words.append("Infeed by the table; feed with the saddle. The first cuts reach only part of the length.")
    words += [
        "When enough of the taper is there to try: gauge and blue. Put the angle right before the size.",
        "Last cut by how far the gauge stands off, from the table.",
    ]
    if taken.name == SET_OVER:
        words.append("When done: tailstock back to true, proved with the indicator on a parallel bar between centres.")
    return words
