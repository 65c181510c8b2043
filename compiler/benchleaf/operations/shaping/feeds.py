"""The cross-feed: teeth of the ratchet where there is one, divisions of the table's dial where there is none."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar, collar
from benchleaf.record import record
from benchleaf.sheet.numbers import in_steps
from benchleaf.standards.shaping import fact, feed_a_stroke, strokes_needed
from benchleaf.workshop.lathe import Dial
from benchleaf.workshop.shaper import Collar as Graduated
from benchleaf.workshop.shaper import Shaper
from benchleaf.workshop.values import Word

__all__ = ["HEAVY", "Feed", "cross_feed", "heavy", "slide_dial", "strokes_over"]

HEAVY = Fraction(450)  # mm of stroke from which on the table of practice takes a shaper for a heavy one


@record
class Feed:
    """A cross-feed in mm a stroke and how it is set, in words."""

    travel: Fraction
    words: str


def heavy(shaper: Shaper) -> bool:
    """Whether the table of practice takes it for a heavy machine."""
    return shaper.ram.longest_stroke.value >= HEAVY


def slide_dial(said: Graduated) -> Collar:
    """The collar of a slide of the shaper: it counts the slide's own travel."""
    return collar(Dial(said.origin, said.division, said.turn, Word("depth", said.origin)))


def cross_feed(desk: Desk, context: Context, cut: str) -> Feed | None:
    """The feed for 'roughing' or 'finishing', written down as ``<cut>_feed``; None where practice has none for the material (an error)."""
    shaper = context.shaper
    found = feed_a_stroke(context.material.group.value, cut, heavy=heavy(shaper))
    if found is None:
        context.faults.error(
            "speed/no-row",
            f"there is no {cut} feed for shaping {context.material.name.value}",
            context.material.group,
            hint="choose another group in the material's file",
        )
        return None
    ratchet = shaper.cross_feed
    inputs: tuple[Value | str, ...]
    if ratchet is not None:
        teeth = sorted(ratchet.notches, key=lambda item: item.value)
        fits = [item for item in teeth if item.value * ratchet.notch.value <= found.use]
        tooth = fits[-1] if fits else teeth[0]
        travel = tooth.value * ratchet.notch.value
        words = f"{tooth.value} {'tooth' if tooth.value == 1 else 'teeth'}"
        inputs = (ratchet.notch, tooth, context.material.group)
        formula = f"the most teeth of the ratchet that give no more than {length_text(found.use, context.system, 'caliper')} a stroke"
    else:
        dial = slide_dial(shaper.table.cross.dial)
        divisions = max(in_steps(found.use, dial.division), 1)
        travel = divisions * dial.division
        words = f"{divisions} division{'' if divisions == 1 else 's'} by hand"
        inputs = (shaper.table.cross.dial.division, context.material.group)
        formula = "practice, to a division of the table's dial, by hand on the return"
    low, high = (length_text(end, context.system, "caliper") for end in (found.low, found.high))
    why = basis(f"{formula}; {low} to {high} by practice", inputs, source(found.source, found.status))
    desk.length(f"{cut}_feed", f"Cross-feed, {cut}", travel, why, read_by="micrometer")
    desk.words(f"{cut}_notches", f"Feed, {cut}", words, basis(formula, inputs, GEOMETRY), also=_a_stroke(travel, context))
    return Feed(travel, words)


def _a_stroke(travel: Fraction, context: Context) -> str:
    return f"{length_text(travel, context.system, 'caliper')} a stroke"


def strokes_over(width: Fraction, feed: Feed, open_sides: int = 2) -> int:
    """Strokes of one cut over a width of work, with the feed run out at so many open sides."""
    return strokes_needed(width, feed.travel, fact("side_overrun").use * open_sides / 2)
