"""Tools and gauges that are owned."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Angle, Count, Distance, Flag, Lead, Length, Link, Origin, PositiveAngle, Text

__all__ = [
    "Anvils", "BoringBar", "CentreDrill", "DividingHead", "DrillRun", "Drills", "FullProfile", "GroovingTool", "Indicator", "Knurl",
    "NumberDrills", "Parallels", "PitchRange", "Protractor", "Reamer", "ShapingTool", "SineBar", "Tap", "TaperGauge", "ThreadGauge",
    "ThreadMicrometer", "ThreadingTool", "Tip", "Tooling", "TurningTool", "WireSet",
]  # fmt: skip


@record
class Tip:
    """The tip of a threading tool: a radius or a flat (one of the two; neither is a sharp point)."""

    origin: Origin
    radius: Distance | None
    flat: Distance | None


@record
class FullProfile:
    """A tool that cuts the crest too, hence fits one pitch only."""

    origin: Origin
    pitch: Lead


@record
class PitchRange:
    """The pitches a partial-profile tool is meant for."""

    origin: Origin
    finest: Lead
    coarsest: Lead


@record
class ThreadingTool:
    """A threading tool.  ``where`` is 'inside' or 'outside'; ``cuts_with`` 'HSS', 'carbide' or 'carbon steel'; ``hand`` 'right', 'left'
    or 'both' for the lead angle it is relieved for; ``smallest_bore`` and ``reach`` belong to inside tools; ``side_clearance`` is the
    relief under the leading flank; ``beyond_tip`` is how far the tool's body stands past its tip towards the end of the thread;
    ``least_cut`` is the thinnest cut it takes without rubbing."""

    origin: Origin
    name: Text
    note: Text | None
    where: Text
    angle: Angle
    tip: Tip
    cuts_with: Text
    hand: Text
    full_profile: FullProfile | None
    pitches: PitchRange | None
    smallest_bore: Length | None
    reach: Length | None
    side_clearance: Angle | None
    beyond_tip: Distance
    least_cut: Distance | None


@record
class GroovingTool:
    """A tool for reliefs and grooves."""

    origin: Origin
    name: Text
    where: Text
    width: Length
    cuts_with: Text
    largest_depth: Length
    smallest_bore: Length | None
    reach: Length | None


@record
class BoringBar:
    """A boring bar: the smallest bore it enters and how deep it reaches."""

    origin: Origin
    name: Text
    smallest_bore: Length
    reach: Length
    cuts_with: Text
    shank: Length | None


@record
class TurningTool:
    """A tool for outside work; ``uses`` are among 'turn', 'face', 'chamfer'."""

    origin: Origin
    name: Text
    uses: tuple[Text, ...]
    cuts_with: Text
    nose_radius: Distance | None
    least_cut: Distance | None


@record
class Reamer:
    """A reamer: its size, the tolerance of hole it gives (ISO 286), driven by 'machine' or 'hand'."""

    origin: Origin
    name: Text
    size: Length
    tolerance: Text
    driven: Text
    cuts_with: Text
    flutes: Length | None


@record
class Knurl:
    """A knurl: pattern 'straight', 'diagonal' or 'diamond', its pitch round the work."""

    origin: Origin
    name: Text
    pattern: Text
    pitch: Length
    width: Length | None


@record
class CentreDrill:
    """A centre drill: diameters of pilot and body."""

    origin: Origin
    name: Text
    cuts_with: Text
    pilot: Length
    body: Length


@record
class Indicator:
    """A dial indicator: what one division stands for and how far it moves."""

    origin: Origin
    name: Text
    division: Length
    range: Length


@record
class Protractor:
    """A bevel protractor: what one division of its vernier stands for."""

    origin: Origin
    name: Text
    division: PositiveAngle


@record
class SineBar:
    """A sine bar: the distance between the middles of its rollers."""

    origin: Origin
    name: Text
    length: Length


@record
class TaperGauge:
    """A 'plug' or 'ring' gauge of a taper."""

    origin: Origin
    name: Text
    kind: Text
    taper: Text


@record
class DividingHead:
    """A dividing head: turns of the crank for one of its spindle, circles of holes by plate, wheels for differential indexing."""

    origin: Origin
    name: Text
    ratio: Count
    plates: tuple[tuple[Count, ...], ...]
    wheels: tuple[Count, ...]


@record
class WireSet:
    """Thread measuring wires: the diameters owned, three of each."""

    origin: Origin
    name: Text
    diameters: tuple[Length, ...]


@record
class ThreadGauge:
    """A ring, plug or mating part for one thread."""

    origin: Origin
    name: Text
    kind: Text
    thread: Text


@record
class Anvils:
    """A pair of anvils of a thread micrometer: the flank angle they are ground to and the pitches they suit."""

    origin: Origin
    angle: PositiveAngle
    finest: Lead
    coarsest: Lead


@record
class ThreadMicrometer:
    """A screw-thread micrometer, which reads the pitch diameter: what it opens to, and its pairs of anvils."""

    origin: Origin
    name: Text
    smallest: Distance
    largest: Length
    anvils: tuple[Anvils, ...]


@record
class Tap:
    """A tap or die: the thread it makes."""

    origin: Origin
    name: Text
    thread: Text


@record
class NumberDrills:
    """A run of number drills: 1 is the largest, 80 the smallest."""

    origin: Origin
    largest: Count
    smallest: Count


@record
class DrillRun:
    """An even run of drills, both ends owned."""

    origin: Origin
    smallest: Length
    largest: Length
    step: Length


@record
class Drills:
    """A set of drills: sizes one by one, an even run, number drills, letter drills (A to Z)."""

    origin: Origin
    name: Text
    cuts_with: Text
    sizes: tuple[Length, ...]
    run: DrillRun | None
    numbers: NumberDrills | None
    letters: Flag


@record
class ShapingTool:
    """A tool of a shaper.  ``width`` is that of a straight edge across the stroke, ``angle`` the nose angle of a dovetail or form tool;
    ``smallest_bore`` and ``reach`` belong to keyway bars; ``neck``, ``head_height`` and ``cuts_to`` ('left', 'right', 'both') to tee slot
    tools, whose ``width`` is that of the head with the neck."""

    origin: Origin
    name: Text
    shape: Text
    cuts_with: Text
    width: Length | None
    angle: PositiveAngle | None
    largest_depth: Length | None
    neck: Length | None
    head_height: Length | None
    cuts_to: Text
    smallest_bore: Length | None
    reach: Length | None


@record
class Parallels:
    """Parallels or packing of one set: heights owned, width, length, in pairs or singly, how well a pair agrees."""

    origin: Origin
    name: Text
    heights: tuple[Length, ...]
    width: Length | None
    length: Length | None
    pairs: Flag
    agree: Distance | None


@record
class Tooling:
    """A drawer of tools."""

    origin: Origin
    extends: Link | None
    name: Text
    note: Text | None
    threading_tools: tuple[ThreadingTool, ...]
    turning_tools: tuple[TurningTool, ...]
    shaping_tools: tuple[ShapingTool, ...]
    parallels: tuple[Parallels, ...]
    reamers: tuple[Reamer, ...]
    knurls: tuple[Knurl, ...]
    centre_drills: tuple[CentreDrill, ...]
    indicators: tuple[Indicator, ...]
    protractors: tuple[Protractor, ...]
    sine_bars: tuple[SineBar, ...]
    taper_gauges: tuple[TaperGauge, ...]
    dividing_heads: tuple[DividingHead, ...]
    grooving_tools: tuple[GroovingTool, ...]
    boring_bars: tuple[BoringBar, ...]
    wires: tuple[WireSet, ...]
    thread_gauges: tuple[ThreadGauge, ...]
    thread_micrometers: tuple[ThreadMicrometer, ...]
    taps: tuple[Tap, ...]
    dies: tuple[Tap, ...]
    drills: tuple[Drills, ...]
