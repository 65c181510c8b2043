"""What the gear-train search is given, and what it answers.

Lengths mm, leads mm per turn, angles degrees; everything is an exact :class:`~fractions.Fraction` except where a wheel
stands on the banjo (:class:`Placement`), which is drawn and never computed with.  Ratios are turns out for one turn in.

A train is written as its axes from the headstock on: ``((40,), (60, 25), (50,))`` is 40 driving 60, with 25 keyed to
the 60 driving 50.  A wheel alone between two others is an idler.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from benchleaf.kinematics.wheels import LockedPair, Place, Wheel, WheelRef, module_of_diametral_pitch
from benchleaf.record import record

__all__ = [
    "ARRANGEMENTS", "Arm", "Banjo", "Change", "Gearbox", "GearboxRow", "HeadstockChoice", "Lever", "LockedPair", "Mounted", "Obstacle",
    "Outcome", "Place", "PlaceLimit", "PlacedWheel", "Placement", "Problem", "Refused", "SearchResult", "Setting", "Slot", "StudPlace",
    "Train", "Wheel", "WheelRef", "module_of_diametral_pitch",
]  # fmt: skip

Setting = tuple[tuple[str, str], ...]
"""Lever name and position, in the order of the levers; may leave levers out where the text says 'partial'."""

ARRANGEMENTS = ("simple", "simple with two idlers", "compound", "compound with idler", "double compound")
"""The kinds of train, plainest first (common practice for the words)."""


class Outcome(StrEnum):
    """How a search ended.

    FOUND: a train that fits and is within the limit.  BEYOND_LIMIT: the nearest that fits is outside it.  NO_TRAIN_FITS: there are
    trains by arithmetic, none fits the banjo.  WRONG_HAND: every kind of train on this machine cuts the other hand.
    LEVERS_BLOCKED: the levers asked for exclude each other or do not exist.  NO_TRAIN: the box does not make up a train.
    """

    FOUND = "found"
    BEYOND_LIMIT = "no-train-within-tolerance"
    NO_TRAIN_FITS = "no-train-fits"
    WRONG_HAND = "wrong-hand"
    LEVERS_BLOCKED = "levers-blocked"
    NO_TRAIN = "no-train"
    TOO_MUCH_WORK = "too-much-work"


@record
class Lever:
    """A gearbox lever that multiplies: positions and their ratios, as the plate names them."""

    name: str
    positions: tuple[tuple[str, Fraction], ...]


@record
class GearboxRow:
    """One combination of levers and its ratio, for a gearbox whose levers do not factor."""

    levers: Setting
    ratio: Fraction


@record
class Gearbox:
    """``levers`` that multiply or explicit ``rows`` (both: their product); ``forbidden``: partial settings that an interlock excludes."""

    levers: tuple[Lever, ...] = ()
    rows: tuple[GearboxRow, ...] = ()
    forbidden: tuple[Setting, ...] = ()


@record
class HeadstockChoice:
    """A position of the headstock's lead lever: turns of the first wheel for a turn of the spindle."""

    position: str
    ratio: Fraction


@record
class Slot:
    """A slot of an arm: nearest and farthest place of a stud from the pivot (mm), angle from the arm's line (deg anticlockwise)."""

    nearest: Fraction
    farthest: Fraction
    offset: Fraction = Fraction(0)


@record
class Arm:
    """An arm of the banjo: pivot (mm from the last axis), limits of swing (deg anticlockwise from the horizontal), slots."""

    swing_from: Fraction
    swing_to: Fraction
    slots: tuple[Slot, ...]
    pivot: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))


@record
class Banjo:
    """The banjo (US: quadrant).  The last axis is the origin; the first stands ``centre_distance`` mm away at ``direction`` deg.

    ``bush_*`` are outside radii (mm) of what carries the wheels; ``mesh_clearance`` is added to every mesh; ``air`` is the least gap
    to anything a wheel must not touch; ``largest`` is the room (mm over the tips) anywhere, ``largest_at`` at one place; ``planes``
    counts the rows of wheels that have room side by side.
    """

    centre_distance: Fraction
    direction: Fraction
    arms: tuple[Arm, ...]
    bush_first: Fraction
    bush_last: Fraction
    bush_stud: Fraction
    mesh_clearance: Fraction = Fraction(1, 10)
    air: Fraction = Fraction(1, 2)
    largest: Fraction | None = None
    largest_at: tuple[tuple[Place, Fraction], ...] = ()
    planes: int = 2


@record
class PlaceLimit:
    """Fewest and most teeth that one place takes."""

    place: Place
    fewest: int | None = None
    most: int | None = None


@record
class Mounted:
    """What is on the machine now: axes of the train from the headstock on, and the levers (the headstock's too, partial allowed)."""

    axes: tuple[tuple[WheelRef, ...], ...] = ()
    levers: Setting = ()


@record
class Problem:
    """One machine with its box of wheels.

    ``even_meshes_cut`` is the hand ('right' or 'left') that an even number of meshes cuts where there is no tumbler; with a tumbler any
    train cuts either.  ``captives`` are wheels that do not come off; they are not among ``wheels``.
    """

    leadscrew_lead: Fraction
    wheels: tuple[Wheel, ...]
    arrangements: tuple[str, ...] = ("simple", "compound")
    tumbler: bool = True
    even_meshes_cut: str = "right"
    locked_pairs: tuple[LockedPair, ...] = ()
    headstock: tuple[HeadstockChoice, ...] = ()
    headstock_lever: str = "headstock"
    gearbox: Gearbox = Gearbox()
    banjo: Banjo | None = None
    captives: tuple[tuple[Place, Wheel], ...] = ()
    limits: tuple[PlaceLimit, ...] = ()
    mounted: Mounted | None = None


@record
class PlacedWheel:
    """A wheel of a train: its place, which axis (0 is the first, counted from the headstock), and its plane (0 nearest the casting)."""

    place: Place
    axis: int
    wheel: Wheel
    plane: int


@record
class StudPlace:
    """Where a stud of the banjo stands: arm and slot (from 0), distance from the arm's pivot (mm), and the arm's swing (deg)."""

    arm: int
    slot: int
    radius: float
    swing: float


@record
class Placement:
    """A train on the banjo, to scale: axes in mm from the last axis, first to last; ``margin`` is the least room left (mm).

    ``tightest`` is the id of the obstacle that the margin is measured to.
    """

    axes: tuple[tuple[float, float], ...]
    studs: tuple[StudPlace, ...]
    margin: float
    tightest: str


@record
class Obstacle:
    """Why a train does not go on: stable ``id``, the words of the shop, and the figures.

    ``teeth`` and ``place`` name the wheel at fault; ``against`` what it meets; ``has`` and ``needs`` are the two figures that are
    compared (mm, degrees for the swing, teeth for a limit); ``short`` is by how much (mm).
    """

    id: str
    words: str
    teeth: int | None = None
    place: Place | None = None
    against: str = ""
    has: float | None = None
    needs: float | None = None
    short: float | None = None


@record
class Change:
    """One wheel to take off or put on.  ``action``: 'off' or 'on'; ``row``: 'inner' (driven, idler, first, last) or 'outer' (driver)."""

    action: str
    axis: int
    row: str
    teeth: int
    module: Fraction | None


@record
class Train:
    """A train that multiplies out to ``lead`` (mm per turn) exactly.  ``error`` = lead / wanted - 1.

    ``hand`` is what it cuts: 'right', 'left', or 'either' with a tumbler.  ``levers`` and ``headstock`` are the positions to set;
    ``lever_moves`` counts those that differ from the mounted ones.  ``placement`` is None where the banjo is not described.
    """

    arrangement: str
    wheels: tuple[PlacedWheel, ...]
    headstock: str
    headstock_ratio: Fraction
    levers: Setting
    gearbox_ratio: Fraction
    lead: Fraction
    error: Fraction
    hand: str
    changes: tuple[Change, ...]
    lever_moves: tuple[str, ...]
    placement: Placement | None

    @property
    def teeth(self) -> tuple[int, ...]:
        """Teeth from the headstock on, driven before driver on a stud."""
        return tuple(item.wheel.teeth for item in self.wheels)

    @property
    def axes(self) -> tuple[tuple[PlacedWheel, ...], ...]:
        """The wheels by axis, from the headstock on."""
        last = self.wheels[-1].axis
        return tuple(tuple(item for item in self.wheels if item.axis == axis) for axis in range(last + 1))

    @property
    def meshes(self) -> int:
        """How many pairs of wheels mesh: one fewer than axes."""
        return self.wheels[-1].axis

    @property
    def wheel_ratio(self) -> Fraction:
        """Product of drivers over product of driven wheels; idlers cancel."""
        ratio = Fraction(1)
        for item in self.wheels:
            if item.place in (Place.FIRST, Place.STUD_DRIVER):
                ratio *= item.wheel.teeth
            elif item.place in (Place.LAST, Place.STUD_DRIVEN):
                ratio /= item.wheel.teeth
        return ratio

    @property
    def wheels_used(self) -> int:
        """Number of wheels, idlers included."""
        return len(self.wheels)

    @property
    def sum_of_teeth(self) -> int:
        """Teeth of all wheels, idlers included."""
        return sum(self.teeth)


@record
class Refused:
    """A train that would be nearer by arithmetic and does not go on, with the first reason and all of them."""

    train: Train
    obstacles: tuple[Obstacle, ...]

    @property
    def reason(self) -> str:
        """Id of the first obstacle."""
        return self.obstacles[0].id


@record
class SearchResult:
    """The answer.  ``best`` fits and is within the limit; ``nearest`` is the best that fits whatever the limit.

    ``alternatives`` are the next nearest leads, one train each; ``refused`` the nearer leads that no fitting train makes.  ``fit_known`` is
    False when the banjo is not described: trains are then right by arithmetic only.  ``proved`` is False when the work ran out
    before every nearer train was ruled out; ``blocked`` holds the interlock entries in the way of the levers that were asked for.
    """

    outcome: Outcome
    best: Train | None
    nearest: Train | None
    alternatives: tuple[Train, ...] = ()
    refused: tuple[Refused, ...] = ()
    fit_known: bool = True
    proved: bool = True
    blocked: tuple[Setting, ...] = ()
    unknown_levers: tuple[str, ...] = ()
