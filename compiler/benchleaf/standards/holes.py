"""Holes on the lathe: pecks, pilots and points of drills, stock for reaming and boring, what a drill really cuts, boring bars.

Lengths in mm, feeds in mm a turn, forces in N.  Sizes and shares come from ``data/holes.yaml`` with their source and status.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate, pairwise

from benchleaf.exact import PI, tan_degrees
from benchleaf.record import record
from benchleaf.standards.speeds import Range, material_group
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "DRILL_POINT", "Counterbore", "DeepHole", "DrillSteps", "Pecks", "bar_deflection", "bar_for_bore", "bar_overhang", "bar_shanks",
    "boring_allowance", "centre_drill_depth", "counterbore", "deep_hole", "drill_feed", "drill_oversize", "drill_point", "drill_steps",
    "hole_rule", "least_engagement", "longest_overhang", "peck_list", "pecks", "reaming_allowance", "smallest_bore", "tapping_torque",
    "thread_share",
]  # fmt: skip

DRILL_POINT = Rule("diameter / 2 / tan(point angle / 2)", "plane geometry", "derived")


@record
class Pecks:
    """A peck list: ``pecks`` one after another, mm, which sum to the depth; one alone where no pecking is called for.

    ``depths`` are the depths at which the drill is drawn out, the last the depth of the hole; ``ratio`` is depth over diameter.
    """

    pecks: tuple[Fraction, ...]
    ratio: Fraction
    note: str
    source: str
    status: str

    @property
    def depths(self) -> tuple[Fraction, ...]:
        """The depth reached by each peck."""
        return tuple(accumulate(self.pecks))


@record
class DeepHole:
    """What a hole's depth does to the drill: factors for speed and feed (1 for a shallow hole), as ranges of practice.

    ``pilot_depth_passed``: deeper than a jobber drill goes in practice.
    """

    ratio: Fraction
    deep: bool
    speed: tuple[Fraction, Fraction]
    feed: tuple[Fraction, Fraction]
    pilot_depth_passed: bool
    source: str
    status: str


@record
class DrillSteps:
    """Drills one after another, the last the one that is wanted; one alone where no pilot is called for."""

    sizes: tuple[Fraction, ...]
    source: str
    status: str


@record
class Counterbore:
    """The counterbore of a cap screw, mm."""

    diameter: Fraction
    depth: Fraction
    source: str
    status: str


def hole_rule(name: str) -> Range:
    """A single fact of practice about holes, by its id in the table ``rules``.  Raises LookupError when there is none."""
    for row in table("holes", "rules").where("id", name):
        return _range(row, row.text("unit"), row.text("about"))
    raise LookupError(f"no rule {name}")


def drill_point(diameter: Fraction, angle: Fraction = Fraction(118)) -> Fraction:
    """Length of a drill's point, mm, for a point angle in degrees: d / 2 / tan(angle / 2).  Source: plane geometry."""
    return diameter / 2 / tan_degrees(angle / 2)


def peck_list(diameter: Fraction, depth: Fraction, first: Fraction, second: Fraction, later: Fraction) -> tuple[Fraction, ...]:
    """Pecks to a depth: a first, a second and then equal ones, given in drill diameters; the last is what remains.

    Raises ValueError unless all are above nought.  Source: arithmetic.
    """
    if min(diameter, depth, first, second, later) <= 0:
        raise ValueError("a peck, a drill and a depth are above nought")
    found: list[Fraction] = []
    left = depth
    while left > 0:
        step = (first, second, later)[min(len(found), 2)] * diameter
        found.append(min(step, left))
        left -= found[-1]
    return tuple(found)


def pecks(diameter: Fraction, depth: Fraction, material: str | None = None) -> Pecks:
    """The peck list of a hole, ``depth`` measured to where the drill stops; the short end of each range is taken.

    ``material`` is a name or alias of :mod:`benchleaf.standards.speeds`; steel when none is given.  No pecks up to two diameters, where
    the material asks for no shorter ones.  Raises LookupError for a material that is not known.  Source: common practice.
    """
    row = _peck_row(diameter, material)
    first, second, later = (row.span(name)[0] for name in ("first", "second", "later"))
    found = peck_list(diameter, depth, first, second, later)
    return Pecks(found, depth / diameter, row.text("note", ""), row.source, row.status)


def _peck_row(diameter: Fraction, material: str | None) -> Row:
    found = table("holes", "pecks")
    if diameter < hole_rule("small_drill").low:
        return found.where("family", "small")[0]
    return _by_material("pecks", material)


def _by_material(name: str, material: str | None) -> Row:
    """The row of a material, or else of its family; that of steel when no material is given."""
    found = table("holes", name)
    if material is None:
        return found.where("family", "steel")[0]
    group = material_group(material)
    if group is None:
        raise LookupError(f"{material} is not in the table of materials")
    own = found.where("material", group.name)
    return own[0] if own else next(row for row in found.where("family", group.family) if not row.has("material"))


def deep_hole(diameter: Fraction, depth: Fraction) -> DeepHole:
    """By what factors speed and feed are reduced for a hole's depth.  Source: published drill guides (they differ)."""
    ratio = depth / diameter
    passed = ratio > hole_rule("jobber_depth").high
    rows = [row for row in table("holes", "deep").rows if row.number("from") <= ratio]
    if not rows:
        shallow = hole_rule("deep_from")
        return DeepHole(ratio, False, (Fraction(1), Fraction(1)), (Fraction(1), Fraction(1)), passed, shallow.source, shallow.status)
    speed, feed = (tuple(1 - part / 100 for part in reversed(rows[-1].span(name))) for name in ("speed", "feed"))
    return DeepHole(ratio, True, (speed[0], speed[1]), (feed[0], feed[1]), passed, rows[-1].source, rows[-1].status)


def drill_feed(diameter: Fraction, material: str | None = None) -> Range:
    """Feed of an HSS twist drill, tailstock fed by hand, mm a turn; mild steel when no material is given.

    In proportion between the table's diameters and below them; no more above them, where the hand gives out.  Raises LookupError for a
    material that is not known, ValueError without a diameter.  Source: common practice.
    """
    rows = table("holes", "drill_feeds").rows
    if diameter <= 0:
        raise ValueError("a drill has a diameter")
    group = None if material is None else material_group(material)
    if material is not None and group is None:
        raise LookupError(f"{material} is not in the table of materials")
    factor = table("holes", "feed_factors").where("material", "mild steel" if group is None else group.name)[0]
    low, high = (part * factor.number("value") for part in _between(rows, diameter))
    status = "from memory" if factor.status == "from memory" else rows[0].status
    return Range(low, high, "mm/rev", "drill feed, tailstock by hand", factor.source, status)


def _between(rows: Sequence[Row], diameter: Fraction) -> tuple[Fraction, Fraction]:
    (low, high), smallest = rows[0].span("range"), rows[0].number("diameter")
    if diameter <= smallest:
        return low * diameter / smallest, high * diameter / smallest
    for below, above in pairwise(rows):
        start, stop = below.number("diameter"), above.number("diameter")
        if start <= diameter <= stop:
            share = (diameter - start) / (stop - start)
            (low, high), (low_above, high_above) = below.span("range"), above.span("range")
            return low + (low_above - low) * share, high + (high_above - high) * share
    return rows[-1].span("range")


def drill_steps(diameter: Fraction, owned: Sequence[Fraction] = ()) -> DrillSteps:
    """Pilot and further drills up to a diameter: a pilot from 10 mm on, then steps of 3 to 6 mm.

    With ``owned`` diameters, the longest step that keeps within 6 mm, or else the next smaller drill; without, even steps in half
    millimetres.  Source: common practice.
    """
    pilot, step = hole_rule("pilot_from"), hole_rule("step")
    sizes = [diameter]
    if owned:
        while sizes[0] > pilot.low:
            smaller = [size for size in owned if size < sizes[0]]
            within = [size for size in smaller if size >= sizes[0] - step.high]
            if not smaller:
                break
            sizes.insert(0, min(within) if within else max(smaller))
        return DrillSteps(tuple(sizes), step.source, step.status)
    count = -((pilot.low - diameter) // step.high) if diameter > pilot.low else 0
    if count:
        even = max(step.low, -Fraction((pilot.low - diameter) * 2 / count // 1, 2))
        sizes = [diameter - even * (count - place) for place in range(count + 1)]
    return DrillSteps(tuple(sizes), step.source, step.status)


def drill_oversize(diameter: Fraction) -> Range:
    """By how much a drilled hole comes out over a drill with a hand-ground point, mm.  Source: common practice."""
    return _range(_covering("oversize", diameter), "mm", "drilled hole over the drill")


def reaming_allowance(diameter: Fraction, material: str | None = None, *, by_hand: bool = False) -> Range:
    """Stock on diameter left for a reamer, mm; in steel when no material is given.

    Raises LookupError for a material that is not known.  Source: an open trade-training course; factors by material common practice.
    """
    row = _covering("reaming_by_hand" if by_hand else "reaming", diameter)
    factor = _by_material("reaming_factors", material)
    low, high = (part * factor.number("value") for part in row.span("range"))
    status = row.status if factor.number("value") == 1 else max(row.status, factor.status, key=_TRUST.index)
    return Range(low, high, "mm", "stock for reaming, on diameter", row.source, status)


_TRUST = ("standard", "published", "derived", "common practice", "from memory")


def boring_allowance(diameter: Fraction) -> Range:
    """Stock on diameter left in a drilled hole for boring, mm.  Source: common practice, from memory."""
    return _range(_covering("boring", diameter), "mm", "stock for boring, on diameter")


def centre_drill_depth(pilot: Fraction, cone: Fraction) -> Range:
    """How deep the 60 degree cone of a centre drill goes in for spotting, mm, from its pilot and cone diameters.

    Source: common practice (half to three quarters of the cone's length).
    """
    length, share = (cone - pilot) / 2 / tan_degrees(Fraction(30)), hole_rule("centre_depth")
    return Range(share.low * length, share.high * length, "mm", share.about, share.source, share.status)


def counterbore(thread: Fraction) -> Counterbore | None:
    """The counterbore of a cap screw of a nominal diameter, mm; None for a size not in the table.  Source: DIN 974-1, ISO 4762."""
    for row in table("holes", "counterbores").where("thread", thread):
        return Counterbore(row.number("diameter"), row.number("head") + row.number("more"), row.source, row.status)
    return None


def bar_shanks() -> tuple[str, ...]:
    """The kinds of boring bar that are known: steel, steel catalogue, heavy metal, carbide, damped."""
    return tuple(row.text("shank") for row in table("holes", "bars").rows)


def bar_overhang(shank: str = "steel") -> Range:
    """How far a boring bar may stand out, in bar diameters.  Raises LookupError for another shank.  Source: common practice."""
    row = _bar(shank)
    return _range(row, "bar diameters", f"overhang of a boring bar, {shank}")


def longest_overhang(bar: Fraction, shank: str = "steel", *, cautious: bool = False) -> Fraction:
    """The most that a bar of a diameter may stand out, mm: the upper figure of :func:`bar_overhang`, or the lower one when cautious."""
    found = bar_overhang(shank)
    return bar * (found.low if cautious else found.high)


def bar_deflection(force: Fraction, overhang: Fraction, bar: Fraction, shank: str = "steel") -> Fraction:
    """How far the end of a round bar bends away under a force in N, mm: F L^3 / (3 E I), I = pi d^4 / 64.  Source: beam theory."""
    return force * overhang**3 * 64 / (3 * _bar(shank).number("modulus") * PI * bar**4)


def _bar(shank: str) -> Row:
    for row in table("holes", "bars").where("shank", shank):
        return row
    raise LookupError(f"no shank {shank}: {', '.join(bar_shanks())}")


def smallest_bore(bar: Fraction) -> Range:
    """The smallest bore that a round bar goes into, mm: the table's row, or 1.2 to 1.4 bar diameters.  Source: common practice."""
    for row in table("holes", "smallest_bores").where("bar", bar):
        return _range(row, "mm", "smallest bore for the bar")
    share = hole_rule("smallest_bore")
    return Range(share.low * bar, share.high * bar, "mm", "smallest bore for the bar", share.source, share.status)


def bar_for_bore(bore: Fraction) -> Range:
    """The bar diameters to choose from for a bore, mm: 0.6 to 0.8 of it.  Source: common practice."""
    share = hole_rule("bar_of_bore")
    return Range(share.low * bore, share.high * bore, "mm", share.about, share.source, share.status)


def tapping_torque(
    major: Fraction, hole: Fraction, material: str, *, tap: str = "hand plug", fine: bool = False, half_angle: Fraction = Fraction(30)
) -> Range:
    """Torque of a sharp tap, N m: tan(half angle) x k x c (D - d)^2 (D + 2 d) / 24000; a worn one takes far more.

    Raises LookupError for a material or tap that the tables do not have.  Source: published data on tap torque.
    """
    group = material_group(material)
    force = next(iter(table("holes", "tapping_forces").where("material", group.name)), None) if group else None
    family = group.family if group and group.family in ("iron", "aluminium", "copper alloy") else "steel"
    shapes = [row for row in table("holes", "taps").where("tap", tap) if row.text("series") == ("fine" if fine else "coarse")]
    shape = next((row for row in shapes if row.text("family") == family), None)
    if force is None or shape is None:
        raise LookupError(f"no torque of a {tap} tap in {material}")
    torque = tan_degrees(half_angle) * force.number("value") * shape.number("value") * (major - hole) ** 2 * (major + 2 * hole) / 24000
    return Range(torque, torque, "N m", f"torque of a {tap} tap", force.source, max(force.status, shape.status, key=_TRUST.index))


def thread_share(material: str | None = None, *, deep: bool = False) -> Range:
    """Share of a 60 degree thread to aim for when tapping by hand, of a depth of 17/24 H; x 17/15 for that of 5/8 H.

    ``deep``: a hole over two diameters.  Raises LookupError for a material that is not known.  Source: common practice.
    """
    row = table("holes", "thread_shares").where("family", "deep hole")[0] if deep else _by_material("thread_shares", material)
    return _range(row, "of 17/24 H", "share of the thread when tapping by hand")


def least_engagement(major: Fraction, material: str | None = None) -> Range:
    """Engagement of a tapped hole that matches the bolt at 75 % thread, mm.  Source: an open tapping guide."""
    row = _by_material("engagements", material)
    length = row.number("value") * major
    return Range(length, length, "mm", "engagement that matches the bolt at 75 % thread", row.source, row.status)


def _covering(name: str, diameter: Fraction) -> Row:
    for row in table("holes", name).rows:
        to = row.maybe("to")
        if row.number("over") < diameter and (to is None or diameter <= to):
            return row
    raise ValueError("a hole has a diameter")


def _range(row: Row, unit: str, about: str) -> Range:
    low, high = row.span("range")
    return Range(low, high, unit, about, row.source, row.status)
