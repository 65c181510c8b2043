"""Dividing: simple, angular and differential indexing with a worm and index plates, and direct indexing by a toothed wheel.

Angles in degrees; a ratio is crank turns for one turn of the spindle.  All of it is exact arithmetic; sources are named where a figure
is not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations, permutations

from benchleaf.exact import PI
from benchleaf.record import record
from benchleaf.standards.tables import Rule, table

__all__ = [
    "DIFFERENTIAL", "SIMPLE", "Differential", "Indexing", "NearIndexing", "PlatePlace", "angular_indexing", "arc_error",
    "differential_indexing", "direct_indexing", "indexing_choices", "nearest_angular", "not_simple", "one_hole_slip", "plate_set",
    "plate_set_names", "sector_holes", "simple_indexing", "usual_wheels", "worm_ratios",
]  # fmt: skip

SIMPLE = Rule("crank turns = ratio / divisions", "the worm gear's ratio", "derived")
DIFFERENTIAL = Rule("train from spindle to plate = ratio x (nearby - divisions) / nearby", "arithmetic of the differential", "derived")


@record
class PlatePlace:
    """A circle of holes and the plate that it is on, counted from 1."""

    circle: int
    plate: int


@record
class Indexing:
    """A crank move: ``turns`` whole turns and ``holes`` spaces in the circle of ``circle`` holes, None when the turns come out whole."""

    turns: int
    holes: int
    circle: int | None

    @property
    def crank(self) -> Fraction:
        """The move in crank turns."""
        return self.turns + (Fraction(self.holes, self.circle) if self.circle else Fraction(0))

    @property
    def sector(self) -> int | None:
        """Holes between the sector arms, that of the pin counted: spaces + 1.  None for whole turns."""
        return sector_holes(self.holes) if self.circle else None


@record
class NearIndexing:
    """The nearest crank move to an angle: ``angle`` is what it gives, ``error`` that less what was wanted, degrees."""

    move: Indexing
    angle: Fraction
    error: Fraction


@record
class Differential:
    """Differential indexing: the crank is moved as for ``nearby`` divisions, the plate is driven from the spindle by a train.

    ``train`` is the plate's turns for one of the spindle: with the crank when positive, against it when negative.  ``pairs`` are
    (driver, driven), the first driver on the spindle, the last driven on the plate's shaft; one pair is a simple train.
    """

    divisions: int
    nearby: int
    move: Indexing
    train: Fraction
    pairs: tuple[tuple[int, int], ...]

    @property
    def with_crank(self) -> bool:
        """Whether the plate turns the way the crank does."""
        return self.train > 0


def worm_ratios() -> tuple[int, ...]:
    """The worm ratios that are in use.  Source: open texts and common practice."""
    return tuple(int(row.number("ratio")) for row in table("dividing", "ratios").rows)


def plate_set_names() -> tuple[str, ...]:
    """The names of the usual sets of plates."""
    return tuple(dict.fromkeys(row.text("set") for row in table("dividing", "plates").rows))


def plate_set(name: str) -> tuple[PlatePlace, ...]:
    """The circles of a usual set with the plate each is on.  Raises LookupError when there is none of the name."""
    rows = table("dividing", "plates").where("set", name)
    if not rows:
        raise LookupError(f"no set of plates {name}")
    return tuple(PlatePlace(int(circle), int(row.number("plate"))) for row in rows for circle in row.numbers("circles"))


def usual_wheels() -> tuple[int, ...]:
    """The usual wheels for differential indexing.  Source: common practice."""
    return tuple(int(wheel) for wheel in table("dividing", "wheels").rows[0].numbers("wheels"))


def sector_holes(spaces: int) -> int:
    """Holes that the sector arms take in for a number of spaces, the pin's own counted.  Source: common practice."""
    return spaces + 1


def indexing_choices(crank: Fraction, circles: Sequence[int]) -> tuple[Indexing, ...]:
    """Every circle that makes a crank move exact, the smallest first; one without a circle for whole turns, none when none serves."""
    whole, part = divmod(crank, 1)
    if not part:
        return (Indexing(int(whole), 0, None),)
    serve = sorted({circle for circle in circles if circle > 0 and circle % part.denominator == 0})
    return tuple(Indexing(int(whole), int(part * circle), circle) for circle in serve)


def simple_indexing(divisions: int, circles: Sequence[int], ratio: int = 40) -> Indexing | None:
    """The crank move for so many divisions in the smallest circle that serves; None when no circle does.

    Raises ValueError for fewer than one division.  Source: the worm gear's ratio.
    """
    if divisions < 1:
        raise ValueError("there is at least one division")
    return next(iter(indexing_choices(Fraction(ratio, divisions), circles)), None)


def angular_indexing(angle: Fraction, circles: Sequence[int], ratio: int = 40) -> Indexing | None:
    """The crank move for an angle in degrees, exact; None when no circle makes it so.  Source: the worm gear's ratio."""
    if angle <= 0:
        raise ValueError("an angle to index is above nought")
    return next(iter(indexing_choices(angle * ratio / 360, circles)), None)


def nearest_angular(angle: Fraction, circles: Sequence[int], ratio: int = 40) -> NearIndexing | None:
    """The crank move nearest to an angle; of equally near ones that in the smallest circle.  None without circles."""
    if angle <= 0:
        raise ValueError("an angle to index is above nought")
    crank = angle * ratio / 360
    best: NearIndexing | None = None
    for circle in sorted({circle for circle in circles if circle > 0}):
        turns, holes = divmod(round(crank * circle), circle)
        move = Indexing(turns, holes, circle if holes else None)
        given = move.crank * 360 / ratio
        if best is None or abs(given - angle) < abs(best.error):
            best = NearIndexing(move, given, given - angle)
    return best


def not_simple(low: int, high: int, circles: Sequence[int], ratio: int = 40) -> tuple[int, ...]:
    """The divisions from ``low`` to ``high`` that simple indexing cannot make with these circles."""
    return tuple(count for count in range(low, high + 1) if simple_indexing(count, circles, ratio) is None)


def one_hole_slip(circle: int, ratio: int = 40) -> Fraction:
    """How far the spindle is out when the pin goes one hole wrong, degrees: 360 / (ratio x circle).  Source: arithmetic."""
    return Fraction(360, ratio * circle)


def arc_error(seconds: Fraction, radius: Fraction) -> Fraction:
    """The error along the arc at a radius for an error of angle in seconds, in the radius's unit.  Source: geometry."""
    return radius * seconds * PI / (180 * 3600)


def differential_indexing(
    divisions: int,
    circles: Sequence[int],
    wheels: Sequence[int],
    ratio: int = 40,
    *,
    within: int = 12,
) -> tuple[Differential, ...]:
    """Ways to make so many divisions with the plate driven from the spindle, the nearest ``nearby`` first, simple trains first.

    ``wheels`` are those that are there, each used once.  Searches up to ``within`` divisions away; empty when none is found.
    """
    if divisions < 1:
        raise ValueError("there is at least one division")
    found = []
    for away in range(1, within + 1):
        for nearby in (divisions - away, divisions + away):
            move = simple_indexing(nearby, circles, ratio) if nearby > 0 else None
            train = Fraction(ratio * (nearby - divisions), nearby) if nearby > 0 else Fraction(0)
            pairs = next(_trains(abs(train), wheels), None) if move else None
            if move and pairs:
                found.append(Differential(divisions, nearby, move, train, pairs))
    return tuple(found)


def _trains(ratio: Fraction, wheels: Sequence[int]) -> Iterator[tuple[tuple[int, int], ...]]:
    """Simple trains and then compound ones of exactly a ratio, drivers over driven, each wheel used once."""
    for driver, driven in sorted(set(permutations(sorted(wheels), 2))):
        if Fraction(driver, driven) == ratio:
            yield ((driver, driven),)
    pairs = sorted(set(combinations(sorted(wheels), 2)))
    for drivers in pairs:
        left = list(wheels)
        for wheel in drivers:
            left.remove(wheel)
        for onto in sorted(set(combinations(sorted(left), 2))):
            if Fraction(drivers[0] * drivers[1], onto[0] * onto[1]) == ratio:
                yield ((drivers[0], onto[0]), (drivers[1], onto[1]))


def direct_indexing(divisions: int, places: int, turns: Fraction = Fraction(1)) -> int | None:
    """Places of a notched plate or teeth of a wheel to move for each division; None when they do not divide.

    ``turns``: turns of that plate or wheel for one of the spindle.  Source: arithmetic.
    """
    if divisions < 1 or places < 1:
        raise ValueError("there is at least one division and one place")
    move = places * turns / divisions
    return int(move) if move.denominator == 1 else None
