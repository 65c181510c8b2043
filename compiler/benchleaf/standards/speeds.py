"""Cutting speeds by material and tool, spindle speeds from them, and how far a tool runs on before it stops.

Surface speeds in m/min, diameters and leads in mm, spindle speeds in turns a minute, times in seconds.  The figures of the tables
are starting points, and published ones differ by 30 % and more; each carries its source and status.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from benchleaf.exact import PI
from benchleaf.record import record
from benchleaf.standards.tables import Row, Rule, TableError, table

__all__ = [
    "RUN_ON", "SPINDLE_SPEED", "CuttingSpeed", "MaterialGroup", "Range", "cutting_speed", "fastest_for_room", "feed", "limit",
    "material_group", "material_names", "nearest_not_above", "rim_limit", "run_on", "spindle_speed", "surface_speed", "threading_speed",
]  # fmt: skip

SPINDLE_SPEED = Rule("1000 x cutting speed / (pi x diameter)", "definition of cutting speed (ISO 3002-1)", "derived")
RUN_ON = Rule("spindle speed x lead x stopping time / 60", "the saddle moves one lead a turn", "derived")


@record
class MaterialGroup:
    """Materials that are cut alike.  ``passes`` is their number of threading passes against mild steel; ``cautions`` are ids of
    :mod:`benchleaf.standards.cautions`."""

    name: str
    aliases: tuple[str, ...]
    family: str
    fluid: str
    passes: Fraction
    passes_status: str
    cautions: tuple[str, ...]
    source: str
    status: str


@record
class CuttingSpeed:
    """A cutting speed: ``speed`` is where to start, within ``low`` to ``high``, m/min.

    ``factor`` is the fraction of the table's row that was taken (``turning`` for most), whose own starting speed is ``base``; so an
    owner's own turning speed x factor replaces ``speed``.
    """

    speed: Fraction
    low: Fraction
    high: Fraction
    factor: Fraction
    base: Fraction
    note: str
    rule: Rule

    @property
    def source(self) -> str:
        """Where the figure is from."""
        return self.rule.source

    @property
    def status(self) -> str:
        """How far it can be trusted."""
        return self.rule.status


@record
class Range:
    """A range of practice with its unit, words and source."""

    low: Fraction
    high: Fraction
    unit: str
    about: str
    source: str
    status: str


@lru_cache(maxsize=1)
def _groups() -> dict[str, MaterialGroup]:
    """Every name and alias, folded, to its group."""
    factors = {row.text("material"): row for row in table("threading", "pass_factors").rows}
    found: dict[str, MaterialGroup] = {}
    for row in table("speeds", "materials").rows:
        name = row.text("name")
        factor = factors[name]
        group = MaterialGroup(
            name, row.words("aliases"), row.text("family"), row.text("fluid"), factor.number("value"), factor.status, row.words("cautions"),
            row.source, row.status,
        )  # fmt: skip
        for spelling in (name, *group.aliases):
            if _fold(spelling) in found:
                raise TableError(f"{spelling} names two materials")
            found[_fold(spelling)] = group
    return found


def _fold(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").split())


def material_group(name: str) -> MaterialGroup | None:
    """The group that a name or alias stands for, whatever its case and hyphens; None when it is not known."""
    return _groups().get(_fold(name))


def material_names(*, aliases: bool = False) -> tuple[str, ...]:
    """The names of all groups in the table's order; with ``aliases``, every spelling that is understood (to find near misses)."""
    groups = dict.fromkeys(_groups().values())
    return tuple(spelling for group in groups for spelling in ((group.name, *group.aliases) if aliases else (group.name,)))


def cutting_speed(material: str, operation: str, tool: str) -> CuttingSpeed | None:
    """The cutting speed of a material ('mild steel' or an alias) in an operation with a tool ('HSS', 'carbide', 'carbon steel').

    Operations: turning, facing, boring, threading, parting, forming, drilling, reaming, shaping, knurling (tool 'knurl wheels').
    None where the table says nothing: a material that is not worked so, or a tool that is no choice for a manual machine.  Raises
    LookupError for a material that is not known.  Source: the table's rows; fractions of turning and of drilling by common practice.
    """
    group = material_group(material)
    if group is None:
        raise LookupError(f"{material} is not in the table of cutting speeds")
    swap = next(iter(table("speeds", "tool_factors").where("tool", tool)), None)
    of_tool, tool_factor = (swap.text("of"), swap.number("use")) if swap else (tool, Fraction(1))
    part = next((row for row in table("speeds", "fractions").where("operation", operation) if row.text("tool") == of_tool), None)
    base = _row(group.name, part.text("of") if part else operation, of_tool)
    if base is None:
        return None
    low, high = base.span("range")
    start = base.maybe("start") or low + (high - low) / 3
    few, many, use = (*part.span("range"), part.number("use")) if part else (Fraction(1), Fraction(1), Fraction(1))
    formula = f"{part.text('of')} speed x {use} for {operation}" if part else f"{operation} speed of {group.name}"
    if swap:
        formula += f", x {tool_factor} for {tool}"
    status = _weaker(base.status, part.status) if part else base.status
    note = part.text("note", "") if part else base.text("note", "")
    rule = Rule(formula, base.source, status)
    return CuttingSpeed(start * use * tool_factor, low * few * tool_factor, high * many * tool_factor, use, start * tool_factor, note, rule)


def threading_speed(material: str, tool: str, *, inside: bool = False) -> CuttingSpeed:
    """The cutting speed for threading: a third of turning with HSS, a half with carbide; inside threads a little less.

    Stopping in time often wants less still (:func:`fastest_for_room`).  Raises LookupError for a material or tool that is not known.
    Source: common practice (a third to a half of the turning speed).
    """
    found = cutting_speed(material, "threading", tool)
    if found is None:
        raise LookupError(f"no threading speed for {material} with {tool}")
    if not inside:
        return found
    slower = limit("internal_threading")
    use = (slower.low + slower.high) / 2
    rule = Rule(f"{found.rule.formula}, x {use} inside", found.rule.source, found.rule.status)
    low, high = found.low * slower.low, found.high * slower.high
    return CuttingSpeed(found.speed * use, low, high, found.factor * use, found.base, found.note, rule)


def _row(material: str, operation: str, tool: str) -> Row | None:
    if operation not in ("turning", "drilling", "shaping", "knurling"):
        return None
    return next((row for row in table("speeds", operation).where("material", material) if row.text("tool") == tool), None)


def _weaker(one: str, other: str) -> str:
    """What can be said of a figure that rests on two: no more than of the weaker."""
    order = ("standard", "published", "derived", "common practice", "from memory")
    return max(one, other, key=order.index)


def limit(name: str) -> Range:
    """A single fact of practice that bears on speed, by id.  Raises LookupError when there is none."""
    for row in table("speeds", "limits").where("id", name):
        low, high = row.span("range") if row.has("range") else (row.number("value"), row.number("value"))
        return Range(low, high, row.text("unit"), row.text("about"), row.source, row.status)
    raise LookupError(f"no limit {name}")


def feed(operation: str, tool: str, cut: str) -> Range | None:
    """Feed on a small to medium manual lathe, mm a turn; None where nothing is known.  ``cut``: roughing, finishing, all, traverse.

    Source: common practice.
    """
    for row in table("speeds", "feeds").where("operation", operation):
        if row.text("tool") == tool and row.text("cut") == cut:
            low, high = row.span("range")
            return Range(low, high, "mm/rev", f"feed, {operation}, {cut}", row.source, row.status)
    return None


def spindle_speed(surface: Fraction, diameter: Fraction) -> Fraction:
    """Spindle speed, turns a minute: n = 1000 v / (pi d), at the largest diameter in the cut.  Source: definition (ISO 3002-1)."""
    return 1000 * surface / (PI * diameter)


def surface_speed(turns: Fraction, diameter: Fraction) -> Fraction:
    """Cutting speed, m/min: v = pi d n / 1000.  Source: definition (ISO 3002-1)."""
    return PI * diameter * turns / 1000


def nearest_not_above(bound: Fraction, available: Iterable[Fraction]) -> Fraction | None:
    """The fastest available speed that is not above a bound; None when all are.  Source: common practice."""
    return max((speed for speed in available if speed <= bound), default=None)


def rim_limit(diameter: Fraction) -> Fraction:
    """Cautious ceiling for a grey iron chuck or faceplate whose own limit is not known, turns a minute: 60000 v / (pi d), v in m/s.

    A limit that is marked goes before this.  Source: common practice (low end of 25 to 30 m/s at the rim).
    """
    return 60 * 1000 * limit("grey_iron_rim").low / (PI * diameter)


def run_on(turns: Fraction, lead: Fraction, time: Fraction) -> Fraction:
    """How far the tool runs on while the hand stops it, mm: n x lead x t / 60.  Source: kinematics."""
    return turns * lead * time / 60


def fastest_for_room(room: Fraction, lead: Fraction, time: Fraction) -> Fraction:
    """The highest spindle speed at which the tool stops within ``room`` mm, turns a minute: 60 x room / (lead x t); 0 without room.

    Source: kinematics.
    """
    return max(60 * room / (lead * time), Fraction(0))
