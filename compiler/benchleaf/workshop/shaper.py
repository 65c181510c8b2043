"""The shaper: its strokes, rates and feeds, what its dials read, and how work is held on it."""

from __future__ import annotations

from collections.abc import Mapping

from benchleaf.record import record
from benchleaf.workshop.values import (
    Angle,
    Count,
    Distance,
    Flag,
    Length,
    Link,
    Origin,
    Position,
    PositiveAngle,
    Power,
    Ratio,
    StrokeRate,
    Text,
)

__all__ = [
    "Collar", "Crank", "CrossSlide", "Drive", "IndexHead", "LargestTool", "OtherHolding", "Ram", "Ratchet", "Rate", "Shaper",
    "ShaperReading", "Space", "Table", "ToolHead", "VerticalSlide", "Vice",
]  # fmt: skip


@record
class Crank:
    """A crank pin in a slotted link: ``centre_distance`` from the bull gear's axis to the link's pivot, ``link_length`` from there to the
    ram's pin; the radii that the crank pin can be set to, where they were measured."""

    origin: Origin
    centre_distance: Length
    link_length: Length
    least_radius: Length | None
    largest_radius: Length | None


@record
class Drive:
    """What moves the ram, one of three: a crank, a ratio of cutting to return time at every stroke, or a hydraulic ram's ratio."""

    origin: Origin
    crank: Crank | None
    ratio: Ratio | None
    hydraulic: Ratio | None


@record
class Ram:
    """The ram: strokes, how they are set and placed, how far it reaches in front of the column and stands out behind."""

    origin: Origin
    shortest_stroke: Distance
    longest_stroke: Length
    stroke_set_by: Text | None
    stroke_scale: Length | None
    position_set_by: Text | None
    position_travel: Length | None
    farthest_reach: Length | None
    room_behind: Distance | None
    drive: Drive


@record
class Rate:
    """One rate, double strokes a minute, and how it is set (belt or lever name to position)."""

    origin: Origin
    rate: StrokeRate
    set: Mapping[str, Text]


@record
class Collar:
    """A graduated collar: what one division and one turn stand for, both as the slide travels."""

    origin: Origin
    division: Length
    turn: Length


@record
class CrossSlide:
    """The table's slide along the cross-rail."""

    origin: Origin
    travel: Length
    dial: Collar
    backlash: Distance


@record
class VerticalSlide:
    """The cross-rail's slide on the column; many have no dial."""

    origin: Origin
    travel: Length
    dial: Collar | None
    backlash: Distance


@record
class Table:
    """The table: slides, size of its top (length along the stroke), width of its T-slots, outer support, tilt to either side."""

    origin: Origin
    cross: CrossSlide
    vertical: VerticalSlide
    length: Length | None
    width: Length | None
    slot: Length | None
    support: Flag
    angle: PositiveAngle | None


@record
class Ratchet:
    """A self-acting feed: travel for one tooth of the ratchet, the numbers of teeth that the pawl can be set to, how that is done."""

    origin: Origin
    notch: Length
    notches: tuple[Count, ...]
    set: Text | None


@record
class LargestTool:
    """The largest shank that the tool post takes."""

    origin: Origin
    width: Length
    height: Length


@record
class ToolHead:
    """The tool-head.  ``swivel`` and ``clapper_tilt`` are to either side; ``scale_upright`` is what the swivel scale reads upright."""

    origin: Origin
    travel: Length
    dial: Collar
    backlash: Distance
    swivel: PositiveAngle
    swivel_division: PositiveAngle
    scale_upright: Angle
    clapper_tilt: PositiveAngle
    clapper_locks: Flag
    largest_tool: LargestTool | None


@record
class Space:
    """Room over the table: to the underside of the ram with the table down and up, and how far the tool-head hangs below that."""

    origin: Origin
    under_ram: Length
    under_ram_least: Distance | None
    head_below_ram: Distance | None


@record
class Vice:
    """A machine vice.  ``height`` is from the table to its bed, which work or parallels stand on; ``jaw_depth`` from there to the top."""

    origin: Origin
    name: Text
    jaw_width: Length
    jaw_depth: Length
    opening: Length
    height: Length
    swivels: Flag
    swivel_division: PositiveAngle
    jaws_detach: Flag


@record
class IndexHead:
    """A dividing head or index centres on the table: turns of the crank for one of its spindle, circles of holes plate by plate."""

    origin: Origin
    name: Text
    ratio: Count
    plates: tuple[tuple[Count, ...], ...]
    centre_height: Length
    holds_from: Distance | None
    holds_to: Length | None
    between_centres: Length | None
    lock: Flag


@record
class OtherHolding:
    """Another way to hold work: kind ('clamps', 'angle plate', 'v-blocks', 'fixture'), its height over the table, what it takes."""

    origin: Origin
    name: Text
    kind: Text
    height: Distance
    holds_to: Length | None


@record
class ShaperReading:
    """What an indicator read when the machine was proved, with its sign (see the schema): of which vice, over which length, and when."""

    origin: Origin
    what: Text
    of: Text | None
    reads: Position
    over: Length | None
    date: Text


@record
class Shaper:
    """A shaper as its profile describes it."""

    origin: Origin
    extends: Link | None
    name: Text
    note: Text | None
    system: Text
    tooling: tuple[Link, ...]
    ram: Ram
    rates: tuple[Rate, ...]
    table: Table
    cross_feed: Ratchet | None
    down_feed: Ratchet | None
    head: ToolHead
    space: Space
    vices: tuple[Vice, ...]
    index_heads: tuple[IndexHead, ...]
    other_holding: tuple[OtherHolding, ...]
    readings: tuple[ShaperReading, ...]
    power: Power | None
    largest_cut: Length | None

    @property
    def holding_names(self) -> tuple[Text, ...]:
        """The names of all ways of holding work, in the order of the file."""
        devices: tuple[Vice | IndexHead | OtherHolding, ...] = (*self.vices, *self.index_heads, *self.other_holding)
        return tuple(device.name for device in devices)
