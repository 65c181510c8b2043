"""The table of cuts: what the tool-head's dial reads at each, the last one left open."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, basis, length_text
from benchleaf.operations.dials import Collar
from benchleaf.sheet.model import Row, Say, Table
from benchleaf.units import convert
from benchleaf.workshop.shaper import CrossSlide, ToolHead

__all__ = ["cuts_table"]

_BLANK = "______"


def cuts_table(
    desk: Desk, context: Context, dial: Collar, cuts: Sequence[tuple[Fraction, str]], causes: tuple[str, ...],
    becomes: tuple[Fraction, Fraction | int] | None, measured: str, slide: ToolHead | CrossSlide | None = None,
) -> Table:  # fmt: skip
    """One row a cut: its depth from the touch-off in mm and a note; the last is left open.  Readings are running totals rounded to the
    dial, never steps.  ``becomes`` is what is measured at the touch-off, mm, and by how many times the depth it shrinks; ``causes`` are the
    figures behind the cuts.  ``slide`` sets them: the tool-head's unless it is the table's.  Writes down ``first_dial`` and
    ``before_last``.
    """
    head = context.shaper.head if slide is None else slide
    rows = []
    for number, (depth, note) in enumerate(cuts, 1):
        last, reading = number == len(cuts), dial.at(depth)
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} +" if reading.turns else ""
        size = None if becomes is None else becomes[0] - becomes[1] * (depth if last else reading.travel)
        shown = "" if size is None else length_text(size, context.system, "caliper").rsplit(" ", 1)[0]
        exact = None if size is None else convert(size, "mm", desk.unit)
        dialled = (None, None) if last else (Fraction(reading.turns), reading.value)
        words = ("", _BLANK) if last else (turns, reading.shown)
        rows.append(Row((None, Fraction(number), *dialled, exact), ("", str(number), *words, shown), note))
    _readings(desk, dial, rows[:-1])
    words_ = "running total from the touch-off to the nearest division; totals are rounded, never steps"
    total = basis(words_, ("cuts", head.dial.division, head.dial.turn), PRACTICE)
    count = basis("equal cuts, then what was left for the last", causes, PRACTICE)
    after = basis("what stood there less the dial's travel", ("depth", head.dial.division), GEOMETRY)
    columns = [
        desk.column("done", "", "", count, "tick"), desk.column("cut", "Cut", "", count), desk.column("turns", "", "", total, "text"),
        desk.column("dial", "Dial", dial.unit, total, "dial"), desk.column("size", measured, desk.unit, after),
    ]  # fmt: skip
    if becomes is None:
        columns, rows = columns[:-1], [Row(row.values[:-1], row.shown[:-1], row.note) for row in rows]
    back = f"its backlash of {head.backlash.text}" if head.backlash.value else "its backlash"
    onto = (
        "Up past {}, then down onto the reading; clamp the slide."
        if slide is None
        else "Back past {}, then onto the reading; lock the table."
    )
    caption = Say(f"Zero with the tool touching. {onto.format(back)}")
    return Table("cuts_table", "Cuts", tuple(columns), tuple(rows), caption)


def _readings(desk: Desk, dial: Collar, rows: Sequence[Row]) -> None:
    """The first reading and the one at which it is measured, large enough to be read from the machine."""
    why = basis("this row of the table of cuts", ("cuts", "dial_worth"), PRACTICE)
    for name, label, found in (
        ("first_dial", "First reading", rows[:1] if len(rows) > 1 else ()),
        ("before_last", "Then measure at", rows[-1:]),
    ):
        for row in found:
            value = row.values[3]
            if value is not None:
                desk.number(name, label, value, dial.unit, f"{row.shown[2]} {row.shown[3]}".strip(), why)
