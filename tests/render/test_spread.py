"""Labels keep their order, do not meet, and no leader crosses another."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.render.scale import scale_words, standard_scale
from benchleaf.render.spread import GAP, spread, stack

LABELS = st.lists(st.tuples(st.floats(-5, 90), st.floats(0.5, 40)), min_size=1, max_size=14)


def test_labels_with_room_stay_where_they_are_wanted() -> None:
    assert spread([10, 30, 60], [8, 8, 8], 0, 85) == [10, 30, 60]
    assert spread([], [], 0, 85) == []


def test_two_that_meet_share_the_shift() -> None:
    """Least squares: both move by half of what is missing (arithmetic)."""
    assert spread([40, 42], [10, 10], 0, 85) == pytest.approx([41 - (10 + GAP) / 2, 41 + (10 + GAP) / 2])


@given(LABELS)
def test_spread_labels_never_meet_and_keep_their_order(labels: list[tuple[float, float]]) -> None:
    labels.sort()
    widths = [width for _, width in labels]
    middles = spread([x for x, _ in labels], widths, 0, 85)
    for (a, b), (wide, wider) in zip(pairwise(middles), pairwise(widths), strict=True):
        assert b - a >= (wide + wider) / 2 + GAP - 1e-9
    if sum(widths) + GAP * (len(widths) - 1) <= 85:
        assert middles[0] - widths[0] / 2 >= -1e-9
        assert middles[-1] + widths[-1] / 2 <= 85 + 1e-9


@given(LABELS)
def test_leaders_keep_their_order_at_every_height(labels: list[tuple[float, float]]) -> None:
    labels.sort()
    placed = stack([x for x, _ in labels], [width for _, width in labels], 0, 85)
    for row in range(max(item.row for item in placed) + 1):
        passing = [item.way[row] for item in placed if item.row >= row]
        assert passing == sorted(passing)
        here = [(item.x - width / 2, item.x + width / 2) for item, (_, width) in zip(placed, labels, strict=True) if item.row == row]
        assert all(before[1] <= after[0] for before, after in pairwise(here))
        crossing = [item.way[row] for item in placed if item.row > row]
        assert not any(left < x < right for x in crossing for left, right in here)
        assert all(left >= -0.001 and right <= 85.001 for left, right in here)


# ISO 5455:1979, table 1: recommended scales; clause 4 lets the range go on in powers of ten.
@pytest.mark.parametrize(
    ("largest", "words"),
    [(80, "50:1"), (50, "50:1"), (49, "20:1"), (12, "10:1"), (9.9, "5:1"), (3, "2:1"), (1.9, "1:1"), (1, "1:1"), (0.99, "1:2"), (0.4, "1:5"), (0.11, "1:10"), (0.07, "1:20"), (0.02, "1:50"), (0.011, "1:100")],
)
def test_scales_are_those_of_the_standard(largest: float, words: str) -> None:
    assert scale_words(standard_scale(largest)) == words
    assert standard_scale(largest) <= largest
