"""The wheel ratios of a machine within a window, out of a table or driven product by driven product.

A table costs as much as there are ratios; without one every question goes through the products of one side.  So the products are gone
through until that has cost as much as a table would, and then a table is made.  The quotient of two products below 2**26 is a float that no
other such quotient has, so floats serve as keys (a product of two quotients would not).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product, repeat

from benchleaf.kinematics.trains import Chain, Groups

__all__ = ["LARGEST_EXACT", "Hit", "Lookup", "Made", "Part"]

LARGEST_EXACT = 2**26  # products below this: no two different ratios have the same float quotient
LARGEST_TABLE = 600_000  # pairs of products in a table: half a second and some hundred megabytes
_PAIR_COST = 1.5  # a ratio in the table costs so many times as much as one product looked up


@dataclass(frozen=True, slots=True)
class Part:
    """Kinds of train of one order, with sets of driving and of driven wheels.

    ``products``: when only some products of drivers and driven wheels come into question, those; None for all.
    """

    chains: tuple[Chain, ...]
    drivers: Groups
    driven: Groups
    products: Sequence[tuple[int, int]] | None = None

    @property
    def size(self) -> int:
        """How many pairs of products come into question."""
        return len(self.drivers.products) * len(self.driven.products) if self.products is None else len(self.products)

    @property
    def front(self) -> int:
        """How many products one question goes through, without a table."""
        return min(len(self.drivers.products), len(self.driven.products))

    def is_listed(self, questions: int) -> bool:
        """Does a table save more than it costs, with so many questions?"""
        return self.products is not None or self.size <= min(LARGEST_TABLE, questions * self.front / _PAIR_COST)


Made = tuple[Part, int, int]
"""Kinds of train, and the products of their drivers and driven wheels."""

Hit = tuple[float, int, float]
"""How far off (a share of what was asked for), number of the scale, and key of the wheel ratio."""


class Lookup:
    """The ratios of some parts.  ``questions``: how many to expect, a question for each scale.

    ``made`` says of each key that was met how it is made up; no ratio is higher than ``highest`` or lower than ``lowest``; ``size`` is
    about how many there are.
    """

    def __init__(self, parts: Sequence[Part], questions: int = 0) -> None:
        self.parts = tuple(parts)
        self.made: dict[float, list[Made]] = {}
        self.size = sum(part.size for part in parts)
        self.highest = max((part.drivers.products[-1] / part.driven.products[0] for part in parts), default=0.0)
        self.lowest = min((part.drivers.products[0] / part.driven.products[-1] for part in parts), default=0.0)
        self._table: list[float] = [float("inf")]
        self._listed: set[float] = set()
        self._met: set[float] = set()  # keys met without a table
        self._spent = 0
        at_once = [part.is_listed(questions) for part in parts]
        self._scans = [_Scan(part) for part, listed in zip(parts, at_once, strict=True) if not listed]
        self._list([part for part, listed in zip(parts, at_once, strict=True) if listed])

    def _list(self, parts: Iterable[Part]) -> None:
        made, met, listed = self.made, self._met, self._listed
        for part in parts:
            for p, q in product(part.drivers.products, part.driven.products) if part.products is None else part.products:
                key = p / q
                listed.add(key)
                if key in met:
                    continue
                if key in made:
                    made[key].append((part, p, q))
                else:
                    made[key] = [(part, p, q)]
        self._table = [*sorted(listed), float("inf")]

    def within(self, aim: float, width: float, scales: Sequence[float], most: int) -> list[Hit] | None:
        """Ratios which times a scale are within ``width`` (a share) of ``aim``; None when they are many more than ``most``."""
        low, high = aim * (1 - width), aim * (1 + width)
        found = self._in_table(aim, low, high, scales, most)
        if len(found) > most or not self._scans:
            return found if len(found) <= most else None
        made, met, listed = self.made, self._met, self._listed
        for number, scale in enumerate(scales):
            ways: dict[float, list[Made]] = {}
            for scan in self._scans:
                scan.add(low / scale, high / scale, ways, most)
            if len(found) + len(ways) > most:
                return None
            for key, known in ways.items():
                if key not in met:
                    met.add(key)
                    made[key] = made[key] + known if key in made else known
                if key not in listed:
                    found.append((abs(key * scale / aim - 1), number, key))
        self._spent += len(scales)
        if any(scan.part.is_listed(self._spent) for scan in self._scans):
            self._list([scan.part for scan in self._scans if scan.part.is_listed(self._spent)])
            self._scans = [scan for scan in self._scans if not scan.part.is_listed(self._spent)]
        return found

    def _in_table(self, aim: float, low: float, high: float, scales: Sequence[float], most: int) -> list[Hit]:
        table, found = self._table, []
        places = map(bisect_left, repeat(table), [low / scale for scale in scales])
        near = [(number, at, scale) for number, (at, scale) in enumerate(zip(places, scales, strict=True)) if table[at] * scale <= high]
        for number, at, scale in near:
            key = table[at]
            while key * scale <= high:
                found.append((abs(key * scale / aim - 1), number, key))
                at += 1
                key = table[at]
            if len(found) > most:
                break
        return found


class _Scan:
    """A part whose products are gone through, those of the side that has fewer."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._by_driven = len(part.driven.products) <= len(part.drivers.products)
        one, other = part.driven.products, part.drivers.products
        if not self._by_driven:
            one, other = other, one
        self._ones, self._others = one, other
        self._floats = [*map(float, one)]
        self._search = [*map(float, other), float("inf")]

    def add(self, low: float, high: float, ways: dict[float, list[Made]], most: int) -> None:
        """Add the ratios between these bounds, in all ways in which they are made up, until there are more than ``most``."""
        part, others, search = self.part, self._others, self._search
        if not self._by_driven:
            low, high = 1 / high, 1 / low if low > 0 else float("inf")
        places = map(bisect_left, repeat(search), [one * low for one in self._floats])
        ends = [one * high for one in self._floats]
        near = [(one, at, end) for one, at, end in zip(self._ones, places, ends, strict=True) if search[at] <= end]
        last = len(others)
        for one, at, end in near:
            if len(ways) > most:
                return
            while at < last and search[at] <= end:
                p, q = (others[at], one) if self._by_driven else (one, others[at])
                ways.setdefault(p / q, []).append((part, p, q))
                at += 1
