"""The sheet as HTML: one page for the browser and for the PDF, which differ in how pictures and styles come in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from markupsafe import Markup

from benchleaf.render.clean import clean
from benchleaf.render.layout import WHOLE, Row, lay_out, split_background
from benchleaf.render.paper import A4, Paper
from benchleaf.render.svg import Svg
from benchleaf.render.templates import template
from benchleaf.render.view import BlockView, CautionView, DrawingView, GroupView, SectionView, block_views, caution, section_view
from benchleaf.sheet.model import Sheet
from benchleaf.sheet.words import figures_by_name

__all__ = ["Head", "page_html", "warning_sign"]

SHORT_DIGEST = 8
_HEADER, _HEADING, _WARNING = 24.0, 13.0, 5.5  # mm, as estimated by the layout
_FEW = 2  # sections of a route up to here are laid out as one piece
_PART = "part"  # kind of the section that a route begins with
_ENDLESS = 10_000.0  # mm: a page that long holds anything, so that the height of a section can be told
_BACKGROUND = "background"


@dataclass(frozen=True, slots=True)
class Head:
    """What stands above and below all sections; ``seal`` is the digest in full."""

    id: str
    short_id: str
    title: str
    size: str
    subtitle: str
    machine: str
    material: str
    digest: str
    seal: str
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
        seal=clean(sheet.digest),
        program=clean(sheet.program),
        warnings=tuple(clean(words) for words in sheet.warnings),
        closing=caution(sheet.closing, figures_by_name(sheet), ""),
        glossary=tuple((clean(word), clean(meaning)) for word, meaning in sheet.glossary),
        files=tuple(clean(file) for file in sheet.files),
    )


def warning_sign() -> Svg:
    """The triangle before a signal word (ISO 7010 W001 in outline)."""
    svg = Svg(5.0, 4.4, "warning sign")
    svg.polygon([(2.5, 0.4), (4.7, 4.1), (0.3, 4.1)], 0.5, "white")
    svg.line((2.5, 1.5), (2.5, 2.8), 0.5)
    svg.circle((2.5, 3.4), 0.3, 0, "black")
    return svg


def _first_height(warnings: tuple[str, ...]) -> float:
    """Room for the compiler's warnings, mm; a single one stands behind its heading."""
    if not warnings:
        return 0.0
    lines = sum(1 + (len(words) + (20 if len(warnings) == 1 else 0)) // 84 for words in warnings)
    return _WARNING * lines + (9.0 if len(warnings) > 1 else 4.5)


def page_html(
    sheet: Sheet, picture: Callable[[DrawingView], Markup], small: Mapping[str, Markup], style: Markup, policy: str, paper: Paper = A4
) -> str:
    """The whole document.

    ``picture`` gives the markup of a drawing; ``small`` holds that of the warning 'sign', of the square 'code' in the footer (which may be
    empty), and of the 'script' (of a page that is used on a screen; left out for paper); ``paper`` is what it is laid out for; ``style`` is
    the stylesheet element, ``policy`` the content security policy ('' for none).
    """
    head = _head(sheet)
    first = _HEADER + _first_height(head.warnings)
    route = len(sheet.sections) > _FEW and sheet.sections[0].kind == _PART
    sections = _route(sheet, first, paper) if route else _sections(sheet, first, paper)
    small = {"script": Markup(""), **small}
    live = bool(small["script"])
    return template().render(head=head, look=paper.look, sections=sections, picture=picture, **small, style=style, policy=policy, live=live)


_Placed = list[tuple[SectionView, list[Row]]]


def _sections(sheet: Sheet, used: float, paper: Paper) -> _Placed:
    """A route of one or two sections, or a list of set-ups: each block where the page has room for it."""
    placed: _Placed = []
    for section in sheet.sections:
        rows, used = lay_out(block_views(sheet, section, paper), used + _HEADING, paper=paper)
        placed.append((section_view(section), rows))
    return placed


def _titled(groups: list[GroupView], title: str) -> list[GroupView]:
    return [replace(group, title=title) for group in groups]


def _route(sheet: Sheet, first: float, paper: Paper) -> _Placed:
    """Many sections: a short one stays whole, a long one begins a page, and what is only good to know about the short ones comes last.

    No place depends on where the page is filled to, so that small errors of the estimate cannot add up over the pages.
    """
    placed: _Placed = []
    known: list[BlockView] = []
    machine, held = "", 0.0  # height of a holding that begins the page, mm: what follows stands below it
    for number, section in enumerate(sheet.sections):
        blocks = list(block_views(sheet, section, paper))
        work, background = split_background(blocks)
        if number == 0:
            known += _titled(background, clean(section.title))
            rows, used = lay_out(work, first + _HEADING, short=True, paper=paper)
            look = ""
        else:
            rows, used = lay_out(work, _HEADING - _ENDLESS, short=True, paper=paper)
            look = "whole" if used + _ENDLESS <= WHOLE * paper.tall else "long"
            if look == "long":
                rows, _ = lay_out(blocks, held + _HEADING, paper=paper)
                look = "after" if held else "long"
            else:
                known += _titled(background, f"{number}. {clean(section.title)}")
        if number > 1 and section.machine != machine:
            look = f"{look} fresh"  # what is done on another machine hangs there: it begins a page
        held = used + _ENDLESS if number and section.kind == "hold" and "fresh" in look else 0.0
        machine = section.machine
        placed.append((section_view(section, str(number or ""), look), rows))
    if known:
        rows, _ = lay_out(known, _HEADING, paper=paper)
        placed.append((SectionView(_BACKGROUND, "Background", "what the figures of the steps rest on"), rows))
    return placed
