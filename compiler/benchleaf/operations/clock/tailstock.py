"""The tailstock against the spindle's axis: across, and in height."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import clocking_sketches as sketches
from benchleaf.operations.clock.common import Bench, boxes, difference_table, groups, keep, last_read, over_or_fault, should_read
from benchleaf.operations.desk import GEOMETRY, Value, basis, length_text, source
from benchleaf.sheet.model import Block, Say, Steps
from benchleaf.standards.acceptance import acceptance, tailstock_move
from benchleaf.standards.clocking import clocking_practice
from benchleaf.workshop.values import Measure

__all__ = ["tailstock"]

_SHORT = Fraction(500)  # mm between centres: where the published limit of the saddle's travel changes


def tailstock(this: Bench) -> list[Block] | None:
    """A test bar between centres, read at both ends, from the side and from above."""
    context, desk = this.context, this.desk
    end = clocking_practice("bar_end")
    between = context.holding is not None and context.holding.kind.value == "centres"
    bar: Measure | None = context.work.overall if between else None
    derived = bar.value - 2 * end.high if bar is not None and bar.value > 4 * end.high else None
    over = over_or_fault(this, derived, "Between the two readings")
    if over is None:
        return None
    if "over" not in desk and bar is not None:
        why = basis("length of the bar, less a little at both ends", (bar,), source(end.source, end.status))
        desk.length("over", "Between the two readings", over, why, read_by="rule")
    whole = bar.value if bar is not None else over + 2 * end.high
    inputs: tuple[Value | str, ...] = (bar,) if bar is not None else ("over",)
    formula = "as the job says" if bar is not None else "the readings' distance and a little at both ends"
    desk.length("bar", "Test bar, between centres", whole, basis(formula, inputs, source(end.source, end.status)), read_by="rule")
    if over > whole:
        context.faults.error(
            "clock/over-long",
            f"the two readings are to be {length_text(over, context.system, 'rule')} apart, on a bar "
            f"{length_text(whole, context.system, 'rule')} long",
            this.step.over or this.step.what,
            hint="shorten `over`, or take a longer bar",
        )
        return None
    should_read(
        this,
        "across_limit",
        "Across, both ends alike",
        acceptance("l_car_h500" if context.lathe.centres.value <= _SHORT else "l_car_h1000"),
    )
    should_read(this, "height_limit", "Height, tailstock high", acceptance("l_height"))
    should_read(this, "height_used", "Height, used lathe: low by", acceptance("u_height"))
    last_read(this, "tailstock across", "tailstock height")
    share = whole / over
    unit = Fraction(1, 100) if desk.unit == "mm" else Fraction(127, 5000)
    move = tailstock_move(unit, over, whole)
    label = "Collars between centres: move for 0.01 mm" if desk.unit == "mm" else "Collars between centres: move for 0.001 in"
    why = basis("difference of the collars / 2 x length between centres / their distance", ("bar", "over"), GEOMETRY)
    desk.length("collar_move", label, move, why)
    table = difference_table(
        this,
        "moves",
        "What the needle says",
        "Differs by",
        (
            ("move", "Move by", lambda mm: mm * share, desk.unit),
            ("cost", "Taper on the diameter, whole length", lambda mm: 2 * mm * share, desk.unit),
        ),
        ("difference x bar / distance of the readings", "twice the move: both sides of the work"),
        ("bar", "over"),
        "Across. Needle pressed in more at the tailstock's end: the tailstock stands towards you (plus), work comes out small there; "
        "move it away from you. Less: the other way.",
    )
    steps = (
        Say(
            "Centres and sockets wiped; the spindle's centre runs true first. Bar {bar} long between them, no shake, barrel clamped "
            "as for work."
        ),
        Say(
            "The {indicator} on the saddle, plunger level, at centre height, from your side. Zero it at the headstock's end; saddle "
            "{over} to the tailstock's; read."
        ),
        Say("Bar end for end, again. The mean of both is the tailstock; half their difference is the bar."),
        Say("Then from above, the same way."),
    )
    wrong = (
        Say("Across: ease the clamp, move the tailstock on its base by the table, indicator on its barrel; clamp; clock the bar again."),
        Say(
            "Low: paper or shim under its base, as thick as the table's move; a worn base is low by {height_used}. High: a new lathe has "
            "{height_limit}; leave that."
        ),
        Say(
            "No bar at hand: two collars turned between centres at one setting. Larger at the tailstock: towards the tool by "
            "{collar_move} for each step of difference."
        ),
        Say("Left as it is: every sheet for work between centres or on the tailstock reckons with the reading below."),
    )
    return [
        *groups(this, ("across_limit", "height_limit"), ("bar", "over", "height_used", "collar_move")),
        sketches.tailstock_offset(length_text(over, context.system, "rule"), "both ends alike"),
        Steps("Clock", steps),
        *boxes(
            this,
            (
                "across",
                "Across: at the tailstock's end, zero at the other",
                "Plus when pressed in: towards you. In the profile goes the move of the table, not the reading.",
            ),
            ("turned", "The same, bar end for end", "Mean of both, with its sign."),
            ("height", "Height: at the tailstock's end", "Plus when pressed in: high."),
        ),
        table,
        Steps("If it does not", wrong),
        *keep(this, "tailstock across", "tailstock height"),
    ]
