"""What every sheet of clocking has: what it should read, what it read last, where the reading is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.clock.model import Clock
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.indicators import owned, reading_text
from benchleaf.operations.desk import OWNER, PRACTICE, Desk, Value, basis, source
from benchleaf.sheet.model import Block, Box, Column, FigureGroup, Row, Say, Source, Steps, Table, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.acceptance import Limit, acceptance
from benchleaf.standards.clocking import clocking_practice
from benchleaf.standards.speeds import Range
from benchleaf.units import convert
from benchleaf.workshop.lathe import MachineReading
from benchleaf.workshop.tooling import Indicator

__all__ = ["Bench", "Way", "bench", "difference_table", "keep", "last_read", "over_or_fault", "practice", "should_read"]

_DIVISIONS = (1, 2, 5, 10, 20)  # of the indicator: rows of the tables that turn what it shows into what to do
Way = tuple[
    str, str, Callable[[Fraction], Fraction], str
]  # a column: id, label, what a difference in mm comes to in mm (or its unit), unit


@dataclass(slots=True)
class Bench:
    """One proof on its way to the sheet."""

    context: Context
    desk: Desk
    step: Clock
    indicator: Indicator


def bench(step: Clock, context: Context) -> Bench | None:
    """The indicator that reads it, the finest of the drawers unless the job names one; None after an error."""
    found = tools.find(
        step.indicator, owned(context), lambda _: "", "indicators", step.what, context, best=lambda item: item.division.value
    )
    if found is None:
        return None
    this = Bench(context, context.desk(), step, found)
    why = basis("the one that the job names, or the finest in the drawers", (found.name, found.division), OWNER)
    _, unit, shown = reading_text(found.division.value, found)
    this.desk.words("indicator", "Indicator", found.name.value, why, also=f"one division {shown} {unit}")
    return this


def should_read(this: Bench, figure_id: str, label: str, limit: Limit | Range, value: Fraction | None = None) -> None:
    """Write down what it should read: at most a limit, or a range of practice; ``value`` in place of the limit's own, for another "
    "length."""
    low, high = (limit.low, limit.high) if value is None else (value, value)
    inputs: tuple[Value | str | Source, ...] = (this.step.what,)
    sense = f"; {limit.sense}" if isinstance(limit, Limit) and limit.sense else ""
    over = f", over {limit.over}" if isinstance(limit, Limit) and limit.over else ""
    scaled = ", in proportion" if value is not None else ""
    why = basis(f"{limit.about}{over}{scaled}{sense}", inputs, source(limit.source, limit.status))
    limits = (None, high) if low == high or low == 0 else (low, high)
    this.desk.length(figure_id, label, high, why, limits=limits)
    if value is None or low == high:
        _coarse(this, high)


def _coarse(this: Bench, limit: Fraction) -> None:
    """Warn where the indicator cannot tell whether the limit is kept."""
    division = this.indicator.division
    if division.value <= limit:
        return
    _, unit, shown = reading_text(limit, this.indicator)
    this.context.faults.warning(
        "clock/indicator-coarse",
        f"one division of {this.indicator.name.value} is {division.text}, and what is to be read is at most {shown if limit else 0} {unit}"
        if limit >= division.value
        else f"one division of {this.indicator.name.value} is {division.text}, which is more than what is to be read may come to",
        this.step.indicator or this.step.what,
        f"at most {fixed(limit, 3)} mm",
        hint="use a finer indicator, or magnify the reading: a longer bar, a reading farther out",
        related=((division, "its division"),),
    )


def practice(this: Bench, figure_id: str, label: str, name: str) -> Range:
    """Write down a length of practice, the middle of its range, and return the range."""
    found = clocking_practice(name)
    why = basis(found.about, (this.step.what,), source(found.source, found.status))
    if found.unit == "mm":
        this.desk.length(figure_id, label, (found.low + found.high) / 2, why, read_by="rule")
    else:
        middle = (found.low + found.high) / 2
        this.desk.number(figure_id, label, middle, found.unit, fixed(middle, 0), why)
    return found


def warm(this: Bench) -> None:
    """Write down how long the spindle runs first."""
    found = acceptance("warm")
    why = basis(found.about, (this.step.what,), source(found.source, found.status))
    this.desk.number("warm", "Run the spindle first, at least", found.low, "min", fixed(found.low, 0), why)


def last_read(this: Bench, *kinds: str) -> None:
    """Write down the latest reading of each kind that the profile holds, with its day."""
    for number, kind in enumerate(kinds):
        readings = [item for item in this.context.lathe.readings if item.what.value == kind]
        if not readings:
            continue
        latest: MachineReading = max(readings, key=lambda item: item.date.value)
        more = f", the latest of {len(readings)}" if len(readings) > 1 else ""
        over = f" over {latest.over.text}" if latest.over is not None else ""
        inputs: tuple[Value, ...] = (latest.reads, latest.date) if latest.over is None else (latest.reads, latest.over, latest.date)
        why = basis("the reading with the latest date in the lathe's profile", inputs, OWNER)
        name = "last_read" if number == 0 else f"last_read_{number + 1}"
        this.desk.words(name, f"Last read, {kind}", f"{latest.reads.text}{over}", why, also=f"on {latest.date.value}{more}")


def over_or_fault(this: Bench, derived: Fraction | None, what: str) -> Fraction | None:
    """The distance that the job gives, or the one that follows from the work; None after an error.  Writes the figure ``over``."""
    step = this.step
    if step.over is not None:
        this.desk.length("over", what, step.over.value, basis("as the job says", (step.over,), OWNER), read_by="rule")
        return step.over.value
    if derived is None:
        this.context.faults.error(
            "clock/no-over",
            f"{step.what.value} is read over a length, and the job gives none",
            step.what,
            hint="add `over`, the distance between the two places that are read",
        )
    return derived


def difference_table(
    this: Bench,
    table_id: str,
    title: str,
    first: str,
    ways: tuple[Way, ...],
    formulas: tuple[str, ...],
    inputs: tuple[Value | str, ...],
    caption: str,
) -> Table:
    """A table of what the indicator shows and what follows from it, one row for each of a few divisions."""
    division = this.indicator.division.value
    _, unit, _ = reading_text(division, this.indicator)
    read = basis("divisions of the indicator", (this.indicator.division,), PRACTICE)
    columns: list[Column] = [this.desk.column("read", first, unit, read)]
    for (name, label, _, its_unit), formula in zip(ways, formulas, strict=True):
        columns.append(this.desk.column(name, label, its_unit, basis(formula, inputs, PRACTICE), "number"))
    rows = []
    for count in _DIVISIONS:
        mm = count * division
        value, _, shown = reading_text(mm, this.indicator)
        cells = [(convert(way[2](mm), "mm", way[3]) if way[3] in ("mm", "in") else way[2](mm), way[3]) for way in ways]
        texts = tuple(fixed(amount, {"mm": 3, "in": 4}.get(cell_unit, 1)) for amount, cell_unit in cells)
        rows.append(Row((value, *(amount for amount, _ in cells)), (shown, *texts)))
    return Table(table_id, title, tuple(columns), tuple(rows), Say(caption))


def keep(this: Bench, kinds: tuple[tuple[str, bool], ...]) -> Steps:
    """How the reading is entered in the lathe's profile; each kind with whether it needs the length it was read over."""
    name = this.context.lathe.name.value
    lines = [
        f"- {{what: {kind}, reads: ___ {this.desk.unit}{', over: ___ ' + this.desk.unit if over else ''}, date: ____-__-__}}"
        for kind, over in kinds
    ]
    # A brace in a sentence would stand for a figure, so the line is given in words of the profile instead.
    said = [line.replace("{", "").replace("}", "").removeprefix("- ") for line in lines]
    return Steps(
        "Keep the reading", (Say(f"In the profile of {name}, under `readings`, with its sign and the day:"), *(Say(line) for line in said))
    )


def boxes(this: Bench, *asked: tuple[str, str, str]) -> list[Block]:
    """Boxes for readings: id, label, rule."""
    unit = "in" if this.indicator.division.system == "inch" else "mm"
    return [Box(name, label, unit, Say(rule), 2) for name, label, rule in asked]


def groups(this: Bench, wanted: tuple[str, ...], set_up: tuple[str, ...] = ()) -> list[Block]:
    """The figures that every proof starts with."""
    desk = this.desk
    return [
        FigureGroup("Should read", desk.pick(*wanted), Weight.SET),
        FigureGroup("Set up", desk.pick("indicator", *set_up, "warm"), Weight.WORK),
        FigureGroup("Known", desk.pick("last_read", "last_read_2"), Weight.WORK),
    ]
