"""Dividing a turn into equal parts: by a head with its plates, by differential indexing, or by the teeth of the stud's wheel."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis, source
from benchleaf.operations.names import pick
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.dividing import Differential, Indexing, differential_indexing, direct_indexing, one_hole_slip, simple_indexing
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.tooling import DividingHead
from benchleaf.workshop.values import Number, Text

__all__ = ["FIGURES", "STUD_WHEEL", "blocks", "divide"]

STUD_WHEEL = "stud wheel"
FIGURES = ("parts", "move", "plate", "circle", "sector", "train", "teeth", "slip")
_WORM = source("the worm's ratio / the number of parts", "derived")


def divide(desk: Desk, parts: Number, by: Text | None, context: Context) -> bool:
    """Write down how a turn is divided into ``parts``; False after an error, with every way that was tried.

    ``by`` names a dividing head of the drawers, or is 'stud wheel'; without it the first way that is exact is taken, heads before the
    stud's wheel, plates before differential trains.
    """
    desk.number(
        "parts", "Parts", Fraction(parts.value), "", str(parts.value), basis("as the job says", (parts,), source("the job", "owner"))
    )
    heads = [*_on_table(context), *(head for drawer in context.inputs.toolings for head in drawer.dividing_heads)]
    if by is not None and by.value == STUD_WHEEL:
        return _by_stud(desk, parts, by, context) or _cannot(parts, by, [], context)
    if by is not None:
        head = pick(by, heads, "dividing heads", "divide/unknown", context)
        return head is not None and (_by_head(desk, parts, head) or _cannot(parts, by, [head], context))
    return any(_by_head(desk, parts, head) for head in heads) or _by_stud(desk, parts, by, context) or _cannot(parts, by, heads, context)


def _on_table(context: Context) -> list[DividingHead]:
    """The index heads of the shaper that the work is on: no wheels drive their plates."""
    heads = context.shaper.index_heads if context.kind == "shaper" else ()
    return [DividingHead(head.origin, head.name, head.ratio, head.plates, ()) for head in heads]


def _by_head(desk: Desk, parts: Number, head: DividingHead) -> bool:
    circles = [circle.value for plate in head.plates for circle in plate]
    move = simple_indexing(parts.value, circles, head.ratio.value)
    train: Differential | None = None
    if move is None:
        ways = differential_indexing(parts.value, circles, [wheel.value for wheel in head.wheels], head.ratio.value)
        if not ways:
            return False
        train = ways[0]
        move = train.move
    _head_figures(desk, parts, head, move, train)
    return True


def _head_figures(desk: Desk, parts: Number, head: DividingHead, move: Indexing, train: Differential | None) -> None:
    turns = f"{move.turns} turn{'' if move.turns == 1 else 's'}" if move.turns or not move.circle else ""
    holes = f"{move.holes} hole{'' if move.holes == 1 else 's'} of {move.circle}" if move.circle else ""
    of = "parts" if train is None else f"{train.nearby} parts, the plate making up the rest"
    desk.words(
        "move", "Crank, each time", " + ".join(filter(None, (turns, holes))), basis(f"{of}: ratio / parts", (head.ratio, "parts"), _WORM)
    )
    if move.circle is not None:
        place, circle = next((number, hole) for number, plate in enumerate(head.plates, 1) for hole in plate if hole.value == move.circle)
        desk.words("plate", "Plate", f"{place} of {len(head.plates)}", basis("the plate that has this circle", (circle,), PRACTICE))
        why = basis("the smallest circle that makes the move whole", (circle, "move"), GEOMETRY)
        desk.number("circle", "Circle", Fraction(move.circle), "holes", str(move.circle), why)
        sector = move.sector or 0
        arms = basis("spaces + 1: the hole that the pin is in is counted", ("move",), PRACTICE)
        desk.number("sector", "Between the arms", Fraction(sector), "holes", str(sector), arms)
        slip = one_hole_slip(move.circle, head.ratio.value) * 60
        out = basis("360 deg / (ratio x holes)", (head.ratio, "circle"), GEOMETRY)
        desk.number("slip", "One hole wrong is", slip, "arc min", fixed(slip, 1), out)
    if train is not None:
        wheels = ", ".join(f"{driver} drives {driven}" for driver, driven in train.pairs)
        way = "with the crank" if train.with_crank else "against the crank"
        why = basis("ratio x (nearby - parts) / nearby; spindle first, plate last", (head.ratio, *head.wheels, "parts"), _WORM)
        desk.words("train", "Wheels from spindle to plate", wheels, why, also=f"the plate turns {way}; put an idler in where it does not")


def _by_stud(desk: Desk, parts: Number, by: Text | None, context: Context) -> bool:
    """By the teeth of the wheel on the stud, with the plain ratio of the headstock: its wheel turns with the spindle."""
    if context.kind != "lathe":
        return False
    lathe: Lathe = context.lathe
    mounted = lathe.mounted
    ratio = next((row for row in lathe.headstock.ratios if row.ratio.value == 1), None)
    if lathe.headstock.ratios and ratio is None:
        return False
    owned = {wheel for wheel in _wheels(context) if direct_indexing(parts.value, wheel.value) is not None}
    on = None
    if mounted is not None and mounted.train:
        first = mounted.train[0]
        on = first if isinstance(first, Number) else first[-1]
    chosen = (
        on
        if on is not None and direct_indexing(parts.value, on.value) is not None
        else min(owned, key=lambda item: item.value, default=None)
    )
    if chosen is None:
        return False
    step = direct_indexing(parts.value, chosen.value) or 0
    inputs = (chosen, "parts") if ratio is None else (chosen, "parts", ratio.ratio)
    note = "it is on the stud now" if chosen is on else "put it on the stud"
    desk.words("move", "Spindle, each time", f"{step} teeth of the {chosen.value}", basis("teeth / parts", inputs, GEOMETRY), also=note)
    desk.number("teeth", "Teeth each time", Fraction(step), "", str(step), basis("teeth of the wheel / parts", inputs, GEOMETRY))
    return True


def _wheels(context: Context) -> Sequence[Number]:
    found: list[Number] = []
    for gears in context.on_lathe.gear_sets if context.kind == "lathe" else ():
        found += [wheel if isinstance(wheel, Number) else wheel.teeth for wheel in gears.wheels]
    return found


def _cannot(parts: Number, by: Text | None, heads: Sequence[DividingHead], context: Context) -> bool:
    tried = ", ".join(
        f"{head.name.value} ({', '.join(str(hole.value) for plate in head.plates for hole in plate) or 'no plates'})" for head in heads
    )
    prime = max(_prime_factors(parts.value))
    context.faults.error(
        "divide/none",
        f"a turn cannot be divided into {parts.value} with what is owned",
        by or parts,
        hint=f"a plate circle or a wheel that {prime} goes into is wanted"
        + ("; or change wheels for differential indexing" if heads else ""),
        note=f"tried: {tried}" if tried else "no dividing head is in the drawers, and no wheel of the lathe has teeth that divide so",
    )
    return False


def _prime_factors(number: int) -> list[int]:
    found, divisor = [1], 2
    while divisor * divisor <= number:
        while number % divisor == 0:
            found.append(divisor)
            number //= divisor
        divisor += 1
    return [*found, number]


def blocks(desk: Desk) -> list[Block]:
    """The figures and how to use them."""
    by_head = "plate" in desk or "teeth" not in desk
    steps = (
        (
            Say("Spindle of the head free, worm in mesh without shake. Pin in a hole; first arm against it."),
            Say("Cut; then pin out, crank by {move}, pin in at the second arm; bring the arms round to the pin."),
            Say("Always the same way round; gone too far: back half a turn and come on again. Lock the spindle for the cut."),
        )
        if by_head
        else (
            Say("Motor isolated. A plunger or a wooden wedge holds the wheel by a tooth; chalk that tooth."),
            Say("Cut; free the wheel, turn the spindle by {move}, hold it again. Always the same way round, to take up the play."),
        )
    )
    return [
        FigureGroup("Divide", desk.pick("move", "plate", "circle", "sector", "train"), Weight.SET),
        Steps("Divide", steps),
        Check(Say("After {parts} moves the first cut comes round again: go once round with a marker before cutting.")),
        FigureGroup("Background", desk.pick("parts", "teeth", "slip"), Weight.KNOW),
    ]
