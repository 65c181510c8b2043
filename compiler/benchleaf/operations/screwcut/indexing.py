"""Multi-start threads: how to get from one start to the next."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.kinematics.indexing import IndexOptions, index_options
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text
from benchleaf.operations.dials import collar
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.machine import dial_wheels
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.operations.screwcut.words import LETTERS

__all__ = ["index"]


def index(desk: Desk, wanted: Wanted, gearing: Gearing, step: Screwcut, context: Context) -> bool:
    """Write down how the starts are indexed.  False after an error: no way on this machine, or not the one the job asks for."""
    starts = wanted.thread.starts
    if starts == 1:
        return True
    top = context.lathe.slides.top_slide
    options = index_options(
        gearing.train,
        starts,
        leadscrew_lead=gearing.problem.leadscrew_lead,
        top_slide_travel=top.travel.value if top else None,
        dials=dial_wheels(context.lathe),
    )
    desk.number("starts", "Starts", Fraction(starts), "", str(starts), basis("as the thread is designated", (wanted.at,), PRACTICE))
    ways = _ways(options, gearing, step, context)
    wish = step.indexing.value if step.indexing else None
    if wish is not None and wish not in ways:
        context.faults.error(
            "starts/way",
            f"the starts cannot be indexed by {wish} here",
            step.indexing or wanted.at,
            hint=f"ways there are: {', '.join(ways) or 'none'}",
        )
        return False
    if not ways:
        context.faults.error(
            "starts/none",
            f"there is no way on this lathe to index {starts} starts",
            wanted.at,
            hint="use a first wheel whose teeth divide by the starts (`train:`), or describe the top slide",
        )
        return False
    way = wish or next(iter(ways))
    words, inputs = ways[way]
    desk.words(
        "start_indexing",
        "From one start to the next",
        words,
        basis(f"a turn divided by the starts, by {way}", inputs, GEOMETRY if way == "stud wheel" else PRACTICE),
    )
    return True


def _ways(options: IndexOptions, gearing: Gearing, step: Screwcut, context: Context) -> dict[str, tuple[str, tuple[Value | str, ...]]]:
    """Each way with its words and inputs, the safest first.  The top slide cannot index where it feeds along the flank."""
    ways: dict[str, tuple[str, tuple[Value | str, ...]]] = {}
    wheels = gearing.train.wheels
    if options.teeth:
        best = options.teeth[0]
        one, two = (LETTERS[wheels.index(item)] for item in (best.driver, best.driven))
        turn = f"turn the spindle until {best.teeth} teeth of {one} have passed"
        words = f"chalk a tooth of {one} and its gap in {two}; free {two}, {turn}, mesh again"
        ways["stud wheel"] = (words, ("starts", "train"))
    if options.dial and gearing.half_nuts.rule != "never":
        dial = options.dial[0]
        ways["thread dial"] = (
            f"close the half-nuts {dial.leads} leadscrew leads further on for each start, on the {dial.dial.teeth}-tooth dial wheel",
            ("starts", "lead_actual"),
        )
    top = context.lathe.slides.top_slide
    straight = step.infeed.value == "straight" or top is None
    if options.top_slide is not None and top is not None and straight:
        reading = collar(top.dial).at(options.top_slide.advance)
        turns = f"{reading.turns} turns and " if reading.turns else ""
        pitch = length_text(options.top_slide.advance, context.system)
        words = f"top slide along the bed; move it on by one pitch, {pitch}: {turns}{reading.shown} on its dial"
        ways["top slide"] = (words, ("starts", "lead_actual", top.dial.division))
    return ways
