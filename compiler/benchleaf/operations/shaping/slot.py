"""Feeding straight down with a narrow tool: what a stroke takes, strokes, where the full width begins, and the last cut left open."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.operations.context import Context
from benchleaf.operations.desk import PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.operations.shaping.readings_table import cuts_table
from benchleaf.record import record
from benchleaf.sheet.model import Table
from benchleaf.standards.shaping import depth_of_cut, fact

__all__ = ["Slot", "plan_slot"]


@record
class Slot:
    """A slot: strokes from the touch-off to the bottom, the table, the tool-head's dial."""

    strokes: int
    table: Table
    dial: Collar


def plan_slot(
    desk: Desk,
    context: Context,
    travel: Fraction,
    full_at: Fraction,
    at: Value,
    becomes: tuple[Fraction, int] | None,
    measured: str,
    full: str,
) -> Slot | None:
    """Divide ``travel`` mm from the touch-off to the bottom; from ``full_at`` mm on the tool cuts as ``full`` says.

    Writes down ``down_feed``, ``slot_strokes``, ``finish_cut``, ``cuts`` and ``dial_worth``; ``depth`` (the travel) and ``chord`` must be
    there.  None after an error.
    """
    head = context.shaper.head
    if travel > head.travel.value:
        context.faults.error(
            "shaping/slide-travel",
            f"{length_text(travel, context.system, 'caliper')} is to come off, and the tool slide travels {head.travel.text}",
            at,
            hint="raise the table for the rest, in a second step",
            related=((head.travel, "its travel"),),
        )
        return None
    dial, found = slide_dial(head.dial), fact("slot_feed")
    divisions = max(int(found.use / dial.division), 1)
    feed = divisions * dial.division
    low, high = (length_text(end, context.system) for end in (found.low, found.high))
    why = basis(f"practice, {low} to {high}, in whole divisions of the dial", (head.dial.division,), source(found.source, found.status))
    words = f"{divisions} division{'' if divisions == 1 else 's'}"
    desk.words("down_feed", "Down, each return", words, why, also=f"{length_text(feed, context.system, 'caliper')} a stroke")
    count = ceil(travel / feed)
    desk.number(
        "slot_strokes",
        "Strokes to the bottom",
        Fraction(count),
        "",
        str(count),
        basis("depth / feed, rounded up", ("depth", "down_feed"), PRACTICE),
    )
    fine = depth_of_cut(context.material.group.value, "finishing")
    left = min(dial.at(fine.use).travel if fine is not None else dial.division, travel)
    by = PRACTICE if fine is None else source(fine.source, fine.status)
    desk.length(
        "finish_cut",
        "Left for the last cut",
        left,
        basis("practice, to whole divisions of the dial", (head.dial.division,), by),
        read_by="caliper",
    )
    desk.words(
        "cuts",
        "Cuts",
        "down to the measuring reading, then the last",
        basis("depth less what is left for the last cut", ("depth", "finish_cut"), PRACTICE),
    )
    desk.length(
        "dial_worth",
        "One division of the tool-head",
        dial.division,
        basis("as the profile says", (head.dial.division,), source("the shaper's profile", "owner")),
    )
    stops = [(full_at, full)] if 0 < full_at < travel - left else []
    stops += [(travel - left, "then measure")] if travel > left else []
    table = cuts_table(
        desk, context, dial, (*stops, (travel, "last cut: fill in")), ("depth", "finish_cut", "down_feed"), becomes, measured
    )
    return Slot(count, table, dial)
