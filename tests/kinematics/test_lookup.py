"""The index of ratios and the quick answers about the banjo, against going through everything."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import hypot, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kinematics.test_laws import banjos

from benchleaf.kinematics.fit import Fitter
from benchleaf.kinematics.lookup import Lookup, Part
from benchleaf.kinematics.model import Banjo
from benchleaf.kinematics.ratios import Ratios, outward
from benchleaf.kinematics.trains import Chain, Groups

counts = st.integers(15, 127)


@st.composite
def parts(draw: st.DrawFn) -> list[Part]:
    """Sets of one and of two wheels by their products; of some only a part of the products come into question."""
    found = []
    for order, chain in ((1, Chain("simple", (False,))), (2, Chain("compound", (True,)))):
        sides = []
        for _ in range(2):
            groups = draw(st.lists(st.tuples(*[counts] * order), min_size=1, max_size=8, unique=True))
            by_product: dict[int, tuple[tuple[int, ...], ...]] = {}
            for group in groups:
                by_product[prod(group)] = (*by_product.get(prod(group), ()), group)
            sides.append(Groups(tuple(sorted(by_product)), by_product))
        pairs = [(p, q) for p in sides[0].products for q in sides[1].products]
        few = draw(st.one_of(st.none(), st.lists(st.sampled_from(pairs), min_size=1, unique=True)))
        found.append(Part((chain,), *sides, few))
    return found


@settings(max_examples=150, deadline=None)
@given(
    parts(),
    st.lists(st.fractions(Fraction(1, 8), 8, max_denominator=12), min_size=1, max_size=4, unique=True),
    st.lists(st.one_of(st.fractions(Fraction(1, 4), 8, max_denominator=40), st.sampled_from([Fraction(1, 10**9), Fraction(10**9)])), max_size=4),
    st.sampled_from([0, 3, 10**6]),
)
def test_every_ratio_once_and_the_nearest_first(of: list[Part], scales: list[Fraction], wanted: list[Fraction], questions: int) -> None:
    lookup = Lookup(of, questions)
    for aim in wanted:
        factors = [scale / aim for scale in scales]
        expected = sorted(
            (abs(factor * Fraction(p, q) - 1), -factor * Fraction(p, q), number, part.chains[0].order, p, q)
            for number, factor in enumerate(factors)
            for part in of
            for p, q in (part.products or [(p, q) for p in part.drivers.products for q in part.driven.products])
        )
        runs = list(Ratios(lookup, factors).runs())
        found = [(abs(r.error), -1 - r.error, r.drive, r.part.chains[0].order, r.drivers, r.driven) for run in runs for r in run]
        assert [item[:2] for item in found] == [item[:2] for item in expected]
        assert sorted(found) == expected
        assert len({run[0].error for run in runs}) == len(runs) == len({item[1] for item in expected})
        assert all(one.error == other.error for run in runs for one, other in pairwise(run))
        lead = [hit for hits in outward(lookup, float(aim), [float(scale) for scale in scales], 1e-3) for hit in hits]
        assert len(lead) == len({(number, Fraction(p, q)) for _, _, number, _, p, q in expected})


half_teeth = st.integers(40, 600).map(lambda number: number / 4 + 0.1)


@settings(max_examples=200, deadline=None)
@given(banjos(), st.lists(half_teeth, min_size=1, max_size=60, unique=True), half_teeth)
def test_one_stud_stands_where_circles_cross_in_the_slot(banjo: Banjo, firsts: list[float], last: float) -> None:
    fitter = Fitter(banjo)
    expected = [bool(fitter.work.stands((first, last)).allowed) for first in sorted(firsts)]
    assert fitter.reach.one_stud_for(sorted(firsts), last) == expected
    assert [fitter.reach.one_stud(first, last) for first in sorted(firsts)] == expected


@settings(max_examples=200, deadline=None)
@given(banjos(), st.tuples(half_teeth, half_teeth, half_teeth))
def test_two_studs_are_as_far_apart_as_their_stands_say(banjo: Banjo, meshes: tuple[float, float, float]) -> None:
    fitter = Fitter(banjo)
    axes = [stand.axes for stand in fitter.work.stands(meshes).allowed]
    expected = [(hypot(first[0] - two[0], first[1] - two[1]), hypot(*one)) for first, one, two, _ in axes]
    found = fitter.reach.two_studs(meshes)
    assert [far for spread in found for far in spread] == pytest.approx([far for spread in expected for far in spread], abs=1e-6)
