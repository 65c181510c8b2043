"""How the work sits in a vice: what it is packed up on, how deep the jaws hold it, and that the tool clears them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.work import Made
from benchleaf.record import record
from benchleaf.standards.shaping import advice, fact
from benchleaf.workshop.shaper import Vice
from benchleaf.workshop.values import Length, Text

__all__ = ["ABOVE", "FIGURES", "Grip", "Seat", "in_vice"]

ABOVE = Fraction(3, 2)  # mm that a finished face stands above the jaws at least, so that no tool meets them; common practice
_MOST = 3  # pieces in a stack: more of them squirm; common practice
FIGURES = ("packing", "above_jaws", "in_jaws", "small_work")


@record
class Seat:
    """How work is to sit between the jaws, mm: ``height`` of it from its seat, of its lowest ``finished`` face in any setting, ``widest``
    the height up to which the jaws must reach (None: by the share of practice); ``between`` the size that the jaws close on with the
    words that give it; ``single`` when one stack under the middle carries it, as a round; ``face`` names the lowest face on the sheet."""

    height: Fraction
    finished: Fraction
    widest: Fraction | None
    between: Fraction
    between_at: Value
    at: Value
    single: bool = False
    face: str = "Finished face above the jaws"


@record
class Grip:
    """How it sits: height of the packing, of the jaws, depth in them, mm; ``top`` of the work over the table; ``words`` for the packing."""

    packing: Fraction
    jaws: Fraction
    top: Fraction
    words: str


@record
class _Stack:
    height: Fraction
    pieces: tuple[Length, ...]


def in_vice(desk: Desk, vice: Vice, seat: Seat, context: Context, suffix: str = "") -> Grip | None:
    """Choose the packing from the pieces owned, the lowest that lifts the face clear, and write it down; None after an error."""
    if seat.between > vice.opening.value:
        over = length_text(seat.between - vice.opening.value, context.system, "rule")
        context.faults.error(
            "holding/capacity",
            f"the {vice.name.value} opens to {vice.opening.text}, the work is {over} wider between its jaws",
            seat.between_at,
            hint="hold it by its other sides, in a wider vice, or clamped to the table",
            related=((vice.opening, "the opening"), (context.held.by, "held by")),
        )
        return None
    low, high = vice.jaw_depth.value + ABOVE - seat.finished, vice.jaw_depth.value - _depth(seat)
    if low > high:
        _too_low(vice, seat, low - high, context)
        return None
    fits = [stack for stack in _stacks(context, seat) if low <= stack.height <= high]
    if low <= 0 <= high:
        fits.append(_Stack(Fraction(0), ()))
    if not fits:
        between = f"{length_text(max(low, Fraction(0)), context.system, 'caliper')} and {length_text(high, context.system, 'caliper')}"
        context.faults.error(
            "shaping/packing",
            f"the work must be packed up by between {between}, and no {'pieces' if seat.single else 'pairs'} that are owned come to that",
            seat.at,
            hint="add a pair of parallels of such a height to a drawer",
            related=((vice.jaw_depth, "the jaws"),),
        )
        return None
    best = min(fits, key=lambda stack: (len(stack.pieces), stack.height))
    return _write(desk, vice, seat, best, context, suffix)


def _depth(seat: Seat) -> Fraction:
    """How deep the work must sit in the jaws: to the axis of a round, else a share of what stands above."""
    share = fact("grip").low
    return seat.widest if seat.widest is not None else seat.height * share / (1 + share)


def _stacks(context: Context, seat: Seat) -> Iterator[_Stack]:
    """Everything that the pieces owned come to: in pairs, or one stack under the middle of a round."""
    pieces = [
        height
        for drawer in context.inputs.toolings
        for owned in drawer.parallels
        if (seat.single or owned.pairs.value) and (seat.single or owned.width is None or 2 * owned.width.value <= seat.between)
        for height in owned.heights
    ]
    for count in range(1, _MOST + 1):
        for chosen in combinations(pieces, count):
            yield _Stack(sum((piece.value for piece in chosen), Fraction(0)), chosen)


def _too_low(vice: Vice, seat: Seat, lacks: Fraction, context: Context) -> None:
    others = [other.name.value for other in context.shaper.vices if _would_do(other, seat)]
    off = length_text(abs(lacks - ABOVE), context.system, "caliper")
    stand, lies = ("above", "below") if lacks >= ABOVE else ("too near", "above")
    block = "hold it on a sacrificial block: screwed, or soft-soldered to a piece that the jaws grip"
    context.faults.error(
        "shaping/jaw-above",
        f"when the jaws of the {vice.name.value} grip deep enough, they stand {stand} the finished face",
        seat.at,
        f"the face comes {off} {lies} their top; {length_text(ABOVE, context.system, 'caliper')} above is wanted",
        hint=f"hold it in the {others[0]}; or {block}" if others else block,
        related=((vice.jaw_depth, "the jaws"),),
    )


def _would_do(vice: Vice, seat: Seat) -> bool:
    return (
        seat.between <= vice.opening.value
        and vice.jaw_depth.value + ABOVE - seat.finished <= vice.jaw_depth.value - _depth(seat)
        and (vice.jaw_depth.value >= _depth(seat))
    )


def _write(desk: Desk, vice: Vice, seat: Seat, stack: _Stack, context: Context, suffix: str) -> Grip:
    words = " + ".join(piece.text for piece in stack.pieces) or "none: on the vice's bed"
    inputs: tuple[Value | str, ...] = (vice.jaw_depth, *stack.pieces)
    rule = fact("grip")
    why = basis("fewest pieces, then the lowest, that lift the finished face over the jaws and leave them grip enough", inputs, PRACTICE)
    also = length_text(stack.height, context.system, "caliper") if len(stack.pieces) > 1 else ""
    label = "Packing" if not stack.pieces else "Packing under the middle" if seat.single else "Parallels under both sides"
    desk.words(f"packing{suffix}", label, words, why, also=also)
    above = stack.height + seat.finished - vice.jaw_depth.value
    desk.length(
        f"above_jaws{suffix}",
        seat.face,
        above,
        basis("packing + height of the face - height of the jaws", (vice.jaw_depth, f"packing{suffix}"), GEOMETRY),
        read_by="caliper",
        rational=False,
    )
    held = vice.jaw_depth.value - stack.height
    desk.length(
        f"in_jaws{suffix}",
        "Held in the jaws",
        held,
        basis(
            f"height of the jaws - packing; {rule.about}: {rule.low} to {rule.high}",
            (vice.jaw_depth, f"packing{suffix}"),
            source(rule.source, rule.status),
        ),
        read_by="caliper",
    )
    _small(desk, held, context, suffix)
    return Grip(stack.height, vice.jaw_depth.value, vice.height.value + stack.height + seat.height, words)


def _small(desk: Desk, held: Fraction, context: Context, suffix: str) -> None:
    """What to do with work that the jaws hardly hold, with the reason."""
    rule, words = fact("small_work"), advice("small work")
    if held >= rule.use:
        return
    low, high = (length_text(end, context.system, "caliper") for end in (rule.low, rule.high))
    why = basis(f"{rule.about}: {low} to {high}", (f"in_jaws{suffix}",), source(rule.source, rule.status))
    desk.words(f"small_work{suffix}", "Held by little", words.words, why)


def vice_of(held: Text | Made, context: Context) -> Vice | None:
    """The vice that the job names, or None where the work is held another way."""
    return next((vice for vice in context.shaper.vices if vice.name.value == held.text), None)
