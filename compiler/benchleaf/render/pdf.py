"""A sheet as PDF for paper: tagged, reproducible, and refused when anything would be lost off a page."""

from __future__ import annotations

import gc
import io
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from html import unescape
from typing import Any

from markupsafe import Markup

from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.render.engine import Engine, engine, font_files
from benchleaf.render.page import page_html, warning_sign
from benchleaf.render.paper import A4, Paper
from benchleaf.render.preflight import missing_libraries, without_libraries
from benchleaf.render.proof import PX, SLACK, cut_words, proof
from benchleaf.render.qr import sheet_code
from benchleaf.render.svg import Svg
from benchleaf.render.view import DrawingView
from benchleaf.sheet.digest import sealed
from benchleaf.sheet.model import Sheet

__all__ = ["to_pdf"]

_LOGGERS = ("weasyprint", "pydyf", "fontTools")
_COVERED = 0x24F  # up to Latin Extended-B the bundled typeface is complete


def to_pdf(sheet: Sheet, paper: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    """The sheet as tagged PDF (PDF/UA-1); same sheet and same libraries, same bytes.  None, and why, when it cannot be made."""
    missing = missing_libraries()
    if missing:
        return None, [without_libraries(", ".join(missing))]
    try:
        press = engine()
    except FileNotFoundError as fault:
        return None, [Diagnostic("pdf/font-missing", f"no PDF can be made: the installation lacks `{fault.filename or fault}`")]
    except OSError as fault:
        return None, [without_libraries(str(fault).split(":")[0][:120])]
    return _made(sealed(sheet), press, paper)


def _made(sheet: Sheet, press: Engine, paper: Paper) -> tuple[bytes | None, list[Diagnostic]]:
    pictures: dict[str, bytes] = {}
    drawings: list[Svg] = []

    def picture(drawing: DrawingView) -> Markup:
        name = f"drawing-{len(pictures)}"
        drawings.append(drawing.svg)
        pictures[name] = drawing.svg.document(alone=True).encode("utf-8")
        return Markup('<img class="drawing" src="sheet:{}" alt="{}">').format(name, drawing.alt)

    small = {"code": Markup("")}
    for name, svg in (("code", sheet_code(sheet)), ("sign", warning_sign())):
        if svg is not None:
            pictures[name] = svg.document(alone=True).encode("utf-8")
            small[name] = Markup('<img class="drawing" src="sheet:{}" alt="{}">').format(name, svg.alt)
    page = page_html(sheet, picture, small, Markup(""), "", paper)
    faults = _strange_characters(page + "".join(content.decode("utf-8") for content in pictures.values()))
    with press.holding(pictures), _listening() as said, _undisturbed():
        try:
            document = press.html(string=page, url_fetcher=press.fetcher).render(
                font_config=press.fonts, stylesheets=[*press.styles, press.style(paper.css())]
            )
            faults += _fit(document, page, paper) + proof(document, sheet, paper) + cut_words(drawings)
            content = io.BytesIO()
            written: list[int] = []
            document.write_pdf(
                content,
                finisher=lambda _, pdf: written.append(pdf.pages["Count"]),
                pdf_variant="pdf/ua-1",
                pdf_identifier=sheet.digest.encode("ascii", "replace"),
            )
        except press.refused as refusal:
            return None, [*faults, Diagnostic("pdf/refused", f"the PDF was not made: {str(refusal)[:120]}")]
    if written != [len(document.pages)]:
        message = f"the PDF was not made: of {len(document.pages)} pages {sum(written)} would be in the file"
        faults.append(Diagnostic("pdf/pages", message))
    faults += [Diagnostic("pdf/not-clean", f"the PDF was not made, because part of it may be missing: {words[:200]}") for words in said]
    if any(fault.severity is Severity.ERROR for fault in faults):
        return None, faults
    return content.getvalue(), faults


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Without looks for waste: a page is made of some hundred thousand objects that all live to its end, and then go in one look."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


@contextmanager
def _listening() -> Iterator[list[str]]:
    """What the page engine complains of: it goes on where a picture breaks off, but a sheet with half a drawing is no sheet."""
    said: list[str] = []

    class Ear(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    ear = Ear(logging.WARNING)
    loggers = [logging.getLogger(name) for name in _LOGGERS]
    before = [(logger.propagate, logger.level, list(logger.handlers)) for logger in loggers]
    for logger in loggers:
        logger.handlers[:], logger.propagate = [ear], False
        logger.setLevel(logging.WARNING)
    try:
        yield said
    finally:
        for logger, (propagate, level, handlers) in zip(loggers, before, strict=True):
            logger.handlers[:], logger.propagate = handlers, propagate
            logger.setLevel(level)


def _fit(document: Any, page: str, paper: Paper) -> list[Diagnostic]:
    """Everything with a name must be on a page, and inside its type area."""
    wanted = {unescape(name) for name in re.findall(r' id="([^"]+)"', page)}
    edges = (paper.left, paper.top, paper.left + paper.full, paper.top + paper.tall)
    left, top, right, bottom = (edge * PX for edge in edges)
    slack = SLACK * PX
    outside: list[str] = []
    for number, sheet_page in enumerate(document.pages, 1):
        for name, (x1, y1, x2, y2) in sheet_page.anchors.items():
            wanted.discard(name)
            if x1 < left - slack or y1 < top - slack or x2 > right + slack or y2 > bottom + slack:
                outside.append(f"`{name[:60]}` on page {number}")
    faults = [Diagnostic("pdf/off-page", f"the PDF was not made: {place} would reach past the edge of the paper") for place in outside]
    return faults + [Diagnostic("pdf/lost", f"the PDF was not made: `{name[:60]}` would be on no page") for name in sorted(wanted)]


def _strange_characters(text: str) -> list[Diagnostic]:
    """Characters that the bundled typeface lacks: some other typeface of this computer will stand in, so lines may break elsewhere."""
    odd = {char for char in text if ord(char) > _COVERED}
    if not odd:
        return []
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    for content in font_files().values():
        odd -= {chr(code) for code in TTFont(io.BytesIO(content), lazy=True)["cmap"].getBestCmap() if chr(code) in odd} if odd else set()
    if not odd:
        return []
    shown = " ".join(sorted(odd)[:10])
    message = f"the sheet's typeface has no {shown}; another typeface of this computer stands in on paper"
    return [Diagnostic("pdf/character", message, severity=Severity.WARNING, hints=("look at the PDF before it is printed",))]
