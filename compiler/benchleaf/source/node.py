"""Nodes of a YAML document with the place and the raw words of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchleaf.diagnostics import Span

__all__ = ["Node"]


@dataclass(frozen=True, slots=True)
class Node:
    """``kind`` is 'map', 'seq', 'text', 'number', 'boolean' or 'null' by the YAML 1.2 core rules; ``text`` a scalar's raw words.

    ``origin`` is 'file', or 'default' for a node that the schema supplied (its span then points into the schema).
    """

    kind: str
    span: Span
    text: str = ""
    quoted: bool = False
    items: tuple[tuple[Node, Node], ...] = ()
    elements: tuple[Node, ...] = ()
    origin: str = "file"

    def get(self, key: str) -> Node | None:
        """The value at a key of a map, or None."""
        return next((value for name, value in self.items if name.text == key), None)

    def __getitem__(self, key: str) -> Node:
        found = self.get(key)
        if found is None:
            raise KeyError(key)
        return found

    def key_span(self, key: str) -> Span:
        """Where a key of the map is written; the map's own span when it is not there."""
        return next((name.span for name, _ in self.items if name.text == key), self.span)

    def walk(self) -> Iterator[Node]:
        """This node and everything under it."""
        yield self
        for name, value in self.items:
            yield name
            yield from value.walk()
        for element in self.elements:
            yield from element.walk()
