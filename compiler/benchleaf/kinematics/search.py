"""The best train that fits, exactly.

Ratios are taken nearest first; a ratio's trains in order of merit; the first that goes on the banjo is the best of its lead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from benchleaf.kinematics.box import Box, Kind
from benchleaf.kinematics.dress import dressed, fitter_for, hand_of, redressed
from benchleaf.kinematics.levers import Drive, LeverCheck, TooManySettingsError, allowed_drives, blocking, check_levers
from benchleaf.kinematics.lookup import Lookup, Part
from benchleaf.kinematics.model import ARRANGEMENTS, Outcome, Problem, Refused, SearchResult, Setting, Train, WheelRef
from benchleaf.kinematics.ratios import Ratio, Ratios, TooMuchWorkError
from benchleaf.kinematics.sieve import MeshingPairs, few_enough, fitting_products, may_fit
from benchleaf.kinematics.trains import Axes, Chain, Groups, MountedTrain, chains_of, driven_groups, driver_groups, trains_of

__all__ = ["WORK", "Candidate", "Searcher", "Settings", "search"]

WORK = 150_000  # ratios and trains looked at before a search gives up: a few seconds
PATIENCE = 2_000  # trains in a row that do not fit before those that cannot are sieved out


class Candidate(NamedTuple):
    """A train before it is dressed.  ``merit`` orders trains of one lead: fewest changes to what is mounted, then wheels, then teeth."""

    merit: tuple[int, ...]
    axes: Axes
    drive: Drive
    chain: Chain


class Settings:
    """Settings of the levers, each with the lead that it makes with wheels 1 to 1, over the wanted lead."""

    def __init__(self, problem: Problem, drives: Sequence[Drive], wanted: Fraction) -> None:
        self.drives = tuple(drives)
        top, bottom = (problem.leadscrew_lead / wanted).as_integer_ratio()
        ratios = [drive.ratio for drive in drives]
        self.factors = tuple([Fraction(top * ratio.numerator, bottom * ratio.denominator) for ratio in ratios])


class Searcher:
    """One machine made ready.  ``extra``: tooth counts of wheels that might be bought, at most one of them in a train."""

    def __init__(self, problem: Problem, without: tuple[WheelRef, ...] = (), extra: tuple[int, ...] = ()) -> None:
        self.problem = problem
        self.box = Box(problem, without, extra)
        self.work = WORK
        self._fitter = None if problem.banjo is None else fitter_for(problem.banjo)
        self._mounted = MountedTrain(problem.mounted)
        self._teeth = tuple(kind.teeth for kind in self.box.kinds)
        self._groups: dict[tuple[int, int, bool], Groups | None] = {}
        self._pairs: MeshingPairs | None = None
        self._dressed: dict[Axes, Train] = {}
        self._drives: dict[Setting, tuple[Drive, ...]] = {}
        self._lookups: dict[tuple[tuple[Chain, ...], bool], tuple[Lookup, bool]] = {}
        self._sieves: dict[Chain, list[tuple[int, int]] | None] = {}

    def chains(self, hand: str | None) -> tuple[Chain, ...]:
        """The kinds of train on this machine that cut this hand (None: whichever)."""
        chains = chains_of(self.problem.arrangements)
        return tuple(chain for chain in chains if hand is None or hand_of(self.problem, chain.meshes) in (hand, "either"))

    def parts(self, chains: Sequence[Chain], extras: Sequence[tuple[int, int]] = ((0, 0),)) -> tuple[list[Part], bool]:
        """The wheels grouped; False when some kind of train has more than can be gone through.

        ``extras`` pairs how many wheels that are not owned drive and are driven.
        """
        parts, whole = [], True
        for order in sorted({chain.order for chain in chains}):
            of_order = tuple(chain for chain in chains if chain.order == order)
            for driving, driven in extras:
                d, n = self._grouped(order, driving, True), self._grouped(order, driven, False)
                whole = whole and d is not None and n is not None
                if d is not None and n is not None and d.products and n.products:
                    parts.append(Part(of_order, d, n))
        return parts, whole

    def drives(self, fixed: Setting = ()) -> tuple[Drive, ...]:
        """The settings of the levers that agree with ``fixed`` (partial); of those that multiply to the same, the one to take.

        Of equal ratios that with the fewest moves is taken, then the first on the plate.  Raises :class:`TooManySettingsError`.
        """
        if fixed not in self._drives:
            by_ratio: dict[Fraction, Drive] = {}
            for drive in allowed_drives(self.problem, fixed):
                known = by_ratio.get(drive.ratio)
                if known is None or len(drive.moves) < len(known.moves):
                    by_ratio[drive.ratio] = drive
            self._drives[fixed] = tuple(by_ratio.values())
        return self._drives[fixed]

    def may_fit(self, chain: Chain) -> bool:
        """Can any train of this kind stand on the banjo?"""
        return self._fitter is None or may_fit(self.box, self._fitter, chain)

    def products(self, part: Part) -> list[tuple[int, int]] | None:
        """Products of two wheels that drive and two that are driven, without those of which no train goes on; None where that helps not."""
        plain = [chain.pairs for chain in part.chains] == [(True,)]
        return _within(part, self._products(part.chains[0])) if plain else None

    def sieved(self, chains: Sequence[Chain]) -> list[Part] | None:
        """The wheels grouped, of trains on one stud only those products that may fit; None when that is no help."""
        parts, helped = [], False
        for chain in chains:
            products = self._products(chain)
            helped = helped or products is not None
            for part in self.parts((chain,))[0]:
                parts.append(Part(part.chains, part.drivers, part.driven, _within(part, products)))
        return parts if helped else None

    def lookup(self, chains: Sequence[Chain], *, sieve: bool = False) -> tuple[Lookup, bool]:
        """The ratios of these kinds of train, kept; ``sieve`` without those of which no train goes on, where that is a help.

        False when some kind of train has more than can be gone through.
        """
        known = tuple(chains), sieve
        if known not in self._lookups:
            parts, whole = self.parts(chains)
            self._lookups[known] = Lookup((self.sieved(chains) if sieve else None) or parts), whole
        return self._lookups[known]

    def _grouped(self, order: int, extras: int, driving: bool) -> Groups | None:
        known = (order, extras, driving)
        if known not in self._groups:
            self._groups[known] = driver_groups(self.box, order, extras) if driving else driven_groups(self.box, order, extras)
        return self._groups[known]

    def lots(self, run: Sequence[Ratio], settings: Settings, chains: Sequence[Chain]) -> Iterator[list[Candidate]]:
        """The trains of one lead in order of merit, in lots to be taken one after the other: most are done with after the first."""
        if not self._mounted.wheels:
            for number in sorted({chain.wheels for chain in chains}):
                yield self._ordered(0, self._trains(run, settings, [chain for chain in chains if chain.wheels == number]))
            return
        by_changes: dict[int, list[tuple[Axes, Drive, Chain]]] = {}
        for train in self._trains(run, settings, chains):
            by_changes.setdefault(self._mounted.changes(self.box, train[0]), []).append(train)
        for changes in sorted(by_changes):
            yield self._ordered(changes, by_changes[changes])

    def _ordered(self, changes: int, trains: Iterable[tuple[Axes, Drive, Chain]]) -> list[Candidate]:
        found: list[Candidate] = []
        for axes, drive, chain in trains:
            teeth = [self._teeth[i] for axis in axes for i in axis]
            rank = ARRANGEMENTS.index(chain.arrangement)
            found.append(Candidate((changes, len(drive.moves), len(teeth), sum(teeth), *teeth, rank), axes, drive, chain))
        found.sort(key=lambda c: c.merit)
        return found

    def _trains(self, run: Sequence[Ratio], settings: Settings, chains: Sequence[Chain]) -> Iterator[tuple[Axes, Drive, Chain]]:
        for chain in chains:
            work = len(chain.pairs)
            for ratio in run:
                if chain not in ratio.part.chains:
                    continue
                drive = settings.drives[ratio.drive]
                for d in ratio.part.drivers.by_product[ratio.drivers]:
                    for n in ratio.part.driven.by_product[ratio.driven]:
                        for axes in trains_of(self.box, chain, d, n):
                            self.spend(work)
                            yield axes, drive, chain

    def spend(self, work: int = 1) -> None:
        """Count a piece of work.  Raises :class:`TooMuchWorkError` when what is allowed is used up."""
        self.work -= work
        if self.work < 0:
            raise TooMuchWorkError

    def kinds(self, axes: Axes) -> list[list[Kind]]:
        """The kinds of wheel by axis."""
        return [[self.box.kinds[index] for index in axis] for axis in axes]

    def fits(self, axes: Axes) -> bool:
        """Does it go on the banjo?  True where the banjo is not described."""
        return self._fitter is None or self._fitter.fits(self.kinds(axes))

    def idlers_between(self, first: int, last: int, idlers: Iterable[int]) -> Iterator[int]:
        """Of these wheels those that go between the first and the last, alone on one stud, in their order."""
        kinds = self.box.kinds
        if self._fitter is None:
            return iter(idlers)
        return (kind.index for kind in self._fitter.one_stud.idlers_between(kinds[first], kinds[last], (kinds[i] for i in idlers)))

    def meshing_pairs(self) -> MeshingPairs | None:
        """The pairs of kinds that mesh and go, as far as the pair itself decides; None where the banjo is not described."""
        if self._pairs is None and self._fitter is not None:
            self._pairs = MeshingPairs(self.box, self._fitter)
        return self._pairs

    def _products(self, chain: Chain) -> list[tuple[int, int]] | None:
        if chain not in self._sieves:
            pairs = self.meshing_pairs() if few_enough(self.box) else None
            self._sieves[chain] = None if pairs is None else fitting_products(pairs, chain)
        return self._sieves[chain]

    def dress(self, candidate: Candidate, wanted: Fraction) -> Train:
        """The train in full."""
        known = self._dressed.get(candidate.axes)
        if known is not None:
            return redressed(known, candidate.drive, wanted)
        flat = iter(self.box.rows([index for axis in candidate.axes for index in axis]))
        wheels = [[next(flat) for _ in axis] for axis in candidate.axes]
        train = dressed(self.problem, wheels, candidate.drive, candidate.chain.arrangement, wanted)
        self._dressed[candidate.axes] = train
        return train

    def refusal(self, candidate: Candidate, wanted: Fraction) -> Refused:
        """The train with what is in its way."""
        assert self._fitter is not None, "without a banjo nothing is refused"
        return Refused(self.dress(candidate, wanted), self._fitter.check(self.kinds(candidate.axes)).obstacles)


def _within(part: Part, products: Sequence[tuple[int, int]] | None) -> list[tuple[int, int]] | None:
    drivers, driven = part.drivers.by_product, part.driven.by_product
    return None if products is None else [(p, q) for p, q in products if p in drivers and q in driven]


@lru_cache(maxsize=8)
def _searcher(problem: Problem, without: tuple[WheelRef, ...]) -> Searcher:
    return Searcher(problem, without)


def search(
    problem: Problem,
    wanted: Fraction,
    *,
    hand: str | None = None,
    limit: Fraction | None = None,
    keep: int = 5,
    all_within: bool = False,
    without: tuple[WheelRef, ...] = (),
    levers: Setting = (),
    work: int = WORK,
) -> SearchResult:
    """The train whose lead is nearest to ``wanted`` (mm per turn) among those that go on the machine.

    ``hand``: 'right', 'left' or None for whichever.  ``limit``: the largest |error| that counts as found.  ``keep``: how many leads
    to name in all; with ``all_within`` no further ones beyond the limit.  ``without``: wheels to leave in the box.  ``levers``: positions
    that are settled, the headstock's among them (partial).  ``work``: trains looked at before giving up, which the answer then says.
    Raises ValueError for a lead that is not positive.
    """
    if wanted <= 0:
        raise ValueError("the lead that is wanted must be more than nothing")
    searcher = _searcher(problem, without)
    try:
        drives = searcher.drives(levers)
    except TooManySettingsError:
        return _no_train(problem, Outcome.TOO_MUCH_WORK)
    checked = check_levers(problem, levers) if levers or not drives else None
    if checked is not None and (checked.unknown or not drives):
        return _no_train(problem, Outcome.LEVERS_BLOCKED, _in_the_way(problem, checked, levers), checked.unknown)
    chains = searcher.chains(hand)
    if not chains:
        return _no_train(problem, Outcome.WRONG_HAND if searcher.chains(None) else Outcome.NO_TRAIN)
    searcher.work = work
    hunt = _Hunt(searcher, Settings(problem, drives, wanted), chains, wanted, max(keep, 1), limit if all_within else None)
    return _search(searcher, chains, hunt, limit)



def _no_train(problem: Problem, outcome: Outcome, blocked: tuple[Setting, ...] = (), unknown: tuple[str, ...] = ()) -> SearchResult:
    known, proved = problem.banjo is not None, outcome is not Outcome.TOO_MUCH_WORK
    return SearchResult(outcome, None, None, (), (), known, proved, blocked, unknown)


def _in_the_way(problem: Problem, checked: LeverCheck, levers: Setting) -> tuple[Setting, ...]:
    """The interlock entries that leave nothing for these levers: those they run into, or else all that agree with them."""
    agreeing = (entry for entry in problem.gearbox.forbidden if blocking({**dict(entry), **dict(levers)}, (entry,)))
    return checked.blocked or tuple(agreeing)


def _search(searcher: Searcher, chains: Sequence[Chain], hunt: _Hunt, limit: Fraction | None) -> SearchResult:
    ratios, proved = searcher.lookup(chains)
    try:
        if not hunt.run(ratios, PATIENCE):
            hunt.run(searcher.lookup(chains, sieve=True)[0], None)
    except TooMuchWorkError:
        proved = proved and bool(hunt.found)
    nearest = hunt.found[0] if hunt.found else None
    proved = proved or (nearest is not None and nearest.error == 0)
    within = nearest if nearest is not None and (limit is None or abs(nearest.error) <= limit) else None
    if within is not None:
        outcome = Outcome.FOUND
    elif nearest is not None:
        outcome = Outcome.BEYOND_LIMIT
    else:
        outcome = Outcome.TOO_MUCH_WORK if not proved else Outcome.NO_TRAIN_FITS if hunt.any_train else Outcome.NO_TRAIN
    known = searcher.problem.banjo is not None
    return SearchResult(outcome, within, nearest, tuple(hunt.found[1:]), tuple(hunt.refused), known, proved)


class _Hunt:
    """What a search has come to.  Once a lead is found, further ones count up to ``reach`` (share of the lead that is wanted)."""

    def __init__(
        self, searcher: Searcher, settings: Settings, chains: Sequence[Chain], wanted: Fraction, keep: int, reach: Fraction | None
    ) -> None:
        self._searcher, self._settings, self._chains, self._wanted, self._keep = searcher, settings, chains, wanted, keep
        self._reach = reach
        self.found: list[Train] = []
        self.refused: list[Refused] = []
        self.any_train = False

    def run(self, ratios: Lookup, patience: int | None) -> bool:
        """Go through the leads, nearest first.  False when so many trains in a row did not fit."""
        searcher, keep = self._searcher, self._keep
        before = {train.lead for train in self.found} | {item.train.lead for item in self.refused}
        in_vain = 0
        for run in Ratios(ratios, self._settings.factors).runs():
            searcher.spend()
            if self.found and self._reach is not None and abs(run[0].error) > self._reach:
                return True
            if (run[0].error + 1) * self._wanted in before:
                continue
            first: Candidate | None = None
            fitting: Candidate | None = None
            for lot in searcher.lots(run, self._settings, self._chains):
                first = first or (lot[0] if lot else None)
                fitting = next((candidate for candidate in lot if searcher.fits(candidate.axes)), None)
                in_vain += len(lot)
                if fitting is not None:
                    break
            if fitting is not None:
                in_vain = 0
                self.found.append(searcher.dress(fitting, self._wanted))
            elif first is not None and not self.found and len(self.refused) < keep:
                self.refused.append(searcher.refusal(first, self._wanted))
            self.any_train = self.any_train or first is not None
            if len(self.found) >= keep:
                return True
            if patience is not None and in_vain > patience:
                return False
        return True
