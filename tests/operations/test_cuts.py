"""Cuts as dial readings: laws that hold for any dial, any stock and any size, and depths against sums by hand.

The convention is common practice: the running total is rounded to the dial, never the step, so that errors cannot add up.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from benchleaf.operations.context import Context, Setup
from benchleaf.operations.cutting.cuts import Cuts, plan_cuts
from benchleaf.operations.cutting.depth import deepest_cut
from benchleaf.operations.cutting.sizes import Size, read_size
from benchleaf.operations.desk import Desk, Faults
from benchleaf.operations.work import Work
from benchleaf.standards.turning import depth_of_cut, specific_force
from benchleaf.workshop.inputs import JobInputs, LatheInputs
from benchleaf.workshop.load import load_paths
from benchleaf.workshop.values import Measure, Word

CASES = Path(__file__).parent / "cases"
INPUTS: JobInputs = next(job.inputs for job in load_paths([CASES / "good" / "metal-gone.yaml"], CASES).jobs if job.inputs is not None)
HSS = Word("HSS", INPUTS.job.held.origin)
DIVISIONS = {F(1, 100): F(2), F(1, 50): F(2), F(1, 20): F(4), F(1, 40): F(5, 2), F(127, 5000): F(127, 50), F(127, 2500): F(127, 25)}


def mm(value: F) -> Measure:
    return Measure(value, "mm", f"{float(value):.3f} mm", INPUTS.job.held.origin)


def context(
    division: F = F(1, 50), reads: str = "depth", largest_cut: F | None = None, power: F | None = None, material: str = "mild steel"
) -> Context:
    assert isinstance(INPUTS.machine, LatheInputs)
    lathe = INPUTS.machine.lathe
    cross = lathe.slides.cross_slide
    system = "inch" if division.denominator % 625 == 0 or division in (F(127, 5000), F(127, 2500)) else "metric"
    dial = replace(
        cross.dial,
        division=replace(cross.dial.division, value=division, unit="in" if system == "inch" else "mm", text="division"),
        turn=replace(cross.dial.turn, value=DIVISIONS[division]),
        reads=Word(reads, cross.dial.reads.origin),
    )
    lathe = replace(
        lathe,
        slides=replace(lathe.slides, cross_slide=replace(cross, dial=dial)),
        largest_cut=None if largest_cut is None else mm(largest_cut),
        power=None if power is None else replace(mm(power), unit="kW"),
    )
    inputs = replace(
        INPUTS,
        machine=replace(INPUTS.machine, lathe=lathe),
        material=replace(INPUTS.material, group=Word(material, INPUTS.material.group.origin)),
    )
    return Context(inputs, Faults([]), "turn", Setup(inputs.machine, inputs.job.held, Work(inputs.job.blank)))


class Planned(NamedTuple):
    cuts: Cuts | None
    desk: Desk
    size: Size
    stock: F
    step: F  # travel of one division, mm
    faults: list[str]


def planned(stock: F, words: str, division: F, reads: str, *, inside: bool, largest_cut: F | None = None) -> Planned:
    where = context(division, reads, largest_cut)
    size = read_size(Word(words, INPUTS.job.held.origin), "inside" if inside else "outside", where, "boring" if inside else "turning")
    assert size is not None, words
    desk = where.desk()
    cuts = plan_cuts(desk, where, "boring" if inside else "turning", stock, size, HSS, None, (mm(stock),))
    step = division / (2 if reads == "diameter" else 1)
    return Planned(cuts, desk, size, stock, step, [fault.code for fault in where.faults.found])


SIZES = st.one_of(
    st.integers(500, 6000).map(lambda hundredths: f"{hundredths / 100} mm"),
    st.tuples(st.integers(5000, 60000), st.integers(5, 400)).map(lambda ends: f"{ends[0] / 1000} to {(ends[0] + ends[1]) / 1000} mm"),
    st.sampled_from(["20 h7", "16 g6", "50 h9", "12 js8", "30 k6"]),
)
TAKEN = st.fractions(min_value=F(1, 100), max_value=40, max_denominator=200)


@settings(max_examples=300, deadline=None)
@given(SIZES, TAKEN, st.sampled_from(list(DIVISIONS)), st.sampled_from(["depth", "diameter"]), st.sampled_from([None, F(1, 4), F(3)]))
@example("20 mm", F(36, 100), F(1, 20), "depth", None)  # a first cut of 0.005 mm, which this dial cannot set
@example("20 mm", F(1, 100), F(1, 20), "depth", None)
def test_cuts_go_one_way_and_end_at_the_size(words: str, taken: F, division: F, reads: str, largest_cut: F | None) -> None:
    inside = not words.split()[-1][0].isalpha() or words.endswith("mm")
    for side in (False, True) if inside else (False,):
        plain = planned(F(100), words, division, reads, inside=side).size
        stock = plain.aim - taken if side else plain.aim + taken
        if stock <= 0:
            continue
        done = planned(stock, words, division, reads, inside=side, largest_cut=largest_cut)
        laws(done, taken / 2, inside=side, largest_cut=largest_cut)


def laws(done: Planned, total: F, *, inside: bool, largest_cut: F | None) -> None:
    cuts, step, size = done.cuts, done.step, done.size
    if cuts is None:
        assert done.faults.count("cuts/dial-coarse") == 1
        assert total < step, "more than a division is there to take off"
        return
    rows = cuts.table.rows
    counted = [row.values[3] for row in rows]
    assert all(value is not None for value in counted)
    assert cuts.count == len(rows) == len(cuts.diameters) > 0
    # Every cut takes metal off, and the table's diameters are what the dial really gives.
    measured = [abs(done.stock - diameter) / 2 for diameter in cuts.diameters]
    assert all(one < other for one, other in pairwise([F(0), *measured]))
    assert all(diameter == (done.stock + 2 * depth if inside else done.stock - 2 * depth) for diameter, depth in zip(cuts.diameters, measured, strict=True))
    assert all((depth / step).denominator == 1 for depth in measured), "a reading between two divisions"
    # No roughing cut is deeper than allowed, as near as the dial can set it.
    deepest = deepest_cut(Desk("metric"), context(largest_cut=largest_cut), "boring" if inside else "turning")
    depths = [other - one for one, other in pairwise([F(0), *measured])]
    assert all(depth <= max(deepest, step) for depth in depths[: cuts.roughing])
    # The last: within the limits where a division falls within them, else metal is left, less than a division of it.
    last = cuts.diameters[-1]
    if size.lower is not None and size.upper is not None:
        whole = int(total / step)
        ends = [done.stock + 2 * number * step * (1 if inside else -1) for number in (whole, whole + 1)]
        fits = any(size.lower <= end <= size.upper for end in ends)
        assert (size.lower <= last <= size.upper) == fits
        assert fits or 0 <= (size.aim - last) * (1 if inside else -1) < 2 * step
    else:
        assert abs(last - size.aim) <= step
    # A tolerance that no division is sure to fall into is said to be so.
    narrow = size.tolerance is not None and size.tolerance < 2 * step
    assert ("cuts/tolerance-fine" in done.faults) == narrow


def test_totals_are_rounded_and_never_steps() -> None:
    """30 to 20 mm, 0.02 mm divisions, 0.7 mm at most: 4.825 in seven cuts of 0.6893 and 0.175 left; each total within half a division."""
    done = planned(F(30), "20 mm", F(1, 50), "depth", inside=False, largest_cut=F(7, 10))
    assert done.cuts is not None
    left = done.desk["finish_cut"].value
    assert isinstance(left, F)
    exact = [(5 - left) * number / 7 for number in range(1, 8)] + [F(5)]
    assert done.cuts.roughing == 7
    for diameter, depth in zip(done.cuts.diameters, exact, strict=True):
        assert abs((30 - diameter) / 2 - depth) <= F(1, 100)


@pytest.mark.parametrize(
    ("reads", "inside", "shown"),
    [("depth", False, ["0.82", "1.00"]), ("diameter", False, ["1.66", "0.00"]), ("depth", True, ["1.58", "1.00"]), ("diameter", True, ["1.18", "0.00"])],
)  # fmt: skip
def test_the_collar_counts_what_it_reads_and_down_when_wound_out(reads: str, inside: bool, shown: list[str]) -> None:
    """2 mm on the diameter, 0.02 mm divisions, 2 mm a turn: 1 mm of depth, or a whole turn of a dial that reads diameter (arithmetic).

    0.175 mm is left for the last cut; 0.825 mm before it is one cut outside (0.82 or 1.66 shown) and two of 0.4125 mm inside, where half
    as much is allowed: 0.42 of depth or 0.82 of diameter, counted down from 2.
    """
    done = planned(F(18) if inside else F(22), "20 mm", F(1, 50), reads, inside=inside)
    assert done.cuts is not None
    rows = done.cuts.table.rows
    assert rows[-1].shown[3] == shown[1]
    assert rows[0].shown[3] == shown[0]
    assert rows[-1].shown[2] == ("1" if reads == "diameter" else "")


@pytest.mark.parametrize(
    ("power", "feed", "turns", "diameter", "material"),
    [("0.75", "0.2", "200", "40", "mild steel"), ("0.37", "0.25", "400", "60", "mild steel"), ("0.55", "0.1", "100", "120", "cast iron")],
)
def test_depth_that_the_motor_drives(power: str, feed: str, turns: str, diameter: str, material: str) -> None:
    """a = 60000 P eta / (kc f v): the definitions of cutting power and of the specific cutting force, worked here in floats.

    eta is the low end of the drive's efficiency, 70 % (common practice); kc = kc1.1 x f^-mc from the published table.
    """
    force = specific_force(material)
    kc = float(force.value) * float(feed) ** -float(force.exponent)
    speed = 3.14159265358979 * float(diameter) * float(turns) / 1000
    by_hand = 60000 * float(power) * 0.7 / (kc * float(feed) * speed)
    desk = Desk("metric")
    where = context(largest_cut=F(50), power=F(power), material=material)
    found = deepest_cut(desk, where, "turning", feed=F(feed), turns=F(turns), diameter=F(diameter))
    assert float(found) == pytest.approx(by_hand, rel=1e-9)
    assert "power" in desk["depth_of_cut"].basis.formula


def test_without_power_or_a_stated_cut_practice_bounds_it_and_half_of_it_inside() -> None:
    """Low end of practice for a lathe of 165 mm centre height; a boring bar takes half (common practice)."""
    outside = deepest_cut(Desk("metric"), context(), "turning")
    assert outside == depth_of_cut("roughing", centre_height=F(165), material="mild steel").low
    assert deepest_cut(Desk("metric"), context(), "boring") == outside / 2


def test_the_owners_largest_cut_is_for_mild_steel_and_less_in_what_is_harder() -> None:
    """kc1.1 of mild steel against that of a harder material, at 0.1 mm of feed; never more than the owner says."""
    assert deepest_cut(Desk("metric"), context(largest_cut=F(3, 2)), "turning") == F(3, 2)
    assert deepest_cut(Desk("metric"), context(largest_cut=F(3, 2), material="free-cutting brass"), "turning") == F(3, 2)
    harder = deepest_cut(Desk("metric"), context(largest_cut=F(3, 2), material="stainless 304"), "turning")
    steel, stainless = specific_force("mild steel"), specific_force("stainless 304")
    by_hand = 1.5 * float(steel.value) * 0.1 ** -float(steel.exponent) / (float(stainless.value) * 0.1 ** -float(stainless.exponent))
    assert float(harder) == pytest.approx(min(1.5, by_hand), rel=1e-9)
    assert harder < F(3, 2)
