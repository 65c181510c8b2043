"""Back ends: a sheet in, bytes out.  They see a sheet and nothing of how it came about; none writes a file."""

from __future__ import annotations

from collections.abc import Callable

from benchleaf.diagnostics import Diagnostic
from benchleaf.sheet.model import Sheet

__all__ = ["FORMATS", "BackEnd"]

BackEnd = Callable[[Sheet], tuple[bytes | None, list[Diagnostic]]]


def _json(sheet: Sheet) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.json_ import to_json

    return to_json(sheet).encode("utf-8"), []


def _text(sheet: Sheet) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.text import to_text

    return to_text(sheet).encode("utf-8"), []


def _html(sheet: Sheet) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.html import to_html

    return to_html(sheet).encode("utf-8"), []


def _csv(sheet: Sheet) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.csv_ import to_csv

    return to_csv(sheet).encode("utf-8"), []


def _pdf(sheet: Sheet) -> tuple[bytes | None, list[Diagnostic]]:
    from benchleaf.render.pdf import to_pdf

    return to_pdf(sheet)


# Name of the format -> (file suffix, back end).  A back end that cannot deliver returns None and says why;
# its heavy imports wait until it is called.
FORMATS: dict[str, tuple[str, BackEnd]] = {
    "pdf": (".pdf", _pdf),
    "html": (".html", _html),
    "json": (".json", _json),
    "text": (".txt", _text),
    "csv": (".csv", _csv),
}
