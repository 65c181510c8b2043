"""Where the studs of the banjo can stand for given centre distances of the meshes.

Plane geometry in mm and degrees; the last axis is the origin.  One stud stands where two circles cross.  Two studs on one arm
are determined (two radii and the swing against three meshes); two studs on separate arms leave one freedom, which is searched.
Floats throughout: a stand is measured with a rule, and whether it is allowed is decided with room to spare elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, inf, radians, sin, sqrt

from benchleaf.kinematics.model import Banjo

__all__ = ["Point", "Stand", "Stands", "Workplace"]

Point = tuple[float, float]

SCAN_STEP = 0.5  # degrees of swing between the stands tried where one freedom is left
ROOT_STEP = 2.0  # degrees between the places where a determined stand is looked for
ORIGIN: Point = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Stud:
    """A stud: arm and slot (from 0), distance from the pivot, swing; room to the slot's ends and, along the arc, to the limits of swing."""

    arm: int
    slot: int
    radius: float
    swing: float
    slot_room: float
    swing_room: float


@dataclass(frozen=True, slots=True)
class Stand:
    """All axes, first to last, and the studs between them.  ``room`` is the least room to an end of a slot or a limit of the swing."""

    axes: tuple[Point, ...]
    studs: tuple[Stud, ...]
    room: float


@dataclass(frozen=True, slots=True)
class Stands:
    """Every stand found, and those within slot and swing; when there is none, why (id of the obstacle) and by how much (mm, negative)."""

    found: tuple[Stand, ...]
    allowed: tuple[Stand, ...]
    why_not: str
    short: float


@dataclass(frozen=True, slots=True)
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


class Workplace:
    """The banjo in floats, with what was found before: a search asks for the same distances again and again."""

    def __init__(self, banjo: Banjo) -> None:
        angle = radians(float(banjo.direction))
        self.distance = float(banjo.centre_distance)
        self.first: Point = (self.distance * cos(angle), self.distance * sin(angle))
        self._slots = tuple(
            _Slot(
                arm, slot, (float(a.pivot[0]), float(a.pivot[1])), float(a.swing_from), float(a.swing_to),
                float(s.nearest), float(s.farthest), float(s.offset),
            )
            for arm, a in enumerate(banjo.arms)
            for slot, s in enumerate(a.slots)
        )  # fmt: skip
        self.one_freedom = len(banjo.arms) > 1  # two studs on separate arms can be moved a little
        self._known: dict[tuple[float, ...], Stands] = {}

    def stands(self, meshes: tuple[float, ...]) -> Stands:
        """Every stand for these centre distances of the meshes (mm, from the headstock on): two meshes, or three."""
        known = self._known.get(meshes)
        if known is None:
            if len(self._known) > 200_000:
                self._known.clear()
            known = self._known[meshes] = self._find(meshes)
        return known

    def _find(self, meshes: tuple[float, ...]) -> Stands:
        reach = sum(meshes) - self.distance
        fold = self.distance - (2 * max(meshes) - sum(meshes))
        if reach < 0:
            return Stands((), (), "train-too-short", reach)
        if fold < 0:
            return Stands((), (), "train-too-long", fold)
        miss = _Miss()
        found = tuple(self._one_stud(*meshes)) if len(meshes) == 2 else tuple(self._two_studs(meshes, miss))
        if not found:
            return Stands((), (), miss.why, miss.short)
        return Stands(found, tuple(stand for stand in found if stand.room >= -1e-9), "", 0.0)

    def _stand(self, points: tuple[Point, ...], studs: tuple[Stud, ...]) -> Stand:
        room = min(min(stud.slot_room, stud.swing_room) for stud in studs)
        return Stand((self.first, *points, ORIGIN), studs, room)

    def _one_stud(self, d1: float, d2: float) -> Iterator[Stand]:
        for point in crossings(self.first, d1, ORIGIN, d2):
            for slot in self._slots:
                yield self._stand((point,), (slot.stud(point),))

    def _two_studs(self, meshes: tuple[float, ...], miss: _Miss) -> Iterator[Stand]:
        for near in self._slots:
            for far in self._slots:
                if near.arm != far.arm:
                    yield from self._separate_arms(near, far, meshes, miss)
                elif near.pivot == ORIGIN:
                    yield from self._about_last_axis(near, far, meshes, miss)
                else:
                    yield from self._about_pivot(near, far, meshes, miss)

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

    def _about_pivot(self, one: _Slot, two: _Slot, meshes: tuple[float, ...], miss: _Miss) -> Iterator[Stand]:
        """Both studs on an arm whose pivot is elsewhere: the swing at which the first mesh comes out is looked for step by step."""
        d1, d2, d3 = meshes

        def solve(swing: float, near: int, far: int) -> tuple[float, float, float] | None:
            outer = ray_crossings(two.pivot, swing + two.offset, ORIGIN, d3)
            if len(outer) <= far:
                return None
            inner = ray_crossings(one.pivot, swing + one.offset, two.point(outer[far], swing), d2)
            if len(inner) <= near:
                return None
            at = one.point(inner[near], swing)
            return hypot(at[0] - self.first[0], at[1] - self.first[1]) - d1, inner[near], outer[far]

        for near in (0, 1):
            for far in (0, 1):
                gap: Callable[[float], tuple[float, float, float] | None] = lambda swing, n=near, f=far: solve(swing, n, f)  # type: ignore[misc] # noqa: E731
                for swing in _roots(gap, miss):
                    solved = gap(swing)
                    if solved is None:
                        continue
                    _, inner_radius, outer_radius = solved
                    points = (one.point(inner_radius, swing), two.point(outer_radius, swing))
                    yield self._stand(points, (one.stud_at(inner_radius, swing), two.stud_at(outer_radius, swing)))

    def _separate_arms(self, one: _Slot, two: _Slot, meshes: tuple[float, ...], miss: _Miss) -> Iterator[Stand]:
        """Studs on separate arms: the second arm is swung step by step over its range, the first stud follows."""
        steps = int((two.swing_to - two.swing_from) / SCAN_STEP + 1e-9)
        swings = [two.swing_from + SCAN_STEP * step for step in range(steps + 1)]
        if swings[-1] < two.swing_to - 1e-9:
            swings.append(two.swing_to)
        for swing in swings:
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
        one, two = (next(slot for slot in self._slots if (slot.arm, slot.slot) == (stud.arm, stud.slot)) for stud in stand.studs)
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


def _roots(gap: Callable[[float], tuple[float, float, float] | None], miss: _Miss) -> Iterator[float]:
    """Swings from -180 to 180 degrees at which the gap closes; where it never does, the least gap is noted."""
    before: tuple[float, float] | None = None
    steps = int(360 / ROOT_STEP)
    for step in range(steps + 1):
        swing = -180 + ROOT_STEP * step
        solved = gap(swing)
        if solved is None:
            before = None
            continue
        here = solved[0]
        if before is not None and (here > 0) != (before[1] > 0):
            low, high, low_positive = before[0], swing, before[1] > 0
            for _ in range(48):
                middle = (low + high) / 2
                inside = gap(middle)
                if inside is None:
                    break
                if (inside[0] > 0) == low_positive:
                    low = middle
                else:
                    high = middle
            else:
                yield (low + high) / 2
        miss.note("train-too-short" if here > 0 else "train-too-long", -abs(here))
        before = (swing, here)
