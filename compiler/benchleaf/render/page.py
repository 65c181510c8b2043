"""The sheet as HTML: one page for the browser and for the PDF, which differ in how pictures and styles come in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from benchleaf.render.clean import clean
from benchleaf.render.layout import Row, lay_out
from benchleaf.render.templates import template
from benchleaf.render.view import CautionView, DrawingView, SectionView, block_views, caution
from benchleaf.sheet.model import Sheet
from benchleaf.sheet.words import figures_by_name

__all__ = ["Head", "page_html"]

SHORT_DIGEST = 8
_HEADER = 30.0  # mm, as estimated by the layout


@dataclass(frozen=True, slots=True)
class Head:
    """What stands above and below all sections."""

    id: str
    short_id: str
    title: str
    size: str
    subtitle: str
    machine: str
    material: str
    digest: str
    program: str
    warnings: tuple[str, ...]
    closing: CautionView
    glossary: tuple[tuple[str, str], ...]
    files: tuple[str, ...]


def _head(sheet: Sheet) -> Head:
    title, name = clean(sheet.title), clean(sheet.id)
    return Head(
        id=name,
        short_id=name if len(name) <= 40 else f"{name[:39]}…",
        title=title,
        size="big" if len(title) <= 24 else "medium" if len(title) <= 60 else "small",
        subtitle=clean(sheet.subtitle),
        machine=clean(sheet.machine),
        material=clean(sheet.material),
        digest=clean(sheet.digest[:SHORT_DIGEST]),
        program=clean(sheet.program),
        warnings=tuple(clean(words) for words in sheet.warnings),
        closing=caution(sheet.closing, figures_by_name(sheet), ""),
        glossary=tuple((clean(word), clean(meaning)) for word, meaning in sheet.glossary),
        files=tuple(clean(file) for file in sheet.files),
    )


def page_html(sheet: Sheet, picture: Callable[[DrawingView], Markup], code: Markup, style: Markup, policy: str) -> str:
    """The whole document.  ``picture`` gives the markup of a drawing, ``code`` is the square code of the footer (or nothing),
    ``style`` the stylesheet element, ``policy`` the content security policy ('' for none)."""
    head = _head(sheet)
    used = _HEADER + 7.0 * sum(1 + len(words) // 90 for words in head.warnings)
    sections: list[tuple[SectionView, list[Row]]] = []
    for section in sheet.sections:
        rows, used = lay_out(block_views(sheet, section), used + 16.0)
        sections.append((SectionView(section.id, clean(section.title), clean(section.subtitle)), rows))
    return template().render(head=head, sections=sections, picture=picture, code=code, style=style, policy=policy)
