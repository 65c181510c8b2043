"""Laying out keeps reading order whatever the blocks are; background comes last."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from render.sample import SAMPLE

from benchleaf.render.estimate import HALF, height
from benchleaf.render.layout import PAGE, lay_out
from benchleaf.render.view import block_views

BLOCKS = list(block_views(SAMPLE, SAMPLE.sections[0]))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(BLOCKS), max_size=25), st.floats(0, PAGE))
def test_every_block_is_there_once_in_order(blocks: list, used: float) -> None:
    rows, filled = lay_out(blocks, used)
    background = [block for block in blocks if getattr(block, "weight", "") == "know"]
    assert [block for row in rows for block in (*row.left, *row.right)] == [block for block in blocks if block not in background] + background
    assert 0 <= filled <= PAGE
    for row in rows:
        assert row.left
        assert bool(row.right) == (row.shape == "pair")
        if row.shape == "pair":
            assert max(sum(height(block, HALF) for block in side) for side in (row.left, row.right)) <= PAGE


def test_the_widest_blocks_stand_alone() -> None:
    rows, _ = lay_out(BLOCKS, 50)
    passes = next(row for row in rows if any(getattr(block, "title", "") == "Passes" for block in (*row.left, *row.right)))
    assert passes.shape == "full"
