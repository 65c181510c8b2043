"""How true machines and workholding are: acceptance limits, figures of used machines, and what a test shows.

Deviations and lengths in mm.  Limits come from ``data/acceptance.yaml`` with source and status; for a contract use the standard itself.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.speeds import Range
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "COLLARS", "ChuckRunOut", "CollarTest", "ColletRunOut", "Limit", "acceptance", "acceptance_ids", "acceptance_limits", "chuck_run_out",
    "collar_limit", "collar_test", "collet_run_out", "face_hollow", "holding_run_out", "holding_ways", "tailstock_move",
]  # fmt: skip

COLLARS = Rule("slope of the axis = difference of the collars' diameters / 2 / distance between them", "plane geometry", "derived")


@record
class Limit:
    """An acceptance limit or a figure of practice: from ``low`` to ``high`` in ``unit``, the same for a limit.

    ``state``: 'new', 'used' (``low`` good, ``high`` tired), 'period' or 'practice'.  ``over`` says in words over what it is measured,
    ``length`` is that in mm where it is a length; ``sense`` is the direction that alone is accepted, empty for either.
    """

    id: str
    machine: str
    machine_class: str
    state: str
    about: str
    over: str
    length: Fraction | None
    sense: str
    measure: str
    low: Fraction
    high: Fraction
    unit: str
    source: str
    status: str

    def over_length(self, length: Fraction) -> Fraction:
        """The limit in proportion to a length, mm.  Raises ValueError for one that is not over a length."""
        if self.length is None:
            raise ValueError(f"{self.id} is not over a length")
        return self.high * length / self.length


@record
class CollarTest:
    """What a two-collar test shows: ``slope`` of the axis to the bed, mm of radius per mm, and that over 300 mm.

    ``large_at_first``: the first collar, that at the headstock, is the larger.
    """

    difference: Fraction
    slope: Fraction
    per_300: Fraction
    large_at_first: bool


@record
class ChuckRunOut:
    """Accepted run-out of a new scroll chuck, total: of a ground bar near the jaws, and of a face on the jaw steps."""

    bar: Fraction
    face: Fraction
    source: str
    status: str


@record
class ColletRunOut:
    """Accepted run-out of a collet, and how far from the nose it is measured."""

    run_out: Fraction
    at: Fraction
    source: str
    status: str


@lru_cache(maxsize=1)
def _limits() -> dict[str, Limit]:
    return {row.text("id"): _limit(row) for row in table("acceptance", "limits").rows}


def _limit(row: Row) -> Limit:
    low, high = row.span("range")
    return Limit(
        row.text("id"), row.text("machine"), row.text("class"), row.text("state"), row.text("about"), row.text("over", ""),
        row.maybe("length"), row.text("sense", ""), row.text("measure", ""), low, high, row.text("unit"), row.source, row.status,
    )  # fmt: skip


def acceptance_ids() -> tuple[str, ...]:
    """The stable ids of all limits."""
    return tuple(_limits())


def acceptance(name: str) -> Limit:
    """The limit with an id, such as 'l_p1_cyl'.  Raises LookupError when there is none."""
    found = _limits().get(name)
    if found is None:
        raise LookupError(f"no acceptance limit {name}")
    return found


def acceptance_limits(machine: str, *, state: str = "new", machine_class: str | None = None) -> tuple[Limit, ...]:
    """The limits of a machine ('lathe', 'shaper', 'dividing head', 'workholding') in a state, of one class ('general', 'precision') or all.
    """
    return tuple(
        each
        for each in _limits().values()
        if each.machine == machine and each.state == state and machine_class in (None, each.machine_class)
    )


def collar_test(at_headstock: Fraction, at_tailstock: Fraction, between: Fraction) -> CollarTest:
    """What the diameters of two collars turned at one setting of the cross slide show.  Source: plane geometry.

    Raises ValueError without a distance between them.
    """
    if between <= 0:
        raise ValueError("the collars stand apart")
    difference = at_headstock - at_tailstock
    slope = difference / 2 / between
    return CollarTest(difference, slope, slope * 300, difference > 0)


def collar_limit(between: Fraction, machine_class: str = "general") -> Limit:
    """The difference of diameter accepted between collars, in proportion to their distance.  Raises LookupError for another class.

    Source: ISO 1708.
    """
    names = {"general": "l_p1_cyl", "precision": "lp_p1_cyl"}
    if machine_class not in names:
        raise LookupError(f"no class of lathe {machine_class}: general, precision")
    found = acceptance(names[machine_class])
    value = found.over_length(between)
    return Limit(
        found.id, found.machine, found.machine_class, found.state, found.about, found.over, between, found.sense, found.measure, value,
        value, found.unit, found.source, found.status,
    )  # fmt: skip


def tailstock_move(difference: Fraction, between: Fraction, length: Fraction) -> Fraction:
    """How far the tailstock moves to cure a taper turned between centres: difference / 2 x length between centres / collars' distance.

    Positive for a bar that is larger at the tailstock: towards the tool.  ``difference`` is the diameter at the tailstock less that at the
    headstock.  Source: plane geometry.
    """
    return difference / 2 * length / between


def face_hollow(error: Fraction, diameter: Fraction, over: Fraction = Fraction(300)) -> Fraction:
    """How deep the middle of a face lies below its rim when the cross slide is out of square by ``error`` over a length.

    A dial run across past the middle shows twice this.  Source: plane geometry.
    """
    return error * diameter / 2 / over


def chuck_run_out(size: Fraction) -> ChuckRunOut:
    """Accepted run-out of a new scroll chuck of a size (the nearest tabled one).  Source: ISO 3089 and trade classes, from memory."""
    rows = table("acceptance", "scroll_chucks").rows
    row = min(rows, key=lambda each: max(each.number("from") - size, size - each.number("to"), Fraction(0)))
    return ChuckRunOut(row.number("bar"), row.number("face"), row.source, row.status)


def collet_run_out(bore: Fraction, grade: int = 2) -> ColletRunOut | None:
    """Accepted run-out of an 8 degree collet of a bore, class 1 or 2; None for a bore outside the table.  Source: ISO 15488."""
    for row in table("acceptance", "collets").rows:
        if row.number("over") <= bore <= row.number("to"):
            recalled = row.text("remembered", "") == f"class {grade}"
            return ColletRunOut(
                row.number("first" if grade == 1 else "second"), row.number("at"), row.source, "from memory" if recalled else row.status
            )
    return None


def holding_ways() -> tuple[str, ...]:
    """The ways of holding work whose run-out is known."""
    return tuple(dict.fromkeys(row.text("how") for row in table("acceptance", "holding").rows))


def holding_run_out(how: str, *, worn: bool = False) -> Range:
    """Total run-out to reckon with near the jaws for a way of holding, mm.  Raises LookupError for another.  Source: common practice."""
    rows = table("acceptance", "holding").where("how", how)
    if not rows:
        raise LookupError(f"no way of holding {how}: {', '.join(holding_ways())}")
    row = next((each for each in rows if (each.text("state") == "worn") == worn), rows[0])
    low, high = row.span("range")
    return Range(low, high, "mm", f"total run-out near the jaws, {how}, {row.text('state')}", row.source, row.status)
