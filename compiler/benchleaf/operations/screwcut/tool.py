"""The threading tool that the job names, checked against the thread, the bore and the depth."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.diagnostics import close_matches
from benchleaf.exact import cos_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.desk import length_text
from benchleaf.operations.screwcut.model import Ending, Screwcut
from benchleaf.operations.screwcut.thread import Wanted, stock
from benchleaf.operations.screwcut.words import plain
from benchleaf.workshop.tooling import ThreadingTool

__all__ = ["find_tool"]


def find_tool(step: Screwcut, wanted: Wanted, context: Context) -> ThreadingTool | None:
    """The tool of a step; every way in which it does not suit becomes a diagnostic.  None when it cannot cut this thread at all."""
    owned = list(context.inputs.threading_tools())
    tool = next((item for item in owned if item.name.value == step.tool.value), None)
    if tool is None:
        names = [item.name.value for item in owned]
        close = close_matches(step.tool.value, names)
        hint = f"did you mean {' or '.join(close)}?" if close else f"threading tools owned: {', '.join(names) or 'none'}"
        context.faults.error("tool/unknown", f"no threading tool is called {step.tool.value[:60]!r}", step.tool, hint=hint)
        return None
    before = len(context.faults.found)
    _side(step, tool, wanted, owned, context)
    _form(step, tool, wanted, owned, context)
    _tip(step, tool, wanted, owned, context)
    _clearance(step, tool, wanted, context)
    if wanted.inside:
        _entry(step, tool, owned, context)
    return None if any(fault.severity.value == "error" for fault in context.faults.found[before:]) else tool


def _that_do(owned: list[ThreadingTool], wanted: Wanted, why: str) -> str:
    """The owned tools that would do, as a hint."""
    fit = [item.name.value for item in owned if _fits(item, wanted)]
    return f"{why}: {', '.join(fit)}" if fit else "no tool that is owned will do; grind or buy one"


def _fits(tool: ThreadingTool, wanted: Wanted) -> bool:
    pitch = wanted.thread.pitch
    return (
        tool.where.value == wanted.side
        and tool.angle.value == wanted.thread.form.included_angle
        and (tool.full_profile is None or tool.full_profile.pitch.value == pitch)
        and (tool.pitches is None or tool.pitches.finest.value <= pitch <= tool.pitches.coarsest.value)
    )


def _side(step: Screwcut, tool: ThreadingTool, wanted: Wanted, owned: list[ThreadingTool], context: Context) -> None:
    if tool.where.value != wanted.side:
        context.faults.error(
            "tool/side",
            f"{tool.name.value} cuts {tool.where.value} threads, this one is {wanted.side}",
            step.tool,
            hint=_that_do(owned, wanted, "tools that do"),
            related=((tool.where, "said here"),),
        )


def _form(step: Screwcut, tool: ThreadingTool, wanted: Wanted, owned: list[ThreadingTool], context: Context) -> None:
    thread = wanted.thread
    if tool.angle.value != thread.form.included_angle:
        context.faults.error(
            "tool/angle",
            f"{tool.name.value} is ground to {tool.angle.text}, {thread.designation} has {plain(thread.form.included_angle, 2)} deg",
            step.tool,
            "bears at root or crest only",
            hint=_that_do(owned, wanted, "tools with the right angle"),
            related=((tool.angle, "the tool's angle"),),
        )
    if tool.full_profile is not None and tool.full_profile.pitch.value != thread.pitch:
        context.faults.error(
            "tool/full-profile",
            f"{tool.name.value} is full-profile for {tool.full_profile.pitch.text}, the pitch of {thread.designation} is "
            f"{plain(thread.pitch)} mm",
            step.tool,
            "it would cut the crest at the wrong height",
            hint=_that_do(owned, wanted, "only a partial-profile tool covers a range of pitches; tools that do"),
            related=((tool.full_profile.pitch, "the one pitch it cuts"),),
        )
    if tool.pitches is not None and not tool.pitches.finest.value <= thread.pitch <= tool.pitches.coarsest.value:
        context.faults.error(
            "tool/pitch-range",
            f"{tool.name.value} is meant for {tool.pitches.finest.text} to {tool.pitches.coarsest.text}, the pitch is "
            f"{plain(thread.pitch)} mm",
            step.tool,
            hint=_that_do(owned, wanted, "tools that do"),
            related=((tool.pitches.finest, "its range"),),
        )


def _tip(step: Screwcut, tool: ThreadingTool, wanted: Wanted, owned: list[ThreadingTool], context: Context) -> None:
    thread = wanted.thread
    half = thread.form.half_angle
    system = context.system
    if tool.tip.radius is not None and half and tool.tip.radius.value > (largest := thread.pitch / (4 * cos_degrees(half))):
        context.faults.error(
            "tool/blunt",
            f"the tip radius of {tool.name.value}, {tool.tip.radius.text}, is too blunt for a pitch of {plain(thread.pitch)} mm",
            step.tool,
            "the flanks would never meet",
            hint=f"a tip of at most {length_text(largest, system, 'caliper')} radius is wanted",
            note="largest radius = pitch / (4 cos of the half angle): half the best wire",
            related=((tool.tip.radius, "the tip"),),
        )
    if tool.tip.flat is not None and tool.tip.flat.value > (largest := thread.pitch / 2):
        context.faults.error(
            "tool/blunt",
            f"the tip of {tool.name.value} is {tool.tip.flat.text} wide, wider than the groove of a {plain(thread.pitch)} mm pitch",
            step.tool,
            hint=f"less than {length_text(largest, system, 'caliper')} is wanted",
            related=((tool.tip.flat, "the tip"),),
        )


def _clearance(step: Screwcut, tool: ThreadingTool, wanted: Wanted, context: Context) -> None:
    lead_angle = wanted.thread.lead_angle
    if tool.hand.value not in ("both", wanted.thread.hand) and lead_angle > 1:
        context.faults.warning(
            "tool/hand",
            f"{tool.name.value} is relieved for {tool.hand.value}-hand threads, this one is {wanted.thread.hand}-hand",
            step.tool,
            "the heel may rub on the leading flank",
            related=((tool.hand, "said here"),),
        )
    if tool.side_clearance is not None and tool.side_clearance.value <= lead_angle:
        context.faults.error(
            "tool/clearance",
            f"the thread climbs at {plain(lead_angle, 1)} deg, {tool.name.value} has {tool.side_clearance.text} under its leading flank",
            step.tool,
            "the flank below the edge would rub",
            hint="grind the leading side to the lead angle plus 3 to 5 deg (common practice)",
            related=((tool.side_clearance, "the clearance it has"),),
        )


def _entry(step: Screwcut, tool: ThreadingTool, owned: list[ThreadingTool], context: Context) -> None:
    bore = stock(step, context)
    system = context.system
    if bore is not None and tool.smallest_bore is not None and tool.smallest_bore.value > bore.value:
        slim = [item.name.value for item in owned if item.smallest_bore and item.smallest_bore.value <= bore.value]
        context.faults.error(
            "tool/bore",
            f"{tool.name.value} needs a bore of {tool.smallest_bore.text}, the bore is {bore.text}",
            step.tool,
            "too fat to enter",
            hint=f"tools that enter: {', '.join(slim)}" if slim else "no inside tool that is owned enters this bore",
            related=((tool.smallest_bore, "the smallest bore it enters"), (bore, "the bore")),
        )
    if tool.reach is None:
        return
    depth = step.length.value + _beyond_thread(step)
    if tool.reach.value < depth:
        longer = [item.name.value for item in owned if item.reach and item.where.value == "inside" and item.reach.value >= depth]
        context.faults.error(
            "tool/reach",
            f"{tool.name.value} reaches {tool.reach.text}, the thread and what follows it are {length_text(depth, system, 'rule')} deep",
            step.tool,
            "the holder meets the face first",
            hint=f"bars that reach: {', '.join(longer)}" if longer else "no inside tool that is owned reaches that deep",
            related=((tool.reach, "its reach"), (step.length, "the length of thread")),
        )


def _beyond_thread(step: Screwcut) -> Fraction:
    """What the tool must go past the thread's end, mm."""
    ending = step.ends_in
    if isinstance(ending, Ending):
        if ending.relief is not None:
            return ending.relief.width.value
        if ending.run_out is not None:
            return ending.run_out.length.value
    return Fraction(0)
