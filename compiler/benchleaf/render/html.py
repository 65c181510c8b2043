"""A sheet as one HTML file: opens from disk, fetches nothing, runs only the script that came with it."""

from __future__ import annotations

from markupsafe import Markup

from benchleaf.render.page import page_html, warning_sign
from benchleaf.render.paper import A4, Paper
from benchleaf.render.policy import policy, script_element, style_element
from benchleaf.render.qr import sheet_code
from benchleaf.render.templates import script, stylesheet
from benchleaf.render.view import DrawingView
from benchleaf.sheet.digest import sealed
from benchleaf.sheet.model import Sheet

__all__ = ["to_html"]

def to_html(sheet: Sheet, paper: Paper = A4) -> str:
    """The whole file, which prints on ``paper``; same sheet, same text.  Raises ValueError for a drawing whose numbers cannot be drawn."""
    sheet = sealed(sheet)
    code = sheet_code(sheet)
    css = f"\n{stylesheet('sheet')}\n@media print {{\n{stylesheet('print')}{paper.css()}\n}}\n{stylesheet('screen')}\n"
    javascript = f"\n{script('sheet')}"
    small = {
        "code": Markup("") if code is None else Markup(code.document()),
        "sign": Markup(warning_sign().document()),
        "script": script_element(javascript),
    }
    return page_html(sheet, _inline, small, style_element(css), policy(css, javascript), paper)


def _inline(drawing: DrawingView) -> Markup:
    """Our own writer has escaped every word in it."""
    return Markup(drawing.svg.document())
