"""What the tool travels over in one stroke, and the room that it has before the work and behind it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Value, length_text
from benchleaf.operations.work import Made, Stretch, Work
from benchleaf.record import record
from benchleaf.standards.shaping import fact

__all__ = ["End", "Run", "bore_room", "choose", "end_room"]


@record
class End:
    """One end of a cut: ``room`` from there to what stands in the way, mm; None where nothing does.  ``what`` stands there, ``at`` the
    words that put it there."""

    room: Fraction | None = None
    what: str = ""
    at: Made | None = None

    @property
    def free(self) -> Fraction | None:
        """How far the tool may go beyond the cut, mm: the room less what it is kept clear by; None where nothing bounds it."""
        return None if self.room is None else max(self.room - fact("keyway_exit").use, Fraction(0))

    @property
    def least(self) -> Fraction | None:
        """The same with as little clearance as practice allows."""
        return None if self.room is None else self.room - fact("keyway_exit").low


@record
class Run:
    """A cut along the stroke: its length in mm and the words that give it, where the tool comes in and where it runs out; ``swapped``
    when the tool comes in at the far end."""

    length: Fraction
    at: Value
    entry: End
    exit: End
    swapped: bool = False


def end_room(work: Work, place: Fraction, towards: int, radius: Fraction) -> End:
    """The room at one end of a cut along a round: how far the work lies below the cut face, ``radius`` mm from the axis.

    ``towards`` is -1 for the front end and 1 for the other; the end of the work is open.
    """
    for item in _onwards(work, place, towards):
        above = item.largest is None or item.largest > 2 * radius
        if above:
            return End(item.start - place if towards > 0 else place - item.end, "a shoulder", item.at)
    return End()


def bore_room(work: Work, place: Fraction, towards: int, radius: Fraction) -> End:
    """The same at one end of a cut in a bore: how far the bore stands off the cut face, ``radius`` mm from the axis."""
    pieces = work.over("inside", place, work.end) if towards > 0 else reversed(work.over("inside", Fraction(0), place))
    for item in pieces:
        if item.smallest is None or item.smallest < 2 * radius:
            return End(item.start - place if towards > 0 else place - item.end, "the end of the keyway", item.at)
    return End()


def _onwards(work: Work, place: Fraction, towards: int) -> Iterator[Stretch]:
    pieces = work.over("outside", place, work.end) if towards > 0 else reversed(work.over("outside", Fraction(0), place))
    yield from pieces


def choose(length: Fraction, at: Value, front: End, back: End, context: Context) -> Run | None:
    """Which way the tool goes: the way for which there is room to come down on one side and to run out on the other; None after an
    error.  Without a preference it runs towards the front face."""
    ways = [Run(length, at, back, front), Run(length, at, front, back, True)]
    for way in ways:
        if _enough(way.entry, fact("approach").low) and _enough(way.exit, fact("overrun").low):
            return way
    # Where both ends are closed the cut is refused for the end that is nearer to being open.
    way = max(ways, key=lambda run: (_enough(run.entry, fact("approach").low), run.exit.least is None, run.exit.least or Fraction(0)))
    _refuse(way, context)
    return None


def _enough(end: End, wanted: Fraction) -> bool:
    return end.least is None or end.least >= wanted


def _refuse(way: Run, context: Context) -> None:
    overrun, approach, clear = fact("overrun"), fact("approach"), fact("keyway_exit")
    entry_bad = not _enough(way.entry, approach.low)
    end, need, words, code = (
        (way.entry, approach, "comes down behind", "shaping/no-approach")
        if entry_bad and _enough(way.exit, overrun.low)
        else (way.exit, overrun, "runs into", "shaping/overrun-shoulder")
    )
    if end.room is None:
        end, need, words, code = way.entry, approach, "comes down behind", "shaping/no-approach"
    there = length_text(end.room or Fraction(0), context.system, "caliper")
    wants = length_text(need.low + clear.low, context.system, "caliper")
    context.faults.error(
        code,
        f"the tool {words} {end.what}: {there} of room where it wants {wants}",
        way.at,
        f"{need.about}: {length_text(need.low, context.system, 'caliper')} at the least",
        hint="cut across instead of along, or cut a groove for the tool to run into before this step",
        note=f"{need.source} ({need.status})",
        related=((end.at, end.what),) if end.at is not None else (),
    )
