"""Which single wheel, not in the box, would mend a thread: every tooth count is tried, exactly."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchleaf.kinematics.levers import TooManySettingsError
from benchleaf.kinematics.lookup import Lookup
from benchleaf.kinematics.model import Outcome, Problem, Setting, Train, WheelRef
from benchleaf.kinematics.ratios import Ratios, TooMuchWorkError
from benchleaf.kinematics.search import WORK, Searcher, Settings, search
from benchleaf.kinematics.wheels import Wheel
from benchleaf.record import record

__all__ = ["ExtraWheel", "ExtraWheels", "USUAL_WHEELS", "best_with_extra_wheel"]

USUAL_WHEELS = range(15, 128)  # tooth counts that change wheels are cut with: 127 is the largest in use (common practice)


@record
class ExtraWheel:
    """A wheel to get and the best train it makes, whose ``error`` would be left.  ``within_limit``: does that mend the thread."""

    wheel: Wheel
    train: Train
    within_limit: bool


@record
class ExtraWheels:
    """``wheels``: nearest lead first, only such as come nearer than the box does alone; ``proved`` is False when the work ran out."""

    wheels: tuple[ExtraWheel, ...]
    proved: bool


def best_with_extra_wheel(
    problem: Problem,
    wanted: Fraction,
    *,
    limit: Fraction | None = None,
    hand: str | None = None,
    without: tuple[WheelRef, ...] = (),
    levers: Setting = (),
    teeth: Iterable[int] = USUAL_WHEELS,
    keep: int = 3,
    work: int = WORK,
) -> ExtraWheels:
    """The ``keep`` wheels that come nearest to ``wanted`` (mm per turn), each with its best train that goes on the machine.

    One wheel at a time is added, of every module and pressure angle in the box; it may drive, be driven or be the idler.  A second
    copy of a wheel that is owned counts as a wheel to get.  Raises ValueError for a lead that is not positive.
    """
    owned = search(problem, wanted, hand=hand, keep=1, without=without, levers=levers, work=work)
    if owned.outcome in (Outcome.LEVERS_BLOCKED, Outcome.WRONG_HAND):
        return ExtraWheels((), True)
    beat = None if owned.nearest is None else abs(owned.nearest.error)
    if beat == 0:
        return ExtraWheels((), True)
    searcher = Searcher(problem, without, tuple(teeth))
    searcher.work = work if owned.nearest is not None else work // 5  # where nothing goes on, a wheel more seldom helps
    chains = searcher.chains(hand)
    proved = True
    found: dict[tuple[int, Fraction, Fraction], ExtraWheel] = {}
    try:
        settings = Settings(problem, searcher.drives(levers), wanted)
        chains = tuple(chain for chain in chains if searcher.may_fit(chain))
        parts, proved = searcher.parts(chains, ((1, 0), (0, 1), (0, 0)))
        for run in Ratios(Lookup(parts), settings.factors).runs():
            if len(found) >= keep or (beat is not None and abs(run[0].error) >= beat):
                break
            searcher.spend()
            for lot in searcher.lots(run, settings, chains):
                for candidate in lot:
                    extra = next((kind.wheel for axis in searcher.kinds(candidate.axes) for kind in axis if kind.extra), None)
                    if extra is None or (extra.teeth, extra.module, extra.pressure_angle) in found or not searcher.fits(candidate.axes):
                        continue
                    train = searcher.dress(candidate, wanted)
                    within = limit is None or abs(train.error) <= limit
                    found[extra.teeth, extra.module, extra.pressure_angle] = ExtraWheel(extra, train, within)
    except (TooMuchWorkError, TooManySettingsError):
        proved = False
    return ExtraWheels(tuple(found.values())[:keep], proved)
