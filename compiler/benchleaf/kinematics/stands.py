"""Where the studs of the banjo can stand for given centre distances of the meshes.

Plane geometry in mm and degrees; the last axis is the origin.  One stud stands where two circles cross.  Two studs on one arm
are determined (two radii and the swing against three meshes); two studs on separate arms leave one freedom, which is searched.
Floats throughout: a stand is measured with a rule, and whether it is allowed is decided with room to spare elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, cos, degrees, floor, hypot, inf, radians, sin, sqrt
from typing import NamedTuple

from benchleaf.kinematics.model import Banjo
from benchleaf.record import record

__all__ = ["ALLOWED", "ORIGIN", "Point", "Stand", "Stands", "Workplace", "crossings", "ray_crossings"]

Point = tuple[float, float]

ALLOWED = -1e-9  # mm: a stud may stand at the very end of its slot or swing
SCAN_STEP = 0.5  # degrees of swing between the stands tried where one freedom is left
ROOT_STEP = 2.0  # degrees between the places where a determined stand is looked for
ORIGIN: Point = (0.0, 0.0)


class Stud(NamedTuple):
    """A stud: arm and slot (from 0), distance from the pivot, swing; room to the slot's ends and, along the arc, to the limits of swing."""

    arm: int
    slot: int
    radius: float
    swing: float
    slot_room: float
    swing_room: float


class Stand(NamedTuple):
    """All axes, first to last, and the studs between them.  ``room`` is the least room to an end of a slot or a limit of the swing."""

    axes: tuple[Point, ...]
    studs: tuple[Stud, ...]
    room: float


@record
class Stands:
    """Every stand found, and those within slot and swing; when there is none, why (id of the obstacle) and by how much (mm, negative)."""

    found: tuple[Stand, ...]
    allowed: tuple[Stand, ...]
    why_not: str
    short: float


@record
class _Slot:
    arm: int
    slot: int
    pivot: Point
    swing_from: float
    swing_to: float
    nearest: float
    farthest: float
    offset: float

    def stud(self, at: Point) -> Stud:
        """The stud that stands at this point."""
        across, up = at[0] - self.pivot[0], at[1] - self.pivot[1]
        radius = hypot(across, up)
        return self.stud_at(radius, degrees(atan2(up, across)) - self.offset)

    def stud_at(self, radius: float, swing: float) -> Stud:
        """The stud at this distance and swing; the swing is named within the limits where a whole turn more or less allows it."""
        middle = (self.swing_from + self.swing_to) / 2
        swing = middle + (swing - middle + 180) % 360 - 180
        least = min(swing - self.swing_from, self.swing_to - swing)
        return Stud(self.arm, self.slot, radius, swing, min(radius - self.nearest, self.farthest - radius), radius * radians(least))

    def point(self, radius: float, swing: float) -> Point:
        """The point at this distance from the pivot with the arm at this swing."""
        angle = radians(swing + self.offset)
        return (self.pivot[0] + radius * cos(angle), self.pivot[1] + radius * sin(angle))


def crossings(p: Point, r: float, q: Point, s: float) -> tuple[Point, ...]:
    """Points where two circles cross: clockwise side of the line p to q first; none when they do not meet."""
    across, up = q[0] - p[0], q[1] - p[1]
    distance = hypot(across, up)
    if distance == 0 or distance > r + s or distance < abs(r - s):
        return ()
    along = (distance * distance + r * r - s * s) / (2 * distance)
    off = sqrt(max(0.0, r * r - along * along))
    x, y = p[0] + along * across / distance, p[1] + along * up / distance
    dx, dy = -off * up / distance, off * across / distance
    return ((x + dx, y + dy), (x - dx, y - dy))


def ray_crossings(start: Point, angle: float, centre: Point, radius: float) -> list[float]:
    """Distances along a ray (angle in degrees) at which it crosses a circle, nearest first."""
    ux, uy = cos(radians(angle)), sin(radians(angle))
    fx, fy = start[0] - centre[0], start[1] - centre[1]
    b = fx * ux + fy * uy
    square = b * b - (fx * fx + fy * fy - radius * radius)
    if square < 0:
        return []
    root = sqrt(square)
    return [at for at in (-b - root, -b + root) if at > 1e-9]


def _steps(start: float, stop: float, step: float) -> tuple[float, ...]:
    """From one swing to another, the last step cut short."""
    number = int((stop - start) / step + 1e-9)
    swings = [start + step * index for index in range(number + 1)]
    return tuple(swings if swings[-1] >= stop - 1e-9 else [*swings, stop])


_WHOLE_TURN = _steps(-180.0, 180.0, ROOT_STEP)


def _around(start: float, stop: float) -> tuple[float, ...]:
    """The steps of the whole turn from just before one swing to just after another: in the same steps the same places are found."""
    number = int((stop - start) / ROOT_STEP) + 2
    if number >= len(_WHOLE_TURN):
        return _WHOLE_TURN
    begin = floor(start / ROOT_STEP)
    return tuple([ROOT_STEP * (begin + index) for index in range(number + 1)])


class Workplace:
    """The banjo in floats, with what was found before: a search asks for the same distances again and again."""

    def __init__(self, banjo: Banjo) -> None:
        angle = radians(float(banjo.direction))
        self.distance = float(banjo.centre_distance)
        self.first: Point = (self.distance * cos(angle), self.distance * sin(angle))
        self.slots = tuple(
            _Slot(
                arm, slot, (float(a.pivot[0]), float(a.pivot[1])), float(a.swing_from), float(a.swing_to),
                float(s.nearest), float(s.farthest), float(s.offset),
            )
            for arm, a in enumerate(banjo.arms)
            for slot, s in enumerate(a.slots)
        )  # fmt: skip
        self.one_freedom = len(banjo.arms) > 1  # two studs on separate arms can be moved a little
        self._long_search = any(slot.pivot != ORIGIN for slot in self.slots)
        self._known: dict[tuple[float, ...], Stands] = {}
        self._known_allowed: dict[tuple[float, ...], tuple[Stand, ...]] = {}

    def stands(self, meshes: tuple[float, ...]) -> Stands:
        """Every stand for these centre distances of the meshes (mm, from the headstock on): two meshes, or three."""
        known = self._known.get(meshes)
        if known is None:
            if len(self._known) > 200_000:
                self._known.clear()
            known = self._known[meshes] = self._find(meshes)
        return known

    def allowed(self, meshes: tuple[float, ...]) -> tuple[Stand, ...]:
        """The stands within slot and swing: of :meth:`stands` those, but only they are looked for where looking takes long."""
        if meshes in self._known or not self._long_search or len(meshes) == 2:
            return self.stands(meshes).allowed
        known = self._known_allowed.get(meshes)
        if known is None:
            reach, fold = self._bridging(meshes)
            stands = self._two_studs(meshes, _Miss(), whole=False) if reach >= 0 and fold >= 0 else ()
            known = self._known_allowed[meshes] = tuple(stand for stand in stands if stand.room >= ALLOWED)
        return known

    def _bridging(self, meshes: tuple[float, ...]) -> tuple[float, float]:
        """By how much the meshes reach across, and by how much they can be folded up (mm)."""
        return sum(meshes) - self.distance, self.distance - (2 * max(meshes) - sum(meshes))

    def _find(self, meshes: tuple[float, ...]) -> Stands:
        reach, fold = self._bridging(meshes)
        if reach < 0:
            return Stands((), (), "train-too-short", reach)
        if fold < 0:
            return Stands((), (), "train-too-long", fold)
        miss = _Miss()
        found = tuple(self._one_stud(*meshes)) if len(meshes) == 2 else tuple(self._two_studs(meshes, miss, whole=True))
        if not found:
            return Stands((), (), miss.why, miss.short)
        return Stands(found, tuple(stand for stand in found if stand.room >= ALLOWED), "", 0.0)

    def _stand(self, points: tuple[Point, ...], studs: tuple[Stud, ...]) -> Stand:
        room = min(min(stud.slot_room, stud.swing_room) for stud in studs)
        return Stand((self.first, *points, ORIGIN), studs, room)

    def _one_stud(self, d1: float, d2: float) -> Iterator[Stand]:
        for point in crossings(self.first, d1, ORIGIN, d2):
            for slot in self.slots:
                yield self._stand((point,), (slot.stud(point),))

    def _two_studs(self, meshes: tuple[float, ...], miss: _Miss, whole: bool) -> Iterator[Stand]:
        for near in self.slots:
            for far in self.slots:
                if near.arm != far.arm:
                    yield from self._separate_arms(near, far, meshes, miss)
                elif near.pivot == ORIGIN:
                    yield from self._about_last_axis(near, far, meshes, miss)
                else:
                    swings = _WHOLE_TURN if whole else _around(far.swing_from, far.swing_to)
                    yield from self._about_pivot(near, far, meshes, miss, swings)

    def _about_last_axis(self, one: _Slot, two: _Slot, meshes: tuple[float, ...], miss: _Miss) -> Iterator[Stand]:
        """Both studs on an arm that swings about the last axis: the second's radius is its mesh, the first's follows, then the swing."""
        d1, d2, d3 = meshes
        between = radians(one.offset - two.offset)
        square = d2 * d2 - (d3 * sin(between)) ** 2
        if square < 0:
            miss.note("stud-outside-slot", d2 - abs(d3 * sin(between)))
            return
        for radius in (d3 * cos(between) - sqrt(square), d3 * cos(between) + sqrt(square)):
            if radius <= 1e-9:
                continue
            points = crossings(self.first, d1, ORIGIN, radius)
            if not points:
                miss.note("train-too-short", d1 + radius - self.distance)
                miss.note("train-too-long", self.distance - abs(d1 - radius))
            for point in points:
                first = one.stud(point)
                yield self._stand((point, two.point(d3, first.swing)), (first, two.stud_at(d3, first.swing)))

    def _about_pivot(
        self, one: _Slot, two: _Slot, meshes: tuple[float, ...], miss: _Miss, swings: tuple[float, ...]
    ) -> Iterator[Stand]:
        """Both studs on an arm whose pivot is elsewhere: the swing at which the first mesh comes out is looked for step by step."""
        before: dict[tuple[int, int], float] = {}
        for step, swing in enumerate(swings):
            here = {}
            for branch, (gap, _, _) in self._branches(one, two, meshes, swing):
                here[branch] = gap
                miss.note("train-too-short" if gap > 0 else "train-too-long", -abs(gap))
                if branch in before and (gap > 0) != (before[branch] > 0):
                    closed = self._close(one, two, meshes, branch, swings[step - 1], swing, before[branch] > 0)
                    if closed is not None:
                        at, near, far = closed
                        yield self._stand((one.point(near, at), two.point(far, at)), (one.stud_at(near, at), two.stud_at(far, at)))
            before = here

    def _branches(
        self, one: _Slot, two: _Slot, meshes: tuple[float, ...], swing: float
    ) -> Iterator[tuple[tuple[int, int], tuple[float, float, float]]]:
        """With the arm at this swing and the other meshes right: what the first mesh is out by, and both distances from the pivot."""
        d1, d2, d3 = meshes
        for far, outer in enumerate(ray_crossings(two.pivot, swing + two.offset, ORIGIN, d3)):
            if one.offset == two.offset:
                inner = [outer - d2, outer + d2]
            else:
                inner = ray_crossings(one.pivot, swing + one.offset, two.point(outer, swing), d2)
            for near, radius in enumerate(inner):
                if radius > 1e-9:
                    x, y = one.point(radius, swing)
                    yield (near, far), (hypot(x - self.first[0], y - self.first[1]) - d1, radius, outer)

    def _close(
        self, one: _Slot, two: _Slot, meshes: tuple[float, ...], branch: tuple[int, int], low: float, high: float, low_positive: bool
    ) -> tuple[float, float, float] | None:
        """The swing between two steps at which the first mesh comes out, with both distances from the pivot; None when it only jumps."""
        for _ in range(40):
            middle = (low + high) / 2
            inside = dict(self._branches(one, two, meshes, middle)).get(branch)
            if inside is None:
                return None
            if (inside[0] > 0) == low_positive:
                low = middle
            else:
                high = middle
        return (middle, inside[1], inside[2]) if inside is not None and abs(inside[0]) < 1e-6 else None

    def _separate_arms(self, one: _Slot, two: _Slot, meshes: tuple[float, ...], miss: _Miss) -> Iterator[Stand]:
        """Studs on separate arms: the second arm is swung step by step over its range, the first stud follows."""
        for swing in _steps(two.swing_from, two.swing_to, SCAN_STEP):
            yield from self.with_second_arm_at(one, two, swing, meshes)
        miss.note("banjo-outside-swing", -self.distance)

    def with_second_arm_at(self, one: _Slot, two: _Slot, swing: float, meshes: tuple[float, ...]) -> Iterator[Stand]:
        """The stands on separate arms for one swing of the second."""
        for radius in ray_crossings(two.pivot, swing + two.offset, ORIGIN, meshes[2]):
            second = two.point(radius, swing)
            for first in crossings(self.first, meshes[0], second, meshes[1]):
                yield self._stand((first, second), (one.stud(first), two.stud_at(radius, swing)))

    def near(self, stand: Stand, meshes: tuple[float, ...], by: float) -> Iterator[Stand]:
        """Stands of two separate arms a little to either side of one: for closing in where a whole step was too coarse."""
        if len(stand.studs) != 2 or stand.studs[0].arm == stand.studs[1].arm:
            return
        one, two = (next(slot for slot in self.slots if (slot.arm, slot.slot) == (stud.arm, stud.slot)) for stud in stand.studs)
        for swing in (stand.studs[1].swing - by, stand.studs[1].swing + by):
            yield from self.with_second_arm_at(one, two, swing, meshes)


class _Miss:
    """The nearest that any attempt came, for when none succeeds."""

    def __init__(self) -> None:
        self.why = "stud-outside-slot"
        self.short = -inf

    def note(self, why: str, short: float) -> None:
        """Remember the attempt that fell short by least."""
        if 0 > short > self.short:
            self.why, self.short = why, short
