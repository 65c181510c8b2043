"""The demo lathes cut what a shop wants of them, with wheels that are in the box and go on the banjo.

Wanted leads: ISO 262 pitches and the common numbers of turns to the inch.  Each train is multiplied out again here.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction as F  # noqa: N817 - tables of sums read better
from functools import cache
from pathlib import Path

import pytest

from benchleaf.kinematics.model import Problem, Train
from benchleaf.kinematics.search import search
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.resources import data_folder
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.load import load_paths

LIMIT = F(200, 1_000_000)
METRIC = [F(text) for text in ("0.5", "0.75", "1", "1.25", "1.5", "1.75", "2", "2.5", "3", "3.5", "4")]
INCH = [F(127, 5) / turns for turns in (8, 10, 11, 12, 14, 16, 18, 19, 20, 24, 26, 28, 40)]
SHORT = F(8000, 8001) - 1  # 160/63 for 2.54: 125 parts in a million short


@cache
def machines(shop: str) -> dict[str, LatheInputs]:
    loaded = load_paths([data_folder("profiles") / shop], Path.cwd())
    assert [fault.message for fault in loaded.diagnostics] == []
    return {Path(job.inputs.job.machine.value).stem: job.inputs.machine for job in loaded.jobs if job.inputs is not None}


def _checked(problem: Problem, train: Train, screw: F) -> Train:
    """The train's own words against arithmetic: wheels owned, lead multiplied out, room left over."""
    owned = Counter({row.teeth: row.copies for row in problem.wheels})
    assert not Counter(train.teeth) - owned
    lead = screw * train.headstock_ratio * train.gearbox_ratio
    for axis, after in zip(train.axes, train.axes[1:], strict=False):
        lead *= F(axis[-1].wheel.teeth, after[0].wheel.teeth)
    assert lead == train.lead
    assert train.placement is not None
    assert train.placement.margin > 0
    return train


@pytest.mark.parametrize("lead", METRIC, ids=str)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_long_lathe_cuts_metric_pitches_exactly_without_changing_a_wheel(lead: F, hand: str) -> None:
    problem = problem_of(machines("osier-lane")["long-lathe"])
    best = search(problem, lead, hand=hand, limit=LIMIT).best
    assert best is not None
    assert _checked(problem, best, F(3)).error == 0
    assert best.changes == ()


@pytest.mark.parametrize("lead", INCH, ids=str)
def test_the_long_lathe_cuts_inch_pitches_within_the_usual_limit(lead: F) -> None:
    problem = problem_of(machines("osier-lane")["long-lathe"])
    best = search(problem, lead, hand="right", limit=LIMIT).best
    assert best is not None
    assert abs(_checked(problem, best, F(3)).error) <= LIMIT


def test_sixteen_to_the_inch_on_the_long_lathe_is_the_63_train() -> None:
    """3 mm x 40/63 x 5/6 = 100/63 mm for 127/80 mm: 125 parts in a million short (plain arithmetic)."""
    problem = problem_of(machines("osier-lane")["long-lathe"])
    best = search(problem, F(127, 80), hand="right", limit=LIMIT).best
    assert best is not None
    assert (best.lead, best.error) == (F(100, 63), SHORT)
    assert (best.teeth[0], best.teeth[-1]) == (40, 63)
    assert dict(best.levers)["hole"] == "3"


@pytest.mark.parametrize("lead", METRIC + INCH, ids=str)
def test_the_loose_wheel_lathe_cuts_both_systems_exactly(lead: F) -> None:
    problem = problem_of(machines("osier-lane")["loose-wheel-lathe"])
    best = search(problem, lead, hand="right", limit=LIMIT).best
    assert best is not None
    assert _checked(problem, best, F(127, 40)).error == 0
    assert best.meshes % 2 == 0  # no tumbler: right hand wants an even number of meshes


def test_without_a_tumbler_a_left_hand_thread_takes_an_idler_more_or_is_refused() -> None:
    problem = problem_of(machines("osier-lane")["loose-wheel-lathe"])
    found = search(problem, F(127, 80), hand="left", limit=LIMIT).best
    assert found is not None
    assert _checked(problem, found, F(127, 40)).meshes == 3
    refused = search(problem, F(3, 2), hand="left", limit=LIMIT)  # wants a compound train, and there is no room for one with an idler
    assert refused.best is None


@pytest.mark.parametrize("lead", METRIC, ids=str)
def test_the_starter_lathe_cuts_metric_pitches_exactly(lead: F) -> None:
    problem = problem_of(machines("starter")["lathe"])
    best = search(problem, lead, hand="right", limit=LIMIT).best
    assert best is not None
    assert _checked(problem, best, F(3)).error == 0
