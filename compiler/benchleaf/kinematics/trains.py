"""How wheels make up trains: kinds of train, products of drivers and of driven wheels, and the trains that one ratio stands for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement
from math import comb, prod

from benchleaf.kinematics.box import Box
from benchleaf.kinematics.model import Mounted, Place
from benchleaf.kinematics.wheels import matches

__all__ = ["Axes", "Chain", "Groups", "MountedTrain", "chains_of", "driven_groups", "driver_groups", "trains_of"]

Axes = tuple[tuple[int, ...], ...]
"""Kinds by axis, from the headstock on."""

LARGEST_NUMBER_OF_GROUPS = 250_000


@dataclass(frozen=True, slots=True)
class Chain:
    """A kind of train: True for a stud with two wheels, False for an idler, from the headstock on."""

    arrangement: str
    pairs: tuple[bool, ...]

    @property
    def order(self) -> int:
        """How many wheels drive (and as many are driven)."""
        return 1 + sum(self.pairs)

    @property
    def meshes(self) -> int:
        """Number of meshes."""
        return len(self.pairs) + 1

    @property
    def wheels(self) -> int:
        """Number of wheels, idlers included."""
        return 2 + len(self.pairs) + sum(self.pairs)

    @property
    def idlers(self) -> int:
        """Number of idlers."""
        return len(self.pairs) - sum(self.pairs)


_CHAINS = (
    Chain("simple", (False,)),
    Chain("simple with two idlers", (False, False)),
    Chain("compound", (True,)),
    Chain("compound with idler", (True, False)),
    Chain("compound with idler", (False, True)),
    Chain("double compound", (True, True)),
)


def chains_of(arrangements: Sequence[str]) -> tuple[Chain, ...]:
    """The chains that these kinds of train stand for, plainest first."""
    return tuple(chain for chain in _CHAINS if chain.arrangement in arrangements)


@dataclass(frozen=True, slots=True)
class Groups:
    """Multisets of wheels by the product of their teeth; ``products`` ascending."""

    products: tuple[int, ...]
    by_product: Mapping[int, tuple[tuple[int, ...], ...]]


def driver_groups(box: Box, order: int, extras: int = 0) -> Groups | None:
    """Every set of wheels that can drive, with so many wheels that are not owned; None when there are too many to go through."""
    return _groups(box, Place.FIRST, Place.STUD_DRIVER, order, extras)


def driven_groups(box: Box, order: int, extras: int = 0) -> Groups | None:
    """The same for driven wheels."""
    return _groups(box, Place.LAST, Place.STUD_DRIVEN, order, extras)


def _groups(box: Box, end: Place, stud: Place, order: int, extras: int) -> Groups | None:
    kinds = box.kinds
    ends, studs = box.allowed[end], box.allowed[stud]
    if order == 1:
        studs = ()
    owned = tuple(i for i in studs if not kinds[i].extra)
    foreign = tuple(i for i in studs if kinds[i].extra) if extras else ()
    size = len(ends) * (comb(max(len(owned) + order - 2, 0), order - 1) + len(foreign) * len(owned) ** max(order - 2, 0))
    if size > LARGEST_NUMBER_OF_GROUPS:
        return None
    if not box.has_extra and (order == 1 or ends == studs):
        choose = combinations if all(kinds[i].copies < 2 for i in ends) else combinations_with_replacement
        return _by_product(box, choose(ends, order), order)
    middles = [*combinations_with_replacement(owned, order - 1)]
    with_foreign = [(i, *rest) for i in foreign for rest in combinations_with_replacement(owned, order - 2)] if order > 1 else []
    found: set[tuple[int, ...]] = set()
    for first in ends:
        for middle in (*middles, *with_foreign) if not kinds[first].extra else middles:
            found.add(tuple(sorted((first, *middle))))
    return _by_product(box, (group for group in sorted(found) if sum(kinds[i].extra for i in group) == extras), order)


def _by_product(box: Box, groups: Iterable[tuple[int, ...]], order: int) -> Groups:
    """Those of these sets, in their order, for which there are enough wheels."""
    kinds, teeth = box.kinds, [kind.teeth for kind in box.kinds]
    by_product: dict[int, list[tuple[int, ...]]] = {}
    for group in groups:
        if len(set(group)) < order and any(number > kinds[i].copies for i, number in Counter(group).items()):
            continue
        by_product.setdefault(prod([teeth[i] for i in group]), []).append(group)
    return Groups(tuple(sorted(by_product)), {product: tuple(groups) for product, groups in by_product.items()})


def trains_of(box: Box, chain: Chain, drivers: tuple[int, ...], driven: tuple[int, ...]) -> Iterator[Axes]:
    """Every way to put these wheels up as this kind of train, idlers chosen from what is left in the box."""
    kinds = box.kinds
    used = drivers + driven
    if len(set(used)) < len(used) and any(used.count(i) > kinds[i].copies for i in used):
        return
    idlers = chain.idlers > 0
    for d in box.orders(drivers, True):
        for n in box.orders(driven, False):
            if box.families > 1 and any(kinds[a].family != kinds[b].family for a, b in zip(d, n, strict=True)):
                continue
            if box.paired and any(not _one_stud(box, a, b) for a, b in zip(n, d[1:], strict=False)):
                continue
            if idlers:
                yield from _with_idlers(box, chain, d, n, used)
            else:
                yield ((d[0],), *zip(n, d[1:], strict=False), (n[-1],))


def _one_stud(box: Box, driven: int, driver: int) -> bool:
    a, b = box.kinds[driven].partner, box.kinds[driver].partner
    return (a is None and b is None) or a == driver


def _with_idlers(box: Box, chain: Chain, drivers: tuple[int, ...], driven: tuple[int, ...], used: tuple[int, ...]) -> Iterator[Axes]:
    kinds = box.kinds
    middles: list[tuple[tuple[int, ...], ...]] = [()]
    segment = 0
    all_owned = not any(kinds[i].extra for i in used)
    for pair in chain.pairs:
        if pair:
            stud = (driven[segment], drivers[segment + 1])
            segment += 1
            middles = [(*middle, stud) for middle in middles]
            continue
        family = kinds[drivers[segment]].family
        idlers = [i for i in box.allowed[Place.IDLER] if kinds[i].family == family and kinds[i].copies > used.count(i)]
        if box.has_extra:
            idlers = [i for i in idlers if all_owned or not kinds[i].extra]
            middles = [
                (*middle, (i,))
                for middle in middles
                for i in idlers
                if kinds[i].copies > used.count(i) + middle.count((i,))
                and not (kinds[i].extra and any(kinds[axis[0]].extra for axis in middle))
            ]
            continue
        middles = [(*middle, (i,)) for middle in middles for i in idlers if kinds[i].copies > used.count(i) + middle.count((i,))]
    for middle in middles:
        yield ((drivers[0],), *middle, (driven[-1],))


class MountedTrain:
    """What is on the machine, to count what a train would change."""

    def __init__(self, mounted: Mounted | None) -> None:
        self.wheels = {
            (axis, row): ref for axis, refs in enumerate(mounted.axes if mounted else ()) for row, ref in enumerate(refs)
        }

        self._box: Box | None = None
        self._mounted: tuple[tuple[int, int, frozenset[int]], ...] = ()

    def changes(self, box: Box, axes: Axes) -> int:
        """Wheels to take off plus wheels to put on."""
        if box is not self._box:
            self._box = box
            self._mounted = tuple(
                (axis, row, frozenset(kind.index for kind in box.kinds if matches(ref, kind.wheel)))
                for (axis, row), ref in self.wheels.items()
            )
        changes = sum(map(len, axes)) + len(self._mounted)
        for axis, row, kinds in self._mounted:
            if axis < len(axes) and row < len(axes[axis]) and axes[axis][row] in kinds:
                changes -= 2  # neither taken off nor put on
        return changes
