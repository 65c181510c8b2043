"""Gearbox ratios from the rows of a thread plate, exactly.

A row gives the product of one unknown factor for each lever, so every prime of the ratios makes a linear system in exponents.  A
combination is known when its row is a linear combination of the rows that are there; what no row settles stays unknown.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from benchleaf.kinematics.model import GearboxRow, Setting
from benchleaf.record import record

__all__ = ["Explanation", "Plate", "without_faults"]

_Exponents = dict[int, Fraction]
_Vector = dict[tuple[str, str], Fraction]


def _primes(number: int) -> dict[int, int]:
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
    top: _Exponents = {prime: Fraction(power) for prime, power in _primes(ratio.numerator).items()}
    return top | {prime: Fraction(-power) for prime, power in _primes(ratio.denominator).items()}


class Plate:
    """Rows taken one after the other; each is either new, borne out by those before it, or against them."""

    def __init__(self) -> None:
        self._basis: list[tuple[tuple[str, str], _Vector, _Exponents]] = []

    def _reduced(self, levers: Setting, value: _Exponents) -> tuple[_Vector, _Exponents]:
        vector: _Vector = dict.fromkeys(levers, Fraction(1))
        value = dict(value)
        for pivot, other, exponents in self._basis:
            times = vector.get(pivot, Fraction(0))
            if times:
                for key, share in other.items():
                    vector[key] = vector.get(key, Fraction(0)) - times * share
                for prime, power in exponents.items():
                    value[prime] = value.get(prime, Fraction(0)) - times * power
        return {key: n for key, n in vector.items() if n}, {prime: n for prime, n in value.items() if n}

    def add(self, row: GearboxRow) -> bool:
        """Take a row; False, and nothing taken, when it contradicts those that are there."""
        vector, value = self._reduced(row.levers, _exponents(row.ratio))
        if not vector:
            return not value
        pivot = min(vector)
        share = vector[pivot]
        self._basis.append((pivot, {k: n / share for k, n in vector.items()}, {p: n / share for p, n in value.items()}))
        return True

    def ratio(self, levers: Setting) -> Fraction | None:
        """Turns out for a turn in at a combination; None when the rows do not settle it (or only as an irrational number)."""
        vector, value = self._reduced(levers, {})
        if vector or any(power.denominator != 1 for power in value.values()):
            return None
        ratio = Fraction(1)
        for prime, power in value.items():
            ratio *= Fraction(prime) ** -int(power)
        return ratio


@record
class Explanation:
    """One way to make the rows agree: ``wrong`` row numbers (from 0) with the ratio that would fit, None where nothing says."""

    wrong: tuple[tuple[int, Fraction | None], ...]


def without_faults(rows: Sequence[GearboxRow], most: int = 3) -> tuple[Explanation, ...]:
    """Every smallest set of rows, of at most ``most``, without which the others agree.  Empty when no set so small will do."""
    for count in range(most + 1):
        found = []
        for left_out in combinations(range(len(rows)), count):
            plate = Plate()
            if all(plate.add(row) for number, row in enumerate(rows) if number not in left_out):
                found.append(Explanation(tuple((number, plate.ratio(rows[number].levers)) for number in left_out)))
        if found:
            return tuple(found)
    return ()
