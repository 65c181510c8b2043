"""Which products of teeth can fit at all on one stud: for machines on which few trains do.

Where a stud stands depends on the two centre distances only, and what one wheel may not touch on one of them: so pairs that
mesh are sieved by themselves, then put together.  What passes may still fail (a wheel used twice); what does not pass never fits.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from benchleaf.kinematics.box import Box, Kind
from benchleaf.kinematics.fit import Fitter
from benchleaf.kinematics.model import Place
from benchleaf.kinematics.trains import Chain

__all__ = ["MOST_PAIRS", "MeshingPairs", "fitting_products", "may_fit"]

MOST_KINDS = 300  # kinds of wheel at one place beyond which sieving takes longer than it saves
MOST_PAIRS = 2_000_000  # combinations of two meshing pairs that are put together before the sieve is given up


class MeshingPairs:
    """Pairs of kinds on one stud: ``inner`` the first wheel and the wheel it drives, ``outer`` the driver and the last wheel.

    Each pair has its centre distance, mm.
    """

    def __init__(self, box: Box, fitter: Fitter) -> None:
        self.reaches = fitter.reaches
        self.inner = self._pairs(fitter, _kinds(box, Place.FIRST), _kinds(box, Place.STUD_DRIVEN), Place.FIRST)
        self.outer = self._pairs(fitter, _kinds(box, Place.STUD_DRIVER), _kinds(box, Place.LAST), Place.LAST)

    @staticmethod
    def _pairs(fitter: Fitter, drivers: Sequence[Kind], driven: Sequence[Kind], place: Place) -> dict[tuple[int, int], float]:
        return {
            (a.index, b.index): fitter.mesh(a, b)
            for a in drivers
            for b in driven
            if a.family == b.family and fitter.pair_goes(a, b, place)
        }


def fitting_products(box: Box, fitter: Fitter, chain: Chain) -> list[tuple[int, int]] | None:
    """Products of drivers and of driven wheels of every train of this kind that may fit.

    None when there are too many to go through, and for two studs.
    """
    if max(map(len, box.allowed.values())) > MOST_KINDS:
        return None
    if chain.pairs == (False,):
        return _simple(box, fitter)
    if chain.pairs == (True,):
        return _compound(box, fitter)
    return None


def may_fit(box: Box, fitter: Fitter, chain: Chain) -> bool:
    """Is there any stand at all for trains of this kind?  Taken to be so for two studs, and for more wheels than can be gone through."""
    if len(chain.pairs) != 1 or max(map(len, box.allowed.values())) > MOST_KINDS:
        return True
    driven, driver = (Place.STUD_DRIVEN, Place.STUD_DRIVER) if chain.pairs[0] else (Place.IDLER, Place.IDLER)
    first = {fitter.mesh(a, b) for a in _kinds(box, Place.FIRST) for b in _kinds(box, driven) if a.family == b.family}
    last = {fitter.mesh(a, b) for a in _kinds(box, driver) for b in _kinds(box, Place.LAST) if a.family == b.family}
    return any(fitter.reaches(d1, d2) for d1 in sorted(first) for d2 in sorted(last))


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


def _compound(box: Box, fitter: Fitter) -> list[tuple[int, int]] | None:
    inner: dict[float, list[tuple[Kind, Kind]]] = defaultdict(list)
    outer: dict[float, list[tuple[Kind, Kind]]] = defaultdict(list)
    for pairs, drivers, driven, place in (
        (inner, _kinds(box, Place.FIRST), _kinds(box, Place.STUD_DRIVEN), Place.FIRST),
        (outer, _kinds(box, Place.STUD_DRIVER), _kinds(box, Place.LAST), Place.LAST),
    ):
        for a in drivers:
            for b in driven:
                if a.family == b.family and a.extra + b.extra < 2 and fitter.pair_goes(a, b, place):
                    pairs[fitter.mesh(a, b)].append((a, b))
    reaching = [(d1, d2) for d1 in inner for d2 in outer if fitter.reaches(d1, d2)]
    if sum(len(inner[d1]) * len(outer[d2]) for d1, d2 in reaching) > MOST_PAIRS:
        return None
    found: set[tuple[int, int]] = set()
    for d1, d2 in reaching:
        largest_driven, largest_driver = fitter.largest_beside(d1, d2)
        firsts = [(a, b) for a, b in inner[d1] if b.tip_radius <= largest_driven]
        lasts = [(c.teeth, d.teeth, c.extra or d.extra) for c, d in outer[d2] if c.tip_radius <= largest_driver]
        for a, b in firsts:
            if a.extra or b.extra:
                found.update((a.teeth * c, b.teeth * d) for c, d, extra in lasts if not extra)
            else:
                found.update((a.teeth * c, b.teeth * d) for c, d, _ in lasts)
    return sorted(found)
