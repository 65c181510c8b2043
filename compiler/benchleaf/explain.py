"""Walk a figure of a sheet back to its reasons: formulas, the lines that the owner wrote, and published sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from benchleaf.diagnostics import close_matches
from benchleaf.report.excerpt import excerpt, harmless
from benchleaf.resources import data_folder
from benchleaf.sheet.model import Column, Figure, FigureRef, Given, Sheet, Source, Table

__all__ = ["Entry", "Library", "UnknownFigure", "entries", "explain", "find", "listing"]

_WIDTH = 100  # columns of a line from a file


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that can be explained: a figure, or a column of a table.  ``name`` is ``section.figure`` or ``section.table.column``."""

    name: str
    section: str
    item: Figure | Column
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class UnknownFigure:
    """No single figure is meant: ``names`` are those that may have been."""

    message: str
    names: tuple[str, ...]


def entries(sheet: Sheet) -> tuple[Entry, ...]:
    """Everything on a sheet that can be explained, in reading order."""
    found: list[Entry] = []
    for section in sheet.sections:
        found += [Entry(f"{section.id}.{figure.id}", section.id, figure) for figure in section.figures()]
        for table in section.tables():
            found += [Entry(f"{section.id}.{table.id}.{column.id}", section.id, column, table) for column in table.columns]
    return tuple(found)


def find(sheet: Sheet, name: str, section: str = "") -> Entry | UnknownFigure:
    """The figure that ``name`` means: in full, or its last parts where only one fits (one of ``section`` goes first)."""
    everything = entries(sheet)
    exact = [entry for entry in everything if entry.name in (name, f"{section}.{name}")]
    tails = exact or [entry for entry in everything if f".{entry.name}".endswith(f".{name}")]
    own = [entry for entry in tails if entry.section == section] or tails
    if len(own) == 1:
        return own[0]
    if own:
        return UnknownFigure(f"`{name}` is the name of {len(own)} figures", tuple(entry.name for entry in own))
    short = {entry.name.rsplit(".", 1)[1]: entry.name for entry in everything}
    close = [*close_matches(name, [entry.name for entry in everything]), *(short[word] for word in close_matches(name, list(short)))]
    return UnknownFigure(f"the sheet has no figure `{name[:80]}`", tuple(dict.fromkeys(close)) or tuple(entry.name for entry in everything))


def listing(sheet: Sheet) -> str:
    """Every figure of the sheet with what is shown, one a line."""
    everything = entries(sheet)
    width = max((len(entry.name) for entry in everything), default=0)
    return "\n".join(_tame(f"{entry.name:<{width}}  {_headline(entry)}".rstrip()) for entry in everything)


class Library:
    """The files that a sheet was made from, as they are now.  ``folders`` are tried in order; schemas come with the program."""

    def __init__(self, folders: Sequence[Path], cwd: Path) -> None:
        self.folders = tuple(folders)
        self.cwd = cwd
        self._lines: dict[str, tuple[str, list[str]] | None] = {}

    def line(self, given: Given) -> tuple[str, str]:
        """Where the words stand now ('file:line' as the user would type it) and the line's text, or a remark in brackets."""
        name, found = given.file, self._read(given.file)
        if found is None:
            return f"{name}:{given.line}", "(the file is not here any more)"
        shown, lines = found
        where = f"{shown}:{given.line}"
        whole = lines[given.line - 1] if 0 < given.line <= len(lines) else ""
        if _plain(given.words) not in _plain(whole):
            return where, "(the file has changed since the sheet was made)"
        start = given.column - 1 - (len(whole) - len(whole.lstrip()))
        return where, excerpt(whole.strip(), start, start + len(given.words), _WIDTH).text

    def _read(self, name: str) -> tuple[str, list[str]] | None:
        if name not in self._lines:
            self._lines[name] = next((hit for folder in self._places(name) if (hit := self._try(folder, name)) is not None), None)
        return self._lines[name]

    def _places(self, name: str) -> Iterator[Path]:
        if name.startswith("schemas/"):
            yield data_folder("schemas").parent
        yield from self.folders

    def _try(self, folder: Path, name: str) -> tuple[str, list[str]] | None:
        path = folder / name
        try:
            if not path.resolve().is_relative_to(folder.resolve()) or not path.is_file():
                return None
            lines = path.read_text(encoding="utf-8-sig").splitlines()
        except (OSError, RuntimeError, ValueError):
            return None
        try:
            return path.relative_to(self.cwd).as_posix(), lines
        except ValueError:
            return (name if name.startswith("schemas/") else path.as_posix()), lines


def _plain(words: str) -> str:
    return "".join(words.split()).strip("'\"")


def explain(sheet: Sheet, entry: Entry, library: Library) -> str:
    """The reasons of a figure as an indented tree: what is shown, the formula, the source, then each input in the same way."""
    return "\n".join(_tame(line) for line in _tree(sheet, entry, library, set(), ()))


def _tame(line: str) -> str:
    """A line for the terminal: sheets and files may be a stranger's, and nothing in them may drive it."""
    return harmless(line.replace("\u00a0", " "))


def _headline(entry: Entry) -> str:
    item = entry.item
    if isinstance(item, Column):
        rows = [row.shown[_index(entry)] for row in entry.table.rows] if entry.table is not None else []
        shown = [words for words in rows if words]
        listed = ", ".join(shown[:4]) + (f" ... {shown[-1]}" if len(shown) > 5 else f", {shown[4]}" if len(shown) == 5 else "")
        return " ".join(words for words in (item.label, listed, item.unit) if words)
    also = f"  ({item.also})" if item.also else ""
    return " ".join(words for words in (item.label, item.shown, item.unit) if words) + also


def _index(entry: Entry) -> int:
    assert entry.table is not None
    return [column.id for column in entry.table.columns].index(entry.item.id)


def _exactly(item: Figure | Column) -> str:
    """The exact value, where what is shown has lost something."""
    if isinstance(item, Column) or not isinstance(item.value, Fraction) or not item.rational:
        return ""
    text = str(item.value)
    shown = item.shown.replace("\u2212", "-").lstrip("+")
    try:
        rounded = Fraction(shown) != item.value
    except ValueError:
        rounded = item.limits is None
    unit = f" {item.unit}" if item.unit else ""
    return f"exactly {text}{unit}" if rounded and len(text) <= 40 else ""


def _tree(sheet: Sheet, entry: Entry, library: Library, seen: set[str], above: tuple[str, ...]) -> Iterator[str]:
    item, indent = entry.item, "  " * len(above)
    yield f"{indent}{_headline(entry)}" + (f"   [{entry.name}]" if not above else "")
    inner = indent + "  "
    if entry.name in above:
        yield f"{inner}(this figure is among its own reasons: the sheet is damaged)"
        return
    if entry.name in seen:
        yield f"{inner}(as explained above)"
        return
    seen.add(entry.name)
    if exact := _exactly(item):
        yield f"{inner}{exact}"
    yield f"{inner}= {item.basis.formula}"
    yield f"{inner}source: {item.basis.source}"
    for reason in item.basis.inputs:
        match reason:
            case Given():
                yield from _given(reason, library, inner)
            case Source():
                yield f"{inner}source: {reason}"
            case FigureRef(name):
                found = find(sheet, name, entry.section)
                if isinstance(found, Entry):
                    yield from _tree(sheet, found, library, seen, (*above, entry.name))
                else:
                    yield f"{inner}{name} (not on this sheet)"


def _given(given: Given, library: Library, indent: str) -> Iterator[str]:
    where, text = library.line(given)
    yield f"{indent}{given.path}: {given.words}" + (" (not written: the default)" if given.default else "") + f"   {where}"
    yield f"{indent}  | {text}" if not text.startswith("(") else f"{indent}  {text}"
