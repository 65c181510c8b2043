"""Trains the plain way: nested loops over wheels, and geometry from first principles.  Slow and short, to check the fast search against."""

from __future__ import annotations

import cmath
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, permutations
from math import acos, cos, degrees, pi, radians, sin

from benchleaf.kinematics.model import Banjo, Place, Problem, Wheel

Axes = tuple[tuple[Wheel, ...], ...]


def pieces(problem: Problem) -> list[Wheel]:
    """Every wheel in the box, one by one."""
    return [wheel for wheel in problem.wheels for _ in range(wheel.copies)]


def trains(problem: Problem) -> Iterator[tuple[str, Axes]]:
    """Every train, by axes."""
    box = pieces(problem)
    names = problem.arrangements
    for name, number in (("simple", 3), ("simple with two idlers", 4), ("compound", 4), ("compound with idler", 5), ("double compound", 6)):
        if name not in names:
            continue
        for w in permutations(range(len(box)), number):
            t = [box[i] for i in w]
            if name == "simple":
                yield name, ((t[0],), (t[1],), (t[2],))
            elif name == "simple with two idlers":
                yield name, ((t[0],), (t[1],), (t[2],), (t[3],))
            elif name == "compound":
                yield name, ((t[0],), (t[1], t[2]), (t[3],))
            elif name == "compound with idler":
                yield name, ((t[0],), (t[1],), (t[2], t[3]), (t[4],))
                yield name, ((t[0],), (t[1], t[2]), (t[3],), (t[4],))
            else:
                yield name, ((t[0],), (t[1], t[2]), (t[3], t[4]), (t[5],))


def meshes(axes: Axes) -> bool:
    return all((a[-1].module, a[-1].pressure_angle) == (b[0].module, b[0].pressure_angle) for a, b in pairwise(axes))


def ratio(axes: Axes) -> Fraction:
    found = Fraction(1)
    for a, b in pairwise(axes):
        found *= Fraction(a[-1].teeth, b[0].teeth)
    return found


def locked_together(problem: Problem, axes: Axes) -> bool:
    """Each half of a locked pair (one copy each here) is used beside the other or not at all."""
    for pair in problem.locked_pairs:
        used = Counter(wheel.teeth for axis in axes for wheel in axis)
        beside = any(sorted(w.teeth for w in axis) == sorted((pair.a.teeth, pair.b.teeth)) for axis in axes)
        if (used[pair.a.teeth] or used[pair.b.teeth]) and not beside:
            return False
    return True


def changes(problem: Problem, axes: Axes) -> int:
    """Wheels off plus wheels on."""
    if problem.mounted is None:
        return 0
    before = {(a, r, ref.teeth) for a, refs in enumerate(problem.mounted.axes) for r, ref in enumerate(refs)}
    after = {(a, r, wheel.teeth) for a, wheels in enumerate(axes) for r, wheel in enumerate(wheels)}
    return len(before ^ after)


def one_stud_margin(banjo: Banjo, axes: Axes) -> float:
    """Least room of a train on one stud, by the law of cosines; the roomiest of all places; -inf where it cannot be put up."""
    c, air = float(banjo.mesh_clearance), float(banjo.air)
    bush = (float(banjo.bush_first), float(banjo.bush_stud), float(banjo.bush_last))
    tip = [[float(w.tip_diameter) / 2 for w in axis] for axis in axes]
    d1, d2 = (float(a[-1].module) * (a[-1].teeth + b[0].teeth) / 2 + c for a, b in pairwise(axes))
    span = float(banjo.centre_distance)
    if not abs(d1 - d2) <= span <= d1 + d2:
        return float("-inf")
    room = [d1 + d2 - span, span - abs(d1 - d2)]
    places = [[Place.FIRST], [Place.IDLER] if len(axes[1]) == 1 else [Place.STUD_DRIVEN, Place.STUD_DRIVER], [Place.LAST]]
    at = dict(banjo.largest_at)
    for radii, where in zip(tip, places, strict=True):
        for r, place in zip(radii, where, strict=True):
            room += [float(limit) - 2 * r for limit in (banjo.largest, at.get(place)) if limit is not None]
    first, last, stud = tip[0][0], tip[2][0], tip[1]
    for r in stud:
        room += [d1 - r - bush[0] - air, d2 - r - bush[2] - air]
    room += [d1 - first - bush[1] - air, d2 - last - bush[1] - air, span - first - bush[2] - air, span - last - bush[0] - air]
    if len(stud) == 1:
        room.append(span - first - last - air)
    elif banjo.planes < 2:
        return float("-inf")
    corner = degrees(acos((d2 * d2 + span * span - d1 * d1) / (2 * d2 * span)))
    best = float("-inf")
    for side in (-1, 1):
        stud_at = cmath.rect(d2, radians(float(banjo.direction) + side * corner))
        for arm in banjo.arms:
            z = stud_at - complex(*map(float, arm.pivot))
            for slot in arm.slots:
                swing = degrees(cmath.phase(z)) - float(slot.offset)
                turns = [swing + 360 * k for k in (-2, -1, 0, 1, 2)]
                arc = max(min(s - float(arm.swing_from), float(arm.swing_to) - s) for s in turns) * pi / 180 * abs(z)
                best = max(best, min(abs(z) - float(slot.nearest), float(slot.farthest) - abs(z), arc))
    return min(*room, best)


def two_stud_places(banjo: Banjo, distances: tuple[float, float, float], steps: int = 720) -> list[tuple[complex, complex, float]]:
    """Both studs on one arm about the last axis, slot by slot: the second is swung round, the first follows by two circles, and must lie on its slot.

    Returns first stud, second stud, and the least room in slots and swing.
    """
    d1, d2, d3 = distances
    origin = cmath.rect(float(banjo.centre_distance), radians(float(banjo.direction)))
    found = []
    for arm in banjo.arms:
        for one in arm.slots:
            for two in arm.slots:
                for side in (-1, 1):

                    def first_at(swing: float, side: int = side, two: object = two) -> complex | None:
                        p2 = cmath.rect(d3, radians(swing + float(two.offset)))  # type: ignore[attr-defined]
                        line = p2 - origin
                        far = abs(line)
                        if far > d1 + d2 or far < abs(d1 - d2) or far == 0:
                            return None
                        angle = acos(max(-1.0, min(1.0, (d1 * d1 + far * far - d2 * d2) / (2 * d1 * far))))
                        return origin + cmath.rect(d1, cmath.phase(line) + side * angle)

                    def off(swing: float, one: object = one, first_at: object = first_at) -> float | None:
                        p1 = first_at(swing)  # type: ignore[operator]
                        return None if p1 is None else sin(cmath.phase(p1) - radians(swing + float(one.offset)))  # type: ignore[attr-defined]

                    for step in range(steps):
                        low, high = 360 * step / steps - 180, 360 * (step + 1) / steps - 180
                        a, b = off(low), off(high)
                        if a is None or b is None or (a > 0) == (b > 0):
                            continue
                        for _ in range(60):
                            middle = (low + high) / 2
                            value = off(middle)
                            if value is None:
                                break
                            low, high = (middle, high) if (value > 0) == (a > 0) else (low, middle)
                        p1 = first_at(low)
                        if p1 is None or cos(cmath.phase(p1) - radians(low + float(one.offset))) < 0.9:
                            continue
                        swings = [low + 360 * k for k in (-1, 0, 1)]
                        least = max(min(s - float(arm.swing_from), float(arm.swing_to) - s) for s in swings) * pi / 180
                        p2 = cmath.rect(d3, radians(low + float(two.offset)))
                        room = [least * abs(p1), least * d3]
                        room += [abs(p) - float(slot.nearest) for p, slot in ((p1, one), (p2, two))]
                        room += [float(slot.farthest) - abs(p) for p, slot in ((p1, one), (p2, two))]
                        found.append((p1, p2, min(room)))
    return found


def best_by_loops(problem: Problem, wanted: Fraction, drives: list[Fraction]) -> tuple[Fraction, tuple[int, ...]] | None:
    """|error| and merit of the best train that fits, by looking at every one."""
    best: tuple[Fraction, tuple[int, ...]] | None = None
    for _, axes in trains(problem):
        if not meshes(axes) or not locked_together(problem, axes):
            continue
        if problem.banjo is not None and one_stud_margin(problem.banjo, axes) < -1e-9:
            continue
        wheels = [wheel for axis in axes for wheel in axis]
        merit = (changes(problem, axes), len(wheels), sum(wheel.teeth for wheel in wheels))
        for drive in drives:
            error = abs(problem.leadscrew_lead * drive * ratio(axes) / wanted - 1)
            if best is None or (error, merit) < best:
                best = (error, merit)
    return best
