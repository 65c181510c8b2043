"""Can the studs of the banjo stand at these centre distances at all?  The questions a search asks most, answered in the fewest steps.

What :class:`~benchleaf.kinematics.stands.Workplace` finds, without saying where: whether one stud has a stand, and for two studs how far
the axes that do not mesh are from each other.  Lengths mm.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from math import atan2, cos, degrees, hypot, radians, sin, sqrt

from benchleaf.kinematics.stands import ALLOWED, ORIGIN, Workplace, crossings, ray_crossings

__all__ = ["Reach"]

EDGE = 1e-6  # mm: nearer to an edge than this, every distance is tried by itself

Spread = tuple[float, float]
"""First axis to second stud, first stud to last axis."""


class Reach:
    """One banjo; keeps what it worked out."""

    def __init__(self, work: Workplace) -> None:
        self._work = work
        self.distance = work.distance
        self._slots = [
            (*slot.pivot, slot.nearest + ALLOWED, slot.farthest - ALLOWED, slot.offset, slot.swing_from, slot.swing_to)
            for slot in work.slots
        ]
        about_last = all(slot.pivot == ORIGIN for slot in work.slots)
        self._nearest = min((slot[2] for slot in self._slots), default=0.0) if about_last else 0.0
        self._farthest = max((slot[3] for slot in self._slots), default=0.0) if about_last else float("inf")
        self._determined = about_last and not work.one_freedom
        self._pairs = [
            (cos(between), sin(between), one, two)
            for one in self._slots
            for two in self._slots
            for between in (radians(one[4] - two[4]),)
        ]
        self._one: dict[Spread, bool] = {}
        self._two: dict[tuple[float, ...], tuple[Spread, ...]] = {}

    def one_stud(self, d1: float, d2: float) -> bool:
        """Is there a stand for one stud at these centre distances?"""
        if not self._nearest <= d2 <= self._farthest:
            return False
        key = d1, d2
        known = self._one.get(key)
        if known is None:
            known = self._one[key] = self._one_stands(d1, d2)
        return known

    def one_stud_for(self, firsts: Sequence[float], d2: float) -> list[bool]:
        """The same for several distances from the first axis (mm, ascending).

        With the stud at ``d2`` from the last axis, what is allowed begins and ends where the circle about that axis crosses the end of a
        slot or a limit of the swing.  Between two such places one distance is tried for all.
        """
        count = len(firsts)
        if not self._nearest <= d2 <= self._farthest:
            return [False] * count
        found: list[bool | None] = [None] * count
        cuts = {count}
        for edge in self._edges(d2):
            start, end = bisect_left(firsts, edge - EDGE), bisect_left(firsts, edge + EDGE)
            cuts |= {start, end}
            for at in range(start, end):
                found[at] = self._one_stands(firsts[at], d2)
        at = 0
        for end in sorted(cuts):
            if end > at and found[at] is None:
                found[at:end] = [self._one_stands(firsts[at], d2)] * (end - at)
            at = end
        return [bool(each) for each in found]

    def _edges(self, d2: float) -> Iterator[float]:
        """Distances from the first axis at which a stud that far from the last comes to the end of a slot or to a limit of the swing."""
        work = self._work
        x, y = work.first
        yield abs(work.distance - d2)
        yield work.distance + d2
        for across, up, nearest, farthest, offset, low, high in self._slots:
            for swing in (low + offset, high + offset):
                for at in ray_crossings((across, up), swing, ORIGIN, d2):
                    angle = radians(swing)
                    yield hypot(across + at * cos(angle) - x, up + at * sin(angle) - y)
            for radius in (nearest, farthest):
                for point in crossings((across, up), radius, ORIGIN, d2):
                    yield hypot(point[0] - x, point[1] - y)

    def _one_stands(self, d1: float, d2: float) -> bool:
        work = self._work
        if d1 + d2 < work.distance or work.distance < 2 * max(d1, d2) - (d1 + d2):
            return False
        for x, y in crossings(work.first, d1, ORIGIN, d2):
            for across, up, nearest, farthest, offset, low, high in self._slots:
                radius = hypot(x - across, y - up)
                if nearest <= radius <= farthest and _swing_goes(degrees(atan2(y - up, x - across)) - offset, low, high, radius):
                    return True
        return False

    def two_studs(self, meshes: tuple[float, ...]) -> tuple[Spread, ...]:
        """How far apart the axes are that do not mesh, for every stand of two studs within slots and swing."""
        known = self._two.get(meshes)
        if known is None:
            if len(self._two) > 500_000:
                self._two.clear()
            if self._determined:
                found = self._about_last_axis(*meshes)
            else:
                stands = (stand.axes for stand in self._work.allowed(meshes))
                found = [(hypot(first[0] - two[0], first[1] - two[1]), hypot(*one)) for first, one, two, _ in stands]
            known = self._two[meshes] = tuple(found)
        return known

    def _about_last_axis(self, d1: float, d2: float, d3: float) -> list[Spread]:
        """Both studs on one arm that swings about the last axis, as in :class:`~benchleaf.kinematics.stands.Workplace`."""
        found: list[Spread] = []
        if not self._nearest <= d3 <= self._farthest:
            return found
        first_x, first_y = first = self._work.first
        if d1 + d2 + d3 < self._work.distance or self._work.distance < 2 * max(d1, d2, d3) - (d1 + d2 + d3):
            return found
        for cosine, sine, one, two in self._pairs:
            if not two[2] <= d3 <= two[3]:
                continue
            square = d2 * d2 - (d3 * sine) ** 2
            if square < 0:
                continue
            root = sqrt(square)
            for radius in (d3 * cosine - root, d3 * cosine + root):
                if radius <= 1e-9 or not one[2] <= radius <= one[3]:
                    continue
                for x, y in crossings(first, d1, ORIGIN, radius):
                    swing = degrees(atan2(y, x)) - one[4]
                    if _swing_goes(swing, one[5], one[6], max(radius, d3)):
                        angle = radians(swing + two[4])
                        found.append((hypot(first_x - d3 * cos(angle), first_y - d3 * sin(angle)), radius))
        return found


def _swing_goes(swing: float, low: float, high: float, radius: float) -> bool:
    middle = (low + high) / 2
    swing = middle + (swing - middle + 180) % 360 - 180
    return radius * radians(min(swing - low, high - swing)) >= ALLOWED
