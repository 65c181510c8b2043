"""What the contents of a folder say of each sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from benchleaf.record import record
from benchleaf.sheet.drawings import ThreadProfileDrawing
from benchleaf.sheet.model import Given, Section, Sheet

__all__ = ["IndexEntry", "entry_of"]

_DRAWN = re.compile(r"(?P<thread>.+), (?:inside|outside)\b.*")  # title of the drawing of a thread
_HEADINGS = frozenset({"part"})  # kinds of section that are no operation


@record
class IndexEntry:
    """One sheet of a folder.  ``files`` are paths from the folder, by the name of their format; ``digest`` is the sheet's in full."""

    id: str
    title: str
    subtitle: str
    machine: str
    material: str
    operations: tuple[str, ...]
    threads: tuple[str, ...]
    digest: str
    files: Mapping[str, str]


def entry_of(sheet: Sheet, files: Mapping[str, str]) -> IndexEntry:
    """What the contents say of a sealed sheet."""
    kinds = [section.kind.replace("-", " ") for section in sheet.sections if section.kind not in _HEADINGS]
    threads = [words for section in sheet.sections for words in _threads(section)]
    return IndexEntry(
        id=sheet.id,
        title=sheet.title,
        subtitle=sheet.subtitle,
        machine=sheet.machine,
        material=sheet.material,
        operations=tuple(dict.fromkeys(kinds)),
        threads=tuple(dict.fromkeys(threads)),
        digest=sheet.digest,
        files=files,
    )


def _threads(section: Section) -> Iterator[str]:
    """Threads that the section cuts: as the job names them, or, where it gives their sizes, as their drawing does."""
    key = re.compile(rf"steps\[\d+\]\.{re.escape(section.kind)}\.thread")
    inputs = (item for figure in section.figures() for item in figure.basis.inputs)
    named = [item.words for item in inputs if isinstance(item, Given) and key.fullmatch(item.path)]
    drawn = [_DRAWN.fullmatch(block.title) for block in section.blocks if isinstance(block, ThreadProfileDrawing)]
    yield from (named or [found["thread"] for found in drawn if found])[:1]
