"""What errors of lead cost, against worked values of the practice of BS 919 and exact ratios."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards.lead_error import engagement_limit, lead_error, lead_error_cost, microns_per_100_mm, ppm, virtual_change

HALVES = st.sampled_from([F(30), F("27.5"), F("23.75"), F(15), F("14.5")])


@pytest.mark.parametrize(
    ("millionths", "length", "half", "cumulative", "virtual"),
    [(-125, "15", F(30), -0.001875, 0.00325), (-125, "100", F(30), -0.0125, 0.02165), (-600, "50", F(15), -0.03, 0.11196), (125, "25", F(30), 0.003125, 0.0054127)],
)
def test_cost_over_an_engagement(millionths: int, length: str, half: F, cumulative: float, virtual: float) -> None:
    cost = lead_error_cost(F(millionths, 10**6), F(length), half)
    assert float(cost.cumulative) == pytest.approx(cumulative, abs=1e-9)
    assert float(cost.virtual) == pytest.approx(virtual, abs=1e-5)
    assert cost.share is None


def test_cotangents_of_the_forms() -> None:
    # 1.732 (60 degrees), 1.921 (55), 2.273 (47.5), 3.732 (30), 3.867 (29): plane geometry.
    found = [float(virtual_change(F(1), half)) for half in (F(30), F("27.5"), F("23.75"), F(15), F("14.5"))]
    assert found == pytest.approx([1.732, 1.921, 2.273, 3.732, 3.867], abs=5e-4)


@pytest.mark.parametrize(
    ("actual", "wanted", "millionths"),
    # Continued-fraction stand-ins for 1.27 and its kin; 40/63 is 8000/8001 of 127/200, 63/80 exactly 8001/8000 of 100/127.
    [("40/63", "127/200", F(-(10**6), 8001)), ("63/80", "100/127", F(125)), ("47/37", "127/100", F(10**6, 4699)), ("5/4", "5/4", F(0))],
)
def test_errors_are_exact(actual: str, wanted: str, millionths: F) -> None:
    assert ppm(lead_error(F(actual), F(wanted))) == millionths


def test_feed_screws_are_told_in_microns() -> None:
    # 40/63 for 127/200: -12.5 um in 100 mm; 33/26 for 1.27: -60.6 um.
    assert float(microns_per_100_mm(lead_error(F(40, 63), F(127, 200)))) == pytest.approx(-12.5, abs=0.01)
    assert float(microns_per_100_mm(lead_error(F(33, 26), F(127, 100)))) == pytest.approx(-60.57, abs=0.01)


@given(HALVES, st.fractions(F(-1, 100), F(1, 100), max_denominator=10**6), st.fractions(F(1, 100), F(1), max_denominator=1000), st.fractions(F(1, 100), F(1), max_denominator=100))
def test_the_engagement_limit_is_where_the_share_is_reached(half: F, error: F, tolerance: F, share: F) -> None:
    limit = engagement_limit(error, half, tolerance, share)
    if error == 0:
        assert limit is None
        return
    assert limit is not None
    found = lead_error_cost(error, limit, half, tolerance).share
    assert found is not None
    assert abs(found - share) < F(1, 10**30)
    # Long or short, the cost is the same.
    assert lead_error_cost(-error, limit, half).virtual == lead_error_cost(error, limit, half).virtual > 0


def test_a_tolerance_is_above_nought() -> None:
    with pytest.raises(ValueError, match="tolerance"):
        lead_error_cost(F(1, 1000), F(10), F(30), F(0))
