"""Ratios of a set of wheels in order of their error, nearest first.

Drivers and driven wheels are grouped by the product of their teeth.  For every lever ratio and every driven product the two nearest
driver products go on a heap ordered by error; each is replaced by its neighbour as it is taken off.  The order on the heap is by
floats good to a few parts in 1e16; ratios closer together than 1e-14 are taken off together and ranked in Fractions.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import heapify, heappop, heappush
from math import gcd

from benchleaf.kinematics.trains import Chain, Groups

__all__ = ["Part", "Ratio", "Ratios", "TooMuchWorkError"]

SAME = 1e-14  # relative
LARGEST_FRONT = 2_000_000
MOST_TAKEN = 200_000  # ratios looked at before giving up


class TooMuchWorkError(Exception):
    """The work that a search is allowed is used up."""


@dataclass(frozen=True, slots=True)
class Part:
    """Kinds of train of one order, with sets of driving and of driven wheels.

    ``products``: when only some products of drivers and driven wheels come into question, those; None for all.
    """

    chains: tuple[Chain, ...]
    drivers: Groups
    driven: Groups
    products: Sequence[tuple[int, int]] | None = None


@dataclass(frozen=True, slots=True)
class Ratio:
    """One ratio of wheels under one lever ratio (by number): products of teeth, and the error they give, exactly."""

    error: Fraction
    drive: int
    part: Part
    drivers: int
    driven: int


class Ratios:
    """``factors``: lead with wheels 1 to 1 over the wanted lead, one for each lever ratio.  Raises :class:`TooMuchWorkError`."""

    def __init__(self, parts: Sequence[Part], factors: Sequence[Fraction]) -> None:
        self._parts = parts
        self._factors = factors
        self._floats = [float(factor) for factor in factors]
        self._heap: list[tuple[float, int, int, int, int, int]] = []
        self._left = MOST_TAKEN
        self._tables: dict[int, list[tuple[float, int, int]]] = {}
        self._errors: dict[tuple[int, int], Fraction] = {}
        whole = [part for part in parts if part.products is None]
        if sum(2 * min(len(p.drivers.products), len(p.driven.products)) for p in whole) * len(factors) > LARGEST_FRONT:
            raise TooMuchWorkError
        for number, part in enumerate(parts):
            if part.products is not None:
                self._tables[number] = sorted((p / q, p, q) for p, q in part.products)
                self._seed_table(number)
                continue
            by_driven = len(part.driven.products) <= len(part.drivers.products)
            for drive in range(len(factors)):
                if by_driven:
                    self._seed_drivers(number, drive, part.drivers.products, part.driven.products)
                else:
                    self._seed_driven(number, drive, part.drivers.products, part.driven.products)
        heapify(self._heap)

    def _seed_drivers(self, part: int, drive: int, drivers: Sequence[int], driven: Sequence[int]) -> None:
        add, factor, count = self._heap.append, self._floats[drive], len(drivers)
        for at, q in enumerate(driven):
            target = q / factor
            above = bisect_left(drivers, target)
            if above < count:
                add((drivers[above] / target - 1, part, drive, above, at, 1))
            if above:
                add((1 - drivers[above - 1] / target, part, drive, above - 1, at, -1))

    def _seed_driven(self, part: int, drive: int, drivers: Sequence[int], driven: Sequence[int]) -> None:
        add, factor, count = self._heap.append, self._floats[drive], len(driven)
        for at, p in enumerate(drivers):
            target = p * factor
            above = bisect_left(driven, target)
            if above < count:
                add((1 - target / driven[above], part, drive, at, above, 2))
            if above:
                add((target / driven[above - 1] - 1, part, drive, at, above - 1, -2))

    def _seed_table(self, part: int) -> None:
        table = self._tables[part]
        for drive, factor in enumerate(self._floats):
            above = bisect_left(table, (1 / factor, 0, 0))
            for at, step in ((above, 3), (above - 1, -3)):
                if 0 <= at < len(table):
                    self._heap.append((abs(table[at][0] * factor - 1), part, drive, at, 0, step))

    def _take(self) -> tuple[float, Ratio]:
        self._left -= 1
        if self._left < 0:
            raise TooMuchWorkError
        key, number, drive, d, n, step = heappop(self._heap)
        part, factor = self._parts[number], self._floats[drive]
        if step in (3, -3):
            table = self._tables[number]
            after = d + step // 3
            if 0 <= after < len(table):
                heappush(self._heap, (abs(table[after][0] * factor - 1), number, drive, after, 0, step))
            _, p, q = table[d]
            return key, Ratio(self._error(drive, p, q), drive, part, p, q)
        drivers, driven = part.drivers.products, part.driven.products
        p, q = drivers[d], driven[n]
        if step in (1, -1):
            after = d + step
            if 0 <= after < len(drivers):
                heappush(self._heap, (abs(drivers[after] / (q / factor) - 1), number, drive, after, n, step))
        else:
            after = n + step // 2
            if 0 <= after < len(driven):
                heappush(self._heap, (abs(p * factor / driven[after] - 1), number, drive, d, after, step))
        return key, Ratio(self._error(drive, p, q), drive, part, p, q)

    def _error(self, drive: int, p: int, q: int) -> Fraction:
        """The same object for one and the same error: most leads can be made in dozens of ways."""
        factor = self._factors[drive]
        top, bottom = factor.numerator * p, factor.denominator * q
        common = gcd(top, bottom)
        key = top // common, bottom // common
        if key not in self._errors:
            self._errors[key] = Fraction(key[0] - key[1], key[1])
        return self._errors[key]

    def runs(self) -> Iterator[list[Ratio]]:
        """Ratios of one and the same lead together, nearest lead first; of two leads equally far out the longer one first."""
        while self._heap:
            key, ratio = self._take()
            together = [ratio]
            while self._heap and self._heap[0][0] - key <= SAME * (1 + key):
                key, ratio = self._take()
                together.append(ratio)
            if any(each.error is not ratio.error for each in together):
                together.sort(key=lambda r: (abs(r.error), -r.error))
            start = 0
            for end in range(1, len(together) + 1):
                if end == len(together) or together[end].error is not together[start].error:
                    yield together[start:end]
                    start = end
