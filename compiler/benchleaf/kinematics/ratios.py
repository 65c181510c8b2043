"""Ratios of a set of wheels in order of their error, nearest first.

They are looked up in a window about what is wanted, which is widened until it holds enough.  The order is by floats good to a few parts
in 1e16; ratios closer together than 1e-14 are taken together and ranked as whole numbers.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, inf

from benchleaf.kinematics.lookup import Hit, Lookup, Part

__all__ = ["Ratio", "Ratios", "TooMuchWorkError", "outward"]

SAME = 1e-14  # relative
MUCH = 400_000  # most ratios in a window
INSIDE, TINY = 1 - 1e-9, 2e-13  # what is this far inside the window is there with all that equals it
LARGEST_FRONT = 1_000_000
MOST_TAKEN = 200_000  # ratios looked at before giving up
AT_FIRST = 400  # ratios in the first window, if they were spread evenly


class TooMuchWorkError(Exception):
    """The work that a search is allowed is used up."""


def outward(ratios: Lookup, aim: float, scales: Sequence[float], width: float, wider: float = 4.0) -> Iterator[list[Hit]]:
    """Every ratio times every scale, nearest to ``aim`` first; what is not farther apart than 1e-14 together.

    ``width`` (a share) is how far off those are that will probably be asked for; ``wider`` by how much it grows when they were not enough.
    Raises :class:`TooMuchWorkError` where more lie together than can be gone through.
    """
    if not scales or not ratios.size:
        return
    highest, lowest = ratios.highest * max(scales) / aim, ratios.lowest * min(scales) / aim
    away = max(1 - highest, lowest - 1, 0.0)  # beyond all ratios the window begins at the last of them
    unit = min(max(1.0, lowest), highest)
    widest = max(highest - 1, 1 - lowest) * 1.001 + TINY
    done = behind = -1.0
    while True:
        reach = min(away + unit * width, widest)
        hits = ratios.within(aim, reach, scales, MUCH)
        if hits is None:
            width = (width + behind) / 2
            if unit * (width - behind) < TINY:
                raise TooMuchWorkError
            continue
        hits.sort()
        sure = reach * INSIDE - TINY if reach < widest else inf
        start, count = bisect_right(hits, (done, inf, inf)), len(hits)
        while start < count:
            far, end = hits[start][0], start + 1
            while end < count and hits[end][0] - far <= SAME * (1 + far):
                far = hits[end][0]
                end += 1
            if far > sure:
                break
            yield hits[start:end]
            done = far
            start = end
        if reach >= widest:
            return
        behind = width
        width *= wider


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

    def __init__(self, lookup: Lookup, factors: Sequence[Fraction]) -> None:
        self._lookup = lookup
        self._factors = [(factor.numerator, factor.denominator) for factor in factors]
        self._floats = [float(factor) for factor in factors]
        self._left = MOST_TAKEN
        self._errors: dict[tuple[int, int], Fraction] = {}
        if sum(part.front for part in lookup.parts if part.products is None) * len(factors) > LARGEST_FRONT:
            raise TooMuchWorkError

    def _error(self, drive: int, p: int, q: int) -> Fraction:
        """The same object for one and the same error: most leads can be made in dozens of ways."""
        over, under = self._factors[drive]
        top, bottom = over * p, under * q
        common = gcd(top, bottom)
        key = top // common, bottom // common
        if key not in self._errors:
            self._errors[key] = Fraction(key[0] - key[1], key[1])
        return self._errors[key]

    def runs(self) -> Iterator[list[Ratio]]:
        """Ratios of one and the same lead together, nearest lead first; of two leads equally far out the longer one first."""
        made = self._lookup.made
        for hits in outward(self._lookup, 1.0, self._floats, AT_FIRST / (1 + self._lookup.size * len(self._floats))):
            ways = [(number, *way) for _, number, key in hits for way in made[key]]
            self._left -= len(ways)
            if self._left < 0:
                raise TooMuchWorkError
            together = [Ratio(self._error(number, p, q), number, part, p, q) for number, part, p, q in ways]
            if any(each.error is not together[0].error for each in together):
                together.sort(key=lambda r: (abs(r.error), -r.error))
            start = 0
            for end in range(1, len(together) + 1):
                if end == len(together) or together[end].error is not together[start].error:
                    yield together[start:end]
                    start = end
