"""Where the table stands for each space of a rack: whole multiples of the exact pitch, each rounded to the dial on its own."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.shaping.feeds import slide_dial
from benchleaf.record import record
from benchleaf.sheet.model import Row, Say, Table
from benchleaf.sheet.numbers import signed
from benchleaf.standards.racks import PITCH
from benchleaf.standards.shaped import rack_settings
from benchleaf.units import convert

__all__ = ["FIGURES", "Places", "plan_places"]

FIGURES = ("place_error", "pitch_error", "last_error", "drift", "pitch", "pitch_exact")


@record
class Places:
    """The table of places, and by how much each space lies off, mm: above nought where it lies too far on."""

    table: Table
    errors: tuple[Fraction, ...]


def plan_places(desk: Desk, context: Context, pitch: Fraction, spaces: int, said: Value, at: Value) -> Places | None:
    """Write down the places of so many spaces and what rounding to the dial costs; None after an error.

    ``said`` are the words that the pitch follows from, ``at`` those that say how many.  Every place is a multiple of the exact pitch,
    rounded on its own: errors never add up, and none is more than half a division.
    """
    cross = context.shaper.table.cross
    settings = rack_settings(pitch, spaces)
    if settings[-1] > cross.travel.value:
        context.faults.error(
            "rack/cross-travel",
            f"from the first space to the last are {length_text(settings[-1], context.system, 'caliper')}, and the table travels "
            f"{cross.travel.text}",
            at,
            hint="cut it in two settings, the second started from a finished space; or a shorter rack",
            related=((cross.travel, "its travel"),),
        )
        return None
    dial = slide_dial(cross.dial)
    readings = [dial.at(place) for place in settings]
    errors = tuple(reading.travel - place for reading, place in zip(readings, settings, strict=True))
    _figures(desk, context, dial, pitch, errors, said, at)
    total = basis(
        "number of pitches x the exact pitch, as a running total to the nearest division of the table's dial",
        ("pitch_exact", cross.dial.division, cross.dial.turn), PRACTICE,
    )  # fmt: skip
    off = basis("what the dial gives less the exact place", ("pitch_exact", cross.dial.division), GEOMETRY)
    count = basis("one space more than whole teeth", (at,), GEOMETRY)
    places = 3 if desk.unit == "mm" else 4
    rows = []
    for number, (reading, error) in enumerate(zip(readings, errors, strict=True), 1):
        turns = f"{reading.turns} turn{'s' if reading.turns > 1 else ''} +" if reading.turns else ""
        ours = convert(error, "mm", desk.unit)
        note = "start of the zero" if number == 1 else "then measure the tooth" if number == 2 else ""
        values = (None, Fraction(number), Fraction(reading.turns), reading.value, ours)
        rows.append(Row(values, ("", str(number), turns, reading.shown, signed(ours, places)), note))
    columns = (
        desk.column("done", "", "", count, "tick"), desk.column("space", "Space", "", count), desk.column("turns", "", "", total, "text"),
        desk.column("dial", "Table", dial.unit, total, "dial"), desk.column("off", "Lies off", desk.unit, off),
    )  # fmt: skip
    back = f"more than its backlash of {cross.backlash.text}" if cross.backlash.value else "a turn"
    caption = Say(f"Running totals, never back to zero. Always wound the same way; gone past: back by {back} and on again. Lock the table.")
    return Places(Table("places", "Places of the table", columns, tuple(rows), caption), errors)


def _figures(desk: Desk, context: Context, dial: Collar, pitch: Fraction, errors: tuple[Fraction, ...], said: Value, at: Value) -> None:
    cross = context.shaper.table.cross
    by = source(PITCH.source, PITCH.status)
    desk.length("pitch", "Pitch, tooth to tooth", pitch, basis(PITCH.formula, (said,), by), rational=False)
    unit, places = ("mm", 6) if context.system == "metric" else ("in", 7)
    shown = signed(convert(pitch, "mm", unit), places).removeprefix("+")
    desk.number(
        "pitch_exact", "The places go by", convert(pitch, "mm", unit), unit, shown, basis(PITCH.formula, (said,), by), rational=False
    )
    inputs: tuple[Value | str, ...] = ("pitch_exact", cross.dial.division)
    steps = [after - before for before, after in pairwise(errors)]
    for name, label, value, words in (
        ("place_error", "Farthest that a space lies off", max(abs(error) for error in errors), "largest of the errors of all places"),
        ("pitch_error", "Most from one space to the next", max(abs(step) for step in steps), "largest difference of two errors on end"),
        ("last_error", "Over all the teeth", abs(errors[-1]), "error of the last place: rounding does not add up"),
    ):
        desk.length(name, label, value, basis(words, inputs, GEOMETRY), rational=False)
    drift = abs(dial.at(pitch).travel - pitch) * (len(errors) - 1)
    words = "pitches x (pitch to the nearest division - pitch): what stepping by one reading would add up to"
    desk.length("drift", "Stepped by one rounded pitch it would be", drift, basis(words, (*inputs, at), GEOMETRY), rational=False)
