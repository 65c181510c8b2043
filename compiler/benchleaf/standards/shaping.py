"""Shaping practice: length and number of strokes, feeds, depths, angles of tools, tilt of the clapper box, T-slots.

Lengths in mm, angles in degrees, rates in double strokes a minute, speeds in m/min, times in s.  Sizes come from the tables in
``data/shaping.yaml`` with source and status.  Cutting speeds: :func:`benchleaf.standards.speeds.cutting_speed` with 'shaping'.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from benchleaf.record import record
from benchleaf.standards.speeds import material_group, nearest_not_above
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "FACES", "MEAN_SPEED", "STROKES", "Advice", "ClapperTilt", "Practice", "Shape", "TSlot", "ToolAngles", "advice", "clapper_tilt",
    "cut_time", "depth_of_cut", "fact", "feed_a_stroke", "mean_speed", "rate_not_above", "stroke_length", "strokes_a_minute",
    "strokes_needed", "t_slot", "tool_angles", "tool_shapes",
]  # fmt: skip

STROKES = Rule(
    "1000 x cutting speed / (stroke x (1 + time of return / time of cutting))", "definition of the mean cutting speed; handbooks",
    "published",
)  # fmt: skip
MEAN_SPEED = Rule("stroke x strokes a minute x (1 + time of return / time of cutting) / 1000", "definition; handbooks", "published")

FACES = ("flat", "vertical", "angular", "slot", "undercut", "inside keyway")


@record
class Practice:
    """A figure of practice: ``use`` where nothing else is known, within ``low`` to ``high``."""

    use: Fraction
    low: Fraction
    high: Fraction
    unit: str
    about: str
    source: str
    status: str


def fact(name: str) -> Practice:
    """A single fact of practice by id (approach, overrun, grip, ...).  Raises LookupError when there is none."""
    for row in table("shaping", "facts").where("id", name):
        return _practice(row, row.text("unit"), row.text("about"))
    raise LookupError(f"no fact {name}")


def _practice(row: Row, unit: str, about: str) -> Practice:
    low, high = row.span("range")
    return Practice(row.number("use"), low, high, unit, about, row.source, row.status)


def stroke_length(work: Fraction, approach: Fraction | None = None, overrun: Fraction | None = None) -> Fraction:
    """Stroke for a length of work, mm: work + approach + overrun, by practice where they are not given.  Source: common practice."""
    before = fact("approach").use if approach is None else approach
    return work + before + (fact("overrun").use if overrun is None else overrun)


def strokes_a_minute(speed: Fraction, stroke: Fraction, return_share: Fraction) -> Fraction:
    """Double strokes a minute for a mean cutting speed: 1000 v / (l (1 + m)), m being the time of return over the time of cutting.

    Source: handbooks (:data:`STROKES`).  With m turned upside down the machine runs far off: for 2/3 by a half.
    """
    return 1000 * speed / (stroke * (1 + return_share))


def mean_speed(rate: Fraction, stroke: Fraction, return_share: Fraction) -> Fraction:
    """Mean cutting speed, m/min: l N (1 + m) / 1000.  Source: handbooks (:data:`MEAN_SPEED`)."""
    return stroke * rate * (1 + return_share) / 1000


def rate_not_above(wanted: Fraction, rates: tuple[Fraction, ...]) -> Fraction | None:
    """The fastest rate of the machine that is not above the one wanted; None when all are.  Source: common practice."""
    return nearest_not_above(wanted, rates)


def strokes_needed(width: Fraction, feed: Fraction, side_overrun: Fraction = Fraction(0)) -> int:
    """Strokes over a width, the first included: (width + side overrun) / feed, rounded up, + 1.  Source: arithmetic."""
    return ceil((width + side_overrun) / feed) + 1


def cut_time(width: Fraction, feed: Fraction, rate: Fraction, side_overrun: Fraction = Fraction(0)) -> Fraction:
    """Time of one cut over a width, s: 60 (width + side overrun) / (feed x rate).  Source: arithmetic."""
    return 60 * (width + side_overrun) / (feed * rate)


def feed_a_stroke(material: str, cut: str, *, heavy: bool = False) -> Practice | None:
    """Cross feed, mm a stroke.  ``cut``: roughing, finishing, broad finishing (iron only); ``heavy`` machines have about 450 mm of stroke.

    None where the table has nothing.  Raises LookupError for a material that is not known.  Source: common practice.
    """
    return _by_family("feeds", material, cut, heavy, "feed a stroke")


def depth_of_cut(material: str, cut: str, *, heavy: bool = False) -> Practice | None:
    """Depth of a cut, mm; as :func:`feed_a_stroke`.  Source: common practice."""
    return _by_family("depths", material, cut, heavy, "depth of cut")


def _by_family(name: str, material: str, cut: str, heavy: bool, about: str) -> Practice | None:
    group = material_group(material)
    if group is None:
        raise LookupError(f"{material} is not in the table of materials")
    for row in table("shaping", name).where("cut", cut):
        if row.text("family") in (group.family, "any") and row.text("machine") in ("heavy" if heavy else "light", "any"):
            return _practice(row, "mm", f"{about}, {cut}")
    return None


@record
class ClapperTilt:
    """How the clapper box is set: degrees from ``low`` to ``high``, which way (``words``), and whether the block is locked."""

    face: str
    low: Fraction
    high: Fraction
    words: str
    locked: bool
    source: str
    status: str


def clapper_tilt(face: str) -> ClapperTilt:
    """The clapper box for a face, one of :data:`FACES`.  Raises LookupError for another.  Source: common practice."""
    for row in table("shaping", "clapper").where("face", face):
        low, high = row.span("range")
        return ClapperTilt(face, low, high, row.text("away"), row.flag("locked"), row.source, row.status)
    raise LookupError(f"no face {face}")


@record
class ToolAngles:
    """Angles of a shaping tool, degrees, each from lowest to highest.  ``back_rake`` is None where practice has no figure."""

    side_rake: tuple[Fraction, Fraction]
    back_rake: tuple[Fraction, Fraction] | None
    clearance: tuple[Fraction, Fraction]
    front_relief: tuple[Fraction, Fraction]
    side_relief: tuple[Fraction, Fraction]
    source: str
    status: str


def tool_angles(material: str) -> ToolAngles | None:
    """Angles of an HSS tool for a material; None where there are none.  Raises LookupError for one that is not known.

    ``clearance`` is that of flat surfacing with this material; front and side relief hold for any.  Source: common practice.
    """
    group = material_group(material)
    if group is None:
        raise LookupError(f"{material} is not in the table of materials")
    relief = {row.text("id"): row.span("range") for row in table("shaping", "relief").rows}
    for row in table("shaping", "angles").where("material", group.name):
        back = row.span("back_rake") if row.has("back_rake") else None
        return ToolAngles(row.span("side_rake"), back, row.span("clearance"), relief["front"], relief["side"], row.source, row.status)
    return None


@record
class Shape:
    """A shape of tool: what it is for, the faces it cuts and whether it roughs or finishes."""

    name: str
    purpose: str
    faces: tuple[str, ...]
    cut: str


def tool_shapes(face: str | None = None) -> tuple[Shape, ...]:
    """The shapes of shaping tools, those for one face where it is named."""
    shapes = (
        Shape(row.text("shape"), row.text("purpose"), row.words("faces"), row.text("cut")) for row in table("shaping", "tools").rows
    )
    return tuple(shape for shape in shapes if face is None or face in shape.faces)


@record
class Advice:
    """A rule of the trade in words, by topic."""

    topic: str
    words: str
    source: str
    status: str


def advice(topic: str) -> Advice:
    """What goes with a topic (feed, jaws, first face, order, seating, ...).  Raises LookupError when there is nothing."""
    for row in table("shaping", "advice").where("topic", topic):
        return Advice(topic, row.text("words"), row.source, row.status)
    raise LookupError(f"no advice on {topic}")


@record
class TSlot:
    """A T-slot by its throat: limits of width and height of the wide part and of the whole depth, mm; the bolt that suits, its head's
    width and height."""

    throat: Fraction
    width: tuple[Fraction, Fraction]
    height: tuple[Fraction, Fraction]
    depth: tuple[Fraction, Fraction]
    bolt: str
    head_width: Fraction
    head_height: Fraction
    source: str
    status: str

    @property
    def side_clearance(self) -> tuple[Fraction, Fraction]:
        """Room beside the bolt's head, least and most, mm: half of what the slot is wider."""
        return (self.width[0] - self.head_width) / 2, (self.width[1] - self.head_width) / 2

    @property
    def clearance_over_head(self) -> tuple[Fraction, Fraction]:
        """Room above and below the bolt's head together, least and most, mm."""
        return self.height[0] - self.head_height, self.height[1] - self.head_height

    @property
    def lip(self) -> tuple[Fraction, Fraction]:
        """Height of the metal that the bolt pulls against, least and most, mm."""
        return self.depth[0] - self.height[1], self.depth[1] - self.height[0]


def t_slot(throat: Fraction) -> TSlot | None:
    """The T-slot of a nominal throat, None where the standard has none.  Source: ISO 299 (DIN 650), from memory."""
    for row in table("shaping", "t_slots").where("a", throat):
        head = row.numbers("head")
        return TSlot(throat, row.span("b"), row.span("c"), row.span("h"), row.text("bolt"), head[0], head[1], row.source, row.status)
    return None
