"""Back ends: a sheet and a paper in, bytes out.  They see a sheet and nothing of how it came about; none writes a file."""

from __future__ import annotations

from collections.abc import Callable

from benchleaf.diagnostics import Diagnostic
from benchleaf.render.paper import A4, PAPERS, Paper, paper
from benchleaf.sheet.model import Sheet

__all__ = ["A4", "FORMATS", "PAPERS", "BackEnd", "Paper", "paper"]

BackEnd = Callable[..., tuple[bytes | None, list[Diagnostic]]]


def _json(sheet: Sheet, _: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.json_ import to_json

    return to_json(sheet).encode("utf-8"), []


def _text(sheet: Sheet, _: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.text import to_text

    return to_text(sheet).encode("utf-8"), []


def _html(sheet: Sheet, paper: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.html import to_html

    return to_html(sheet, paper).encode("utf-8"), []


def _csv(sheet: Sheet, _: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.csv_ import to_csv

    return to_csv(sheet).encode("utf-8"), []


def _pdf(sheet: Sheet, paper: Paper = A4) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.pdf import to_pdf

    return to_pdf(sheet, paper)


# Name of the format -> (file suffix, back end).  A back end that cannot deliver returns None and says why;
# its heavy imports wait until it is called.
FORMATS: dict[str, tuple[str, BackEnd]] = {
    "pdf": (".pdf", _pdf),
    "html": (".html", _html),
    "json": (".json", _json),
    "text": (".txt", _text),
    "csv": (".csv", _csv),
}
