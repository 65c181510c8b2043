"""A sheet as one HTML file: opens from disk, fetches nothing, runs nothing."""

from __future__ import annotations

from markupsafe import Markup

from benchleaf.render.page import page_html, warning_sign
from benchleaf.render.paper import A4, Paper
from benchleaf.render.qr import sheet_code
from benchleaf.render.templates import stylesheet
from benchleaf.render.view import DrawingView
from benchleaf.sheet.digest import sealed
from benchleaf.sheet.model import Sheet

__all__ = ["to_html"]

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"


def to_html(sheet: Sheet, paper: Paper = A4) -> str:
    """The whole file, which prints on ``paper``; same sheet, same text.  Raises ValueError for a drawing whose numbers cannot be drawn."""
    sheet = sealed(sheet)
    code = sheet_code(sheet)
    style = Markup("<style>\n{}\n@media print {{\n{}\n}}\n{}\n</style>").format(
        Markup(stylesheet("sheet")), Markup(f"{stylesheet('print')}{paper.css()}"), Markup(stylesheet("screen"))
    )
    small = {"code": Markup("") if code is None else Markup(code.document()), "sign": Markup(warning_sign().document())}
    return page_html(sheet, _inline, small, style, POLICY, paper)


def _inline(drawing: DrawingView) -> Markup:
    """Our own writer has escaped every word in it."""
    return Markup(drawing.svg.document())
