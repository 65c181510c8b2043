"""The rows of a chart: what stands in each column for a thread cut with a train, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.kinematics.half_nuts import HalfNutRule, half_nut_rule
from benchleaf.kinematics.model import Problem, Train
from benchleaf.operations.chart.asked import Asked, Wish
from benchleaf.operations.desk import GEOMETRY, OWNER, Desk, Value, basis, source
from benchleaf.operations.screwcut.machine import dial_wheels
from benchleaf.operations.screwcut.words import lever_words, plain
from benchleaf.sheet.model import Column, Row, Source
from benchleaf.sheet.numbers import fixed, signed
from benchleaf.standards.lead_error import VIRTUAL_CHANGE, lead_error_cost
from benchleaf.standards.speeds import RUN_ON, SPINDLE_SPEED, nearest_not_above, run_on, spindle_speed, threading_speed
from benchleaf.standards.threads import DesignationError, Thread
from benchleaf.units import convert
from benchleaf.workshop.plate import DerivedRow

__all__ = ["Alike", "Entry", "Part", "lead_cells", "lead_parts", "parts", "still_levers", "table_rows", "thread_part"]

_MILLION = 1_000_000
_LEADS = Source("thread standards, as each designation says", GEOMETRY.status)


@dataclass(frozen=True, slots=True)
class Entry:
    """A thread and the train that cuts it; ``change`` says which wheels to change before it, where rows say that."""

    wish: Wish
    train: Train
    change: str = ""

    @property
    def thread(self) -> Thread:
        """The thread."""
        return self.wish.thread


Cell = tuple[Fraction | None, str]
"""The exact value (None for words) and what is shown."""


@dataclass(frozen=True, slots=True)
class Part:
    """A column and how to fill it."""

    column: Column
    fill: Callable[[Entry], Cell]


def table_rows(columns: Sequence[Part], entries: Iterable[Entry]) -> tuple[Row, ...]:
    """The rows of a table with these columns."""
    rows = []
    for entry in entries:
        cells = [part.fill(entry) for part in columns]
        rows.append(Row(tuple(value for value, _ in cells), tuple(shown for _, shown in cells)))
    return tuple(rows)


def thread_part(desk: Desk, wishes: Sequence[Wish]) -> Part:
    """The designations, traced to the owner's list or the standard's."""
    written: list[Value] = [wish.at for wish in wishes if wish.at is not None]
    standard = dict.fromkeys(wish.of for wish in wishes if wish.at is None)
    lists = (Source(f"list of {name} threads, and the standard it is from", _LEADS.status) for name in standard)
    why = basis("the threads asked for, in the order of their list", (*written, *lists), OWNER)
    return Part(desk.column("thread", "Thread", "", why, "text"), lambda entry: (None, entry.thread.designation))


def lead_parts(desk: Desk, wishes: Sequence[Wish]) -> list[Part]:
    """Lead wanted, and threads per inch where some thread is known by them."""
    columns = [desk.column("lead", "Lead", "mm", basis("starts x pitch of the thread", ("thread",), _LEADS))]
    if any(wish.thread.tpi for wish in wishes):
        columns.append(desk.column("tpi", "TPI", "", basis("threads per inch, as the thread is known", ("thread",), _LEADS)))
    return [Part(column, _lead_cell(place, wishes)) for place, column in enumerate(columns)]


def _lead_cell(place: int, wishes: Sequence[Wish]) -> Callable[[Entry], Cell]:
    return lambda entry: lead_cells(entry.thread, wishes)[place]


def lead_cells(thread: Thread, wishes: Sequence[Wish]) -> list[Cell]:
    """What stands in the columns of :func:`lead_parts`."""
    cells: list[Cell] = [(thread.lead, plain(thread.lead))]
    if any(wish.thread.tpi for wish in wishes):
        cells.append((Fraction(thread.tpi), plain(Fraction(thread.tpi), 3)) if thread.tpi else (None, ""))
    return cells


class Alike:
    """What the rows of a chart have in common: which levers stand alike in all of them, and whether some lead is not exact.

    ``moved`` are the positions used of levers that do not stand alike, ``still`` the position of those that do.
    """

    def __init__(self, problem: Problem, entries: Sequence[Entry]) -> None:
        self.problem = problem
        self.inexact = any(entry.train.error for entry in entries)
        settings = [dict(lever_words(entry.train, problem)) for entry in entries]
        names = dict.fromkeys(name for setting in settings for name in setting)
        used = {name: tuple(dict.fromkeys(setting.get(name, "") for setting in settings)) for name in names}
        self.moved = {name: positions for name, positions in used.items() if len(positions) > 1}
        self.still = {name: positions[0] for name, positions in used.items() if len(positions) == 1}


def parts(desk: Desk, asked: Asked, alike: Alike, train: str) -> list[Part]:
    """The columns after thread and lead.  ``train`` is the id of the figure, or of the column, that says the wheels."""
    levers = _lever_parts(desk, asked, alike)
    still = ("chart.levers",) if alike.still else ()
    errors = _error_parts(desk, alike, (train, *(part.column.id for part in levers), *still))
    found = [*levers, *errors, _half_nuts(desk, asked, alike.problem)]
    return [*found, *_speed_parts(desk, asked)]


def _lever_parts(desk: Desk, asked: Asked, alike: Alike) -> list[Part]:
    """One column for each lever that decides the lead."""
    found = []
    for number, (name, used) in enumerate(alike.moved.items(), 1):
        why = basis("the lever setting that cuts this lead with these wheels; of equal ones the fewest moves from where the levers stand",
                    (*_lever_values(asked, name, used), "chart.leadscrew"), source("the lathe's profile", "owner"))  # fmt: skip
        found.append(Part(desk.column(f"lever_{number}", name, "", why, "text"), _position(name, alike.problem)))
    return found


def still_levers(desk: Desk, asked: Asked, alike: Alike) -> bool:
    """The figure ``levers``: those that stand alike in all rows.  False, and no figure, where there is no such lever."""
    if not alike.still:
        return False
    values = [value for name, position in alike.still.items() for value in _lever_values(asked, name, (position,))]
    why = basis("the levers that stand alike for every thread of this chart", tuple(values), source("the lathe's profile", "owner"))
    desk.words("levers", "Levers for all", " \u00b7 ".join(f"{name} {position}" for name, position in alike.still.items()), why)
    return True


def _position(name: str, problem: Problem) -> Callable[[Entry], Cell]:
    return lambda entry: (None, dict(lever_words(entry.train, problem)).get(name, ""))


def _lever_values(asked: Asked, name: str, used: Sequence[str]) -> tuple[Value, ...]:
    """The lines of the profile that give the ratio of each position used."""
    lathe = asked.machine.lathe
    found: list[Value] = []
    if name == (lathe.headstock.lever.value if lathe.headstock.lever else "lead"):
        found += [row.ratio for row in lathe.headstock.ratios if row.position.value in used]
    if lathe.gearbox is not None:
        positions = (lever.positions for lever in lathe.gearbox.levers if lever.name.value == name)
        found += [ratio for places in positions for at, ratio in places.items() if at in used]
        rows = [row for row in lathe.gearbox.rows if name in row.levers and row.levers[name].value in used]
        found += dict.fromkeys(value for row in rows for value in (row.stated if isinstance(row, DerivedRow) else (row.ratio,)))
    return tuple(found)


def _error_parts(desk: Desk, alike: Alike, train: tuple[str, ...]) -> list[Part]:
    """Lead error, and what it costs where some thread has one."""
    why = basis("(leadscrew lead x levers x wheels / lead wanted - 1) x 1 000 000", (*train, "chart.leadscrew", "chart.limit"), GEOMETRY)
    found = [Part(desk.column("error", "Error", "ppm", why), lambda entry: _error(entry.train.error))]
    if not alike.inexact:
        return found
    rule = source(VIRTUAL_CHANGE.source, VIRTUAL_CHANGE.status)
    why = basis(f"{VIRTUAL_CHANGE.formula}, over an engagement of one diameter", ("error",), rule)
    unit = "\u00b5m" if desk.system == "metric" else "thou"
    found.append(Part(desk.column("cost", "Costs", unit, why), lambda entry: _cost(entry, desk.system)))
    why = basis("what the error costs / the tighter pitch-diameter tolerance, inside or outside, of the usual class", ("cost",), _LEADS)
    found.append(Part(desk.column("share", "Share", "%", why), _share))
    return found


def _error(error: Fraction) -> Cell:
    return error * _MILLION, "exact" if error == 0 else signed(error * _MILLION, 0)


def _virtual(entry: Entry) -> Fraction | None:
    half = entry.thread.form.half_angle
    if entry.train.error == 0 or not half:
        return None
    return lead_error_cost(entry.train.error, entry.thread.major, half).virtual


def _cost(entry: Entry, system: str) -> Cell:
    cost = _virtual(entry)
    if cost is None:
        return None, ""
    if system == "metric":
        return cost * 1000, fixed(cost * 1000, 1)
    thou = convert(cost, "mm", "in") * 1000
    return thou, fixed(thou, 2)


def _share(entry: Entry) -> Cell:
    cost = _virtual(entry)
    tolerances = [found for inside in (False, True) if (found := _tolerance(entry.thread, inside=inside)) is not None]
    if cost is None or not tolerances:
        return None, ""
    share = 100 * cost / min(tolerances)
    return share, fixed(share, 0) if share >= 1 else "<1"


def _tolerance(thread: Thread, *, inside: bool) -> Fraction | None:
    try:
        return thread.limits(inside, thread.major).pitch_tolerance or None
    except DesignationError:  # the class that was written is of the other side
        return None


def _half_nuts(desk: Desk, asked: Asked, problem: Problem) -> Part:
    lathe = asked.machine.lathe
    dials = tuple(row.teeth for row in lathe.half_nuts.thread_dials)
    formula = "lead cut / leadscrew lead = a / b in lowest terms: in step every a leadscrew leads, on a dial wheel that a divides"
    why = basis(formula, ("chart.leadscrew", *dials, lathe.half_nuts.fitted), source("arithmetic of the thread dial", "derived"))
    wheels = dial_wheels(lathe)
    return Part(
        desk.column("half_nuts", "Half-nuts", "", why, "text"),
        lambda entry: (None, _rule_words(half_nut_rule(entry.train.lead, problem.leadscrew_lead, wheels), len(wheels) > 1)),
    )


def _rule_words(rule: HalfNutRule, several: bool) -> str:
    """The rule in a word or two; which dial wheel, where there is a choice."""
    if rule.rule == "any":
        return "anywhere"
    if rule.rule == "never" or rule.dial is None:
        return "never"
    if rule.every == 1:
        words = "any"
    elif len(rule.marks) == 1:
        words = "same"
    else:
        ending = {2: "nd", 3: "rd"}.get(rule.every, "th")
        words = f"every {rule.every}{ending}"
    return f"{rule.dial.teeth}T {words}" if several else words


def _speed_parts(desk: Desk, asked: Asked) -> list[Part]:
    lathe = asked.machine.lathe
    speeds = sorted((row.speed for row in lathe.spindle.speeds), key=lambda speed: speed.value)
    cutting = threading_speed(asked.material, asked.tool)
    there = [speed.value for speed in speeds]

    def rpm(thread: Thread) -> Fraction:
        return nearest_not_above(spindle_speed(cutting.speed, thread.major), there) or there[0]

    formula = f"the fastest speed of this lathe not above {SPINDLE_SPEED.formula}, over the crests; else its slowest"
    why = basis(formula, ("chart.surface", *speeds), GEOMETRY)
    speed = Part(desk.column("rpm", "Speed", "rpm", why), lambda entry: (rpm(entry.thread), plain(rpm(entry.thread), 1)))
    why = basis(f"{RUN_ON.formula}, at that speed", ("rpm", lathe.stop_time), source(RUN_ON.source, RUN_ON.status))

    def way(entry: Entry) -> Cell:
        runs = run_on(rpm(entry.thread), entry.train.lead, lathe.stop_time.value)
        return (runs, fixed(runs, 1)) if desk.system == "metric" else (convert(runs, "mm", "in"), fixed(convert(runs, "mm", "in"), 2))

    return [speed, Part(desk.column("runs_on", "Overrun", desk.unit, why), way)]

