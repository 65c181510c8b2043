"""The wheel ratios of a machine within a window: in a table, or driven product by driven product.

A table is made once and costs as much as there are ratios; without one every lead goes through the driven products.  The quotient of
two products below 2**26 is a float that no other such quotient has, so floats serve as keys (a product of two quotients would not).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from itertools import product, repeat
from typing import Protocol

from benchleaf.kinematics.ordered import Made
from benchleaf.kinematics.ratios import Part
from benchleaf.kinematics.search import Searcher

__all__ = ["Hit", "Lookup", "TooManyRatiosError", "lookup_for"]

LARGEST_EXACT = 2**26  # products below this: no two different ratios have the same float quotient
LARGEST_NUMBER_OF_RATIOS = 40_000_000  # products that are compared for one lead in the worst case
_PAIR_COST = 1.5  # a ratio in the table costs so many times as much as one driven product looked up

Hit = tuple[float, int, float]
"""How far off (a share of the lead), number of the lever ratio, and key of the wheel ratio."""


class TooManyRatiosError(ValueError):
    """The box makes more ratios than can be gone through."""


class Lookup(Protocol):
    """``made`` says of each key that was met how it is made up; ``highest`` is the largest ratio, ``size`` about how many there are."""

    made: dict[float, list[Made]]
    highest: float
    size: int

    def within(self, aim: float, width: float, scales: Sequence[float]) -> list[Hit]:
        """Ratios which times a scale are within ``width`` (a share) of ``aim``."""


def lookup_for(searcher: Searcher, number: int, drives: int) -> Lookup:
    """The cheaper one for so many leads and lever ratios.  Raises :class:`TooManyRatiosError`."""
    parts, whole = searcher.parts(searcher.chains(None))
    size = sum(len(part.drivers.products) * len(part.driven.products) for part in parts)
    largest = max((max(part.drivers.products[-1], part.driven.products[-1]) for part in parts), default=0)
    if not whole or largest >= LARGEST_EXACT or size > LARGEST_NUMBER_OF_RATIOS:
        raise TooManyRatiosError(f"the wheels make {size} ratios")
    highest = max((part.drivers.products[-1] / part.driven.products[0] for part in parts), default=0.0)
    looked_up = number * drives * sum(len(part.driven.products) for part in parts)
    return _Listed(searcher, parts, highest) if size * _PAIR_COST < looked_up else _Sought(parts, size, highest)


class _Listed:
    def __init__(self, searcher: Searcher, parts: Sequence[Part], highest: float) -> None:
        self.made: dict[float, list[Made]] = {}
        self.highest = highest
        for part in parts:
            self._list(part, searcher.products(part) or product(part.drivers.products, part.driven.products))
        self._table = sorted(self.made)
        self.size = len(self._table)
        self._table.append(float("inf"))

    def _list(self, part: Part, products: Iterable[tuple[int, int]]) -> None:
        made = self.made
        for p, q in products:
            key = p / q
            if key in made:
                made[key].append((part, p, q))
            else:
                made[key] = [(part, p, q)]

    def within(self, aim: float, width: float, scales: Sequence[float]) -> list[Hit]:
        table, found = self._table, []
        low, high = aim * (1 - width), aim * (1 + width)
        places = map(bisect_left, repeat(table), [low / scale for scale in scales])
        near = [(number, at, scale) for number, (at, scale) in enumerate(zip(places, scales, strict=True)) if table[at] * scale <= high]
        for number, at, scale in near:
            key = table[at]
            while key * scale <= high:
                found.append((abs(key * scale / aim - 1), number, key))
                at += 1
                key = table[at]
        return found


class _Sought:
    def __init__(self, parts: Sequence[Part], size: int, highest: float) -> None:
        self.made: dict[float, list[Made]] = {}
        self.highest = highest
        self.size = size
        self._parts = [(part, [*map(float, part.drivers.products), float("inf")], [*map(float, part.driven.products)]) for part in parts]

    def within(self, aim: float, width: float, scales: Sequence[float]) -> list[Hit]:
        found: list[Hit] = []
        for number, scale in enumerate(scales):
            ways: dict[float, list[Made]] = {}
            least, most = aim * (1 - width) / scale, aim * (1 + width) / scale
            for part, drivers, driven in self._parts:
                places = map(bisect_left, repeat(drivers), [q * least for q in driven])
                near = [(q, at) for q, at in zip(driven, places, strict=True) if drivers[at] <= q * most]
                for q, at in near:
                    p = drivers[at]
                    while p <= q * most:
                        ways.setdefault(p / q, []).append((part, int(p), int(q)))
                        at += 1
                        p = drivers[at]
            for key, made in ways.items():
                self.made.setdefault(key, made)
                found.append((abs(key * scale / aim - 1), number, key))
        return found
