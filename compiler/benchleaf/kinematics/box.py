"""The box of wheels as the search sees it: kinds, how many of each, where each may go, and which are one piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import permutations

from benchleaf.kinematics.model import LockedPair, Place, PlaceLimit, Problem, Wheel, WheelRef
from benchleaf.kinematics.wheels import matches

__all__ = ["Box", "Kind", "in_limits"]


@dataclass(frozen=True, slots=True)
class Kind:
    """Wheels that nothing distinguishes: same teeth, module and pressure angle.  ``family`` numbers what meshes with one another.

    ``partner`` is the kind it is one piece with; ``place`` where it is captive; ``extra`` marks a wheel that is not owned.
    """

    index: int
    wheel: Wheel
    family: int
    copies: int
    partner: int | None = None
    place: Place | None = None
    extra: bool = False
    teeth: int = field(init=False)
    pitch_radius: float = field(init=False)
    tip_radius: float = field(init=False)

    def __post_init__(self) -> None:
        module = float(self.wheel.module)
        object.__setattr__(self, "teeth", self.wheel.teeth)
        object.__setattr__(self, "pitch_radius", module * self.wheel.teeth / 2)
        object.__setattr__(self, "tip_radius", module * (self.wheel.teeth + 2) / 2)


def in_limits(limits: Iterable[PlaceLimit], place: Place, teeth: int) -> bool:
    """Does the place take a wheel of so many teeth?"""
    own = [limit for limit in limits if limit.place is place]
    enough = all(limit.fewest is None or teeth >= limit.fewest for limit in own)
    return enough and all(limit.most is None or teeth <= limit.most for limit in own)


class Box:
    """The kinds of wheel of a problem.

    ``without`` names wheels to leave in the box (all copies); ``extra`` adds one wheel of each of these tooth counts in each family owned.
    ``unmatched_pairs`` are locked pairs whose wheels the box does not hold.
    """

    def __init__(self, problem: Problem, without: Sequence[WheelRef] = (), extra: Iterable[int] = ()) -> None:
        self._families: dict[tuple[Fraction, Fraction], int] = {}
        loose: dict[tuple[int, Fraction, Fraction], list[Wheel | int]] = {}
        for wheel in sorted(problem.wheels, key=lambda w: (w.teeth, w.module, w.pressure_angle)):
            if wheel.teeth >= 1 and wheel.copies >= 1:
                entry = loose.setdefault((wheel.teeth, wheel.module, wheel.pressure_angle), [wheel, 0])
                entry[1] += wheel.copies  # type: ignore[operator]
        wheels = [(wheel, copies) for wheel, copies in loose.values() if isinstance(wheel, Wheel) and isinstance(copies, int)]
        pairs, self.unmatched_pairs = _take_pairs(wheels, problem.locked_pairs)
        kinds: list[Kind] = []
        for wheel, copies in wheels:
            if copies and not any(matches(ref, wheel) for ref in without):
                kinds.append(Kind(len(kinds), wheel, self._family(wheel), copies))
        for one, two in pairs:
            if not any(matches(ref, wheel) for ref in without for wheel in (one, two)):
                at = len(kinds)
                kinds += [Kind(at, one, self._family(one), 1, at + 1), Kind(at + 1, two, self._family(two), 1, at)]
        for place, wheel in problem.captives:
            kinds.append(Kind(len(kinds), wheel, self._family(wheel), 1, None, place))
        extra = tuple(extra)
        for module, angle in sorted({(wheel.module, wheel.pressure_angle) for wheel in problem.wheels}) if extra else ():
            for teeth in extra:
                wheel = Wheel(teeth, module, angle)
                kinds.append(Kind(len(kinds), wheel, self._family(wheel), 1, None, None, True))
        self.kinds = tuple(kinds)
        self.has_extra = bool(extra)
        captive = {place for place, _ in problem.captives}
        self.allowed: dict[Place, tuple[int, ...]] = {
            place: tuple(kind.index for kind in kinds if _goes(kind, place, captive, problem.limits)) for place in Place
        }
        self.paired = bool(pairs)
        self.families = len(self._families)
        self._rows = problem.wheels
        self._orders: dict[tuple[tuple[int, ...], bool], tuple[tuple[int, ...], ...]] = {}

    def orders(self, group: tuple[int, ...], driving: bool) -> tuple[tuple[int, ...], ...]:
        """Every order in which these wheels can drive, the headstock's first, or be driven, the gearbox's or leadscrew's last."""
        key = group, driving
        if key not in self._orders:
            end, stud = (Place.FIRST, Place.STUD_DRIVER) if driving else (Place.LAST, Place.STUD_DRIVEN)
            ends, studs = self.allowed[end], self.allowed[stud]
            possible = sorted(set(permutations(group)))
            if driving:
                self._orders[key] = tuple(o for o in possible if o[0] in ends and all(i in studs for i in o[1:]))
            else:
                self._orders[key] = tuple(o for o in possible if o[-1] in ends and all(i in studs for i in o[:-1]))
        return self._orders[key]

    def _family(self, wheel: Wheel) -> int:
        return self._families.setdefault((wheel.module, wheel.pressure_angle), len(self._families))

    def rows(self, indices: Sequence[int]) -> tuple[Wheel, ...]:
        """The row of the box that each wheel comes from; of two rows with the same wheel the one written first is used up first."""
        taken: dict[int, int] = {}
        found = []
        for index in indices:
            kind = self.kinds[index]
            number = taken.get(index, 0)
            taken[index] = number + 1
            wheel = kind.wheel
            if kind.place is None and not kind.extra:
                for row in self._rows:
                    if (row.teeth, row.module, row.pressure_angle) == (wheel.teeth, wheel.module, wheel.pressure_angle):
                        if number < row.copies:
                            wheel = row
                            break
                        number -= row.copies
            found.append(wheel if wheel.copies == 1 else replace(wheel, copies=1))
        return tuple(found)


def _take_pairs(wheels: list[tuple[Wheel, int]], locked: Sequence[LockedPair]) -> tuple[list[tuple[Wheel, Wheel]], tuple[LockedPair, ...]]:
    """Take one copy of each wheel of a locked pair out of the loose ones."""
    pairs, unmatched = [], []
    for pair in locked:
        picked: list[int] = []
        for ref in (pair.a, pair.b):
            at = next((i for i, (w, copies) in enumerate(wheels) if matches(ref, w) and copies > picked.count(i)), None)
            if at is not None:
                picked.append(at)
        if len(picked) < 2:
            unmatched.append(pair)
            continue
        for at in picked:
            wheels[at] = (wheels[at][0], wheels[at][1] - 1)
        pairs.append((wheels[picked[0]][0], wheels[picked[1]][0]))
    return pairs, tuple(unmatched)


def _goes(kind: Kind, place: Place, captive: set[Place], limits: Sequence[PlaceLimit]) -> bool:
    if kind.place is not None:
        return kind.place is place
    if place in captive or (kind.partner is not None and place not in (Place.STUD_DRIVEN, Place.STUD_DRIVER)):
        return False
    return in_limits(limits, place, kind.teeth)
