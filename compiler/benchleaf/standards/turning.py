"""Turning, facing and parting: depths and feeds, cutting force and power, finish, tools and their height.

Lengths in mm, feeds in mm a turn, speeds in m/min, forces in N, power in kW, angles in degrees.  Figures of practice come from
``data/turning.yaml`` with source and status; cutting speeds and feeds by operation are those of :mod:`benchleaf.standards.speeds`.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

from benchleaf.exact import PI, atan_degrees, sin_degrees, sqrt
from benchleaf.record import record
from benchleaf.standards.speeds import MaterialGroup, Range, feed, material_group
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "FORCE", "POWER", "ROUGHNESS", "CutList", "SpecificForce", "TurningAngles", "cut_list", "cutting_force", "cutting_power",
    "depth_of_cut", "diameter_off_centre", "dial_between", "feed_angle", "feed_for_roughness", "finish_allowance", "largest_depth",
    "parting_stick_out", "parting_width", "published_feed", "rake_change", "roughness", "specific_force", "spindle_torque",
    "turning_angles", "turning_feed", "turning_rule",
]  # fmt: skip

FORCE = Rule("specific force x depth x feed", "definition of the specific cutting force", "derived")
POWER = Rule("force x cutting speed / 60000", "definition of power", "derived")
ROUGHNESS = Rule("feed^2 / (8 x nose radius)", "plane geometry", "derived")
_PRECISE = Context(prec=50, rounding=ROUND_HALF_EVEN)


@record
class SpecificForce:
    """Specific cutting force of a material: ``value`` N/mm2 for a chip 1 mm thick, growing with thinner ones by ``exponent``."""

    material: str
    value: Fraction
    exponent: Fraction
    note: str
    source: str
    status: str

    def at(self, chip: Fraction) -> Fraction:
        """Specific force for a chip thickness, N/mm2: value x chip^-exponent.  Raises ValueError for no thickness.

        Source: the power law of chip thickness.
        """
        if chip <= 0:
            raise ValueError("a chip has a thickness")
        return self.value * _power(chip, -self.exponent)


@record
class CutList:
    """Cuts per side, mm: equal ``roughing`` ones, then ``finishing``; they sum to the stock."""

    roughing: tuple[Fraction, ...]
    finishing: Fraction

    @property
    def cuts(self) -> tuple[Fraction, ...]:
        """All cuts in order."""
        return (*self.roughing, self.finishing)


@record
class TurningAngles:
    """Angles of an HSS lathe tool, degrees, as ranges; ``remembered`` names those that are from memory."""

    side_rake: tuple[Fraction, Fraction]
    back_rake: tuple[Fraction, Fraction]
    side_clearance: tuple[Fraction, Fraction]
    front_clearance: tuple[Fraction, Fraction]
    remembered: tuple[str, ...]
    source: str
    status: str


def _power(base: Fraction, exponent: Fraction) -> Fraction:
    """A positive number to any power, to about 45 figures and alike on every machine."""
    if not exponent or base == 1:
        return Fraction(1)
    exact = [_PRECISE.divide(Decimal(part.numerator), Decimal(part.denominator)) for part in (base, exponent)]
    return Fraction(_PRECISE.exp(_PRECISE.multiply(exact[1], _PRECISE.ln(exact[0]))))


def turning_rule(name: str) -> Range:
    """A single fact of practice about turning, by its id in the table ``rules``.  Raises LookupError when there is none."""
    for row in table("turning", "rules").where("id", name):
        return _range(row, row.text("unit"), row.text("about"))
    raise LookupError(f"no rule {name}")


def depth_of_cut(cut: str, *, tool: str = "HSS", centre_height: Fraction = Fraction(100), material: str | None = None) -> Range:
    """Depth of cut per side, mm: 'roughing' by the lathe's centre height and the material, 'finishing' by the tool.

    Raises LookupError for another cut, tool or material.  Source: common practice.
    """
    if cut == "finishing":
        rows = table("turning", "finishing_depths").where("tool", tool)
        if not rows:
            raise LookupError(f"no finishing depth for {tool}")
        return _range(rows[0], "mm", "finishing depth per side")
    if cut != "roughing":
        raise LookupError(f"no cut {cut}: roughing, finishing")
    row = _covering("roughing_depths", centre_height)
    if material is None:
        return _range(row, "mm", f"roughing depth per side, {row.text('size')}")
    factor = table("turning", "depth_factors").where("family", _group(material).family)[0]
    low, high = (part * factor.number("value") for part in row.span("range"))
    status = row.status if factor.number("value") == 1 else factor.status
    return Range(low, high, "mm", f"roughing depth per side, {row.text('size')}", row.source, status)


def turning_feed(cut: str, *, operation: str = "turning", tool: str = "HSS") -> Range:
    """Feed on a small to medium manual lathe, mm a turn; 'roughing' or 'finishing'.  Raises LookupError where nothing is known.

    Source: common practice (:func:`benchleaf.standards.speeds.feed`).
    """
    found = feed(operation, tool, cut)
    if found is None:
        raise LookupError(f"no feed for {operation} with {tool}, {cut}")
    return found


def published_feed(material: str, cut: str) -> Range | None:
    """Feed by material on a full-size lathe, mm a turn, heavier than a light one takes; None where the table says nothing.

    Raises LookupError for a material that is not known.  Source: a published laboratory shop guide.
    """
    name = _group(material).name
    for row in table("turning", "feeds").where("material", name):
        if row.text("cut") in (cut, "all"):
            return _range(row, "mm/rev", f"feed, {name}, {cut}")
    return None


def finish_allowance(diameter: Fraction) -> Range:
    """Stock left on diameter for finishing, mm.  Source: common practice, from memory."""
    return _range(_covering("finish_allowances", diameter), "mm", "stock for finishing, on diameter")


def cut_list(stock: Fraction, largest: Fraction, finishing: Fraction) -> CutList:
    """Cuts per side for an amount of stock: as few equal roughing cuts as ``largest`` allows, then the finishing cut.

    Stock that does not exceed the finishing cut is one cut.  Raises ValueError unless all are above nought.  Source: arithmetic.
    """
    if min(stock, largest, finishing) <= 0:
        raise ValueError("stock and cuts are above nought")
    rough = stock - finishing
    if rough <= 0:
        return CutList((), stock)
    count = int(-(-rough // largest))
    return CutList((rough / count,) * count, finishing)


def specific_force(material: str) -> SpecificForce:
    """Specific cutting force of a material, its alias, or a group of the table.  Raises LookupError when it is not known."""
    group = material_group(material)
    found = table("turning", "forces")
    rows = found.where("material", group.name) if group else found.where("group", material.strip())
    if not rows:
        raise LookupError(f"{material} is not in the table of cutting forces")
    row = rows[0]
    name = group.name if group else row.text("group")
    return SpecificForce(name, row.number("value"), row.number("exponent"), row.text("note", ""), row.source, row.status)


def cutting_force(material: str, depth: Fraction, feed_rate: Fraction, *, approach: Fraction = Fraction(90)) -> Fraction:
    """Cutting force, N: specific force x depth x feed, for a chip of feed x sin(approach) thickness; sharp edge, no rake.

    ``approach``: angle between the edge and the feed, degrees.  Raises LookupError for a material that is not known.
    Source: the power law of chip thickness; :func:`specific_force`.
    """
    return specific_force(material).at(feed_rate * sin_degrees(approach)) * depth * feed_rate


def cutting_power(force: Fraction, speed: Fraction) -> Fraction:
    """Power at the edge, kW: force x cutting speed (m/min) / 60000.  Source: definition."""
    return force * speed / 60000


def largest_depth(
    power: Fraction, specific: Fraction, feed_rate: Fraction, speed: Fraction, *, efficiency: Fraction = Fraction(1)
) -> Fraction:
    """The deepest cut per side that a power drives, mm: 60000 x power x efficiency / (specific force x feed x speed).

    ``power`` kW of the motor, ``specific`` N/mm2 at this feed (:meth:`SpecificForce.at`), ``speed`` m/min.  Power is one bound: stiffness
    and the work's overhang often bind first.  Raises ValueError unless force, feed and speed are above nought.  Source: definition.
    """
    if min(specific, feed_rate, speed) <= 0:
        raise ValueError("force, feed and speed are above nought")
    return 60000 * power * efficiency / (specific * feed_rate * speed)


def spindle_torque(force: Fraction, diameter: Fraction) -> Fraction:
    """Torque that the jaws must hold, N m: force x diameter / 2000.  Source: definition."""
    return force * diameter / 2000


def roughness(feed_rate: Fraction, nose: Fraction) -> Fraction:
    """Height of the feed marks, mm: feed^2 / (8 x nose radius).  A real surface is rougher.  Source: plane geometry."""
    return feed_rate * feed_rate / (8 * nose)


def feed_for_roughness(height: Fraction, nose: Fraction) -> Fraction:
    """The feed that leaves marks of a height, mm a turn: :func:`roughness` turned round."""
    return sqrt(8 * nose * height)


def turning_angles(material: str) -> TurningAngles:
    """Angles of an HSS lathe tool for a material.  Raises LookupError for one that is not known.  Source: common practice."""
    row = table("turning", "tool_angles").where("material", _group(material).name)[0]
    names = ("side_rake", "back_rake", "side_clearance", "front_clearance")
    spans = [row.span(name) for name in names]
    return TurningAngles(spans[0], spans[1], spans[2], spans[3], row.words("remembered"), row.source, row.status)


def parting_width(diameter: Fraction) -> Range:
    """Width of a parting blade for a diameter, mm.  Source: common practice."""
    return _range(_covering("parting_blades", diameter), "mm", "width of a parting blade")


def parting_stick_out(width: Fraction) -> Range:
    """How far a parting blade may stand out, mm.  Source: common practice (6 to 10 times its width)."""
    share = turning_rule("parting_stick_out")
    return Range(share.low * width, share.high * width, "mm", share.about, share.source, share.status)


def rake_change(height: Fraction, diameter: Fraction) -> Fraction:
    """By how much the edge's height above centre adds to rake and takes from clearance when turning outside, degrees: asin(h / R).

    Below centre (negative) and in a bore the signs swap.  Raises ValueError when the edge is beyond the work.  Source: plane geometry.
    """
    share = 2 * height / diameter
    if abs(share) >= 1:
        raise ValueError("the edge is no nearer the axis than the work's radius")
    return atan_degrees(share / sqrt(1 - share * share))


def diameter_off_centre(across: Fraction, height: Fraction) -> Fraction:
    """The diameter that is cut with the edge ``across`` from the axis and ``height`` off centre: 2 sqrt(x^2 + h^2).

    Facing so leaves a pip of twice the height.  Source: plane geometry.
    """
    return 2 * sqrt(across * across + height * height)


def dial_between(height: Fraction, first: Fraction, second: Fraction) -> Fraction:
    """Dial movement, on diameter, between two true diameters with the edge off centre by ``height``.

    Raises ValueError for a diameter that the edge cannot reach.  Source: plane geometry.
    """
    return 2 * abs(sqrt(first * first / 4 - height * height) - sqrt(second * second / 4 - height * height))


def feed_angle(feed_rate: Fraction, diameter: Fraction) -> Fraction:
    """Side clearance that the feed uses up, degrees: atan(feed / (pi d)).  Source: plane geometry."""
    return atan_degrees(feed_rate / (PI * diameter))


def _group(material: str) -> MaterialGroup:
    found = material_group(material)
    if found is None:
        raise LookupError(f"{material} is not in the table of materials")
    return found


def _covering(name: str, size: Fraction) -> Row:
    for row in table("turning", name).rows:
        to = row.maybe("to")
        if row.number("over") < size and (to is None or size <= to):
            return row
    raise ValueError("a size is above nought")


def _range(row: Row, unit: str, about: str) -> Range:
    low, high = row.span("range")
    return Range(low, high, unit, about, row.source, row.status)
