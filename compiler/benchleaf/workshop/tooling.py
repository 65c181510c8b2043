"""Tools and gauges that are owned."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.workshop.values import Angle, Distance, Lead, Length, Origin, PositiveAngle, Text

__all__ = ["BoringBar", "FullProfile", "GroovingTool", "PitchRange", "ThreadGauge", "ThreadingTool", "Tip", "Tooling", "WireSet"]


@dataclass(frozen=True, slots=True)
class Tip:
    """The tip of a threading tool: a radius or a flat (one of the two; neither is a sharp point)."""

    origin: Origin
    radius: Distance | None
    flat: Distance | None


@dataclass(frozen=True, slots=True)
class FullProfile:
    """A tool that cuts the crest too, hence fits one pitch only."""

    origin: Origin
    pitch: Lead


@dataclass(frozen=True, slots=True)
class PitchRange:
    """The pitches a partial-profile tool is meant for."""

    origin: Origin
    finest: Lead
    coarsest: Lead


@dataclass(frozen=True, slots=True)
class ThreadingTool:
    """A threading tool.  ``where`` is 'inside' or 'outside'; ``cuts_with`` 'HSS', 'carbide' or 'carbon steel'; ``hand`` 'right', 'left'
    or 'both' for the lead angle it is relieved for; ``smallest_bore`` and ``reach`` belong to inside tools; ``side_clearance`` is the
    relief under the leading flank; ``beyond_tip`` is how far the tool's body stands past its tip towards the end of the thread;
    ``least_cut`` is the thinnest cut it takes without rubbing."""

    origin: Origin
    name: Text
    note: Text | None
    where: Text
    angle: PositiveAngle
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


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class BoringBar:
    """A boring bar: the smallest bore it enters and how deep it reaches."""

    origin: Origin
    name: Text
    smallest_bore: Length
    reach: Length
    cuts_with: Text


@dataclass(frozen=True, slots=True)
class WireSet:
    """Thread measuring wires: the diameters owned, three of each."""

    origin: Origin
    name: Text
    diameters: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class ThreadGauge:
    """A ring, plug or mating part for one thread."""

    origin: Origin
    name: Text
    kind: Text
    thread: Text


@dataclass(frozen=True, slots=True)
class Tooling:
    """A drawer of tools."""

    origin: Origin
    name: Text
    note: Text | None
    threading_tools: tuple[ThreadingTool, ...]
    grooving_tools: tuple[GroovingTool, ...]
    boring_bars: tuple[BoringBar, ...]
    wires: tuple[WireSet, ...]
    thread_gauges: tuple[ThreadGauge, ...]
