"""What every sheet of clocking has: what it should read, what it read last, where the reading is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.clock.model import Clock
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.cutting.indicators import owned, reading_text
from benchleaf.operations.desk import OWNER, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.sheet.model import Block, Box, Check, Column, FigureGroup, Row, Say, Source, Table, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.acceptance import Limit, acceptance
from benchleaf.standards.clocking import clocking_practice
from benchleaf.standards.speeds import Range
from benchleaf.units import convert
from benchleaf.workshop.lathe import MachineReading
from benchleaf.workshop.tooling import Indicator
from benchleaf.workshop.values import Measure

__all__ = [
    "Bench", "Way", "bench", "boxes", "difference_table", "groups", "keep", "last_read", "over_or_fault", "practice", "should_read", "warm",
]  # fmt: skip

_MICROMETER = {"metric": Fraction(1, 100), "inch": Fraction(127, 50000)}  # mm: 0.01 mm, 0.0001 in; what a micrometer is read to
_GRAVITY = Fraction(981, 100)  # m/s2
_DIVISIONS = (1, 2, 5, 10, 20)  # of the indicator: rows of the tables that turn what it shows into what to do
Way = tuple[
    str, str, Callable[[Fraction], Fraction], str
]  # a column: id, label, what a difference in mm comes to in mm (or its unit), unit


@dataclass(slots=True)
class Bench:
    """One proof on its way to the sheet.  Without an indicator it is read with a micrometer."""

    context: Context
    desk: Desk
    step: Clock
    indicator: Indicator | None

    @property
    def division(self) -> Fraction:
        """What it is read to, mm."""
        if self.indicator is not None:
            return self.indicator.division.value
        return _MICROMETER[self.desk.system]

    @property
    def unit(self) -> str:
        """The unit that it reads in."""
        if self.indicator is not None:
            return "in" if self.indicator.division.system == "inch" else "mm"
        return self.desk.unit

    def shown(self, mm: Fraction) -> tuple[Fraction, str]:
        """A movement in mm in its own unit: exact, and as it shows it."""
        if self.indicator is not None:
            value, _, text = reading_text(mm, self.indicator)
            return value, text
        value = convert(mm, "mm", self.unit)
        return value, fixed(value, 2 if self.unit == "mm" else 4)


def bench(step: Clock, context: Context) -> Bench | None:
    """The indicator that reads it, the finest of the drawers unless the job names one; None after an error."""
    found = tools.find(
        step.indicator, owned(context), lambda _: "", "indicators", step.what, context, best=lambda item: item.division.value
    )
    if found is None:
        return None
    this = Bench(context, context.desk(), step, found)
    why = basis("the one that the job names, or the finest in the drawers", (found.name, found.division), OWNER)
    this.desk.words("indicator", "Indicator", found.name.value, why, also=f"one division {found.division.text}")
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
    if limits[0] is None:
        _coarse(this, high)


def _coarse(this: Bench, limit: Fraction) -> None:
    """Warn where the indicator cannot tell whether the limit is kept: half a division is the least that an eye reads."""
    found = this.indicator
    if found is None or found.division.value <= 2 * limit:
        return
    this.context.faults.warning(
        "clock/indicator-coarse",
        f"one division of the {found.name.value} is {found.division.text}, and all that is allowed here is "
        f"{length_text(limit, this.desk.system)}",
        this.step.indicator or this.step.what,
        hint="use a finer indicator, or magnify the reading: a longer bar, a reading farther out",
        related=((found.division, "its division"),),
    )


def practice(this: Bench, figure_id: str, label: str, name: str) -> Range:
    """Write down a length of practice, the middle of its range, and return the range."""
    found = clocking_practice(name)
    why = basis(found.about, (this.step.what,), source(found.source, found.status))
    if found.unit == "mm":
        this.desk.length(figure_id, label, (found.low + found.high) / 2, why, read_by="rule")
    else:
        middle = (found.low + found.high) / 2
        weight = fixed(middle / _GRAVITY, 0)
        this.desk.number(figure_id, label, middle, found.unit, fixed(middle, 0), why, also=f"the weight of {weight} kg")
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
    with_what: tuple[Value | str, ...] = (this.step.what,) if this.indicator is None else (this.indicator.division,)
    read = basis("steps of what it is read with", with_what, PRACTICE)
    columns: list[Column] = [this.desk.column("read", first, this.unit, read)]
    for (name, label, _, its_unit), formula in zip(ways, formulas, strict=True):
        columns.append(this.desk.column(name, label, its_unit, basis(formula, inputs, PRACTICE), "number"))
    rows = []
    for count in _DIVISIONS:
        mm = count * this.division
        value, shown = this.shown(mm)
        cells = [(convert(way[2](mm), "mm", way[3]) if way[3] in ("mm", "in") else way[2](mm), way[3]) for way in ways]
        texts = tuple(fixed(amount, {"mm": 3, "in": 4}.get(cell_unit, 1)) for amount, cell_unit in cells)
        rows.append(Row((value, *(amount for amount, _ in cells)), (shown, *texts)))
    return Table(table_id, title, tuple(columns), tuple(rows), Say(caption))


def keep(this: Bench, *kinds: str, over: Measure | str = "") -> list[Block]:
    """How each reading is entered in the lathe's profile, word for word; with the length it was read over where it needs one."""
    long = f", over: {over if isinstance(over, str) else over.text}" if over else ""
    name = this.context.lathe.name.value
    rows = [f"- {{what: {kind}, reads: ____ {this.unit}{long}, date: ____-__-__}}" for kind in kinds]
    return [Check(Say(f"{row} is kept in the profile of the {name} under `readings`, with its sign and the day.")) for row in rows]


def boxes(this: Bench, *asked: tuple[str, str, str]) -> list[Block]:
    """Boxes for readings: id, label, rule."""
    return [Box(name, label, this.unit, Say(rule), 2) for name, label, rule in asked]


def groups(this: Bench, wanted: tuple[str, ...], set_up: tuple[str, ...] = ()) -> list[Block]:
    """The figures that every proof starts with."""
    desk = this.desk
    return [
        FigureGroup("Should read", desk.pick(*wanted), Weight.SET),
        FigureGroup("Set up", desk.pick("indicator", *set_up, "warm"), Weight.WORK),
        FigureGroup("Known", desk.pick("last_read", "last_read_2"), Weight.WORK),
    ]
