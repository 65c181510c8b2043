"""The best train that fits, exactly.

Ratios are taken nearest first; a ratio's trains in order of merit; the first that goes on the banjo is the best of its lead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from benchleaf.kinematics.box import Box, Kind
from benchleaf.kinematics.dress import dressed, fitter_for, hand_of
from benchleaf.kinematics.levers import Drive, LeverCheck, TooManySettingsError, allowed_drives, blocking, check_levers
from benchleaf.kinematics.model import ARRANGEMENTS, Outcome, Problem, Refused, SearchResult, Setting, Train, WheelRef
from benchleaf.kinematics.ratios import Part, Ratio, Ratios, TooMuchWorkError
from benchleaf.kinematics.trains import Axes, Chain, Groups, MountedTrain, chains_of, driven_groups, driver_groups, trains_of

__all__ = ["WORK", "Candidate", "Searcher", "Settings", "search"]

WORK = 1_000_000  # trains and ratios looked at before a search gives up: some seconds


@dataclass(frozen=True, slots=True)
class Candidate:
    """A train before it is dressed.  ``merit`` orders trains of one lead: fewest changes to what is mounted, then wheels, then teeth."""

    merit: tuple[int, ...]
    axes: Axes
    drive: Drive
    chain: Chain


class Settings:
    """Settings of the levers gathered by what they multiply to; of equal ones that with the fewest moves, then the first on the plate."""

    def __init__(self, problem: Problem, drives: Sequence[Drive], wanted: Fraction) -> None:
        by_ratio: dict[Fraction, Drive] = {}
        for drive in drives:
            known = by_ratio.get(drive.ratio)
            if known is None or len(drive.moves) < len(known.moves):
                by_ratio[drive.ratio] = drive
        self.drives = tuple(by_ratio.values())
        self.factors = tuple(problem.leadscrew_lead * ratio / wanted for ratio in by_ratio)


class Searcher:
    """One machine made ready.  ``extra``: tooth counts of wheels that might be bought, at most one of them in a train."""

    def __init__(self, problem: Problem, without: tuple[WheelRef, ...] = (), extra: tuple[int, ...] = ()) -> None:
        self.problem = problem
        self.box = Box(problem, without, extra)
        self.work = WORK
        self._fitter = None if problem.banjo is None else fitter_for(problem.banjo)
        self._mounted = MountedTrain(problem.mounted)
        self._groups: dict[tuple[int, int, bool], Groups | None] = {}

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
            for driving, driven in extras:
                d, n = self._grouped(order, driving, True), self._grouped(order, driven, False)
                whole = whole and d is not None and n is not None
                if d is not None and n is not None and d.products and n.products:
                    parts.append(Part(order, d, n))
        return parts, whole

    def _grouped(self, order: int, extras: int, driving: bool) -> Groups | None:
        known = (order, extras, driving)
        if known not in self._groups:
            self._groups[known] = driver_groups(self.box, order, extras) if driving else driven_groups(self.box, order, extras)
        return self._groups[known]

    def lots(self, run: Sequence[Ratio], settings: Settings, chains: Sequence[Chain]) -> Iterator[list[Candidate]]:
        """The trains of one lead in order of merit, in lots to be taken one after the other."""
        if self._mounted.wheels:
            lots = [list(chains)]
        else:
            lots = [[chain for chain in chains if chain.wheels == number] for number in sorted({chain.wheels for chain in chains})]
        for lot in lots:
            found = [c for chain in lot for ratio in run if ratio.part.order == chain.order for c in self._trains(ratio, settings, chain)]
            found.sort(key=lambda c: c.merit)
            yield found

    def _trains(self, ratio: Ratio, settings: Settings, chain: Chain) -> Iterator[Candidate]:
        kinds, drive = self.box.kinds, settings.drives[ratio.drive]
        rank, moves = ARRANGEMENTS.index(chain.arrangement), len(drive.moves)
        changes = 0
        for d in ratio.part.drivers.by_product[ratio.drivers]:
            for n in ratio.part.driven.by_product[ratio.driven]:
                for axes in trains_of(self.box, chain, d, n):
                    self.spend()
                    teeth = [kinds[i].teeth for axis in axes for i in axis]
                    if self._mounted.wheels:
                        changes = self._mounted.changes(self.box, axes)
                    yield Candidate((changes, moves, len(teeth), sum(teeth), *teeth, rank), axes, drive, chain)

    def spend(self) -> None:
        """Count one piece of work.  Raises :class:`TooMuchWorkError` when what is allowed is used up."""
        self.work -= 1
        if self.work < 0:
            raise TooMuchWorkError

    def kinds(self, axes: Axes) -> list[list[Kind]]:
        """The kinds of wheel by axis."""
        return [[self.box.kinds[index] for index in axis] for axis in axes]

    def fits(self, axes: Axes) -> bool:
        """Does it go on the banjo?  True where the banjo is not described."""
        return self._fitter is None or self._fitter.fits(self.kinds(axes))

    def dress(self, candidate: Candidate, wanted: Fraction) -> Train:
        """The train in full."""
        flat = iter(self.box.rows([index for axis in candidate.axes for index in axis]))
        wheels = [[next(flat) for _ in axis] for axis in candidate.axes]
        return dressed(self.problem, wheels, candidate.drive, candidate.chain.arrangement, wanted)

    def refusal(self, candidate: Candidate, wanted: Fraction) -> Refused:
        """The train with what is in its way."""
        assert self._fitter is not None, "without a banjo nothing is refused"
        return Refused(self.dress(candidate, wanted), self._fitter.check(self.kinds(candidate.axes)).obstacles)


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
    without: tuple[WheelRef, ...] = (),
    levers: Setting = (),
    work: int = WORK,
) -> SearchResult:
    """The train whose lead is nearest to ``wanted`` (mm per turn) among those that go on the machine.

    ``hand``: 'right', 'left' or None for whichever.  ``limit``: the largest |error| that counts as found.  ``keep``: how many leads
    to name in all.  ``without``: wheels to leave in the box.  ``levers``: positions that are settled, the headstock's among them
    (partial).  ``work``: trains looked at before giving up, which the answer then says.  Raises ValueError for a lead that is not positive.
    """
    if wanted <= 0:
        raise ValueError("the lead that is wanted must be more than nothing")
    try:
        drives = allowed_drives(problem, levers)
    except TooManySettingsError:
        return _no_train(problem, Outcome.TOO_MUCH_WORK)
    checked = check_levers(problem, levers) if levers or not drives else None
    if checked is not None and (checked.unknown or not drives):
        return _no_train(problem, Outcome.LEVERS_BLOCKED, _in_the_way(problem, checked, levers), checked.unknown)
    searcher = _searcher(problem, without)
    chains = searcher.chains(hand)
    if not chains:
        return _no_train(problem, Outcome.WRONG_HAND if searcher.chains(None) else Outcome.NO_TRAIN)
    searcher.work = work
    return _search(searcher, Settings(problem, drives, wanted), chains, wanted, limit, max(keep, 1))



def _no_train(problem: Problem, outcome: Outcome, blocked: tuple[Setting, ...] = (), unknown: tuple[str, ...] = ()) -> SearchResult:
    known, proved = problem.banjo is not None, outcome is not Outcome.TOO_MUCH_WORK
    return SearchResult(outcome, None, None, (), (), known, proved, blocked, unknown)


def _in_the_way(problem: Problem, checked: LeverCheck, levers: Setting) -> tuple[Setting, ...]:
    """The interlock entries that leave nothing for these levers: those they run into, or else all that agree with them."""
    agreeing = (entry for entry in problem.gearbox.forbidden if blocking({**dict(entry), **dict(levers)}, (entry,)))
    return checked.blocked or tuple(agreeing)


def _search(
    searcher: Searcher, settings: Settings, chains: Sequence[Chain], wanted: Fraction, limit: Fraction | None, keep: int
) -> SearchResult:
    found: list[Train] = []
    refused: list[Refused] = []
    parts, proved = searcher.parts(chains)
    any_train = False
    try:
        for run in Ratios(parts, settings.factors).runs():
            searcher.spend()
            best: Candidate | None = None
            for lot in searcher.lots(run, settings, chains):
                if lot and best is None:
                    best = lot[0]
                fitting = next((candidate for candidate in lot if searcher.fits(candidate.axes)), None)
                if fitting is not None:
                    found.append(searcher.dress(fitting, wanted))
                    break
            else:
                if best is not None and not found and len(refused) < keep:
                    refused.append(searcher.refusal(best, wanted))
            any_train = any_train or best is not None
            if len(found) >= keep:
                break
    except TooMuchWorkError:
        proved = proved and bool(found)
    nearest = found[0] if found else None
    within = nearest if nearest is not None and (limit is None or abs(nearest.error) <= limit) else None
    if within is not None:
        outcome = Outcome.FOUND
    elif nearest is not None:
        outcome = Outcome.BEYOND_LIMIT
    else:
        outcome = Outcome.TOO_MUCH_WORK if not proved else Outcome.NO_TRAIN_FITS if any_train else Outcome.NO_TRAIN
    return SearchResult(outcome, within, nearest, tuple(found[1:]), tuple(refused), searcher.problem.banjo is not None, proved)
