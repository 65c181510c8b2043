"""The lathe: everything that decides which threads it cuts and what its dials read."""

from __future__ import annotations

from collections.abc import Mapping

from benchleaf.record import record
from benchleaf.workshop.gearbox import Gearbox
from benchleaf.workshop.slides import Dial, Slide, Slides, TailstockSlide, TopSlide
from benchleaf.workshop.values import (
    Angle,
    Count,
    Distance,
    Flag,
    Lead,
    Length,
    Link,
    Origin,
    Position,
    PositiveAngle,
    Power,
    Ratio,
    Speed,
    Text,
    Time,
)

__all__ = [
    "Arm", "Banjo", "Bushes", "Captive", "Dial", "Feed", "Headstock",
    "HeadstockRatio", "HalfNuts", "Holding", "Lathe", "Leadscrew", "MachineReading", "Mounted", "Nose", "Place",
    "Places", "Point", "Slide", "Slides", "Slot",
    "SpeedSetting", "Spindle", "Steady", "Swing", "TailstockSlide", "TaperAttachment", "ThreadDial", "TopSlide",
]  # fmt: skip


@record
class Nose:
    """How chucks are held.  ``fixing``: 'screwed', 'bolts', 'cams' or 'key'; a screwed nose can unscrew in reverse."""

    origin: Origin
    fixing: Text
    thread: Text | None


@record
class SpeedSetting:
    """One spindle speed and how it is set (lever or belt name to position)."""

    origin: Origin
    speed: Speed
    set: Mapping[str, Text]


@record
class Spindle:
    """The spindle: bore, length (for bar that stands out behind), nose and speeds."""

    origin: Origin
    bore: Length
    length: Length | None
    nose: Nose
    reverse: Flag
    speeds: tuple[SpeedSetting, ...]


@record
class Swing:
    """Largest work diameter over the bed and over the cross-slide."""

    origin: Origin
    over_bed: Length
    over_cross_slide: Length


@record
class Leadscrew:
    """Lead and hand of the leadscrew."""

    origin: Origin
    lead: Lead
    hand: Text


@record
class ThreadDial:
    """One wheel of the thread dial: its teeth (one turn passes as many leadscrew leads) and the marks on its face."""

    origin: Origin
    teeth: Count
    marks: Count


@record
class HalfNuts:
    """Half-nuts and the thread dial's wheels; without half-nuts the drive is a dog clutch or always engaged."""

    origin: Origin
    fitted: Flag
    thread_dials: tuple[ThreadDial, ...]


@record
class HeadstockRatio:
    """One position of the headstock's lead lever: turns of the stud for a turn of the spindle."""

    origin: Origin
    position: Text
    ratio: Ratio


@record
class Headstock:
    """What lies between spindle and stud.  ``tumbler`` reverses the leadscrew; ``even_meshes_cut`` is the hand cut with an even
    number of meshes in the wheels (and the tumbler, if any, in its usual position)."""

    origin: Origin
    tumbler: Flag
    even_meshes_cut: Text
    lever: Text | None
    ratios: tuple[HeadstockRatio, ...]


@record
class Slot:
    """A slot of a banjo arm: distance from the pivot to the nearest and farthest place of a stud, and its angle from the arm's line."""

    origin: Origin
    nearest: Length
    farthest: Length
    offset: Angle


@record
class Point:
    """A place seen from the end of the lathe, measured from the axis of the last wheel."""

    origin: Origin
    across: Position
    up: Position


@record
class Arm:
    """One arm of the banjo: pivot, limits of swing (degrees anticlockwise from the horizontal), slots."""

    origin: Origin
    pivot: Point
    swing_from: Angle
    swing_to: Angle
    slots: tuple[Slot, ...]


@record
class Bushes:
    """Outside radius of what carries the wheels at each place: nothing may touch it."""

    origin: Origin
    first: Length
    last: Length
    stud: Length


@record
class Banjo:
    """The banjo (US: quadrant): the fixed distance between first and last axis, the line between them, arms, and the room there is."""

    origin: Origin
    centre_distance: Length
    direction: Angle
    arms: tuple[Arm, ...]
    bush_radius: Bushes
    mesh_clearance: Distance
    air: Distance
    largest_wheel: Length | None
    planes: Count


@record
class Captive:
    """A wheel that does not come off."""

    origin: Origin
    teeth: Count


@record
class Place:
    """What a place in the train takes: a captive wheel, the fewest and most teeth, the largest wheel over its tips (guard)."""

    origin: Origin
    captive: Captive | None
    fewest_teeth: Count | None
    most_teeth: Count | None
    largest_wheel: Length | None


@record
class Places:
    """Limits by place: 'first' (on the headstock's stud), 'last' (gearbox or leadscrew), wheels on the banjo."""

    origin: Origin
    first: Place | None
    last: Place | None
    banjo_driven: Place | None
    banjo_driver: Place | None
    idler: Place | None


@record
class Mounted:
    """What is on the machine now: ``train`` lists the axes from the headstock on; two wheels on one stud are a pair [driven, driver]."""

    origin: Origin
    train: tuple[Count | tuple[Count, ...], ...]
    levers: Mapping[str, Text]


@record
class Holding:
    """A way to hold work: kind ('chuck', 'collet', 'faceplate', 'centres', 'mandrel'), its speed limit, run-out and capacity."""

    origin: Origin
    name: Text
    kind: Text
    largest_speed: Speed | None
    run_out: Distance | None
    holds_from: Distance | None
    holds_to: Length | None
    on_nose: Flag


@record
class Feed:
    """One setting of the power feeds: travel of saddle and cross-slide for a turn of the spindle, mm, and the levers that give it."""

    origin: Origin
    along: Length
    across: Length | None
    set: Mapping[str, Text]


@record
class TaperAttachment:
    """A guide bar behind the saddle: its largest angle to the bed, the longest taper at one setting, its scale."""

    origin: Origin
    largest_angle: PositiveAngle
    length: Length
    scale_division: PositiveAngle | None


@record
class Steady:
    """A 'fixed' or 'travelling' steady and the diameters it holds."""

    origin: Origin
    name: Text
    kind: Text
    holds_from: Distance | None
    holds_to: Length


@record
class MachineReading:
    """What an indicator read when the machine was proved, with its sign (see the schema), over which length, on which day."""

    origin: Origin
    what: Text
    reads: Position
    over: Length | None
    date: Text


@record
class Lathe:
    """A centre lathe as its profile describes it."""

    origin: Origin
    extends: Link | None
    name: Text
    note: Text | None
    system: Text
    gears: tuple[Link, ...]
    spindle: Spindle
    swing: Swing
    centres: Length
    leadscrew: Leadscrew
    half_nuts: HalfNuts
    headstock: Headstock
    arrangements: tuple[Text, ...]
    banjo: Banjo | None
    places: Places | None
    gearbox: Gearbox | None
    mounted: Mounted | None
    slides: Slides
    workholding: tuple[Holding, ...]
    power: Power | None
    largest_cut: Length | None
    feeds: tuple[Feed, ...]
    taper_attachment: TaperAttachment | None
    steadies: tuple[Steady, ...]
    readings: tuple[MachineReading, ...]
    stop_time: Time
    tooling: tuple[Link, ...]
