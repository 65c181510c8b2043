"""Data tables: YAML files beside this module, read into frozen rows that carry their source and status.

A file holds ``tables``: name -> {about, source, status, rows}.  Every row is a mapping; its own ``source`` and ``status`` go before
the table's, and ``cell_status`` of a table names columns that are trusted less (or more) than their rows.  Numbers are read from
their text into Fractions, so that 0.1 is one tenth; a quoted scalar stays text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

import yaml

from benchleaf.record import record

__all__ = ["STATUSES", "Cell", "Row", "Rule", "Table", "TableError", "load", "read", "table"]

# How far a source can be trusted, in the words that are printed.
STATUSES = ("standard", "published", "derived", "common practice", "from memory")
_NUMBER = re.compile(r"[-+]?(\d+(\.\d+)?|\d+/\d+)")
_WORDS: Mapping[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}

Cell = Fraction | str | bool | None | tuple["Cell", ...] | Mapping[str, "Cell"]


class TableError(ValueError):
    """A data file of ours is wrong: never a fault of the user's."""


@record
class Rule:
    """A formula in words with its source and status (one of :data:`STATUSES`), for explanations."""

    formula: str
    source: str
    status: str


@record
class Row:
    """One row.  The readers raise :class:`TableError` when a cell is missing or of another kind."""

    cells: Mapping[str, Cell]
    source: str
    status: str
    cell_status: Mapping[str, str]

    def has(self, name: str) -> bool:
        """Whether the cell is there and not empty."""
        return self.cells.get(name) is not None

    def status_of(self, name: str) -> str:
        """The status of one cell."""
        return self.cell_status.get(name, self.status)

    def number(self, name: str) -> Fraction:
        """A cell that holds a number."""
        value = self.cells.get(name)
        if not isinstance(value, Fraction):
            raise TableError(f"{name}: a number is wanted, not {value!r}")
        return value

    def maybe(self, name: str) -> Fraction | None:
        """A cell that holds a number or is empty."""
        return self.number(name) if self.has(name) else None

    def text(self, name: str, default: str | None = None) -> str:
        """A cell that holds words."""
        value = self.cells.get(name, default)
        if not isinstance(value, str):
            raise TableError(f"{name}: words are wanted, not {value!r}")
        return value

    def flag(self, name: str, default: bool = False) -> bool:
        """A cell that holds true or false."""
        value = self.cells.get(name, default)
        if not isinstance(value, bool):
            raise TableError(f"{name}: true or false is wanted, not {value!r}")
        return value

    def words(self, name: str) -> tuple[str, ...]:
        """A cell that holds a list of words; an absent one is an empty list."""
        value = self.cells.get(name, ())
        if not isinstance(value, tuple):
            raise TableError(f"{name}: a list of words is wanted, not {value!r}")
        return tuple(_as_text(name, item) for item in value)

    def numbers(self, name: str) -> tuple[Fraction, ...]:
        """A cell that holds a list of numbers."""
        value = self.cells.get(name)
        if not isinstance(value, tuple):
            raise TableError(f"{name}: a list of numbers is wanted, not {value!r}")
        return tuple(_as_number(name, item) for item in value)

    def span(self, name: str) -> tuple[Fraction, Fraction]:
        """A cell that holds a range ``[low, high]``."""
        value = self.numbers(name)
        if len(value) != 2 or value[0] > value[1]:
            raise TableError(f"{name}: a range is wanted, not {value!r}")
        return value[0], value[1]


@record
class Table:
    """A table: what it is about, where it is from, its rows."""

    name: str
    about: str
    source: str
    status: str
    rows: tuple[Row, ...]

    def where(self, name: str, value: Cell) -> tuple[Row, ...]:
        """The rows whose cell equals ``value``."""
        return tuple(row for row in self.rows if row.cells.get(name) == value)


def read(text: str) -> Mapping[str, Table]:
    """The tables in a YAML text.  Raises :class:`TableError` for anything that is not such a file."""
    return MappingProxyType({name: _table(name, _cell(node)) for name, node in _nodes(text).items()})


@lru_cache(maxsize=64)
def load(name: str) -> Mapping[str, Table]:
    """The tables of ``data/<name>.yaml`` of this package, read once."""
    return MappingProxyType({each: table(name, each) for each in _file(name)})


@lru_cache(maxsize=64)
def table(file: str, name: str) -> Table:
    """One table of one file, read when first asked for.  Raises :class:`TableError` when it is not there."""
    nodes = _file(file)
    if name not in nodes:
        raise TableError(f"{file}: no table {name}")
    return _table(name, _cell(nodes[name]))


@lru_cache(maxsize=64)
def _file(name: str) -> Mapping[str, yaml.Node]:
    return _nodes((files("benchleaf") / "standards" / "data" / f"{name}.yaml").read_text("utf-8"))


def _nodes(text: str) -> Mapping[str, yaml.Node]:
    """The tables of a file as they are written."""
    document = yaml.compose(text, Loader=_Words)
    tables = _entries(document).get("tables") if isinstance(document, yaml.MappingNode) else None
    if not isinstance(tables, yaml.MappingNode):
        raise TableError("a table file holds `tables`")
    return _entries(tables)


class _Words(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """Leaves the sort of each scalar open: :func:`_cell` tells by its own rules."""

    def resolve(self, kind: type[yaml.Node], value: str | None, implicit: object) -> str:
        return ""


def _table(name: str, content: Cell) -> Table:
    if not isinstance(content, Mapping) or not isinstance(content.get("rows"), tuple):
        raise TableError(f"{name}: a table holds `rows`")
    source, status = (_as_text(name, content.get(key)) for key in ("source", "status"))
    shared = content.get("cell_status", MappingProxyType({}))
    if not isinstance(shared, Mapping):
        raise TableError(f"{name}: `cell_status` maps columns to a status")
    cell_status = MappingProxyType({column: _status(name, item) for column, item in shared.items()})
    rows = []
    for cells in content["rows"]:  # type: ignore[union-attr]
        if not isinstance(cells, Mapping):
            raise TableError(f"{name}: a row is a mapping, not {cells!r}")
        own = _as_text(name, cells.get("source", source)), _status(name, cells.get("status", status))
        plain = MappingProxyType({key: cell for key, cell in cells.items() if key not in ("source", "status")})
        rows.append(Row(plain, own[0], own[1], cell_status))
    return Table(name, _as_text(name, content.get("about")), source, _status(name, status), tuple(rows))


def _cell(node: yaml.Node | None) -> Cell:
    if isinstance(node, yaml.ScalarNode):
        text = str(node.value)
        if not node.style and text in _WORDS:
            return _WORDS[text]
        return Fraction(text) if not node.style and _NUMBER.fullmatch(text) else text
    if isinstance(node, yaml.SequenceNode):
        return tuple(_cell(item) for item in node.value)
    if isinstance(node, yaml.MappingNode):
        return MappingProxyType({key: _cell(value) for key, value in _entries(node).items()})
    raise TableError("an empty table file")


def _entries(node: yaml.MappingNode) -> dict[str, yaml.Node]:
    found = {str(key.value): value for key, value in node.value}
    if len(found) < len(node.value):
        raise TableError(f"a key stands twice among {[str(key.value) for key, _ in node.value]}")
    return found


def _as_text(name: str, value: Cell) -> str:
    if not isinstance(value, str):
        raise TableError(f"{name}: words are wanted, not {value!r}")
    return value


def _as_number(name: str, value: Cell) -> Fraction:
    if not isinstance(value, Fraction):
        raise TableError(f"{name}: a number is wanted, not {value!r}")
    return value


def _status(name: str, value: Cell) -> str:
    if value not in STATUSES:
        raise TableError(f"{name}: status {value!r} is none of {', '.join(STATUSES)}")
    return str(value)
