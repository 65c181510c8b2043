"""Which products of teeth can fit at all on one stud: for machines on which few trains do.

Where a stud stands depends on the two centre distances only, and what one wheel may not touch on one of them: so pairs that
mesh are sieved by themselves, then put together.  What passes may still fail (a wheel used twice); what does not pass never fits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from benchleaf.kinematics.box import Box, Kind
from benchleaf.kinematics.fit import Fitter
from benchleaf.kinematics.model import Place
from benchleaf.kinematics.trains import Chain

__all__ = ["MOST_PAIRS", "MeshingPairs", "few_enough", "fitting_products", "may_fit"]

MOST_KINDS = 300  # kinds of wheel at one place beyond which sieving takes longer than it saves
MOST_PAIRS = 2_000_000  # combinations of two meshing pairs that are put together before the sieve is given up


class MeshingPairs:
    """Which kinds mesh and go where, as far as the pair itself decides: ``inner[a][b]`` for the first wheel and the wheel it drives,
    ``outer[c][d]`` for the driver and the last wheel, ``middle[c][d]`` for a driver on one stud and the wheel that it drives on the next.

    Pairs are numbered by their centre distance, ascending; one that does not go has number -1.  By that number, ``driver_clears[i][c]``
    says whether a driver clears the first axis, ``driven_clears[j][b]`` a driven wheel the last, and ``stud_clears[m][w]`` a wheel the
    other stud.
    """

    def __init__(self, box: Box, fitter: Fitter) -> None:
        self.box, self.fitter = box, fitter
        first, driven, driver, last = (_kinds(box, place) for place in (Place.FIRST, Place.STUD_DRIVEN, Place.STUD_DRIVER, Place.LAST))
        self.inner, self.first = self._numbered(fitter.one_stud.pairs_at(first, driven, Place.FIRST))
        self.outer, self.last = self._numbered((c, d, distance) for d, c, distance in fitter.one_stud.pairs_at(last, driver, Place.LAST))
        self._tips = tips = [kind.tip_radius for kind in box.kinds]
        self.driver_clears = [[tip <= most for tip in tips] for most in (fitter.one_stud.largest_beside(d1, 0.0)[1] for d1 in self.first)]
        self.driven_clears = [[tip <= most for tip in tips] for most in (fitter.one_stud.largest_beside(0.0, d2)[0] for d2 in self.last)]
        self._stands: list[list[bool]] = []
        self._middle: list[list[int]] = []
        self._between: list[float] = []
        self._stud_clears: list[list[bool]] = []

    def _numbered(self, meshing: Iterable[tuple[Kind, Kind, float]]) -> tuple[list[list[int]], list[float]]:
        known = [(a.index, b.index, distance) for a, b, distance in meshing if a.family == b.family]
        distances = sorted({distance for _, _, distance in known})
        number = {distance: at for at, distance in enumerate(distances)}
        numbers = [[-1] * len(self.box.kinds) for _ in self.box.kinds]
        for a, b, distance in known:
            numbers[a][b] = number[distance]
        return numbers, distances

    @property
    def middle(self) -> list[list[int]]:
        """Made when first asked for: only trains on two studs do."""
        if not self._middle:
            drivers, driven = _kinds(self.box, Place.STUD_DRIVER), _kinds(self.box, Place.STUD_DRIVEN)
            self._middle, self._between = self._numbered(self.fitter.one_stud.pairs_between(drivers, driven))
        return self._middle

    @property
    def stud_clears(self) -> list[list[bool]]:
        """Whether a wheel on one of two studs clears the other, by the number of the middle pair."""
        if not self._stud_clears and self.middle:
            self._stud_clears = [[tip <= most for tip in self._tips] for most in map(self.fitter.one_stud.largest_across, self._between)]
        return self._stud_clears

    @property
    def stands(self) -> list[list[bool]]:
        """By number of the outer pair, then of the inner: is there a stand for them with two wheels on one stud?  False for number -1."""
        if not self._stands:
            last = self.last if self.fitter.one_stud.takes_pairs else []
            rows = [[*self.fitter.reach.one_stud_for(self.first, d2), False] for d2 in last]
            self._stands = rows + [[False] * (len(self.first) + 1)] * (len(self.last) + 1 - len(rows))
        return self._stands

    def outer_beside(self) -> list[list[tuple[int, int, int]]]:
        """By number of the inner pair: the outer pairs that stand with it on one stud, as driver, last wheel and number."""
        by_number: list[list[tuple[int, int, int]]] = [[] for _ in self.last]
        for c, row in enumerate(self.outer):
            for d, j in enumerate(row):
                if j >= 0 and not self._both_foreign(c, d):
                    by_number[j].append((c, d, j))
        found = []
        for i, clears in enumerate(self.driver_clears):
            standing = [pairs for pairs, stands in zip(by_number, self.stands, strict=False) if stands[i]]
            found.append([pair for pairs in standing for pair in pairs if clears[pair[0]]])
        return found

    def inner_pairs(self) -> list[tuple[int, int, int]]:
        """First wheel, the wheel it drives, and the number of the pair."""
        return [(a, b, i) for a, row in enumerate(self.inner) for b, i in enumerate(row) if i >= 0 and not self._both_foreign(a, b)]

    def _both_foreign(self, one: int, other: int) -> bool:
        return self.box.kinds[one].extra and self.box.kinds[other].extra


def few_enough(box: Box) -> bool:
    """Does sieving save more time than it takes?"""
    return max(map(len, box.allowed.values())) <= MOST_KINDS


def fitting_products(pairs: MeshingPairs, chain: Chain) -> list[tuple[int, int]] | None:
    """Products of drivers and of driven wheels of every train of this kind that may fit.

    None when there are too many to go through, and for two studs.
    """
    if chain.pairs == (False,):
        return _simple(pairs.box, pairs.fitter)
    if chain.pairs == (True,):
        return _compound(pairs)
    return None


def may_fit(box: Box, fitter: Fitter, chain: Chain) -> bool:
    """Is there any stand at all for trains of this kind?  Taken to be so for two studs, and for more wheels than can be gone through."""
    if len(chain.pairs) != 1 or not few_enough(box):
        return True
    driven, driver = (Place.STUD_DRIVEN, Place.STUD_DRIVER) if chain.pairs[0] else (Place.IDLER, Place.IDLER)
    first = {fitter.one_stud.mesh(a, b) for a in _kinds(box, Place.FIRST) for b in _kinds(box, driven) if a.family == b.family}
    last = {fitter.one_stud.mesh(a, b) for a in _kinds(box, driver) for b in _kinds(box, Place.LAST) if a.family == b.family}
    firsts = sorted(first)
    return any(any(fitter.reach.one_stud_for(firsts, d2)) for d2 in sorted(last))


def _kinds(box: Box, place: Place) -> Sequence[Kind]:
    return [box.kinds[index] for index in box.allowed[place]]


def _simple(box: Box, fitter: Fitter) -> list[tuple[int, int]] | None:
    first, last, idlers = _kinds(box, Place.FIRST), _kinds(box, Place.LAST), _kinds(box, Place.IDLER)
    if len(first) * len(last) * len(idlers) > MOST_PAIRS // 10:
        return None
    found: set[tuple[int, int]] = set()
    for a in first:
        for d in last:
            if a.family == d.family and (a.teeth, d.teeth) not in found and any(
                i.family == a.family and a.extra + i.extra + d.extra < 2 and fitter.fits(((a,), (i,), (d,))) for i in idlers
            ):
                found.add((a.teeth, d.teeth))
    return sorted(found)


def _compound(pairs: MeshingPairs) -> list[tuple[int, int]] | None:
    inner, outer = pairs.inner_pairs(), pairs.outer_beside()
    if sum(len(outer[i]) for _, _, i in inner) > MOST_PAIRS:
        return None
    kinds = pairs.box.kinds
    beside = [[(kinds[c].teeth, kinds[d].teeth, j, kinds[c].extra or kinds[d].extra) for c, d, j in each] for each in outer]
    found: set[tuple[int, int]] = set()
    for a, b, i in inner:
        x, y, foreign = kinds[a].teeth, kinds[b].teeth, kinds[a].extra or kinds[b].extra
        clears = [row[b] for row in pairs.driven_clears]
        if foreign:
            found.update([(x * c, y * d) for c, d, j, other in beside[i] if clears[j] and not other])
        else:
            found.update([(x * c, y * d) for c, d, j, _ in beside[i] if clears[j]])
    return sorted(found)
