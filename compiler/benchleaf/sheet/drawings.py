"""What is to be drawn, as numbers in millimetres and words; how it looks is the back end's affair.

Positions are floats: a drawing is shown, never computed with.
"""

from __future__ import annotations

from benchleaf.record import record

__all__ = ["DrawnAxis", "DrawnLever", "DrawnSlot", "DrawnWheel", "GearTrainDrawing", "LeverPlateDrawing", "ThreadProfileDrawing"]


@record
class DrawnWheel:
    """A change wheel.  ``role`` is 'driver', 'driven' or 'idler'; ``layer`` counts planes outwards from the headstock casting, from 0."""

    teeth: int
    role: str
    axis: int  # index into axes
    layer: int
    pitch_radius: float  # mm
    tip_radius: float  # mm
    name: str = ""  # how the sheet calls the place: 'A', 'B', ...


@record
class DrawnAxis:
    """A shaft or stud, mm from the leadscrew (or gearbox input) axis: x to the operator's right when facing the end of the lathe, y up."""

    name: str  # 'stud', 'banjo stud', 'gearbox', 'leadscrew'
    x: float
    y: float
    bush_radius: float


@record
class DrawnSlot:
    """A slot of the banjo as it stands: its pivot, direction (degrees anticlockwise from +x) and radius limits, mm."""

    pivot_x: float
    pivot_y: float
    direction: float
    inner: float
    outer: float


@record
class GearTrainDrawing:
    """The train as it sits, seen from the end of the headstock.  ``to_scale`` is False when the banjo's geometry is not in the profile."""

    id: str
    title: str
    axes: tuple[DrawnAxis, ...]
    wheels: tuple[DrawnWheel, ...]
    slots: tuple[DrawnSlot, ...]
    to_scale: bool
    module: str  # '1.25' or '20 DP', as printed; empty when mixed
    alt: str  # the drawing in words


@record
class DrawnLever:
    """One lever: the positions as its plate names them, in order, and the one to choose."""

    name: str
    positions: tuple[str, ...]
    chosen: str


@record
class LeverPlateDrawing:
    """All levers that decide the feed, headstock first."""

    id: str
    title: str
    levers: tuple[DrawnLever, ...]
    alt: str


@record
class ThreadProfileDrawing:
    """Two pitches of the thread in axial section, work below, air above; dimensions are radial, mm.

    ``labels`` name the drawn dimensions with what is printed: 'pitch', 'major', 'pitch_diameter', 'minor', 'angle', 'tip', 'infeed'.
    ``tip_flat`` and ``tip_radius`` are those of the real tool (one is 0).
    """

    id: str
    title: str
    inside: bool
    pitch: float
    half_angle: float  # degrees, leading = trailing flank
    major_radius: float
    pitch_radius: float
    minor_radius: float  # the root (outside) or the bore (inside) that the drawing shows
    crest_radius: float  # blank (outside) or bore (inside) before threading
    root_radius: float  # where this tool's tip ends
    tip_flat: float
    tip_radius: float
    labels: tuple[tuple[str, str], ...]
    alt: str
