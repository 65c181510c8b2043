"""Sentences with their figures put in: the one way a number gets into words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from benchleaf.sheet.model import Box, Caution, Check, Figure, Say, Section, Sheet, Steps, Table

__all__ = ["second_line", "UnknownFigureError", "figures_by_name", "sayings", "shown_with_unit", "spoken", "spoken_text"]

_PLACE = re.compile(r"\{([a-z0-9_.]+)\}")
NO_BREAK_SPACE = "\u00a0"


class UnknownFigureError(LookupError):
    """A sentence names a figure that is not on the sheet."""


def figures_by_name(sheet: Sheet) -> dict[str, Figure]:
    """Every figure of the sheet under ``section.figure``."""
    return {f"{section.id}.{figure.id}": figure for section in sheet.sections for figure in section.figures()}


def spoken(say: Say, names: Mapping[str, Figure], section: str = "") -> tuple[str | Figure, ...]:
    """The sentence in pieces: plain words, and the figures that stand between them.

    ``section`` is the id of the section the sentence stands in ('' outside all: then only full names are known).
    Raises UnknownFigureError.
    """
    pieces: list[str | Figure] = []
    for number, piece in enumerate(_PLACE.split(say.words)):
        if number % 2 == 0:
            if piece:
                pieces.append(piece)
            continue
        figure = names.get(f"{section}.{piece}") or names.get(piece)
        if figure is None:
            raise UnknownFigureError(piece)
        pieces.append(figure)
    return tuple(pieces)


def shown_with_unit(figure: Figure) -> str:
    """What is printed for a figure: shown and unit, which never part at a line end."""
    if not figure.unit:
        return figure.shown
    return f"{figure.shown}{'' if figure.unit.startswith('°') else NO_BREAK_SPACE}{figure.unit}"


def spoken_text(say: Say, names: Mapping[str, Figure], section: str = "") -> str:
    """The sentence as plain text.  Raises UnknownFigureError."""
    return "".join(piece if isinstance(piece, str) else shown_with_unit(piece) for piece in spoken(say, names, section))


def sayings(sheet: Sheet) -> Iterator[tuple[str, Say]]:
    """Every sentence of the sheet with the id of its section."""
    for section in sheet.sections:
        for block in section.blocks:
            match block:
                case Say():
                    yield section.id, block
                case Steps():
                    yield from ((section.id, step) for step in block.steps)
                case Caution() | Check():
                    yield section.id, block.words
                case Box():
                    yield section.id, block.rule
                    if block.sum is not None:
                        words = block.sum.words
                        yield from ((section.id, say) for say in (words.amount, words.done, words.fine, words.spoilt, words.odd))
                case Table() if block.caption is not None:
                    yield section.id, block.caption
    yield "", sheet.closing.words


def second_line(section: Section) -> str:
    """What stands under a section's heading: the machine, where the work has moved, and its own words."""
    return "; ".join(words for words in (f"on the {section.machine}" if section.machine else "", section.subtitle) if words)
