"""Limits of ISO metric threads: ISO 965-1 tables where they have a cell, the standard's formulas and R40 rounding elsewhere."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import figure, power, preferred, size_text
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["RANGES_TOP", "MetricRule", "diameter_range", "pitch_tolerance", "r40_steps"]

_MICROMETRE = Fraction(1, 1000)
_GRADES = {"outside pitch": (3, 9), "inside pitch": (4, 8)}
_TABLE = "ISO 965-1"
RANGES_TOP = 355  # mm, the largest diameter that ISO 965-1 and ISO 2903 have tolerances for
_GROUPS = {"S": "short", "N": "normal", "L": "long"}


def _factors(kind: str) -> Mapping[int, Fraction]:
    return {int(grade): number(share) for grade, share in table("metric")["grade factors"][kind].items()}


@lru_cache(maxsize=1)
def _decade() -> tuple[Fraction, ...]:
    return numbers(table("metric")["preferred numbers"])


def _micrometres(value: Fraction) -> Fraction:
    """A formula's value as the tables print it: nearest R40 number, in whole micrometres, halves to even below 100."""
    return Fraction(round(preferred(value, _decade())))


@lru_cache(maxsize=1)
def _pitch_rows() -> Mapping[tuple[Fraction, Fraction], Mapping[str, Any]]:
    return {(number(row["to"]), number(row["P"])): row for row in table("metric")["pitch diameters"]["rows"]}


@lru_cache(maxsize=1)
def _read_cells() -> frozenset[tuple[Fraction, Fraction, str, int]]:
    """Cells that stray from the formula and were read in a published table of limits."""
    cells = table("metric")["pitch diameters"]["published"]
    return frozenset((number(to), number(pitch), symbol, grade) for to, pitch, symbol, grade in cells)


def diameter_range(diameter: Fraction) -> tuple[Fraction, Fraction] | None:
    """The range of ISO 965-1 that a diameter (mm) is in: over the first, up to and including the second; None outside all."""
    for over, to in table("metric")["diameter ranges"]["rows"]:
        if number(over) < diameter <= number(to):
            return number(over), number(to)
    return None


def r40_steps(value: Fraction, steps: int) -> Fraction:
    """The preferred number so many places up the R40 series from one that is in it, in whole micrometres."""
    decade = _decade()[:-1]
    scale = Fraction(1)
    while value >= 10 * scale:
        scale *= 10
    place = min(range(len(decade)), key=lambda one: abs(decade[one] * scale - value)) + steps
    return Fraction(round(decade[place % len(decade)] * scale * Fraction(10) ** (place // len(decade))))


def pitch_tolerance(diameter: Fraction, pitch: Fraction, grade: int, inside: bool) -> Quantity:
    """Tolerance of the pitch diameter in mm for a grade of ISO 965-1."""
    first = 4 if inside else 3
    kind = "inside pitch" if inside else "outside pitch"
    symbol = "TD2" if inside else "Td2"
    span = diameter_range(diameter)
    # Outside the ranges of the standard the diameter itself stands in for the mean of its range.
    mean_squared = span[0] * span[1] if span else diameter * diameter
    basic = 90 * power(pitch, Fraction(2, 5)) * power(mean_squared, Fraction(1, 20))
    by_formula = _micrometres(_factors(kind)[grade] * basic)
    row = _pitch_rows().get((span[1], pitch)) if span else None
    cells = row[symbol] if row else ()
    name = f"{symbol} grade {grade}"
    if grade - first < len(cells):
        value = Fraction(cells[grade - first])
        read = span is not None and (span[1], pitch, symbol, grade) in _read_cells()
        status = "standard" if value == by_formula else "published" if read else table("metric")["pitch diameters"]["status"]
        return Quantity(
            name,
            value * _MICROMETRE,
            f"table, over {size_text(span[0])} up to {size_text(span[1])} mm" if span else "",
            f"{_TABLE} table of {symbol}",
            status,
        )
    share = figure(_factors(kind)[grade], 2)
    return Quantity(name, by_formula * _MICROMETRE, f"{share} x 90 P^0.4 d^0.1 to the nearest R40 number", f"{_TABLE} formula", "derived")


def crest_tolerance(pitch: Fraction, grade: int, inside: bool) -> Quantity:
    """Tolerance of the minor diameter inside or the major diameter outside, in mm."""
    kind, symbol = ("inside crest", "TD1") if inside else ("outside crest", "Td")
    factors = _factors(kind)
    if inside:
        basic = 433 * pitch - 190 * power(pitch, Fraction(61, 50)) if pitch < Fraction(9, 10) else 230 * power(pitch, Fraction(7, 10))
        words = "433 P - 190 P^1.22" if pitch < Fraction(9, 10) else "230 P^0.7"
    else:
        basic = 180 * power(pitch, Fraction(2, 3)) - Fraction(315, 100) * power(pitch, Fraction(-1, 2))
        words = "180 P^(2/3) - 3.15 / P^(1/2)"
    by_formula = _micrometres(factors[grade] * basic)
    name = f"{symbol} grade {grade}"
    row = next((row for row in table("metric")["crests"]["rows"] if number(row["P"]) == pitch), None)
    cell = row[symbol][sorted(factors).index(grade)] if row else None
    if cell is not None:
        return Quantity(name, cell * _MICROMETRE, "table", f"{_TABLE} table of {symbol}", table("metric")["crests"]["status"])
    return Quantity(
        name, by_formula * _MICROMETRE, f"{figure(factors[grade], 2)} x ({words}) to the nearest R40 number", f"{_TABLE} formula", "derived"
    )


def deviation(pitch: Fraction, position: str) -> Quantity:
    """Fundamental deviation as a distance from the basic size, in mm: below it for e, f, g; above it for G; nought for h and H."""
    if position in "hH":
        return Quantity(f"deviation {position}", Fraction(0), "nought by definition", _TABLE, "standard")
    columns = table("metric")["deviations"]["columns"]
    row = next((row for row in table("metric")["deviations"]["rows"] if number(row[0]) == pitch), None)
    cell = row[columns.index(position)] if row else None
    if cell is not None:
        return Quantity(
            f"deviation {position}", cell * _MICROMETRE, "table", f"{_TABLE} table of deviations", table("metric")["deviations"]["status"]
        )
    ground = {"e": 50, "f": 30, "g": 15, "G": 15}[position]
    return Quantity(
        f"deviation {position}",
        _micrometres(ground + 11 * pitch) * _MICROMETRE,
        f"{ground} + 11 P to the nearest R40 number",
        f"{_TABLE} formula",
        "derived",
    )


@dataclass(frozen=True, slots=True)
class _Side:
    """Grade and position of the pitch diameter, then of the crest."""

    pitch_grade: int
    pitch_position: str
    crest_grade: int
    crest_position: str


def _side(words: str) -> _Side:
    parts = re.findall(r"(\d+)([A-Za-z])", words)
    (grade, position), (crest_grade, crest_position) = parts[0], parts[-1]
    return _Side(int(grade), position, int(crest_grade), crest_position)


@dataclass(frozen=True, slots=True)
class MetricRule:
    """Tolerance classes of ISO 965-1: '6g', '4g6g', '6H', '6H/6g'; the pitch diameter's class stands before the crest's."""

    words: str
    engagement: str = ""

    @staticmethod
    def read(words: str, engagement: str = "") -> MetricRule:
        """A rule from class words.  Raises DesignationError for classes that the standard does not have."""
        MetricRule.check(words, Reader(words), 0, len(words))
        return MetricRule(words, engagement)

    @staticmethod
    def check(words: str, reader: Reader, start: int, end: int) -> None:
        """Raise DesignationError unless every class exists: positions e f g h outside, G H inside, grades within the tables."""
        sides = words.split("/")
        if len(sides) == 2 and not (sides[0][-1].isupper() and sides[1][-1].islower()):
            raise reader.fault(f"a fit is the inside class, a stroke, the outside class; {words} is not", "write it as 6H/6g", start, end)
        for part in sides:
            if re.fullmatch(r"(?:\d{1,2}[A-Za-z]){1,2}", part) is None:
                raise reader.fault(
                    f"{part[:20]!r} is not a tolerance class of ISO 965-1", "outside as 6g or 4g6g, inside as 6H or 5H6H", start, end
                )
            one = _side(part)
            inside = one.pitch_position.isupper()
            allowed = "GH" if inside else "efgh"
            where = "inside" if inside else "outside"
            if one.pitch_position not in allowed or one.crest_position not in allowed:
                raise reader.fault(
                    f"{part} is not a tolerance class: {where} threads have positions {', '.join(allowed)}",
                    "small letters are outside threads, capitals inside ones",
                    start,
                    end,
                )
            if one.pitch_grade not in _factors(f"{where} pitch"):
                low, high = _GRADES[f"{where} pitch"]
                raise reader.fault(
                    f"{part}: pitch diameters of {where} threads have grades {low} to {high}", "the usual one is 6", start, end
                )
            if one.crest_grade not in _factors(f"{where} crest"):
                grades = ", ".join(str(grade) for grade in _factors(f"{where} crest"))
                raise reader.fault(
                    f"{part}: crests of {where} threads have grades {grades} only",
                    f"name both, the pitch diameter's first: {one.pitch_grade}{one.pitch_position}6{one.crest_position}",
                    start,
                    end,
                )

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when only the other side has a class."""
        words = next((part for part in self.words.split("/") if part[-1].isupper() is inside), None)
        if words is None:
            where, other = ("inside", "outside") if inside else ("outside", "inside")
            raise DesignationError(
                f"{self.words} is a class of {other} threads, but {thread.designation} is wanted {where}",
                f"write {'6H' if inside else '6g'}, or leave the class out",
            )
        side = _side(words)
        return self._inside(thread, words, side, engagement) if inside else self._outside(thread, words, side, engagement)

    def _outside(self, thread: Thread, words: str, side: _Side, engagement: Fraction | None) -> ThreadLimits:
        pitch_deviation, crest_deviation = deviation(thread.pitch, side.pitch_position), deviation(thread.pitch, side.crest_position)
        pitch_part = pitch_tolerance(thread.major, thread.pitch, side.pitch_grade, inside=False)
        crest_part = crest_tolerance(thread.pitch, side.crest_grade, inside=False)
        major = thread.major - crest_deviation.value
        pitch = thread.pitch_diameter - pitch_deviation.value
        root = thread.minor_diameter - pitch_deviation.value
        shift = f"deviation {side.pitch_position} {figure(pitch_deviation.value, 3)}"
        return ThreadLimits(
            inside=False,
            tolerance=words,
            major=_span(major - crest_part.value, major, thread.major, "major diameter", crest_deviation, crest_part),
            pitch=_span(pitch - pitch_part.value, pitch, thread.pitch_diameter, "pitch diameter", pitch_deviation, pitch_part),
            minor=SizeLimits(
                None,
                root,
                f"no part of the root above D1 {figure(thread.minor_diameter, 3)} - {shift}; root radius P/8 or more",
                f"ISO 724 and {_TABLE}",
                _worst(pitch_deviation),
                thread.minor_diameter,
            ),
            pitch_tolerance=pitch_part.value,
            allowance=pitch_deviation.value,
            basis=(pitch_deviation, crest_deviation, pitch_part, crest_part),
            notes=self._notes(thread, engagement),
        )

    def _inside(self, thread: Thread, words: str, side: _Side, engagement: Fraction | None) -> ThreadLimits:
        pitch_deviation, crest_deviation = deviation(thread.pitch, side.pitch_position), deviation(thread.pitch, side.crest_position)
        pitch_part = pitch_tolerance(thread.major, thread.pitch, side.pitch_grade, inside=True)
        crest_part = crest_tolerance(thread.pitch, side.crest_grade, inside=True)
        pitch = thread.pitch_diameter + pitch_deviation.value
        minor = thread.minor_diameter + crest_deviation.value
        return ThreadLimits(
            inside=True,
            tolerance=words,
            major=SizeLimits(
                thread.major + pitch_deviation.value,
                None,
                f"root at or beyond D {figure(thread.major)} + deviation {side.pitch_position} {figure(pitch_deviation.value, 3)}",
                f"ISO 724 and {_TABLE}",
                _worst(pitch_deviation),
                thread.major,
            ),
            pitch=_span(pitch, pitch + pitch_part.value, thread.pitch_diameter, "pitch diameter", pitch_deviation, pitch_part),
            minor=_span(minor, minor + crest_part.value, thread.minor_diameter, "minor diameter", crest_deviation, crest_part),
            pitch_tolerance=pitch_part.value,
            allowance=pitch_deviation.value,
            basis=(pitch_deviation, crest_deviation, pitch_part, crest_part),
            notes=self._notes(thread, engagement),
        )

    def _notes(self, thread: Thread, engagement: Fraction | None) -> tuple[str, ...]:
        if engagement is None:
            return ()
        span = diameter_range(thread.major)
        scale = thread.pitch * power(span[0] if span else thread.major, Fraction(1, 5))
        least, most = Fraction(224, 100) * scale, Fraction(67, 10) * scale
        group = "S" if engagement <= least else "N" if engagement <= most else "L"
        stated = self.engagement or "N"
        if group == stated:
            return ()
        size = f"an engagement of {figure(engagement, 2)} mm is {_GROUPS[group]} ({group}) for this thread"
        return (f"{size}: normal is {figure(least, 1)} to {figure(most, 1)} mm (ISO 965-1 formula); the class is of group {stated}",)


_ORDER = ("standard", "published", "derived", "common practice", "from memory")


def _worst(*parts: Quantity) -> str:
    return max((part.status for part in parts), key=_ORDER.index)


def _span(lower: Fraction, upper: Fraction, basic: Fraction, what: str, shift: Quantity, width: Quantity) -> SizeLimits:
    sign = "+" if lower >= basic else "-"
    words = (
        f"basic {what} {figure(basic, 3)} {sign} {shift.name} {figure(shift.value, 3)}; then {sign} {width.name} {figure(width.value, 3)}"
    )
    return SizeLimits(lower, upper, words, f"ISO 724 and {_TABLE}", _worst(shift, width), basic)
