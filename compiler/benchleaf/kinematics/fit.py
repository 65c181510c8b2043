"""Does a train go on the banjo?  Where its wheels stand, what room is left, and what is in the way.

Mesh centre distance = module (z1 + z2) / 2 + mesh clearance; tip radius = module (z + 2) / 2 (ISO 53 and ISO 54 proportions).
A wheel keeps ``air`` from every bush it does not sit on and from every wheel in its plane that it does not mesh with.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot

from benchleaf.kinematics.model import Banjo, Obstacle, Place, Placement, StudPlace
from benchleaf.kinematics.reach import Reach
from benchleaf.kinematics.room import TOUCHING, Disc, OneStud, TwoStuds
from benchleaf.kinematics.stands import Stand, Workplace
from benchleaf.record import record

__all__ = ["Fit", "Fitter", "OBSTACLE_WORDS", "places_of", "planes_of"]

TIE = 1e-6  # mm: stands whose least room differs by less are as good as each other; the first is kept

OBSTACLE_WORDS = {
    "wheel-not-available": "the box does not hold enough of this wheel",
    "modules-do-not-mesh": "the two wheels have different teeth sizes and do not mesh",
    "captive-wheel": "the wheel here does not come off",
    "teeth-outside-limits": "the place does not take a wheel of this size",
    "locked-pair-apart": "the two wheels are one piece and must sit on one stud",
    "arrangement-not-known": "the machine has no studs for a train of this kind",
    "wrong-hand": "the train cuts the other hand",
    "train-too-short": "the train does not reach from the first axis to the last",
    "train-too-long": "the train is too long to be folded between the first axis and the last",
    "stud-outside-slot": "the stud would stand outside the slot",
    "banjo-outside-swing": "the banjo would have to swing beyond its limit",
    "wheel-outside-guard": "the wheel is too large for the room under the cover",
    "wheel-too-small-for-bush": "the wheel is too small: its partner would run into the bush it sits on",
    "wheel-hits-shaft": "the wheel runs into a shaft or bush that it does not sit on",
    "wheels-touch": "two wheels in one row touch that do not mesh",
    "not-enough-planes": "the studs have no room for so many rows of wheels",
}
"""What each obstacle says in the shop; the order is the order in which they are named."""


Axes = Sequence[Sequence[Disc]]


@record
class Fit:
    """``margin``: least room left in mm, negative when something is in the way; None when that cannot be said."""

    fits: bool
    obstacles: tuple[Obstacle, ...]
    margin: float | None
    placement: Placement | None


@record
class _Room:
    """One comparison: ``room`` = has - needs where both are lengths."""

    room: float
    id: str
    teeth: int | None = None
    axis: int | None = None
    against: str = ""
    has: float | None = None
    needs: float | None = None
    place: Place | None = None


def planes_of(axes: Sequence[Sequence[object]], planes: int) -> tuple[tuple[int, ...], ...]:
    """The plane of every wheel by axis: a mesh shares one, a pair on a stud takes the next; in two, the third mesh returns to the first."""
    plane = 0
    rows: list[tuple[int, ...]] = [(0,)]
    for axis in axes[1:]:
        rows.append((plane % planes,) if len(axis) == 1 else (plane % planes, (plane + 1) % planes))
        plane += len(axis) - 1
    return tuple(rows)


def places_of(axes: Sequence[Sequence[object]]) -> tuple[tuple[Place, ...], ...]:
    """The place of every wheel by axis."""
    middle = [(Place.IDLER,) if len(axis) == 1 else (Place.STUD_DRIVEN, Place.STUD_DRIVER) for axis in axes[1:-1]]
    return ((Place.FIRST,), *middle, (Place.LAST,))


class Fitter:
    """Fits trains on one banjo; keeps what it worked out."""

    def __init__(self, banjo: Banjo) -> None:
        self.work = Workplace(banjo)
        self.reach = Reach(self.work)
        self._air = float(banjo.air)
        self._bush = (float(banjo.bush_first), float(banjo.bush_stud), float(banjo.bush_last))
        self._planes = banjo.planes
        self._shapes: dict[tuple[int, ...], TwoStuds | None] = {}
        rooms = dict(banjo.largest_at)
        overall = None if banjo.largest is None else float(banjo.largest)
        self._largest: dict[Place, float | None] = {}
        for place in Place:
            own = [float(rooms[place])] if place in rooms else []
            both = own + ([overall] if overall is not None else [])
            self._largest[place] = min(both) if both else None
        self.one_stud = OneStud(self.reach, float(banjo.mesh_clearance), self._air, self._bush, self._planes, self._largest)

    def meshes(self, axes: Axes) -> tuple[float, ...]:
        """Centre distances of the meshes, mm."""
        mesh = self.one_stud.mesh
        return tuple([mesh(a[-1], b[0]) for a, b in pairwise(axes)])

    def fits(self, axes: Axes) -> bool:
        """Does it go on?  Agrees with :meth:`check`, and is quick to say no."""
        if len(axes) not in (3, 4):
            return False
        meshes = self.meshes(axes)
        if len(axes) == 3:
            return self.one_stud.clears(axes, *meshes) and self.reach.one_stud(*meshes)
        shape = self._shape(tuple(map(len, axes)))
        if shape is None or (needs := shape.needs([disc.tip_radius for axis in axes for disc in axis], meshes)) is None:
            return False
        across, back = needs
        if any(two >= across and one >= back for two, one in self.reach.two_studs(meshes)):
            return True
        if not self.work.one_freedom:
            return False
        stands = self.work.stands(meshes).found
        if not stands:
            return False
        best = self._close_in(axes, max(stands, key=lambda stand: min(self._least(axes, stand), stand.room)))
        return min(self._least(axes, best), best.room) >= TOUCHING

    def _shape(self, sizes: tuple[int, ...]) -> TwoStuds | None:
        """What trains with so many wheels on each of four axes need; None where there are too few planes for them."""
        if sizes not in self._shapes:
            self._shapes[sizes] = None if self._planes < 2 and max(sizes) > 1 else self._make_shape(sizes)
        return self._shapes[sizes]

    def _make_shape(self, sizes: tuple[int, ...]) -> TwoStuds:
        axes = [range(sum(sizes[:axis]), sum(sizes[: axis + 1])) for axis in range(4)]
        places = [self._largest[place] for on_axis in places_of(axes) for place in on_axis]
        rows = [row for on_axis in planes_of(axes, max(self._planes, 1)) for row in on_axis]
        return TwoStuds(axes, places, rows, (self._bush[0], self._bush[1], self._bush[1], self._bush[2]), self._air, self.work.distance)

    def check(self, axes: Axes) -> Fit:
        """The stand with the most room (the first found where several have as much), with every obstacle there.

        Raises ValueError for a train that is not one or two studs between two axes.
        """
        if len(axes) not in (3, 4):
            raise ValueError("a train here has one stud or two between the first axis and the last")
        meshes = self.meshes(axes)
        stands = self.work.stands(meshes)
        if not stands.found:
            missing = [_Room(stands.short, stands.why_not), *self._wherever(axes, meshes, bridging=False)]
            return Fit(False, self._obstacles(axes, missing), min(room.room for room in missing), None)
        constant = min(room.room for room in self._wherever(axes, meshes))
        rooms_of = [min(self._least(axes, stand), stand.room, constant) for stand in stands.found]
        most = max(rooms_of)
        as_good = [stand for stand, room in zip(stands.found, rooms_of, strict=True) if room >= most - TIE]
        best = next((stand for stand in as_good if stand.room >= TOUCHING), as_good[0])
        if most < min(TOUCHING, constant - TIE):
            best = self._close_in(axes, best)
        rooms = list(self._rooms(axes, meshes, best))
        tightest = min(rooms, key=lambda room: room.room)
        studs = tuple(StudPlace(stud.arm, stud.slot, stud.radius, stud.swing) for stud in best.studs)
        obstacles = self._obstacles(axes, rooms)
        return Fit(not obstacles, obstacles, tightest.room, Placement(best.axes, studs, tightest.room, tightest.id))

    def _least(self, axes: Axes, stand: Stand) -> float:
        return min((room.room for room in self._where(axes, stand)), default=0.0)

    def _close_in(self, axes: Axes, stand: Stand) -> Stand:
        """Where one freedom is left, look between the steps for more room."""
        meshes = self.meshes(axes)
        room, by = min(self._least(axes, stand), stand.room), 0.25
        while by > 1e-4:
            better = stand
            for other in self.work.near(stand, meshes, by):
                if min(self._least(axes, other), other.room) > room:
                    better, room = other, min(self._least(axes, other), other.room)
            if better is stand:
                by /= 2
            stand = better
        return stand

    def _rooms(self, axes: Axes, meshes: tuple[float, ...], stand: Stand) -> Iterator[_Room]:
        yield from self._wherever(axes, meshes)
        yield from self._where(axes, stand)
        for index, stud in enumerate(stand.studs, start=1):
            yield _Room(stud.slot_room, "stud-outside-slot", axis=index, has=stud.radius)
            yield _Room(stud.swing_room, "banjo-outside-swing", axis=index, has=stud.swing)

    def _wherever(self, axes: Axes, meshes: tuple[float, ...], bridging: bool = True) -> Iterator[_Room]:
        """What does not depend on where the studs stand."""
        if self._planes < 2 and any(len(axis) > 1 for axis in axes):
            yield _Room(-1.0, "not-enough-planes", has=self._planes, needs=2.0)
        if bridging:
            yield _Room(sum(meshes) - self.work.distance, "train-too-short")
            yield _Room(self.work.distance - (2 * max(meshes) - sum(meshes)), "train-too-long")
        for index, (axis, places) in enumerate(zip(axes, places_of(axes), strict=True)):
            for disc, place in zip(axis, places, strict=True):
                room = self._largest[place]
                if room is not None:
                    over = 2 * disc.tip_radius
                    yield _Room(room - over, "wheel-outside-guard", disc.teeth, index, "the cover", room, over)
        last = len(axes) - 1
        for index, distance in enumerate(meshes):
            driver, driven = axes[index][-1], axes[index + 1][0]
            for disc, at, partner in ((driver, index, driven), (driven, index + 1, driver)):
                needs = partner.tip_radius + self._bush_of(at, last) + self._air
                yield _Room(distance - needs, "wheel-too-small-for-bush", disc.teeth, at, f"the {partner.teeth}", distance, needs)

    def _bush_of(self, axis: int, last: int) -> float:
        return self._bush[0 if axis == 0 else 2 if axis == last else 1]

    def _where(self, axes: Axes, stand: Stand) -> Iterator[_Room]:
        """What depends on where the studs stand, slot and swing apart."""
        last = len(axes) - 1
        points = stand.axes
        planes = planes_of(axes, max(self._planes, 1))
        for i in range(last + 1):
            for j in range(i + 1, last + 1):
                distance = hypot(points[i][0] - points[j][0], points[i][1] - points[j][1])
                meshing = (axes[i][-1], axes[j][0]) if j == i + 1 else None
                for here, there, bush in ((i, j, self._bush_of(j, last)), (j, i, self._bush_of(i, last))):
                    for position, disc in enumerate(axes[here]):
                        partner = meshing is not None and position == (len(axes[here]) - 1 if here < there else 0)
                        if not partner:
                            needs = disc.tip_radius + bush + self._air
                            yield _Room(distance - needs, "wheel-hits-shaft", disc.teeth, here, _axis_name(there, last), distance, needs)
                for p, one in enumerate(axes[i]):
                    for q, two in enumerate(axes[j]):
                        if planes[i][p] != planes[j][q] or (meshing is not None and p == len(axes[i]) - 1 and q == 0):
                            continue
                        needs = one.tip_radius + two.tip_radius + self._air
                        yield _Room(distance - needs, "wheels-touch", one.teeth, i, f"the {two.teeth}", distance, needs)

    def _obstacles(self, axes: Axes, rooms: Sequence[_Room]) -> tuple[Obstacle, ...]:
        """One obstacle per id, the worst of its kind, in the order of :data:`OBSTACLE_WORDS`."""
        worst: dict[str, _Room] = {}
        for room in rooms:
            if room.room < TOUCHING and (room.id not in worst or room.room < worst[room.id].room):
                worst[room.id] = room
        places = places_of(axes)
        found = []
        for name in OBSTACLE_WORDS:
            if name in worst:
                room = worst[name]
                place = None
                if room.axis is not None and room.teeth is not None:
                    position = [disc.teeth for disc in axes[room.axis]].index(room.teeth)
                    place = places[room.axis][position]
                found.append(Obstacle(name, OBSTACLE_WORDS[name], room.teeth, place, room.against, room.has, room.needs, -room.room))
        return tuple(found)


def _axis_name(axis: int, last: int) -> str:
    if axis == 0:
        return "the first axis"
    return "the last axis" if axis == last else "the stud" if last == 2 else f"stud {axis}"
