"""Have the wheels of a train room?  The comparisons of :meth:`~benchleaf.kinematics.fit.Fitter.check` in the fewest steps.

They are asked most, and most answers are no: nothing is said here about what is in the way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Protocol, TypeVar

from benchleaf.kinematics.model import Place
from benchleaf.kinematics.reach import Reach

__all__ = ["TOUCHING", "Disc", "OneStud", "TwoStuds"]

TOUCHING = -1e-9  # mm: exactly enough room is enough

_STUD_PLACES = {1: (Place.IDLER, Place.IDLER), 2: (Place.STUD_DRIVEN, Place.STUD_DRIVER)}


class Disc(Protocol):
    """A wheel as the geometry sees it."""

    @property
    def teeth(self) -> int:
        """Number of teeth."""

    @property
    def pitch_radius(self) -> float:
        """Pitch radius, mm."""

    @property
    def tip_radius(self) -> float:
        """Radius over the tips, mm."""


Item = TypeVar("Item", bound=Disc)


class OneStud:
    """One banjo with one stud on it: ``bushes`` first, stud, last; ``largest`` over the tips by place (None: no limit); lengths mm.

    ``takes_pairs``: is there room for two wheels on a stud?
    """

    def __init__(
        self,
        reach: Reach,
        clearance: float,
        air: float,
        bushes: Sequence[float],
        planes: int,
        largest: Mapping[Place, float | None],
    ) -> None:
        self._reach = reach
        self._span = reach.distance
        self._clearance, self._air, self._bush, self._largest = clearance, air, bushes, largest
        self.takes_pairs = planes >= 2

    def mesh(self, driver: Disc, driven: Disc) -> float:
        """Centre distance of two wheels, mm."""
        return driver.pitch_radius + driven.pitch_radius + self._clearance

    def clears(self, axes: Sequence[Sequence[Disc]], d1: float, d2: float) -> bool:
        """Room for a train on one stud, where that has a stand?"""
        (first,), stud, (last,) = axes
        driven, driver = stud[0], stud[-1]
        a, b, c, d = first.tip_radius, driven.tip_radius, driver.tip_radius, last.tip_radius
        air, span = self._air + TOUCHING, self._span
        at_first, at_stud, at_last = (bush + air for bush in self._bush)
        if b + at_first > d1 or c + at_first > d1 or b + at_last > d2 or c + at_last > d2 or a + at_stud > d1 or d + at_stud > d2:
            return False
        if a + at_last > span or d + at_first > span or (a + d + air > span if len(stud) == 1 else not self.takes_pairs):
            return False
        room, (inner, outer) = self._largest, _STUD_PLACES[len(stud)]
        limits = ((room[Place.FIRST], a), (room[inner], b), (room[outer], c), (room[Place.LAST], d))
        return all(most is None or most - 2 * tip >= TOUCHING for most, tip in limits)

    def pairs_at(self, ends: Sequence[Item], studs: Sequence[Item], end: Place) -> list[tuple[Item, Item, float]]:
        """Wheels at one end with wheels on the stud that may mesh there, as far as the pair itself decides, and their centre distance (mm).

        ``end`` is the first place or the last.  That their teeth fit one another is not asked.
        """
        bush, far, stud_place = (0, 2, Place.STUD_DRIVEN) if end is Place.FIRST else (2, 0, Place.STUD_DRIVER)
        clearance, air, span = self._clearance, self._air + TOUCHING, self._span
        at_end, at_stud, at_far = self._bush[bush] + air, self._bush[1] + air, self._bush[far] + air
        there = [(item, item.pitch_radius, item.tip_radius + at_end) for item in studs if self._under_cover(item, stud_place)]
        found = []
        for item in ends:
            if item.tip_radius + at_far <= span and self._under_cover(item, end):
                radius, needs = item.pitch_radius, item.tip_radius + at_stud
                for other, pitch, tip in there:
                    distance = radius + pitch + clearance
                    if distance >= tip and distance >= needs:
                        found.append((item, other, distance))
        return found

    def pairs_between(self, drivers: Sequence[Item], driven: Sequence[Item]) -> list[tuple[Item, Item, float]]:
        """Wheels on the first stud with wheels on the second that may mesh, in the same way."""
        over = self._bush[1] + self._air + TOUCHING
        there = [item for item in driven if self._under_cover(item, Place.STUD_DRIVEN)]
        meshing = ((a, b, self.mesh(a, b)) for a in drivers if self._under_cover(a, Place.STUD_DRIVER) for b in there)
        return [(a, b, distance) for a, b, distance in meshing if max(a.tip_radius, b.tip_radius) + over <= distance]

    def _under_cover(self, disc: Disc, place: Place) -> bool:
        room = self._largest[place]
        return room is None or room - 2 * disc.tip_radius >= TOUCHING

    def largest_across(self, distance: float) -> float:
        """Largest tip radius of a wheel on one of two studs this far apart that clears the other, mm."""
        return distance - self._bush[1] - self._air - TOUCHING

    def largest_beside(self, d1: float, d2: float) -> tuple[float, float]:
        """Largest tip radius of the driven wheel and of the driver on one stud that clear the far axes, mm."""
        return d2 - self._bush[2] - self._air - TOUCHING, d1 - self._bush[0] - self._air - TOUCHING

    def idlers_between(self, first: Disc, last: Disc, idlers: Iterable[Item]) -> Iterator[Item]:
        """Of these wheels those that go between the first and the last, alone on one stud, in their order.  Agrees with the full check."""
        a, d, air, span = first.tip_radius, last.tip_radius, self._air + TOUCHING, self._span
        at_first, at_stud, at_last = (bush + air for bush in self._bush)
        room = self._largest
        guards = ((room[Place.FIRST], a), (room[Place.LAST], d))
        if any(most is not None and most - 2 * tip < TOUCHING for most, tip in guards):
            return
        if a + at_last > span or d + at_first > span or a + d + air > span:
            return
        most = room[Place.IDLER]
        for idler in idlers:
            d1, d2, tip = self.mesh(first, idler), self.mesh(idler, last), idler.tip_radius
            if tip + at_first > d1 or tip + at_last > d2 or a + at_stud > d1 or d + at_stud > d2:
                continue
            if (most is None or most - 2 * tip >= TOUCHING) and self._reach.one_stud(d1, d2):
                yield idler


Needs = tuple[float, float]


class TwoStuds:
    """Trains on two studs with the same number of wheels on each axis.  Wheels are numbered from the headstock on; lengths mm.

    ``axes`` are the wheels by axis, ``guards`` the most over the tips and ``rows`` the plane of each wheel, ``bushes`` the radius
    at each axis, ``span`` the distance from the first axis to the last.
    """

    def __init__(
        self,
        axes: Sequence[Sequence[int]],
        guards: Sequence[float | None],
        rows: Sequence[int],
        bushes: Sequence[float],
        air: float,
        span: float,
    ) -> None:
        self._guards = [(wheel, guard / 2) for wheel, guard in enumerate(guards) if guard is not None]
        self._air = air + TOUCHING
        self._span = span
        self._between: dict[tuple[int, int], tuple[list[tuple[int, float]], list[tuple[int, int]]]] = {}
        for i in range(4):
            for j in range(i + 1, 4):
                meshing = (axes[i][-1], axes[j][0]) if j == i + 1 else None
                bush = [(wheel, bushes[j]) for wheel in axes[i]] + [(wheel, bushes[i]) for wheel in axes[j]]
                touch = [(p, q) for p in axes[i] for q in axes[j] if rows[p] == rows[q] and (p, q) != meshing]
                self._between[i, j] = _hardest(bush), touch
        self._meshes = [self._between[axis, axis + 1] for axis in range(3)]

    def needs(self, tips: Sequence[float], meshes: Sequence[float]) -> Needs | None:
        """How far the second stud must be from the first axis and the first stud from the last (mm); None where other room is missing.

        ``tips`` are the radii over the tips, ``meshes`` the centre distances of what meshes.
        """
        for wheel, most in self._guards:
            if tips[wheel] > most - TOUCHING / 2:
                return None
        air = self._air
        for mesh, (bush, touch) in zip(meshes, self._meshes, strict=True):
            room = mesh - air
            for wheel, radius in bush:
                if tips[wheel] + radius > room:
                    return None
            for p, q in touch:
                if tips[p] + tips[q] > room:
                    return None
        if self._need(tips, 0, 3) > self._span:
            return None
        return self._need(tips, 0, 2), self._need(tips, 1, 3)

    def _need(self, tips: Sequence[float], i: int, j: int) -> float:
        bush, touch = self._between[i, j]
        most = max([tips[wheel] + radius for wheel, radius in bush])
        return self._air + (max(most, max([tips[p] + tips[q] for p, q in touch])) if touch else most)


def _hardest(bushes: Sequence[tuple[int, float]]) -> list[tuple[int, float]]:
    """Each wheel with the largest bush that it must clear."""
    return [(wheel, max(radius for other, radius in bushes if other == wheel)) for wheel in dict.fromkeys(wheel for wheel, _ in bushes)]
