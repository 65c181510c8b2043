"""Which products of teeth can fit at all on one stud: for machines on which few trains do.

Where a stud stands depends on the two centre distances only, and what one wheel may not touch on one of them: so pairs that
mesh are sieved by themselves, then put together.  What passes may still fail (a wheel used twice); what does not pass never fits.
"""

from __future__ import annotations

from collections.abc import Sequence

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

    Inner and outer pairs are numbered by their centre distance, ascending; a pair that does not go has number -1.
    """

    def __init__(self, box: Box, fitter: Fitter) -> None:
        self.box, self.fitter = box, fitter
        self.inner, self.first = _numbered(box, fitter, Place.FIRST, Place.STUD_DRIVEN, Place.FIRST)
        self.outer, self.last = _numbered(box, fitter, Place.STUD_DRIVER, Place.LAST, Place.LAST)
        tips = [kind.tip_radius for kind in box.kinds]
        self.driver_clears = [[tip <= most for tip in tips] for most in (fitter.largest_beside(d1, 0.0)[1] for d1 in self.first)]
        self.driven_clears = [[tip <= most for tip in tips] for most in (fitter.largest_beside(0.0, d2)[0] for d2 in self.last)]
        self._stands: list[list[bool]] = []
        self._middle: list[list[bool]] = []

    @property
    def middle(self) -> list[list[bool]]:
        """Made when first asked for: only trains on two studs do."""
        if not self._middle:
            box, fitter = self.box, self.fitter
            drivers, driven = _kinds(box, Place.STUD_DRIVER), _kinds(box, Place.STUD_DRIVEN)
            self._middle = [[False] * len(box.kinds) for _ in box.kinds]
            for a in drivers:
                for b in driven:
                    self._middle[a.index][b.index] = a.family == b.family and fitter.pair_goes_between(a, b)
        return self._middle

    @property
    def stands(self) -> list[list[bool]]:
        """By number of the outer pair, then of the inner: is there a stand for them with two wheels on one stud?"""
        if not self._stands:
            some, reach = self.fitter.takes_pairs, self.fitter.reach
            self._stands = [reach.one_stud_for(self.first, d2) if some else [False] * len(self.first) for d2 in self.last]
        return self._stands


def _numbered(box: Box, fitter: Fitter, driver: Place, driven: Place, end: Place) -> tuple[list[list[int]], list[float]]:
    meshing = {
        (a.index, b.index): fitter.mesh(a, b)
        for a in _kinds(box, driver)
        for b in _kinds(box, driven)
        if a.family == b.family and fitter.pair_goes(a, b, end)
    }
    distances = sorted(set(meshing.values()))
    number = {distance: at for at, distance in enumerate(distances)}
    numbers = [[-1] * len(box.kinds) for _ in box.kinds]
    for (a, b), distance in meshing.items():
        numbers[a][b] = number[distance]
    return numbers, distances


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
    first = {fitter.mesh(a, b) for a in _kinds(box, Place.FIRST) for b in _kinds(box, driven) if a.family == b.family}
    last = {fitter.mesh(a, b) for a in _kinds(box, driver) for b in _kinds(box, Place.LAST) if a.family == b.family}
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
    kinds = pairs.box.kinds
    inner, outer = _by_number(kinds, pairs.inner, len(pairs.first)), _by_number(kinds, pairs.outer, len(pairs.last))
    reaching = [(i, j) for j in range(len(outer)) for i, stands in enumerate(pairs.stands[j]) if stands]
    if sum(len(inner[i]) * len(outer[j]) for i, j in reaching) > MOST_PAIRS:
        return None
    found: set[tuple[int, int]] = set()
    for i, j in reaching:
        driven_clears, driver_clears = pairs.driven_clears[j], pairs.driver_clears[i]
        firsts = [(kinds[a], kinds[b]) for a, b in inner[i] if driven_clears[b]]
        lasts = [(kinds[c].teeth, kinds[d].teeth, kinds[c].extra or kinds[d].extra) for c, d in outer[j] if driver_clears[c]]
        for a, b in firsts:
            if a.extra or b.extra:
                found.update((a.teeth * c, b.teeth * d) for c, d, extra in lasts if not extra)
            else:
                x, y = a.teeth, b.teeth
                found.update([(x * c, y * d) for c, d, _ in lasts])
    return sorted(found)


def _by_number(kinds: Sequence[Kind], numbers: Sequence[Sequence[int]], count: int) -> list[list[tuple[int, int]]]:
    pairs: list[list[tuple[int, int]]] = [[] for _ in range(count)]
    for a, row in enumerate(numbers):
        for b, number in enumerate(row):
            if number >= 0 and not (kinds[a].extra and kinds[b].extra):
                pairs[number].append((a, b))
    return pairs
