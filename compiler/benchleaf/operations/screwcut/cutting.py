"""Infeed from the real tip, and the pass table in the readings of the dial that sets it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from benchleaf.exact import cos_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar, collar
from benchleaf.operations.screwcut.groove import Groove, is_flat, is_lopsided, plan_groove
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.speed import runs_to_headstock
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.sheet.model import Row, Say, Table
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.infeed import Infeed, Tip, top_slide_angle
from benchleaf.standards.passes import EQUAL_CHIPS, PassPlan, advise_passes, plan_by_practice, plan_passes
from benchleaf.workshop.lathe import Slide, TopSlide
from benchleaf.workshop.tooling import ThreadingTool

__all__ = ["Cutting", "cutting"]


@dataclass(frozen=True, slots=True)
class Cutting:
    """How the thread is cut: the tip, the infeed (radial, mm), the slide that feeds, its collar, and the passes."""

    tip: Tip
    infeed: Infeed
    feeding: Slide | TopSlide
    collar: Collar
    angle: Fraction | None  # of the top slide from square to the axis; None for straight infeed
    plan: PassPlan
    table: Table
    bottom: Fraction | None = None  # width of a flat bottom that is wider than the tip, mm


def cutting(desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, start: Fraction, context: Context) -> Cutting | None:
    """Work out infeed and passes.  ``start`` is the diameter that the tool touches on, mm.  None after an error."""
    tip = (
        Tip(radius=tool.tip.radius.value)
        if tool.tip.radius and tool.tip.radius.value
        else Tip(flat=tool.tip.flat.value if tool.tip.flat else Fraction(0))
    )
    groove = plan_groove(desk, wanted, step, tool, tip, start, context)
    if groove is None:
        return None
    infeed = groove.infeed
    angle = _angle(desk, wanted, step, context)
    feeding, dial = _slide(desk, angle, context)
    plan = _plan(desk, wanted, step, tool, tip, groove, context)
    if plan is None:
        return None
    travel = infeed.depth if angle is None else infeed.depth / cos_degrees(angle)
    if travel > feeding.travel.value:
        context.faults.error(
            "tool/slide-travel",
            f"the slide travels {feeding.travel.text}, the infeed needs {length_text(travel, context.system, 'rule')}",
            feeding.travel,
            hint="check the travel in the profile; a thread this deep is roughed with the cross-slide",
        )
        return None
    table = _table(desk, wanted, plan, dial, angle, feeding, context)
    return None if table is None else Cutting(tip, infeed, feeding, dial, angle, plan, table, groove.bottom)


def _angle(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> Fraction | None:
    top = context.lathe.slides.top_slide
    if is_flat(wanted) or is_lopsided(wanted):
        shape = "a flat-bottomed groove" if is_flat(wanted) else "a buttress groove"
        if step.infeed.value == "flank" and not step.infeed.origin.default:
            context.faults.warning(
                "infeed/straight-only",
                f"{shape} is fed straight in here, not along the flank",
                step.infeed,
                "asks for it",
                hint="leave it out, or say `infeed: straight`",
            )
        desk.words(
            "infeed_way",
            "Infeed",
            "straight, by the cross-slide",
            basis(f"{shape} is cut on the middle of the tool", (step.infeed, wanted.at), PRACTICE),
        )
        return None
    if step.infeed.value != "flank" or top is None:
        why = "as the job asks" if step.infeed.value != "flank" else "this lathe has no top slide"
        desk.words("infeed_way", "Infeed", "straight, by the cross-slide", basis(why, (step.infeed,), PRACTICE))
        return None
    half = wanted.thread.form.half_angle
    angle = step.top_slide_angle.value if step.top_slide_angle else top_slide_angle(half)
    inputs: tuple[Value | str, ...] = (step.top_slide_angle,) if step.top_slide_angle else (wanted.at,)
    desk.words(
        "infeed_way", "Infeed", "along the flank, by the top slide", basis("as the job asks, or by default", (step.infeed,), PRACTICE)
    )
    zero_along = top.scale_zero.value == "along the bed"
    reading = 90 - angle if zero_along else angle
    # The edge that leads must cut: fed in, the slide carries the tool the way the saddle goes.  Inside it is fed by winding out.
    side = "tailstock" if runs_to_headstock(step, wanted) is not wanted.inside else "headstock"
    along = ": 90 less that, since it reads 0 along the bed" if zero_along else ""
    explained = basis(
        f"half the included angle less half a degree, as the swivel's scale counts it{along}", (*inputs, top.scale_zero), PRACTICE
    )
    also = f"{fixed(angle, 1)}\u00b0 from square to the bed, handle swung towards the {side}"
    desk.number("top_slide_scale", "Top slide set to", reading, "\u00b0", fixed(reading, 1), explained, also=also)
    return angle


def _slide(desk: Desk, angle: Fraction | None, context: Context) -> tuple[Slide | TopSlide, Collar]:
    slides = context.lathe.slides
    feeding: Slide | TopSlide = slides.cross_slide if angle is None or slides.top_slide is None else slides.top_slide
    name = "cross-slide" if feeding is slides.cross_slide else "top slide"
    dial = collar(feeding.dial)
    counts = {"diameter": "reads the change in diameter", "depth": "reads the depth", "travel": "reads the slide's own travel"}[dial.reads]
    desk.words(
        "feed_dial",
        "Dial that sets the cut",
        f"{name}, {feeding.dial.division.text} a division",
        basis(counts, (feeding.dial.reads, feeding.dial.division, feeding.dial.turn), source("the lathe's profile", "owner")),
        also=counts,
    )
    return feeding, dial


def _plan(desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, tip: Tip, groove: Groove, context: Context) -> PassPlan | None:
    wishes, infeed = step.passes, groove.infeed
    advice = advise_passes(wanted.thread.pitch, tool.cuts_with.value, context.inputs.material.group.value, inside=wanted.inside)
    if tool.least_cut is not None:
        advice = replace(advice, least=tool.least_cut.value, first=max(advice.first, tool.least_cut.value))
    count = wishes.count.value if wishes.count else None
    first = wishes.first.value if wishes.first else None
    last = wishes.last.value if wishes.last else None
    if infeed.depth <= 0:
        context.faults.error("thread/no-depth", "the blank already stands inside the thread: no metal is left to cut", wanted.at)
        return None
    _least_cut(step, tool, context)
    least = count or ceil(infeed.depth / max(advice.first, first or advice.first))
    if not few_enough(least, infeed.depth, wishes.count or wanted.at, context):
        return None
    try:
        half, spring = groove.half_angle, wishes.spring.value
        if count is None:
            plan = plan_by_practice(infeed.depth, half, tip, advice, first=first, last=last, spring=spring)
        else:
            plan = plan_passes(infeed.depth, half, tip, count=count, first=first, last=last, spring=spring)
    except ValueError as error:
        context.faults.error(
            "passes/impossible",
            f"no pass table meets these wishes: {error}",
            wishes.count or wishes.first or wishes.last or wishes.origin.span,
            f"the infeed is {length_text(infeed.depth, context.system)}",
            hint="leave some of them out",
        )
        return None
    inputs: tuple[Value | str, ...] = ("infeed", tool.cuts_with, context.inputs.material.group)
    inputs += tuple(wish for wish in (wishes.count, wishes.first, wishes.last, tool.least_cut) if wish is not None)
    desk.number(
        "passes",
        "Cutting passes",
        Fraction(len(plan.cutting)),
        "",
        str(len(plan.cutting)),
        basis(
            f"{EQUAL_CHIPS.formula}; {advice.rule.formula}: {advice.fewest} to {advice.most} cuts, the first at most "
            f"{length_text(advice.first, context.system)}",
            (*inputs, source(advice.rule.source, advice.rule.status)),
            source(EQUAL_CHIPS.source, EQUAL_CHIPS.status),
        ),
        also=f"then {wishes.spring.value} spring passes",
    )
    return plan


def _least_cut(step: Screwcut, tool: ThreadingTool, context: Context) -> None:
    wishes = step.passes
    for which, wish in (("first", wishes.first), ("last", wishes.last)):
        if wish is not None and tool.least_cut is not None and wish.value < tool.least_cut.value:
            context.faults.warning(
                "tool/least-cut",
                f"the {which} pass, a cut of {wish.text}, is under the least that {tool.name.value} takes without rubbing",
                wish,
                f"at least {tool.least_cut.text}",
                hint="leave the wish out, and the table keeps above it",
                related=((tool.least_cut, "its least cut"),),
            )


def _table(
    desk: Desk, wanted: Wanted, plan: PassPlan, dial: Collar, angle: Fraction | None, feeding: Slide | TopSlide, context: Context
) -> Table | None:
    """The passes as settings: running totals rounded to the dial's divisions, passes that the dial cannot tell apart left out."""
    stretch = Fraction(1) if angle is None else 1 / cos_degrees(angle)
    rows: list[Row] = []
    before, number = 0, 0
    for cut in plan.cuts:
        reading = dial.at(cut.depth * stretch, winding_out=wanted.inside)
        if not cut.spring and reading.divisions <= before:
            continue
        depth = reading.travel / stretch
        before = reading.divisions
        number += 1
        turns = "" if reading.turns == 0 else f"{reading.turns} turn{'s' if reading.turns > 1 else ''} +"
        shown_depth = length_text(depth, context.system).rsplit(" ", 1)[0]
        rows.append(
            Row(
                (None, Fraction(number), Fraction(reading.turns), reading.value, depth),
                ("", str(number), turns, reading.shown, shown_depth),
                "spring pass" if cut.spring else "",
            )
        )
    if before == 0:
        context.faults.error(
            "passes/dial-coarse",
            "the whole infeed is less than half a division of the dial",
            feeding.dial.division,
            hint="check the division in the profile, or feed with the other slide (`infeed:`)",
        )
        return None
    cuts = basis(EQUAL_CHIPS.formula, ("infeed", "passes"), source(EQUAL_CHIPS.source, EQUAL_CHIPS.status))
    along = "" if angle is None else f", divided by cos {fixed(angle, 1)} deg along the top slide"
    total = basis(
        f"running total{along}, to the nearest division; totals are rounded, never steps",
        ("infeed", feeding.dial.division, feeding.dial.turn, feeding.dial.reads),
        PRACTICE,
    )
    depth_basis = basis("straight-in depth that the dial's reading really gives", ("infeed", feeding.dial.division), GEOMETRY)
    columns = (
        desk.column("done", "", "", cuts, "tick"),
        desk.column("pass", "Pass", "", cuts, "number"),
        desk.column("turns", "", "", total, "text"),
        desk.column("dial", "Dial", dial.unit, total, "dial"),
        desk.column("depth", "Depth", desk.unit, depth_basis, "number"),
    )
    converted = tuple(
        Row((*row.values[:4], None if row.values[4] is None else _in(desk.unit, row.values[4])), row.shown, row.note) for row in rows
    )
    return Table("pass_table", "Passes", columns, converted, Say(_zero_words(wanted, feeding, context)))


def _zero_words(wanted: Wanted, feeding: Slide | TopSlide, context: Context) -> str:
    """The convention behind the dial column: where zero is, which way the collar counts, how backlash is taken up."""
    slack = feeding.backlash
    beyond = f"its backlash of {slack.text}" if slack.value else "its backlash"
    if wanted.inside:
        return (
            "Dial at zero with the tool touching the bore. An inside thread is fed by winding the slide out, towards "
            "you, so the collar counts down. "
            f"Wind in past {beyond} to clear the work, and always come out onto the reading."
        )
    return f"Dial at zero with the tool touching the work. Wind out past {beyond} to clear the work, and always come in onto the reading."


def _in(unit: str, mm: Fraction) -> Fraction:
    return mm if unit == "mm" else mm / Fraction(127, 5)
