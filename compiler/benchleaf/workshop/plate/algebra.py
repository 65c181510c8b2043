"""Gearbox ratios from the rows of a thread plate, exactly.

A row gives the product of one unknown factor for each lever, so every prime of the ratios makes a linear system in exponents.  A
combination is known when its row is a linear combination of the rows that are there; what no row settles stays unknown.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations
from random import Random
from typing import NamedTuple, TypeVar

__all__ = ["Explanation", "Plate", "Row", "Setting", "primes", "without_faults"]

Setting = tuple[tuple[str, str], ...]  # lever and position
K = TypeVar("K")
_Exponents = dict[int, Fraction]
_Vector = dict[tuple[str, str], Fraction]
_ORDERS = 6000  # rows taken, in all orders together, when more than one row is wrong


class Row(NamedTuple):
    """A combination of levers and its ratio: turns out for a turn in."""

    levers: Setting
    ratio: Fraction


class Explanation(NamedTuple):
    """One way to make the rows agree: ``wrong`` row numbers (from 0) with the ratio that would fit, None where nothing says.

    ``borne_out`` is how many of the others are borne out by the rest: with fewer than there are wrong ones, nothing is explained.
    """

    wrong: tuple[tuple[int, Fraction | None], ...]
    borne_out: int


def primes(number: int) -> dict[int, int]:
    """The prime factors of a whole number above 0 with their powers."""
    found: dict[int, int] = {}
    prime = 2
    while prime * prime <= number:
        while number % prime == 0:
            found[prime] = found.get(prime, 0) + 1
            number //= prime
        prime += 1
    if number > 1:
        found[number] = found.get(number, 0) + 1
    return found


def _exponents(ratio: Fraction) -> _Exponents:
    top: _Exponents = {prime: Fraction(power) for prime, power in primes(ratio.numerator).items()}
    return top | {prime: Fraction(-power) for prime, power in primes(ratio.denominator).items()}


class _Line(NamedTuple):
    """A row solved for one factor (``pivot``): the others in it, its value, and how many times each row went into it."""

    pivot: tuple[str, str]
    vector: _Vector
    value: _Exponents
    rows: dict[int, Fraction]


def _take_from(target: dict[K, Fraction], parts: Mapping[K, Fraction], times: Fraction) -> None:
    for key, share in parts.items():
        target[key] = target.get(key, Fraction(0)) - times * share


class Plate:
    """Rows taken one after the other; each is either new, borne out by those before it, or against them."""

    def __init__(self) -> None:
        self._lines: list[_Line] = []

    def __len__(self) -> int:
        return len(self._lines)

    def _reduced(self, levers: Setting, value: Mapping[int, Fraction], rows: Mapping[int, Fraction]) -> _Line:
        vector: _Vector = dict.fromkeys(levers, Fraction(1))
        value, rows = dict(value), dict(rows)
        for line in self._lines:
            times = vector.get(line.pivot)
            if times:
                _take_from(vector, line.vector, times)
                _take_from(value, line.value, times)
                _take_from(rows, line.rows, times)
        kept = {key: n for key, n in vector.items() if n}
        return _Line(min(kept, default=("", "")), kept, {p: n for p, n in value.items() if n}, {row: n for row, n in rows.items() if n})

    def add(self, row: Row, number: int = 0) -> bool:
        """Take a row, known by its number; False, and nothing taken, when it contradicts those that are there."""
        line = self._reduced(row.levers, _exponents(row.ratio), {number: Fraction(1)})
        if not line.vector:
            return not line.value
        share = line.vector[line.pivot]
        if share != 1:
            line = _Line(line.pivot, *({key: n / share for key, n in part.items()} for part in line[1:]))  # type: ignore[arg-type]
        self._lines.append(line)
        return True

    def ratio(self, levers: Setting) -> Fraction | None:
        """Turns out for a turn in at a combination; None when the rows do not settle it (or only as an irrational number)."""
        line = self._reduced(levers, {}, {})
        if line.vector or any(power.denominator != 1 for power in line.value.values()):
            return None
        ratio = Fraction(1)
        for prime, power in line.value.items():
            ratio *= Fraction(prime) ** -int(power)
        return ratio

    def rows(self, levers: Setting) -> tuple[int, ...]:
        """The numbers of the rows that settle a combination."""
        return tuple(sorted(self._reduced(levers, {}, {}).rows))


def without_faults(rows: Sequence[Row], most: int = 3) -> tuple[Explanation, ...]:
    """The smallest sets of rows, of at most ``most``, without which the others agree.  Empty when no set so small will do.

    Rows that contradict each other hold a wrong one, so sets of one are tried among the first such rows only.  Larger ones are found by
    taking the rows in many orders (the same ones every time) and seeing which are turned away: a set that hardly any order brings to
    light may be missed.
    """
    against = _against(rows)
    if not against:
        return (_explained(rows, ()),)
    everyone = range(len(rows))
    found: set[tuple[int, ...]] = {
        (number,) for number in against if most and not _turned_away(rows, [other for other in everyone if other != number])
    }
    if not found and most >= 2:
        found = _by_orders(rows, most)
    least = min(map(len, found), default=0)
    return tuple(_explained(rows, wrong) for wrong in sorted(found) if len(wrong) == least)


def _against(rows: Sequence[Row]) -> tuple[int, ...]:
    """The first row that contradicts those before it, with those that it contradicts; empty when all agree."""
    plate = Plate()
    for number, row in enumerate(rows):
        if not plate.add(row, number):
            return (*plate.rows(row.levers), number)
    return ()


def _turned_away(rows: Sequence[Row], order: Sequence[int]) -> tuple[int, ...]:
    plate = Plate()
    return tuple(sorted(number for number in order if not plate.add(rows[number])))


def _by_orders(rows: Sequence[Row], most: int) -> set[tuple[int, ...]]:
    draw = Random(0)
    found: set[tuple[int, ...]] = set()
    for _ in range(max(40, _ORDERS // len(rows))):
        wrong = _turned_away(rows, draw.sample(range(len(rows)), len(rows)))
        if len(wrong) <= most:
            found.add(wrong)
    for wrong in sorted(found):  # some of them may have been turned away by others of them only
        for fewer in (part for size in range(1, len(wrong)) for part in combinations(wrong, size)):
            if not _turned_away(rows, [number for number in range(len(rows)) if number not in fewer]):
                found.add(fewer)
                break
    return found


def _explained(rows: Sequence[Row], wrong: Sequence[int]) -> Explanation:
    plate = Plate()
    for number, row in enumerate(rows):
        if number not in wrong:
            plate.add(row, number)
    borne_out = len(rows) - len(wrong) - len(plate)
    return Explanation(tuple((number, plate.ratio(rows[number].levers)) for number in wrong), borne_out)
