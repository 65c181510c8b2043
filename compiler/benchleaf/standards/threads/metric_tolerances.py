"""Deviations and tolerances of ISO metric threads: the cells of ISO 965-1 where it has them, its formulas and R40 elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from benchleaf.standards.threads.model import Quantity
from benchleaf.standards.threads.rounding import figure, power, preferred, size_text
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["RANGES_TOP", "crest_tolerance", "deviation", "diameter_range", "grade_factors", "pitch_tolerance", "r40_steps"]

_MICROMETRE = Fraction(1, 1000)
_TABLE = "ISO 965-1"
RANGES_TOP = 355  # mm, the largest diameter that ISO 965-1 and ISO 2903 have tolerances for


def grade_factors(kind: str) -> Mapping[int, Fraction]:
    """Shares of the outside grade 6 tolerance, by grade, for 'outside pitch', 'inside crest' and so on."""
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


def _cell_status(agrees: bool, name: str, cell: list[object]) -> str:
    """How far a cell of a table can be trusted: the standard's own formula gives it, it was read in print, or it was remembered."""
    data = table("metric")[name]
    return "standard" if agrees else "published" if cell in data["published"] else data["status"]


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
    by_formula = _micrometres(grade_factors(kind)[grade] * basic)
    row = _pitch_rows().get((span[1], pitch)) if span else None
    cells = row[symbol] if row else ()
    name = f"{symbol} grade {grade}"
    if grade - first < len(cells):
        value = Fraction(cells[grade - first])
        status = _cell_status(value == by_formula, "pitch diameters", [size_text(span[1]) if span else "", size_text(pitch), symbol, grade])
        return Quantity(
            name,
            value * _MICROMETRE,
            f"table, over {size_text(span[0])} up to {size_text(span[1])} mm" if span else "",
            f"{_TABLE} table of {symbol}",
            status,
        )
    share = figure(grade_factors(kind)[grade], 2)
    return Quantity(name, by_formula * _MICROMETRE, f"{share} x 90 P^0.4 d^0.1 to the nearest R40 number", f"{_TABLE} formula", "derived")


def crest_tolerance(pitch: Fraction, grade: int, inside: bool) -> Quantity:
    """Tolerance of the minor diameter inside or the major diameter outside, in mm."""
    kind, symbol = ("inside crest", "TD1") if inside else ("outside crest", "Td")
    factors = grade_factors(kind)
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
        status = _cell_status(cell == by_formula, "crests", [size_text(pitch), symbol, grade])
        return Quantity(name, cell * _MICROMETRE, "table", f"{_TABLE} table of {symbol}", status)
    return Quantity(
        name, by_formula * _MICROMETRE, f"{figure(factors[grade], 2)} x ({words}) to the nearest R40 number", f"{_TABLE} formula", "derived"
    )


def deviation(pitch: Fraction, position: str) -> Quantity:
    """Fundamental deviation as a distance from the basic size, in mm: below it for e, f, g; above it for G; nought for h and H."""
    if position in "hH":
        return Quantity(f"deviation {position}", Fraction(0), "nought by definition", _TABLE, "standard")
    name = f"deviation {position}"
    ground = {"e": 50, "f": 30, "g": 15, "G": 15}[position]
    by_formula = _micrometres(ground + 11 * pitch)
    data = table("metric")["deviations"]
    row = next((row for row in data["rows"] if number(row[0]) == pitch), None)
    cell = row[data["columns"].index(position)] if row else None
    if cell is not None:
        status = _cell_status(cell == by_formula, "deviations", [size_text(pitch), position])
        return Quantity(name, cell * _MICROMETRE, "table", f"{_TABLE} table of deviations", status)
    return Quantity(name, by_formula * _MICROMETRE, f"{ground} + 11 P to the nearest R40 number", f"{_TABLE} formula", "derived")
