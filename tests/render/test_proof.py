"""Nothing leaves paper without a word: each guard of the PDF against a fault planted for it, and the words read back from real files."""

from __future__ import annotations

import dataclasses
import io
import logging
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from render.sample import SAMPLE, hostile

from benchleaf import api
from benchleaf.render import pdf
from benchleaf.render.paper import paper
from benchleaf.render.pdf import to_pdf
from benchleaf.render.proof import Reading, missing, squeezed
from benchleaf.render.svg import Svg
from benchleaf.sheet.model import Caution, Section, Sheet

DEMO = Path(__file__).resolve().parents[2] / "profiles" / "osier-lane"


def codes(monkeypatch: pytest.MonkeyPatch, rules: str, more: str = "") -> set[str]:
    """Codes of the faults when the page comes with other rules; no file may come of it."""
    page_html = pdf.page_html

    def spoilt(*args: Any) -> str:
        return page_html(*args).replace("</head>", f"<style>{rules}</style></head>").replace("</main>", f"{more}</main>")

    monkeypatch.setattr(pdf, "page_html", spoilt)
    content, faults = to_pdf(SAMPLE)
    assert (content is None) == bool(faults)
    return {fault.code for fault in faults}


def test_rules_that_change_nothing_are_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    assert codes(monkeypatch, "p { color: #000 }") == set()


# What a slip in the stylesheet or a longer name can do, none of which the page engine reports.
@pytest.mark.parametrize(("rules", "code"), [
    (".caution p { white-space: nowrap; overflow-wrap: normal }", "pdf/off-page"),  # runs off the right edge
    (".checks { position: relative; left: -25mm }", "pdf/off-page"),
    (".caution { height: 2mm; overflow: hidden }", "pdf/off-page"),  # its lower lines are clipped
    (".tile dd { width: 3mm; overflow: hidden; white-space: nowrap; overflow-wrap: normal }", "pdf/off-page"),
    (".foot > span { padding-top: 40mm }", "pdf/off-page"),  # the running foot
    (".tile .unit { display: none }", "pdf/lost"),
    ("dl.figures .value { visibility: hidden }", "pdf/lost"),
    (".passes td.dial { display: none }", "pdf/lost"),
    (".checks { display: none }", "pdf/lost"),
    (".caution { visibility: hidden }", "pdf/lost"),
    (".first li { display: none }", "pdf/lost"),
    (".caution { position: fixed; top: 280mm; width: 60mm }", "pdf/off-page"),  # below the last line of the page
])  # fmt: skip
def test_words_off_the_paper_cut_off_or_hidden_are_faults(monkeypatch: pytest.MonkeyPatch, rules: str, code: str) -> None:
    assert code in codes(monkeypatch, rules)


def test_an_empty_page_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    assert codes(monkeypatch, "", '<div style="break-before: page; height: 1mm"></div>') == {"pdf/pages"}


def test_a_page_that_does_not_reach_the_file_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    check = pdf.proof

    def losing(document: Any, *args: Any) -> Any:
        found = check(document, *args)
        write = document.write_pdf

        def short(target: Any, finisher: Any, **options: Any) -> None:
            write(target, finisher=lambda made, book: (book.pages.__setitem__("Count", book.pages["Count"] - 1), finisher(made, book)), **options)

        document.write_pdf = short
        return found

    monkeypatch.setattr(pdf, "proof", losing)
    content, faults = to_pdf(SAMPLE)
    assert content is None
    assert [(fault.code, fault.message) for fault in faults] == [("pdf/pages", "the PDF was not made: of 3 pages 2 would be in the file")]


@pytest.mark.parametrize("name", ["weasyprint", "pydyf", "fontTools", "fontTools.subset"])
def test_whatever_a_library_complains_of_is_a_fault(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    check, logger = pdf.proof, logging.getLogger(name)
    state = logger.propagate, logger.level, list(logger.handlers)

    def complaining(*args: Any) -> Any:
        logger.info("all is well")
        logger.warning("left something out")
        return check(*args)

    monkeypatch.setattr(pdf, "proof", complaining)
    content, faults = to_pdf(SAMPLE)
    assert content is None
    assert [fault.code for fault in faults] == ["pdf/not-clean"]
    assert "left something out" in faults[0].message
    assert (logger.propagate, logger.level, list(logger.handlers)) == state


@pytest.mark.parametrize("at", [(48.0, 5.0), (5.0, 0.5), (-3.0, 10.0), (5.0, 31.0)])
def test_words_that_leave_their_drawing_are_a_fault(monkeypatch: pytest.MonkeyPatch, at: tuple[float, float]) -> None:
    svg = Svg(50, 30, "a drawing")
    svg.text((5.0, 10.0), "inside", 10)
    assert list(svg.cut_words()) == []
    svg.text(at, "half of it", 10)
    monkeypatch.setattr("benchleaf.render.view.draw", lambda drawing: svg)
    content, faults = to_pdf(SAMPLE)
    assert content is None
    assert {fault.code for fault in faults} == {"pdf/off-page"}
    assert "`half of it` in a drawing" in faults[0].message


@cache
def demo() -> dict[str, Sheet]:
    loaded, _ = api.load([DEMO], DEMO)
    made = (api.sheet_of(job)[0] for job in loaded.jobs)
    return {sheet.id: sheet for sheet in made if sheet is not None}


def said(section: Section) -> list[str]:
    """Figures and rows as paper shows them."""
    figures = [words for figure in section.figures() for words in (figure.label, figure.shown + figure.unit, figure.also)]
    return figures + ["".join(row.shown) + row.note for table in section.tables() for row in table.rows]


@pytest.mark.parametrize("name", ["packing-tube", "pump-spindle", "gland-nut", "valve-key"])
def test_every_figure_of_a_sheet_is_read_back_from_its_file(name: str) -> None:
    """By a reader of PDFs that knows nothing of how the file was made (pypdf)."""
    content, faults = to_pdf(demo()[name])
    assert faults == []
    assert content is not None
    pages = PdfReader(io.BytesIO(content)).pages
    text = squeezed("".join(page.extract_text() for page in pages))
    wanted = [squeezed(words) for section in demo()[name].sections for words in said(section)]
    assert len(wanted) > 40
    assert [words for words in wanted if words not in text] == []


@pytest.mark.parametrize("name", ["A4", "A6"])  # the widest and the narrowest; test_papers has a sheet on each
def test_foreign_names_pass_the_guards_on_large_and_small_paper(name: str) -> None:
    assert [fault.code for fault in to_pdf(hostile(), paper(name))[1] if fault.code != "pdf/character"] == []


def test_a_figure_counts_only_at_its_place() -> None:
    """The same figure elsewhere on the sheet does not stand in for one that is missing."""
    section = SAMPLE.sections[0]
    only = dataclasses.replace(SAMPLE, warnings=(), sections=(dataclasses.replace(section, blocks=tuple(block for block in section.blocks if not isinstance(block, Caution))),))
    text = said(section)
    reading = Reading(words=text)
    reading.named["elsewhere"].extend(text)
    lost = missing(only, reading)
    assert sum("the figure" in words for words in lost) == len(list(section.figures()))
