"""Nodes of a document: the words of each with the place where they stand.  No values are made here."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from benchleaf.diagnostics import Span

__all__ = ["Kind", "Node", "Path", "path_parts", "path_text"]

Kind = Literal["map", "seq", "text", "number", "boolean", "null"]
Path = Sequence[str | int]
_PART = re.compile(r"\[(\d{1,9})\]|\.?([^.\[\]]+)")


@dataclass(frozen=True, slots=True, repr=False)
class Node:
    """One value (or key) of a document.

    ``kind`` follows the YAML 1.2 core rules (yaml.org/spec/1.2.2, section 10.3).  ``text`` holds a scalar's words and is '' for maps
    and lists; numbers stay words.  ``quoted`` scalars (also the block styles) are always text.  ``span`` covers what was written:
    quotes and brackets included, tags and anchors not.  A node behind an alias has the span of what it stands for.

    ``origin`` is 'default' for what the schema supplied; ``span`` then points into the schema file and ``pointer`` is the
    JSON pointer of the default there.
    """

    kind: Kind
    span: Span
    text: str = ""
    quoted: bool = False
    items: tuple[tuple[Node, Node], ...] = ()
    elements: tuple[Node, ...] = ()
    origin: Literal["file", "default"] = "file"
    pointer: str = ""

    def get(self, key: str) -> Node | None:
        """The value at a key of a map, or None."""
        for name, value in self.items:
            if name.text == key:
                return value
        return None

    def __getitem__(self, key: str | int) -> Node:
        if isinstance(key, int):
            return self.elements[key]
        found = self.get(key)
        if found is None:
            raise KeyError(key)
        return found

    def __contains__(self, key: object) -> bool:
        return any(name.text == key for name, _ in self.items)

    def __iter__(self) -> Iterator[Node]:
        """The entries of a list, or the keys of a map."""
        return iter(self.elements) if self.kind == "seq" else (name for name, _ in self.items)

    def __len__(self) -> int:
        """The number of entries; 0 for a scalar."""
        return len(self.items) or len(self.elements)

    def __bool__(self) -> bool:
        return True  # an empty list is a node all the same

    def __repr__(self) -> str:
        size = f" of {len(self)}" if self.kind in ("map", "seq") else f" {self.text[:40]!r}"
        return f"<{self.kind}{size} at {self.span}>"

    def key(self, key: str) -> Node | None:
        """The node of a key itself, or None."""
        return next((name for name, _ in self.items if name.text == key), None)

    def key_span(self, key: str) -> Span:
        """Where a key of the map is written; the map's own span when it is not there."""
        name = self.key(key)
        return self.span if name is None else name.span

    def at(self, path: str | Path) -> Node | None:
        """The node at a path such as 'leadscrew.lead' or 'steps[0].screwcut', or None."""
        here: Node | None = self
        for part in path_parts(path) if isinstance(path, str) else path:
            if here is None:
                return None
            here = here.get(part) if isinstance(part, str) else here.elements[part] if part < len(here.elements) else None
        return here

    def walk(self) -> Iterator[Node]:
        """This node, its keys and everything below it, in the order of the file."""
        yield self
        for name, value in self.items:
            yield name
            yield from value.walk()
        for element in self.elements:
            yield from element.walk()


def path_text(parts: Path) -> str:
    """'steps[0].screwcut' from ('steps', 0, 'screwcut')."""
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in parts).removeprefix(".")


def path_parts(text: str) -> tuple[str | int, ...]:
    """('steps', 0, 'screwcut') from 'steps[0].screwcut'.  A key that itself holds a dot or a bracket cannot be written this way."""
    return tuple(int(match[1]) if match[1] else match[2] for match in _PART.finditer(text))
