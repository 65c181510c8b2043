"""Laying out keeps reading order whatever the blocks are; background comes last."""

from __future__ import annotations

import io

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st
from render.sample import SAMPLE

from benchleaf.render.engine import font_files
from benchleaf.render.estimate import height
from benchleaf.render.layout import lay_out
from benchleaf.render.paper import A4, PAPERS, paper
from benchleaf.render.svg import text_width
from benchleaf.render.view import block_views

BLOCKS = list(block_views(SAMPLE, SAMPLE.sections[0]))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(BLOCKS), max_size=25), st.floats(0, A4.tall), st.sampled_from(PAPERS))
def test_every_block_is_there_once_in_order(blocks: list, used: float, name: str) -> None:
    sheet = paper(name)
    used = min(used, sheet.tall)
    rows, filled = lay_out(blocks, used, paper=sheet)
    background = [block for block in blocks if getattr(block, "weight", "") == "know"]
    assert [block for row in rows for block in (*row.left, *row.right)] == [block for block in blocks if block not in background] + background
    assert 0 <= filled <= sheet.tall
    for row in rows:
        assert row.left
        assert bool(row.right) == (row.shape == "pair")
        if row.shape == "pair":
            assert max(sum(height(block, sheet.half) for block in side) for side in (row.left, row.right)) <= sheet.tall


@pytest.mark.parametrize("bold", [False, True])
def test_estimated_widths_are_those_of_the_typeface_or_a_little_more(bold: bool) -> None:
    font = TTFont(io.BytesIO(font_files()["bold" if bold else "regular"]))
    cut, widths, per_em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    phrases = [figure.label for figure in SAMPLE.sections[0].figures()] + [figure.shown for figure in SAMPLE.sections[0].figures()]
    phrases += ["headstock stud", "A 40", "27.544 to 27.711 mm", "<b>& 127", "−125 ppm", "MAXIMUM", "Tr40x14(P7)-7e LH", "half-nuts: open them anywhere"]
    ratios = [text_width(words, 1.0, bold=bold) / (sum(widths[cut[ord(char)]][0] for char in words) / per_em) for words in phrases]
    assert min(ratios) >= 0.97
    assert sum(ratios) / len(ratios) <= 1.12


def test_the_widest_blocks_stand_alone() -> None:
    rows, _ = lay_out(BLOCKS, 50)
    passes = next(row for row in rows if any(getattr(block, "title", "") == "Passes" for block in (*row.left, *row.right)))
    assert passes.shape == "full"
