"""Proofreading: what stands on the laid out pages, against the sheet.  A figure that paper does not show is missed at the machine.

The page engine says nothing where words are cut off, hidden or left out.  This reads its boxes, which takes less than a hundredth of the
time that it takes to lay them out.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from benchleaf.diagnostics import Diagnostic
from benchleaf.render.clean import clean
from benchleaf.render.paper import Paper
from benchleaf.render.svg import Svg
from benchleaf.render.view import pieces
from benchleaf.sheet.model import Box, Caution, Check, Figure, Say, Section, Sheet, Steps, Table
from benchleaf.sheet.words import figures_by_name

__all__ = ["PX", "SLACK", "Reading", "cut_words", "missing", "proof", "squeezed"]

PX = 96 / 25.4  # CSS pixels in a mm
SLACK = 0.3  # mm
_HUNG = 2.0  # mm: the number of a tenth step hangs into the margin
_TRIM = 2.0  # mm: the ends of ascenders' room may leave a line that is set tight
_SHOWN = 40  # characters of what is missing that a message quotes
_GAPS = re.compile(r"[\s\u00a0\u00ad\u200b]+")

_Room = tuple[float, float, float, float]  # left, top, right, bottom in CSS pixels


@dataclass(slots=True)
class Reading:
    """What was read off pages: all words in order; those under each name; those out of place, with their page; and on each page how many
    boxes show anything."""

    words: list[str] = field(default_factory=list)
    named: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    outside: list[tuple[int, str]] = field(default_factory=list)
    filled: list[int] = field(default_factory=list)


def squeezed(text: str) -> str:
    """Words without the gaps and breaks that depend on where lines end."""
    return _GAPS.sub("", text)


def proof(document: Any, sheet: Sheet, paper: Paper) -> list[Diagnostic]:
    """Faults of the laid out pages: words off the paper or cut off, words of the sheet that are not there, pages without any."""
    reading = Reading()
    left, top = paper.left * PX, paper.top * PX
    hung = _HUNG * PX
    area = (left - hung, top, left + paper.full * PX + hung, top + paper.tall * PX)
    whole = (0.0, 0.0, paper.width * PX, paper.height * PX)
    for number, page in enumerate(document.pages, 1):
        reading.filled.append(0)
        for box in page._page_box.children:
            in_margin = hasattr(box, "at_keyword")  # the engine's mark of a box in the margin of a page
            _read(box, number, "", whole if in_margin else area, reading, counts=not in_margin)
    cut = [f"`{words.strip()[:_SHOWN]}` on page {number} would be cut off" for number, words in reading.outside]
    faults = [Diagnostic("pdf/off-page", f"the PDF was not made: {what}") for what in dict.fromkeys(cut)]
    faults += [Diagnostic("pdf/lost", f"the PDF was not made: {what} would not be on paper") for what in missing(sheet, reading)]
    pages = len(reading.filled)
    empty = [number for number, count in enumerate(reading.filled, 1) if not count]
    return faults + [Diagnostic("pdf/pages", f"the PDF was not made: page {number} of {pages} would be empty") for number in empty]


def _read(box: Any, page: int, name: str, room: _Room, into: Reading, *, counts: bool) -> None:
    """Read a box and all inside it.  ``room`` is what can be seen there; ``name`` is that of the nearest element that has one."""
    element = getattr(box, "element", None)
    if element is not None:
        name = element.get("id") or name
    words = getattr(box, "text", None)
    if isinstance(words, str):
        if not words.strip() or box.style["visibility"] != "visible":
            return
        into.words.append(words)
        into.named[name].append(words)
        into.filled[-1] += counts
        x, y = box.position_x, box.position_y
        slack, trim = SLACK * PX, _TRIM * PX
        if x < room[0] - slack or x + box.width > room[2] + slack or y < room[1] - trim or y + box.height > room[3] + trim:
            into.outside.append((page, words))
        return
    if counts and hasattr(box, "replacement"):
        into.filled[-1] += 1
    if box.style["overflow"] != "visible" and isinstance(box.width, int | float) and isinstance(box.height, int | float):
        x, y = box.padding_box_x(), box.padding_box_y()
        room = (max(room[0], x), max(room[1], y), min(room[2], x + box.padding_width()), min(room[3], y + box.padding_height()))
    for child in getattr(box, "children", ()):
        _read(child, page, name, room, into, counts=counts)


def missing(sheet: Sheet, reading: Reading) -> list[str]:
    """What the sheet says and the pages do not: figures and rows of tables at their places, sentences anywhere."""
    under = {name: squeezed("".join(words)) for name, words in reading.named.items()}
    everywhere = squeezed("".join(reading.words))
    names = figures_by_name(sheet)
    lost = [words for words in sheet.warnings if squeezed(clean(words)) not in everywhere]
    lost += [] if _is_said(sheet.closing.words, names, "", everywhere) else [_spoken(sheet.closing.words, names, "")]
    found = [f"`{clean(words)[:_SHOWN]}`" for words in lost]
    for section in sheet.sections:
        for figure in section.figures():
            anchor = f"{section.id}.{figure.id}"
            wanted = (figure.label, figure.shown + figure.unit, figure.also)
            if any(squeezed(clean(words)) not in under.get(anchor, "") for words in wanted):
                found.append(f"the figure `{clean(anchor)[:_SHOWN]}` ({clean(figure.shown)[:_SHOWN]})")
        for table in section.tables():
            found += _rows_lost(section, table, under)
        said = [say for say in _sentences(section) if not _is_said(say, names, section.id, everywhere)]
        found += [f"`{_spoken(say, names, section.id)[:_SHOWN]}`" for say in said]
    return found


def _rows_lost(section: Section, table: Table, under: Mapping[str, str]) -> Iterator[str]:
    for number, row in enumerate(table.rows, 1):
        anchor = f"{section.id}.{table.id}.{number}"
        if squeezed(clean("".join(row.shown) + row.note)) not in under.get(anchor, ""):
            yield f"row {number} of the table `{clean(table.title or table.id)[:_SHOWN]}`"


def _sentences(section: Section) -> Iterator[Say]:
    for block in section.blocks:
        match block:
            case Caution() | Check():
                yield block.words
            case Box():
                yield block.rule
            case Steps():
                yield from block.steps
            case Say():
                yield block
            case _:
                pass


def _spoken(say: Say, names: Mapping[str, Figure], section: str) -> str:
    return "".join(piece.words for piece in pieces(say, names, section))


def _is_said(say: Say, names: Mapping[str, Figure], section: str, text: str) -> bool:
    return squeezed(_spoken(say, names, section)) in text


def cut_words(drawings: Sequence[Svg]) -> list[Diagnostic]:
    """Words of drawings that would be cut off at the edge of their drawing."""
    cut = [words for svg in drawings for words in svg.cut_words()]
    return [Diagnostic("pdf/off-page", f"the PDF was not made: `{words[:_SHOWN]}` in a drawing would be cut off") for words in cut]
