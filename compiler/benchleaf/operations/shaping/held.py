"""What holds the work on a shaper, and where that puts it over the table."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.diagnostics import Span
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, length_text
from benchleaf.operations.shaping.grip import Seat, in_vice
from benchleaf.operations.shaping.page import room_under_ram
from benchleaf.operations.shaping.travel import End
from benchleaf.operations.work import FAR, Made
from benchleaf.record import record
from benchleaf.workshop.shaper import IndexHead, OtherHolding, Vice
from benchleaf.workshop.values import Measure

__all__ = ["Device", "Stock", "block", "device", "end_of_head", "jaws_words", "no_metal", "seated", "stock"]

Device = Vice | IndexHead | OtherHolding


@record
class Stock:
    """The work where it is cut, mm: a round of ``height`` and ``width`` alike, or a block."""

    height: Measure
    width: Measure
    round: bool


def device(context: Context) -> Device | None:
    """What the job holds the work by; None when the shaper has none of that name (reported when the work was put there)."""
    shaper = context.shaper
    devices: tuple[Device, ...] = (*shaper.vices, *shaper.index_heads, *shaper.other_holding)
    return next((item for item in devices if item.name.value == context.held.by.value), None)


def stock(start: Fraction, end: Fraction, context: Context) -> Stock | None:
    """The work between two places as it is now; None after an error where the blank does not say."""
    blank, height = context.work.blank, context.work.height
    if height is not None and blank.width is not None:
        return Stock(height, blank.width, False)
    around = context.work.measure("outside", start, end)
    if around is not None:
        return Stock(around, around, True)
    context.faults.error(
        "blank/unstated",
        "this step starts from the size of the work, and the blank gives neither a diameter nor width and height",
        blank.origin.span,
        hint="add `outside`, or `width` and `height`, to `blank`",
    )
    return None


def block(what: str, at: Made | Span, context: Context, start: Fraction = Fraction(0), end: Fraction | None = None) -> Stock | None:
    """The block that ``what`` is shaped into, from ``start`` to ``end`` (None: to its other end); None after an error: its length is not
    known, or the work is a round."""
    end = context.work.end if end is None else end
    if end == FAR:
        context.faults.error(
            "blank/unstated",
            f"{what} goes to the end of the work, and its length is not known",
            context.work.blank.origin.span,
            hint="add `length` to `blank`",
        )
        return None
    there = stock(start, end, context)
    if there is None or not there.round:
        return there
    context.faults.error(
        "shaping/not-a-block",
        f"{what} is placed by the top and the side of a block, and the work is a round",
        at,
        hint="give the blank `width` and `height`; along a shaft there are `flats` and `keyway`",
        related=((there.height, "the round"),),
    )
    return None


def no_metal(there: Stock, size: Fraction, at: Value, context: Context) -> None:
    """Report that the work is no larger than it is to be."""
    context.faults.error(
        "route/no-metal",
        f"there is nothing to shape off: the work is {length_text(there.height.value, context.system)}",
        at,
        f"this aims at {length_text(size, context.system)}",
        hint="start from a larger blank, or correct the size",
        related=((there.height, "made so here"),),
    )


def seated(desk: Desk, held: Device | None, seat: Seat, above: Fraction, context: Context) -> bool:
    """Whether the work sits as it should and goes under the ram: in a vice by ``seat``; otherwise its top is ``above`` mm over the seat or
    centre line that the device gives.  False after an error."""
    match held:
        case None:
            return False
        case Vice():
            grip = in_vice(desk, held, seat, context)
            return grip is not None and room_under_ram(desk, context, grip.top, seat.at)
        case IndexHead():
            return room_under_ram(desk, context, held.centre_height.value + above, seat.at)
        case OtherHolding():
            return room_under_ram(desk, context, held.height.value + seat.height, seat.at)


def end_of_head(held: Device | None, end: Fraction, back: End, context: Context) -> End:
    """The far end of a cut along the axis on work in an index head: its chuck stands where the work no longer stands out."""
    out = context.held.stands_out
    if not isinstance(held, IndexHead) or out is None:
        return back
    room = max(out.value - end, Fraction(0))
    return back if back.room is not None and back.room <= room else End(room, f"the {held.name.value}", out)


def jaws_words(along: bool) -> str:
    """How the vice stands to the stroke, and what takes the thrust."""
    if along:
        return "Vice square on the table, jaws along the stroke; a work stop in front of the work takes the push of the cut."
    return "Vice turned until its jaws lie square to the stroke, fixed jaw to the front: it takes the push of the cut."
