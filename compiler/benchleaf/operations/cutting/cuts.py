"""Roughing and finishing as dial readings: how deep, how many, and the measurement before the last cut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import atan_degrees, sqrt
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bound import few_enough
from benchleaf.operations.cutting.depth import deepest_cut, finishing_cut
from benchleaf.operations.cutting.sizes import Size
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text
from benchleaf.operations.dials import Collar, Reading, collar
from benchleaf.operations.sums import by_dial
from benchleaf.record import record
from benchleaf.sheet.model import Box, Row, Say, Sum, SumWords, Table
from benchleaf.sheet.numbers import fixed
from benchleaf.units import convert
from benchleaf.workshop.lathe import Slide
from benchleaf.workshop.values import Distance, Length, Text

__all__ = ["Cuts", "plan_cuts"]

_FINE = 4  # divisions: a tolerance narrower than this on the diameter gets two finishing cuts, with a measurement between; common practice


@record
class Cuts:
    """The cuts of one surface: how many of each, where they end (diameters in mm, roughing first), the table and the box."""

    roughing: int
    finishing: int
    diameters: tuple[Fraction, ...]
    table: Table
    box: Box

    @property
    def count(self) -> int:
        """All cuts that take metal off."""
        return self.roughing + self.finishing


def plan_cuts(
    desk: Desk,
    context: Context,
    operation: str,
    stock: Fraction,
    size: Size,
    cuts_with: Text,
    least: Length | Distance | None,
    inputs: tuple[Value | str, ...],
    *,
    feed: Fraction | None = None,
    turns: Fraction | None = None,
) -> Cuts | None:
    """Divide the metal between ``stock`` mm and the size to aim at, with the cross-slide's dial at zero on the stock.

    Writes the figures ``to_remove``, ``depth_of_cut``, ``finish_cut``, ``cuts``, ``dial_worth``, ``first_dial`` and ``last_dial``.
    ``operation`` is 'turning' or 'boring'; ``inputs`` are what the stock's diameter comes from; ``feed`` (mm a turn) and ``turns`` (a
    minute) let the motor's power bound the cut.  None after an error.
    """
    slide = context.lathe.slides.cross_slide
    dial = collar(slide.dial)
    inside = operation == "boring"
    total = abs(stock - size.aim) / 2
    deepest = deepest_cut(desk, context, operation, feed=feed, turns=turns, diameter=max(stock, size.aim))
    last = min(finishing_cut(desk, context, cuts_with, least), total)
    fine = size.tolerance is not None and size.tolerance < _FINE * 2 * dial.step
    finishing = 2 if fine and total > 2 * last else 1
    rough = total - finishing * last
    whole = max(deepest // dial.step, 1) * dial.step  # what the dial can set of it, so that no rounded reading goes deeper
    roughing = int(-(-rough // whole)) if rough > 0 else 0
    if not few_enough(roughing + finishing, total, size.at, context):
        return None
    depths = [rough * number / roughing for number in range(1, roughing + 1)]
    depths += [rough + last * number for number in range(1, finishing + 1)]
    desk.length(
        "to_remove", "To take off, on the diameter", 2 * total, basis("stock less size to aim at", inputs, GEOMETRY), read_by="caliper"
    )
    readings, roughing = _readings(dial, depths, roughing, _last(dial, total, stock, size, inside), inside)
    if not readings:
        context.faults.error(
            "cuts/dial-coarse",
            f"all there is to take off, {length_text(total, context.system)} on the radius, is less than the dial can set",
            size.at,
            hint="file and polish it, or start from larger stock" if not inside else "lap or ream it, or start from a smaller bore",
            related=((slide.dial.division, "the division"),),
        )
        return None
    if least is not None and total < least.value:
        context.faults.warning(
            "tool/least-cut",
            f"all there is to take off, {length_text(total, context.system)} on the radius, is less than the tool cuts without rubbing",
            size.at,
            f"its least cut is {least.text}",
            hint="use a keen HSS tool for it, or leave more for this step",
            related=((least, "its least cut"),),
        )
    finishing = len(readings) - roughing
    words = f"{roughing} roughing, {finishing} finishing" if roughing else f"{finishing} finishing"
    why = basis("what is to come off less the finishing cuts, in equal roughing cuts no deeper than allowed", _DEPTHS, PRACTICE)
    desk.words("cuts", "Cuts", words, why)
    _worth(desk, dial, slide)
    _settable(dial, size, slide, context)
    rows, diameters = _rows(readings, roughing, stock, inside, context)
    _dial_figures(desk, dial.unit, readings[0], readings[-1])
    return Cuts(roughing, finishing, diameters, _table(desk, rows, dial.unit, slide, inside), _box(desk, dial, stock, size, inside))


_DEPTHS: tuple[Value | str, ...] = ("to_remove", "depth_of_cut", "finish_cut")


def _readings(dial: Collar, depths: list[Fraction], roughing: int, last: Reading, inside: bool) -> tuple[list[Reading], int]:
    """The readings that take metal off, ending at ``last``, and how many of them rough: what the dial cannot tell apart is one cut."""
    kept: list[Reading] = []
    rough = 0
    for number, depth in enumerate(depths[:-1], 1):
        reading = dial.at(depth, winding_out=inside)
        if (kept[-1].divisions if kept else 0) < reading.divisions < last.divisions:
            kept.append(reading)
            rough += number <= roughing
    return ([*kept, last], rough) if last.divisions > 0 else ([], 0)


def _last(dial: Collar, total: Fraction, stock: Fraction, size: Size, inside: bool) -> Reading:
    """The last reading: the one nearest to the aim that comes out within the limits; where none does, the last that leaves metal on."""
    nearest = dial.at(total, winding_out=inside)
    if size.lower is None or size.upper is None:
        return nearest
    whole = int(total / dial.step)
    around = [dial.at(number * dial.step, winding_out=inside) for number in (whole, whole + 1)]
    good = [item for item in around if size.lower <= _diameter(item, stock, inside) <= size.upper]
    return min(good, key=lambda item: abs(item.travel - total), default=around[0])


def _diameter(reading: Reading, stock: Fraction, inside: bool) -> Fraction:
    """What the work measures at a reading, mm."""
    return stock + 2 * reading.travel if inside else stock - 2 * reading.travel


def _settable(dial: Collar, size: Size, slide: Slide, context: Context) -> None:
    """A tolerance narrower than one division: no reading can be trusted to fall within it."""
    if size.tolerance is None or size.tolerance >= 2 * dial.step:
        return
    system, top = context.system, context.lathe.slides.top_slide
    how = "leave a little on the last cut and bring it to size with a fine file and abrasive cloth, or ream or lap it"
    if top is not None:
        fine = length_text(2 * collar(top.dial).step / 10, system)
        angle = fixed(atan_degrees(1 / sqrt(Fraction(99))), 1)  # its sine is a tenth
        how = (
            f"swing the top slide to {angle} deg from the axis for the last cut: a tenth of its travel goes in, "
            f"{fine} on the diameter a division"
        )
    context.faults.warning(
        "cuts/tolerance-fine",
        f"one division of the dial is {length_text(2 * dial.step, system)} on the diameter, more than the whole tolerance of "
        f"{length_text(size.tolerance, system)}",
        size.at,
        hint=how,
        related=((slide.dial.division, "the division"),),
    )


def _rows(
    readings: list[Reading], roughing: int, stock: Fraction, inside: bool, context: Context
) -> tuple[list[Row], tuple[Fraction, ...]]:
    """One row a cut; the dial shows running totals in whole divisions, so that errors cannot add up."""
    rows: list[Row] = []
    diameters: list[Fraction] = []
    for number, reading in enumerate(readings, 1):
        diameter = _diameter(reading, stock, inside)
        diameters.append(diameter)
        note = "" if number < roughing else "measure" if number < len(readings) else "last cut"
        shown = length_text(diameter, context.system, "caliper").rsplit(" ", 1)[0]
        rows.append(
            Row(
                (None, Fraction(number), Fraction(reading.turns), reading.value, _unit(diameter, context)),
                ("", str(number), reading.turns_shown, reading.shown, shown),
                note,
            )
        )
    return rows, tuple(diameters)


def _unit(mm: Fraction, context: Context) -> Fraction:
    return convert(mm, "mm", "mm" if context.system == "metric" else "in")


def _dial_figures(desk: Desk, unit: str, first: Reading, last: Reading) -> None:
    why = basis("this row of the table of cuts", ("cuts", "dial_worth"), PRACTICE)
    if first != last:
        desk.number("first_dial", "First reading", first.value, unit, first.in_words, why)
    desk.number("last_dial", "Last reading", last.value, unit, last.in_words, why)


def _worth(desk: Desk, dial: Collar, slide: Slide) -> None:
    why = basis(
        "division x 2 on a dial that reads depth, x 1 on one that reads diameter", (slide.dial.division, slide.dial.reads), GEOMETRY
    )
    desk.length("dial_worth", "One division, on the diameter", 2 * dial.step, why)


def _table(desk: Desk, rows: list[Row], unit: str, slide: Slide, inside: bool) -> Table:
    cuts = basis("equal roughing cuts, then what was left for finishing", ("cuts", *_DEPTHS), PRACTICE)
    total = basis(
        "running total to the nearest division; totals are rounded, never steps",
        ("cuts", slide.dial.division, slide.dial.turn, slide.dial.reads),
        PRACTICE,
    )
    becomes = basis("diameter that the dial's reading really gives", ("to_remove", slide.dial.division), GEOMETRY)
    columns = (
        desk.column("done", "", "", cuts, "tick"),
        desk.column("cut", "Cut", "", cuts, "number"),
        desk.column("turns", "Turns" if any(row.shown[2] for row in rows) else "", "", total, "text"),
        desk.column("dial", "Dial", unit, total, "dial"),
        desk.column("diameter", "Diameter", desk.unit, becomes, "number"),
    )
    return Table("cuts_table", "Cuts", columns, tuple(rows), Say(_zero(slide, inside)))


def _zero(slide: Slide, inside: bool) -> str:
    """The convention behind the dial column: where zero is, which way the collar counts, how backlash is taken up."""
    beyond = f"its backlash of {slide.backlash.text}" if slide.backlash.value else "its backlash"
    reads = "diameter" if slide.dial.reads.value == "diameter" else "depth, half of what comes off the diameter"
    if inside:
        return f"Zero touching the bore. The dial reads {reads}, and counts down. In past {beyond}, then out onto the reading."
    return f"Zero touching the work. The dial reads {reads}. Out past {beyond}, then in onto the reading."


def _box(desk: Desk, dial: Collar, stock: Fraction, size: Size, inside: bool) -> Box:
    """Measure before the last cut: what turns the measurement into the last setting, in the dial's own terms."""
    off = "{size_aim} less what it measures" if inside else "what it measures less {size_aim}"
    half = "" if dial.factor == 2 else ", halved, since the dial reads depth"
    return Box(
        "measured",
        "Measured before the last cut",
        desk.unit,
        Say(f"Last cut = {off}{half}. One division is {{dial_worth}} on the diameter."),
        2,
        _sum(desk, dial, stock, size, inside),
    )


def _sum(desk: Desk, dial: Collar, stock: Fraction, size: Size, inside: bool) -> Sum:
    over, under = ("Smaller", "Larger") if inside else ("Larger", "Smaller")
    words = SumWords(
        Say("Wind towards you" if inside else "Wind in"),
        Say("To size. Nothing more comes off."),
        Say("Off by less than one division, {dial_worth}: the dial cannot set it."),
        Say(f"{under} than it may be. Stop, and measure once more."),
        Say(f"{over} than before any cut: misread. Measure again."),
    )
    limits = None if size.limits is None else (size.lower, size.upper)
    return by_dial(desk, dial, size.aim, Fraction(2), words, grows=inside, winding_out=inside, limits=limits, start=stock)
