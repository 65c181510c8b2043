"""Have the wheels of a train on two studs room?  The comparisons of :meth:`~benchleaf.kinematics.fit.Fitter.check` in the fewest steps."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["TOUCHING", "TwoStuds"]

TOUCHING = -1e-9  # mm: exactly enough room is enough

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
