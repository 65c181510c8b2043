"""Infeed from the real tip, and the pass table in the readings of the dial that sets it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from benchleaf.exact import cos_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar, collar
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.sheet.model import Row, Say, Table
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.infeed import Infeed, Tip, infeed_external, infeed_internal, tip_for_root, top_slide_angle, too_blunt
from benchleaf.standards.passes import EQUAL_CHIPS, PassPlan, advise_passes, plan_by_practice, plan_passes
from benchleaf.workshop.job import Screwcut
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


def cutting(desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, start: Fraction, context: Context) -> Cutting | None:
    """Work out infeed and passes.  ``start`` is the diameter that the tool touches on, mm.  None after an error."""
    tip = Tip(radius=tool.tip.radius.value) if tool.tip.radius and tool.tip.radius.value else Tip(flat=tool.tip.flat.value if tool.tip.flat else Fraction(0))
    infeed = _infeed(desk, wanted, tool, tip, start, context)
    if infeed is None or not _root_reached(step, wanted, tool, tip, infeed, context):
        return None
    angle = _angle(desk, wanted, step, context)
    feeding, dial = _slide(desk, angle, context)
    plan = _plan(desk, wanted, step, tool, tip, infeed, context)
    if plan is None:
        return None
    travel = infeed.depth if angle is None else infeed.depth / cos_degrees(angle)
    if travel > feeding.travel.value:
        context.faults.error("tool/slide-travel", f"the slide travels {feeding.travel.text}, the infeed needs {length_text(travel, context.system, 'rule')}", feeding.travel,
                             hint="check the travel in the profile; a thread this deep is roughed with the cross-slide")  # fmt: skip
        return None
    table = _table(desk, wanted, plan, dial, angle, feeding, context)
    return None if table is None else Cutting(tip, infeed, feeding, dial, angle, plan, table)


def _infeed(desk: Desk, wanted: Wanted, tool: ThreadingTool, tip: Tip, start: Fraction, context: Context) -> Infeed | None:
    limits, half, pitch = wanted.limits.pitch, wanted.thread.form.half_angle, wanted.thread.pitch
    if limits.lower is None or limits.upper is None:
        context.faults.error("thread/no-limits", f"no pitch-diameter limits are known for {wanted.thread.designation}, so the infeed has no target", wanted.at, hint="give a tolerance class")
        return None
    if not half:
        context.faults.error("thread/form", f"threads of the form {wanted.thread.form.name!r} cannot be planned yet: their flanks do not make a V", wanted.at)
        return None
    work = infeed_internal if wanted.inside else infeed_external
    aim = (limits.lower + limits.upper) / 2
    infeed = work(start, aim, pitch, half, tip)
    least, most = sorted(work(start, end, pitch, half, tip).depth for end in (limits.lower, limits.upper))
    blank = context.inputs.job.blank
    from_what: Value | None = blank.bore if wanted.inside else blank.outside
    inputs: tuple[Value | str, ...] = ("blank_bore" if wanted.inside else "blank_diameter", "pitch_diameter", tool.tip.radius or tool.tip.flat or tool.name)
    if from_what is not None:
        inputs = (from_what, *inputs)
    desk.length("infeed", "Infeed, straight in", infeed.depth, basis(infeed.rule.formula, inputs, source(infeed.rule.source, infeed.rule.status)), rational=False)
    desk.length("infeed_limits", "Infeed for the limits", infeed.depth, basis("the same for the smallest and largest pitch diameter", ("infeed", "pitch_diameter"), GEOMETRY),
                rational=False, limits=(least, most))  # fmt: skip
    desk.length("root_diameter", "Root that this tip leaves", infeed.root, basis("blank diameter and twice the infeed", ("infeed",), GEOMETRY), rational=False)
    return infeed


def _root_reached(step: Screwcut, wanted: Wanted, tool: ThreadingTool, tip: Tip, infeed: Infeed, context: Context) -> bool:
    """Flanks in place, does the root clear the mating crest?  And does a needle-sharp tip cut far below it?"""
    thread, half, system = wanted.thread, wanted.thread.form.half_angle, context.system
    limit = wanted.limits.major.lower if wanted.inside else wanted.limits.minor.upper
    aim = infeed.root
    pitch_limits = wanted.limits.pitch
    if limit is not None and pitch_limits.lower is not None and pitch_limits.upper is not None:
        tightest = (pitch_limits.lower + pitch_limits.upper) / 2
        if too_blunt(tip, tightest, thread.pitch, half, limit, inside=wanted.inside):
            has = tool.tip.radius or tool.tip.flat or tool.name
            line = "smallest major" if wanted.inside else "largest minor"
            context.faults.error(
                "tool/blunt", f"the tip of {tool.name.value} ({has.text}) is too blunt for {thread.designation}: with the flanks in place the root stands at {length_text(aim, system)}", step.tool,
                f"the {line} diameter is {length_text(limit, system)}", hint=_tip_hint(wanted, limit, system), related=((has, "the tip"),),
            )  # fmt: skip
            return False
    least = thread.form.least_root_radius(thread.pitch) if not wanted.inside else None
    if least is not None and tip.radius < least and tip.flat < thread.pitch / 10:
        context.faults.note(
            "tool/sharp", f"the tip of {tool.name.value} is sharper than the root of {thread.designation} should be", step.tool,
            f"the standard's root radius is at least {length_text(least, system)}", hint="hone a radius on it where the part carries load",
            related=((tool.tip.radius or tool.tip.flat or tool.name, "the tip"),),
        )  # fmt: skip
    return True


def _tip_hint(wanted: Wanted, limit: Fraction, system: str) -> str:
    limits = wanted.limits.pitch
    aim = ((limits.lower or Fraction(0)) + (limits.upper or Fraction(0))) / 2
    flat, radius = tip_for_root(aim, limit, wanted.thread.pitch, wanted.thread.form.half_angle)
    return f"a flat of at most {length_text(flat.flat, system)} or a radius of at most {length_text(radius.radius, system)} would do"


def _angle(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> Fraction | None:
    top = context.lathe.slides.top_slide
    if step.infeed.value != "flank" or top is None:
        why = "as the job asks" if step.infeed.value != "flank" else "this lathe has no top slide"
        desk.words("infeed_way", "Infeed", "straight, by the cross-slide", basis(why, (step.infeed,), PRACTICE))
        return None
    half = wanted.thread.form.half_angle
    angle = step.top_slide_angle.value if step.top_slide_angle else top_slide_angle(half)
    inputs: tuple[Value | str, ...] = (step.top_slide_angle,) if step.top_slide_angle else (wanted.at,)
    desk.words("infeed_way", "Infeed", "along the flank, by the top slide", basis("as the job asks, or by default", (step.infeed,), PRACTICE))
    zero_along = top.scale_zero.value == "along the bed"
    reading = 90 - angle if zero_along else angle
    desk.number("top_slide_scale", "Top slide set to", reading, "deg", fixed(reading, 1),
                basis("half the included angle less half a degree, as the swivel's scale counts it" + (": 90 less that, since it reads 0 along the bed" if zero_along else ""),
                      (*inputs, top.scale_zero), PRACTICE), also=f"{fixed(angle, 1)} deg from square to the bed")  # fmt: skip
    return angle


def _slide(desk: Desk, angle: Fraction | None, context: Context) -> tuple[Slide | TopSlide, Collar]:
    slides = context.lathe.slides
    feeding: Slide | TopSlide = slides.cross_slide if angle is None or slides.top_slide is None else slides.top_slide
    name = "cross-slide" if feeding is slides.cross_slide else "top slide"
    dial = collar(feeding.dial)
    counts = {"diameter": "reads the change in diameter", "depth": "reads the depth", "travel": "reads the slide's own travel"}[dial.reads]
    desk.words("feed_dial", "Dial that sets the cut", f"{name}, {feeding.dial.division.text} a division", basis(counts, (feeding.dial.reads, feeding.dial.division, feeding.dial.turn),
               source("the lathe's profile", "owner")), also=counts)  # fmt: skip
    return feeding, dial


def _plan(desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, tip: Tip, infeed: Infeed, context: Context) -> PassPlan | None:
    wishes = step.passes
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
    try:
        half, spring = wanted.thread.form.half_angle, wishes.spring.value
        if count is None:
            plan = plan_by_practice(infeed.depth, half, tip, advice, first=first, last=last, spring=spring)
        else:
            plan = plan_passes(infeed.depth, half, tip, count=count, first=first, last=last, spring=spring)
    except ValueError as error:
        context.faults.error("passes/impossible", f"no pass table meets these wishes: {error}", wishes.count or wishes.first or wishes.last or wishes.origin.span,
                             f"the infeed is {length_text(infeed.depth, context.system)}", hint="leave some of them out")  # fmt: skip
        return None
    inputs: tuple[Value | str, ...] = ("infeed", tool.cuts_with, context.inputs.material.group)
    inputs += tuple(wish for wish in (wishes.count, wishes.first, wishes.last, tool.least_cut) if wish is not None)
    desk.number("passes", "Cutting passes", Fraction(len(plan.cutting)), "", str(len(plan.cutting)), basis(f"{EQUAL_CHIPS.formula}; {advice.rule.formula}: {advice.fewest} to {advice.most} cuts, the first at most {length_text(advice.first, context.system)}",
                (*inputs, source(advice.rule.source, advice.rule.status)), source(EQUAL_CHIPS.source, EQUAL_CHIPS.status)), also=f"then {wishes.spring.value} spring passes")  # fmt: skip
    return plan


def _least_cut(step: Screwcut, tool: ThreadingTool, context: Context) -> None:
    wishes = step.passes
    for which, wish in (("first", wishes.first), ("last", wishes.last)):
        if wish is not None and tool.least_cut is not None and wish.value < tool.least_cut.value:
            context.faults.warning("tool/least-cut", f"the {which} pass, a cut of {wish.text}, is under the least that {tool.name.value} takes without rubbing", wish, f"at least {tool.least_cut.text}",
                                   hint="leave the wish out, and the table keeps above it", related=((tool.least_cut, "its least cut"),))  # fmt: skip


def _table(desk: Desk, wanted: Wanted, plan: PassPlan, dial: Collar, angle: Fraction | None, feeding: Slide | TopSlide, context: Context) -> Table | None:
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
        rows.append(Row((None, Fraction(number), Fraction(reading.turns), reading.value, depth), ("", str(number), turns, reading.shown, shown_depth), "spring pass" if cut.spring else ""))
    if before == 0:
        context.faults.error("passes/dial-coarse", "the whole infeed is less than half a division of the dial", feeding.dial.division,
                             hint="check the division in the profile, or feed with the other slide (`infeed:`)")  # fmt: skip
        return None
    cuts = basis(EQUAL_CHIPS.formula, ("infeed", "passes"), source(EQUAL_CHIPS.source, EQUAL_CHIPS.status))
    along = "" if angle is None else f", divided by cos {fixed(angle, 1)} deg along the top slide"
    total = basis(f"running total{along}, to the nearest division; totals are rounded, never steps", ("infeed", feeding.dial.division, feeding.dial.turn, feeding.dial.reads), PRACTICE)
    depth_basis = basis("straight-in depth that the dial's reading really gives", ("infeed", feeding.dial.division), GEOMETRY)
    columns = (
        desk.column("done", "", "", cuts, "tick"),
        desk.column("pass", "Pass", "", cuts, "number"),
        desk.column("turns", "", "", total, "text"),
        desk.column("dial", "Dial", dial.unit, total, "dial"),
        desk.column("depth", "Depth", desk.unit, depth_basis, "number"),
    )
    converted = tuple(Row((*row.values[:4], None if row.values[4] is None else _in(desk.unit, row.values[4])), row.shown, row.note) for row in rows)
    return Table("pass_table", "Passes", columns, converted, Say(_zero_words(wanted, feeding, context)))


def _zero_words(wanted: Wanted, feeding: Slide | TopSlide, context: Context) -> str:
    """The convention behind the dial column: where zero is, which way the collar counts, how backlash is taken up."""
    slack = feeding.backlash
    beyond = f"its backlash of {slack.text}" if slack.value else "its backlash"
    if wanted.inside:
        return (
            "Dial at zero with the tool touching the bore. An inside thread is fed by winding the slide out, towards you, so the collar counts down. "
            f"Wind in past {beyond} to clear the work, and always come out onto the reading."
        )
    return f"Dial at zero with the tool touching the work. Wind out past {beyond} to clear the work, and always come in onto the reading."


def _in(unit: str, mm: Fraction) -> Fraction:
    return mm if unit == "mm" else mm / Fraction(127, 5)
