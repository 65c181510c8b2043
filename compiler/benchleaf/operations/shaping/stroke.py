"""The stroke: its length and place, and the rate that gives the cutting speed at this stroke."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, basis, length_text, source
from benchleaf.operations.shaping.rate import choose_rate, write_speeds
from benchleaf.operations.shaping.travel import Run
from benchleaf.record import record
from benchleaf.standards.shaping import fact
from benchleaf.workshop.values import Measure, Text

__all__ = ["FIGURES", "Stroke", "plan_stroke"]

FIGURES = ("return_ratio", "mean_speed", "peak_speed", "cutting_speed")
_OWNED = source("the shaper's profile", "owner")


@record
class Stroke:
    """The stroke as it is set: ``length``, ``approach`` and ``overrun`` in mm; ``rate`` double strokes a minute; ``peak`` the fastest
    cutting speed, m/min (the mean one where it is not known)."""

    length: Fraction
    approach: Fraction
    overrun: Fraction
    rate: Fraction
    peak: Fraction
    swapped: bool


def plan_stroke(
    desk: Desk, context: Context, run: Run, cuts_with: Text, stroke: Measure | None, rate: Measure | None, *, by_hand: bool = False
) -> Stroke | None:  # fmt: skip
    """Choose stroke and rate, or take those that the job insists on, and write them down: ``work_run``, ``approach``, ``overrun``,
    ``stroke``, ``rate`` and how they come about; ``by_hand`` where a hand feeds at every return.  None after an error."""
    parts = _given(run, stroke, context) if stroke is not None else _chosen(run, context)
    chosen = choose_rate(desk, context, cuts_with, parts[0] if parts is not None else None, rate, by_hand)
    if parts is None or chosen is None:
        return None
    setting, moves = chosen
    length, approach, overrun = parts
    ram = context.shaper.ram
    desk.length(
        "work_run", "Cut, along the stroke", run.length, basis("as the job says", (run.at,), _OWNED), read_by="rule", rational=False
    )
    before, after = fact("approach"), fact("overrun")
    why = "what the stroke leaves; {} by practice"
    practice = source(before.source, before.status)
    low, high = (length_text(end, context.system, "caliper") for end in (before.low, before.high))
    desk.length(
        "approach",
        "Tool clear before the work",
        approach,
        basis(why.format(f"{low} to {high}"), ("stroke", "work_run", "overrun"), practice),
        read_by="rule",
        rational=False,
    )
    low, high = (length_text(end, context.system, "caliper") for end in (after.low, after.high))
    desk.length(
        "overrun",
        "Tool past the work",
        overrun,
        basis(f"{low} to {high} by practice, less where something stands in the way", (run.at,), source(after.source, after.status)),
        read_by="rule",
        rational=False,
    )
    inputs: tuple[Value | str, ...] = (stroke,) if stroke is not None else ("work_run", ram.longest_stroke)
    inputs += (ram.stroke_scale,) if ram.stroke_scale is not None and stroke is None else ()
    words = "as the job says" if stroke is not None else "cut + approach + overrun, to the next mark of the scale"
    desk.length(
        "stroke", "Stroke", length, basis(words, inputs, _OWNED if stroke is not None else practice), read_by="rule", rational=False
    )
    peak = write_speeds(desk, moves, setting, ram.drive)
    return Stroke(length, approach, overrun, setting.rate.value, peak, run.swapped)


def _chosen(run: Run, context: Context) -> tuple[Fraction, Fraction, Fraction] | None:
    """Length, approach and overrun by practice, to a mark of the scale where the ram has one."""
    ram = context.shaper.ram
    before, after = fact("approach"), fact("overrun")
    overrun = after.use if run.exit.free is None else min(after.use, max(run.exit.free, after.low))
    approach = before.use if run.entry.free is None else min(before.use, max(run.entry.free, before.low))
    wanted, longest = run.length + approach + overrun, ram.longest_stroke.value
    if wanted > longest and run.length + before.low + after.low > longest:
        _beyond(run, before.low, after.low, context)
        return None
    overrun = overrun if wanted <= longest else after.low
    length = wanted
    if ram.stroke_scale is not None and run.entry.free is None:
        marks = wanted / ram.stroke_scale.value
        length = -(-marks.numerator // marks.denominator) * ram.stroke_scale.value
    length = min(max(length, ram.shortest_stroke.value), longest)
    approach = length - run.length - overrun
    if run.entry.least is not None and approach > run.entry.least:
        _shortest(run, approach, context)
        return None
    return length, approach, overrun


def _beyond(run: Run, approach: Fraction, overrun: Fraction, context: Context) -> None:
    longest = context.shaper.ram.longest_stroke
    made = _made_up(run, approach, overrun, context)
    context.faults.error(
        "shaping/stroke-beyond",
        f"a stroke of {length_text(run.length + approach + overrun, context.system, 'caliper')} is wanted, "
        f"and the ram's longest is {longest.text}",
        run.at,
        made,
        hint="turn the work and cut across it, cut it in two settings, or take it to a longer machine",
        related=((longest, "the longest stroke"),),
    )


def _shortest(run: Run, approach: Fraction, context: Context) -> None:
    shortest = context.shaper.ram.shortest_stroke
    context.faults.error(
        "shaping/no-approach",
        f"the shortest stroke starts {length_text(approach, context.system, 'caliper')} before the cut, and {run.entry.what} stands there",
        run.at,
        f"the ram's shortest stroke is {shortest.text}",
        hint="cut from the other end, or move what is in the way",
        related=((shortest, "the shortest stroke"),),
    )


def _made_up(run: Run, approach: Fraction, overrun: Fraction, context: Context) -> str:
    parts = (length_text(part, context.system, "caliper") for part in (run.length, approach, overrun))
    return "{} of work + {} approach + {} overrun".format(*parts)


def _given(run: Run, stroke: Measure, context: Context) -> tuple[Fraction, Fraction, Fraction] | None:
    """The stroke that the job insists on, if the tool leaves the work at both ends."""
    ram = context.shaper.ram
    before, after = fact("approach"), fact("overrun")
    if stroke.value > ram.longest_stroke.value or stroke.value < ram.shortest_stroke.value:
        over = stroke.value > ram.longest_stroke.value
        bound = ram.longest_stroke if over else ram.shortest_stroke
        context.faults.error(
            "shaping/stroke-beyond",
            f"{stroke.text} is a {'longer' if over else 'shorter'} stroke than the ram makes",
            stroke,
            f"its {'longest' if over else 'shortest'} is {bound.text}",
            hint="leave `stroke` out, and it is worked out from the work",
            related=((bound, "the ram"),),
        )
        return None
    wanted = run.length + before.low + after.low
    if stroke.value < wanted:
        spare = stroke.value - run.length
        long = length_text(run.length, context.system, "caliper")
        says = (
            f"a stroke of {stroke.text} for a cut of {long}: the tool never leaves the work"
            if spare <= 0
            else f"a stroke of {stroke.text} leaves {length_text(spare, context.system, 'caliper')} beyond a cut of {long}"
        )
        asked = length_text(run.length + before.use + after.use, context.system, "caliper")
        context.faults.error(
            "shaping/stroke-short",
            says,
            stroke,
            f"at least {length_text(wanted, context.system, 'caliper')}: {_made_up(run, before.low, after.low, context)}",
            hint=f"{asked} is usual; or leave `stroke` out",
            note=f"{before.about}: {before.source} ({before.status})",
            related=((run.at, "the cut"),),
        )
        return None
    overrun = min(after.use if run.exit.free is None else max(run.exit.free, after.low), after.use, stroke.value - run.length - before.low)
    approach = stroke.value - run.length - overrun
    if run.entry.least is not None and approach > run.entry.least:
        _shortest(run, approach, context)
        return None
    return stroke.value, approach, overrun
