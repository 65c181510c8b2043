"""Every paper holds every sheet: nothing is lost, cut off or run together; sizes are those of the standards."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader
from render.sample import SAMPLE

from benchleaf.cli.papers import HOLES as OFFERED_HOLES
from benchleaf.cli.papers import PAPERS as OFFERED
from benchleaf.render.paper import HOLES, PAPERS, paper
from benchleaf.render.pdf import to_pdf

# ISO 216:2007 (A sizes) and ANSI/ASME Y14.1 (letter: 8 1/2 x 11 in; half of it)
SIZES = {"A4": (210, 297), "A5": (148, 210), "A6": (105, 148), "letter": (215.9, 279.4), "half-letter": (139.7, 215.9)}
MM = 72 / 25.4


def test_the_papers_offered_are_those_that_there_are() -> None:
    assert OFFERED == PAPERS == tuple(SIZES)
    assert OFFERED_HOLES == HOLES


@pytest.mark.parametrize("name", PAPERS)
def test_a_sheet_comes_out_whole_on_each_paper(name: str) -> None:
    content, faults = to_pdf(SAMPLE, paper(name))
    assert faults == []
    assert content is not None
    pages = PdfReader(io.BytesIO(content)).pages
    width, height = SIZES[name]
    for page in pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((width * MM, height * MM), abs=0.6)
    words = re.sub(r"\s+", "", "".join(page.extract_text() for page in pages))
    for figure in SAMPLE.sections[0].figures():
        assert re.sub(r"\s+", "", figure.shown) in words, f"{figure.id} is not on {name}"


@pytest.mark.parametrize("holes", HOLES)
@pytest.mark.parametrize("name", PAPERS)
def test_margins_clear_the_holes_on_the_side_that_is_punched(name: str, holes: str) -> None:
    """ISO 838: 6 mm holes whose centres are 12 mm from the edge."""
    sheet = paper(name, holes)
    if holes == "side":
        assert sheet.left >= 15
    if holes == "top":
        assert sheet.top >= 15
    assert sheet.full > 70
    assert sheet.tall > 100


def test_bleed_makes_the_sheet_larger_and_marks_the_cut() -> None:
    content, _ = to_pdf(SAMPLE, paper("A5", "none", 3.0))
    assert content is not None
    page = PdfReader(io.BytesIO(content)).pages[0]
    assert float(page.mediabox.width) > 148 * MM + 2 * 3 * MM - 1
    assert float(page.trimbox.width) == pytest.approx(148 * MM, abs=0.6)
