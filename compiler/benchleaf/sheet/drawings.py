"""What is to be drawn, as numbers in millimetres and words; how it looks is the back end's affair.

Positions are floats: a drawing is shown, never computed with.
"""

from __future__ import annotations

from benchleaf.record import record

__all__ = [
    "DrawnArrow", "DrawnAxis", "DrawnCircle", "DrawnFlanks", "DrawnLabel", "DrawnLever", "DrawnLine", "DrawnPlace", "DrawnSlot",
    "DrawnStretch", "DrawnWheel", "GearTrainDrawing", "LeverPlateDrawing", "PartDrawing", "Shape", "SketchDrawing", "ThreadProfileDrawing",
]  # fmt: skip


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
class DrawnFlanks:
    """Flanks of a groove that lean differently, degrees to the normal of the axis; ``load`` is the one that carries, 'left' or 'right'."""

    left: float
    right: float
    load: str


@record
class ThreadProfileDrawing:
    """Two pitches of the thread in axial section, work below, air above; dimensions are radial, mm.

    ``labels`` name the drawn dimensions with what is printed: 'pitch', 'major', 'pitch_diameter', 'minor', 'angle', 'tip', 'infeed',
    'load_flank', 'clear_flank'.  ``tip_flat`` and ``tip_radius`` are those of the real tool; both where a round-cornered groove is wider
    than the tip.  ``flanks`` says more than ``half_angle`` where they lean differently.
    """

    id: str
    title: str
    inside: bool
    pitch: float
    half_angle: float  # degrees, leading = trailing flank; half their sum where they differ
    major_radius: float
    pitch_radius: float
    minor_radius: float  # the root (outside) or the bore (inside) that the drawing shows
    crest_radius: float  # blank (outside) or bore (inside) before threading
    root_radius: float  # where this tool's tip ends
    tip_flat: float
    tip_radius: float
    labels: tuple[tuple[str, str], ...]
    alt: str
    flanks: DrawnFlanks | None = None


@record
class DrawnStretch:
    """A stretch of the outside or the bore of a turned part, places and diameters in mm.

    ``start`` and ``end`` count from the front face; ``near`` is the diameter at ``start``, ``far`` at ``end`` (a bore of 0 is solid metal).
    ``kind`` is 'plain', 'thread', 'knurl', 'groove', 'taper' or 'chamfer'.  ``thread`` is the other diameter of a thread, the root outside
    and the major diameter in a bore; 0 otherwise, or where it is not known.  ``words`` are printed at it ('⌀24 h7').
    ``known`` is False where the diameter was never said and is only drawn.
    """

    start: float
    end: float
    near: float
    far: float
    kind: str
    words: str
    thread: float = 0.0
    known: bool = True


@record
class DrawnPlace:
    """A place along a part, mm from its front face, with the length as printed."""

    at: float
    words: str


@record
class PartDrawing:
    """A turned part with its axis lying: the front face to the right, as it sits in the lathe.  Without a bore it is seen from outside,
    with one its upper half is cut open.

    ``outside`` and ``bore`` are stretches from front to back without gaps, both from 0 to ``length`` (mm).  ``whole`` is False where the
    part goes on behind ``length``, which is then where the drawing breaks off.  ``places`` are the lengths that are given, all from the
    front face; ``centres`` where there are centre holes (0 or ``length``).  ``note`` is printed at the foot ('sizes in mm').
    """

    id: str
    title: str
    outside: tuple[DrawnStretch, ...]
    bore: tuple[DrawnStretch, ...]
    length: float
    whole: bool
    places: tuple[DrawnPlace, ...]
    centres: tuple[float, ...]
    note: str
    alt: str


# Primitives of a sketch.  x runs to the right and y up, mm; directions in degrees anticlockwise from the right.


@record
class DrawnLine:
    """Straight lines through ``points``.  ``look`` is 'thick' (an edge), 'thin', 'centre' (chain dotted) or 'hidden' (dashed); a
    ``closed`` one may have a ``fill``: 'none', 'hatch' (metal that is cut through), 'white' or 'black'."""

    points: tuple[tuple[float, float], ...]
    look: str = "thick"
    closed: bool = False
    fill: str = "none"


@record
class DrawnCircle:
    """A circle; ``look`` and ``fill`` as for lines."""

    x: float
    y: float
    radius: float
    look: str = "thick"
    fill: str = "none"


@record
class DrawnArrow:
    """An arrow from one point to another: a travel or a force.  ``ends`` is 'one' (a head where it ends) or 'both' (a measure)."""

    x1: float
    y1: float
    x2: float
    y2: float
    ends: str = "one"


@record
class DrawnLabel:
    """Words at a point, of the same size whatever the scale, on white.  ``anchor`` is 'start', 'middle' or 'end' of the words.

    ``strong`` for what is set or read.  ``point`` is where a thin line leads from the words to; None for none.  More than about
    30 characters take a second line.
    """

    x: float
    y: float
    words: str
    anchor: str = "middle"
    strong: bool = False
    point: tuple[float, float] | None = None


Shape = DrawnLine | DrawnCircle | DrawnArrow | DrawnLabel


@record
class SketchDrawing:
    """Any situation, put together from lines, circles, arrows and words; shapes given later lie on top.

    Units are mm on paper, 85 wide at most; what is larger is scaled down.  When ``to_scale``, they are mm of the thing itself, and the
    scale is chosen and printed.  Words keep their size in any case, and move apart where they would lie on each other.
    """

    id: str
    title: str
    shapes: tuple[Shape, ...]
    alt: str
    to_scale: bool = False
