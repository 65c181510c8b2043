"""The groove that the tool is to leave: a V, a flat bottom that may be wider than the tool, or a buttress."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchleaf.exact import atan_degrees, tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import collar
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted, aim, size_ends, stock
from benchleaf.sheet.model import Block, Say, Steps
from benchleaf.standards.infeed import Infeed, Tip, flat_groove, infeed_buttress, infeed_external, infeed_internal, tip_for_root, too_blunt
from benchleaf.standards.tables import Rule
from benchleaf.workshop.tooling import ThreadingTool

__all__ = ["Groove", "is_flat", "is_lopsided", "plan_groove", "widening"]

_SLIGHT = Fraction(1, 100)  # of the pitch: a groove wider than the tip by less is not worth a shift; common practice
_SLENDER = 4  # a tip narrower than a quarter of its groove springs, and leaves too many cuts side by side; common practice


@dataclass(frozen=True, slots=True)
class Groove:
    """The infeed (radial, mm), the half angle (deg) that its chips are reckoned with, the width of its bottom (mm, None where the tip makes
    it) and how much wider than the tip that is."""

    infeed: Infeed
    half_angle: Fraction
    bottom: Fraction | None = None
    side_step: Fraction = Fraction(0)


def is_flat(wanted: Wanted) -> bool:
    """Whether the form has a flat bottom that a flat tool makes: trapezoidal, Acme, square, worm."""
    form = wanted.thread.form
    return form.root == "flat" and not form.tool.endswith(" V")


def is_lopsided(wanted: Wanted) -> bool:
    """Whether the flanks lean differently, as those of a buttress do."""
    return not wanted.thread.form.symmetrical


def plan_groove(
    desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, tip: Tip, start: Fraction, context: Context
) -> Groove | None:
    """Work out the groove and how deep it is from the diameter ``start``, mm, with the figures for it.  None after an error."""
    if is_flat(wanted):
        return _flat(desk, wanted, step, tool, tip, start, context)
    if is_lopsided(wanted):
        return _buttress(desk, wanted, step, tool, tip, start, context)
    thread = wanted.thread
    half, pitch, limits = thread.form.half_angle, thread.pitch, wanted.limits.pitch
    work = infeed_internal if wanted.inside else infeed_external
    infeed = work(start, aim(limits), pitch, half, tip)
    _infeed_figure(desk, wanted, step, tool, infeed, context)
    if not wanted.basic:
        least, most = sorted(work(start, end, pitch, half, tip).depth for end in size_ends(limits))[:: max(len(size_ends(limits)) - 1, 1)]
        desk.length(
            "infeed_limits",
            "Infeed for the limits",
            infeed.depth,
            basis("the same for the smallest and largest pitch diameter", ("infeed", "pitch_diameter"), GEOMETRY),
            rational=False,
            limits=(least, most),
        )
    _root_figure(desk, infeed)
    return Groove(infeed, half) if _root_reached(step, wanted, tool, tip, infeed, context) else None


def _infeed_figure(
    desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, infeed: Infeed, context: Context, *more: str
) -> None:
    from_what: Value | None = stock(step, context)
    inputs: tuple[Value | str, ...] = (
        "blank_bore" if wanted.inside else "blank_diameter",
        *more,
        "pitch_diameter",
        tool.tip.radius or tool.tip.flat or tool.name,
    )
    if from_what is not None:
        inputs = (from_what, *inputs)
    desk.length(
        "infeed",
        "Infeed, straight in",
        infeed.depth,
        basis(infeed.rule.formula, inputs, source(infeed.rule.source, infeed.rule.status)),
        rational=False,
    )


def _root_figure(desk: Desk, infeed: Infeed) -> None:
    desk.length(
        "root_diameter",
        "Root that this tip leaves",
        infeed.root,
        basis("blank diameter and twice the infeed", ("infeed",), GEOMETRY),
        rational=False,
    )


def _root_reached(step: Screwcut, wanted: Wanted, tool: ThreadingTool, tip: Tip, infeed: Infeed, context: Context) -> bool:
    """Flanks in place, does the root clear the mating crest?  And does a needle-sharp tip cut far below it?"""
    thread, half, system = wanted.thread, wanted.thread.form.half_angle, context.system
    size = wanted.limits.major if wanted.inside else wanted.limits.minor
    limit = (size.lower if wanted.inside else size.upper) or (size.basic if wanted.basic else None)
    if limit is not None and too_blunt(tip, aim(wanted.limits.pitch), thread.pitch, half, limit, inside=wanted.inside):
        _blunt(step, wanted, tool, infeed, limit, context)
        return False
    least = thread.form.least_root_radius(thread.pitch) if not wanted.inside else None
    if least is not None and tip.radius < least and tip.flat < thread.pitch / 10:
        context.faults.note(
            "tool/sharp",
            f"the tip of {tool.name.value} is sharper than the root of {thread.designation} should be",
            step.tool,
            f"the standard's root radius is at least {length_text(least, system)}",
            hint="hone a radius on it where the part carries load",
            related=((tool.tip.radius or tool.tip.flat or tool.name, "the tip"),),
        )
    return True


def _blunt(step: Screwcut, wanted: Wanted, tool: ThreadingTool, infeed: Infeed, limit: Fraction, context: Context) -> None:
    thread, system = wanted.thread, context.system
    has = tool.tip.radius or tool.tip.flat or tool.name
    line = "basic root" if wanted.basic else "smallest major" if wanted.inside else "largest minor"
    hint = "grind it finer"
    if thread.form.symmetrical:
        flat, radius = tip_for_root(aim(wanted.limits.pitch), limit, thread.pitch, thread.form.half_angle)
        hint = f"a flat of at most {length_text(flat.flat, system)} or a radius of at most {length_text(radius.radius, system)} would do"
    context.faults.error(
        "tool/blunt",
        f"the tip of {tool.name.value} ({has.text}) is too blunt for {thread.designation}: with the flanks in place "
        f"the root stands at {length_text(infeed.root, system)}",
        step.tool,
        f"the {line} diameter is {length_text(limit, system)}",
        hint=hint,
        related=((has, "the tip"),),
    )


def _flat(desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, tip: Tip, start: Fraction, context: Context) -> Groove | None:
    thread, system = wanted.thread, context.system
    half, pitch, across = thread.form.half_angle, thread.pitch, aim(wanted.limits.pitch)
    bottom = wanted.limits.major if wanted.inside else wanted.limits.minor
    has = tool.tip.radius or tool.tip.flat or tool.name
    if tip.radius:
        context.faults.error(
            "tool/round-tip",
            f"{tool.name.value} has a round tip, and the groove of {thread.designation} has a flat bottom",
            step.tool,
            hint=f"grind a flat, at most "
            f"{length_text(flat_groove(start, across, aim(bottom), pitch, half, Fraction(0)).width, system)} wide",
            related=((has, "the tip"),),
        )
        return None
    groove = flat_groove(start, across, aim(bottom), pitch, half, tip.flat)
    shallowest = size_ends(bottom)[0 if wanted.inside else -1]
    widest = flat_groove(start, across, shallowest, pitch, half, tip.flat).width
    if tip.flat > widest:
        context.faults.error(
            "tool/wide",
            f"the tip of {tool.name.value}, {has.text} wide, does not go into the groove of {thread.designation}: its "
            f"bottom is {length_text(groove.width, system)} wide",
            step.tool,
            f"at most {length_text(widest, system)} would still reach the root",
            hint="grind it narrower; a narrower one is side-stepped",
            related=((has, "the tip"),),
        )
        return None
    if tip.flat * _SLENDER < groove.width:
        context.faults.error(
            "tool/narrow",
            f"the tip of {tool.name.value} is under a quarter of the groove of {thread.designation}, "
            f"{length_text(groove.width, system)} wide at the bottom",
            step.tool,
            hint=f"a tip of half that width or more is stiff enough: up to {length_text(widest, system)}",
            related=((has, "the tip"),),
        )
        return None
    if groove.side_step > pitch * _SLIGHT and context.lathe.slides.top_slide is None:
        context.faults.error(
            "tool/narrow",
            f"the groove of {thread.designation} is {length_text(groove.side_step, system)} wider than the tip of "
            f"{tool.name.value}, and this lathe has no top slide to widen it with",
            step.tool,
            hint=f"grind a tip {length_text(groove.width, system)} wide",
            related=((has, "the tip"),),
        )
        return None
    if groove.side_step < 0:  # within the root's limits: the flanks decide, and the root stands a little high
        infeed = (infeed_internal if wanted.inside else infeed_external)(start, across, pitch, half, tip)
    else:
        infeed = Infeed(groove.depth, groove.root, pitch - groove.width - 2 * groove.depth * tan_degrees(half), Fraction(0), groove.rule)
    desk.length(
        "groove_width",
        "Groove, width at the bottom",
        groove.width,
        basis(
            "half the pitch less (pitch diameter - root) x tan half angle",
            ("pitch_diameter", "major_diameter" if wanted.inside else "minor_diameter", wanted.at),
            GEOMETRY,
        ),
        rational=False,
    )
    _infeed_figure(desk, wanted, step, tool, infeed, context, "major_diameter" if wanted.inside else "minor_diameter")
    _root_figure(desk, infeed)
    step_by = groove.side_step if groove.side_step > pitch * _SLIGHT else Fraction(0)
    if step_by:
        _side_step_figure(desk, tool, step_by, context, "width of the groove less that of the tip", wanted)
    return Groove(infeed, half, groove.width, step_by)


def _side_step_figure(desk: Desk, tool: ThreadingTool, side_step: Fraction, context: Context, formula: str, wanted: Wanted) -> None:
    top = context.lathe.slides.top_slide
    if top is None:
        raise TypeError("a groove is widened by a top slide")
    dial = collar(top.dial)
    desk.length(
        "side_step",
        "Widen by, in all",
        side_step,
        basis(
            formula,
            (*(("groove_width",) if "groove_width" in desk else ()), "infeed", tool.tip.flat or tool.tip.radius or tool.name, wanted.at),
            GEOMETRY,
        ),
        rational=False,
    )
    reading = dial.at(side_step / 2, winding_out=False)
    turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} + " if reading.turns else ""
    desk.words(
        "side_step_dial",
        "Top slide, each way",
        f"{turns}{reading.shown} {dial.unit}",
        basis(
            "half of it to each side of the middle, to the nearest division",
            ("side_step", top.dial.division, top.dial.turn, top.dial.reads),
            PRACTICE,
        ),
    )


def _buttress(
    desk: Desk, wanted: Wanted, step: Screwcut, tool: ThreadingTool, tip: Tip, start: Fraction, context: Context
) -> Groove | None:
    thread = wanted.thread
    flanks = thread.form.flanks
    infeed = infeed_buttress(start, aim(wanted.limits.pitch), thread.pitch, flanks, tip, inside=wanted.inside)
    limit = aim(wanted.limits.major if wanted.inside else wanted.limits.minor)
    short = limit - infeed.root if wanted.inside else infeed.root - limit
    if short > thread.pitch / 100:  # a hundredth of the pitch: the honed radius is not known better; common practice
        _blunt(step, wanted, tool, infeed, limit, context)
        return None
    spread = tan_degrees(flanks[0]) + tan_degrees(flanks[1])
    side_step = max(-short, Fraction(0)) / 2 * spread
    if side_step:  # a finer tip goes no deeper than the form: it is moved along instead
        infeed = Infeed(
            abs(start - limit) / 2,
            limit,
            infeed.crest,
            infeed.short_of_apex,
            Rule("half the difference of surface and root diameter", "plane geometry", "derived"),
        )
    _infeed_figure(desk, wanted, step, tool, infeed, context)
    _root_figure(desk, infeed)
    if side_step > thread.pitch * _SLIGHT:
        if context.lathe.slides.top_slide is None:
            context.faults.error(
                "tool/narrow",
                f"the tip of {tool.name.value} is finer than the root of {thread.designation}, and this lathe has no "
                f"top slide to widen the groove with",
                step.tool,
                hint=f"hone a radius of {length_text(thread.form.design_root_radius(thread.pitch) or Fraction(0), context.system)}",
            )
            return None
        _side_step_figure(desk, tool, side_step, context, "the tip stops short of the flanks at the form's depth", wanted)
    return Groove(infeed, atan_degrees(spread / 2))


def widening(desk: Desk) -> list[Block]:
    """How a groove is made wider than the tip; nothing where the tip is as wide."""
    if "side_step" not in desk:
        return []
    return [
        Steps(
            "Widen",
            (
                Say("At the last reading of the table, on the top slide set along the bed: note its reading as the middle."),
                Say(
                    "Shift towards the headstock in small cuts, the spindle and the half-nuts as before, to "
                    "{side_step_dial} from the middle."
                ),
                Say(
                    "Back past the middle, taking up the backlash, and the same to the other side: {side_step} wider in all"
                    + (", {groove_width} at the bottom" if "groove_width" in desk else "")
                    + ". Stop sooner if the gauge goes on."
                ),
            ),
        )
    ]
