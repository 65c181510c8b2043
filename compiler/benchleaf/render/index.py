"""The contents of a folder of sheets as one page: opens from disk, finds a sheet by thread, machine, operation or any word."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import PurePosixPath
from urllib.parse import quote

from benchleaf.record import record
from benchleaf.render.clean import clean
from benchleaf.render.entries import IndexEntry
from benchleaf.render.page import SHORT_DIGEST
from benchleaf.render.policy import policy, script_element, style_element
from benchleaf.render.templates import script, stylesheet, template

__all__ = ["index_html"]

_OPENED = ("html", "pdf")  # what a tap opens, best first
_NAMES = {"html": "for the screen", "pdf": "PDF", "json": "JSON", "text": "text", "csv": "CSV"}


@record
class _File:
    name: str
    href: str


@record
class _Line:
    """An entry as the template prints it; ``keys`` is what the script filters by, as JSON."""

    entry: IndexEntry
    href: str
    others: tuple[_File, ...]
    digest: str
    keys: str


@record
class _Choice:
    name: str
    label: str
    everything: str
    values: tuple[str, ...]


def index_html(entries: Sequence[IndexEntry], title: str) -> bytes:
    """The page, in the order given; same entries, same bytes.  Raises ValueError for a file that is not in the folder."""
    css, javascript = f"\n{stylesheet('index')}\n", f"\n{script('index')}"
    cleaned = [_clean(entry) for entry in entries]
    choices = (
        _choice("thread", "Thread", "all threads", [words for entry in cleaned for words in entry.threads]),
        _choice("machine", "Machine", "all machines", [entry.machine for entry in cleaned if entry.machine]),
        _choice("operation", "Operation", "all operations", [words for entry in cleaned for words in entry.operations]),
    )
    page = template("index.html.j2").render(
        title=clean(title),
        lines=[_line(entry) for entry in cleaned],
        count=str(len(cleaned)),
        choices=[choice for choice in choices if choice.values],
        policy=policy(css, javascript),
        style=style_element(css),
        script=script_element(javascript),
    )
    return page.encode("utf-8")


def _clean(entry: IndexEntry) -> IndexEntry:
    return IndexEntry(
        id=clean(entry.id),
        title=clean(entry.title),
        subtitle=clean(entry.subtitle),
        machine=clean(entry.machine),
        material=clean(entry.material),
        operations=tuple(clean(words) for words in entry.operations),
        threads=tuple(clean(words) for words in entry.threads),
        digest=clean(entry.digest),
        files=entry.files,
    )


def _choice(name: str, label: str, everything: str, values: list[str]) -> _Choice:
    return _Choice(name, label, everything, tuple(sorted(set(values), key=_natural)))


def _natural(words: str) -> list[tuple[int, int, str]]:
    """M6 before M16: digits are compared as numbers."""
    parts = re.split(r"(\d{1,18})", words.casefold())
    return [(0, int(part), "") if number % 2 else (1, 0, part) for number, part in enumerate(parts)]


def _line(entry: IndexEntry) -> _Line:
    opened = next((name for name in (*_OPENED, *entry.files) if name in entry.files), "")
    others = tuple(_File(clean(_NAMES.get(name, name)), _href(path)) for name, path in entry.files.items() if name != opened)
    keys = {"thread": entry.threads, "machine": [entry.machine], "operation": entry.operations, "digest": entry.digest}
    href = _href(entry.files[opened]) if opened else ""
    return _Line(entry, href, others, entry.digest[:SHORT_DIGEST], json.dumps(keys, ensure_ascii=False))


def _href(path: str) -> str:
    """A link that stays in the folder: a colon would make a scheme of what stands before it."""
    parts = PurePosixPath(path).parts
    if not parts or path.startswith("/") or ".." in parts:
        raise ValueError(f"{path!r} is not a file of the folder")
    return quote("/".join(parts), safe="/")


