"""Defaults live in the schemas and nowhere else: here they become nodes, each pointing at the schema line that states it."""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from collections.abc import Iterator
from functools import cache
from typing import Any

from benchleaf.diagnostics import Span
from benchleaf.source.node import Kind, Node
from benchleaf.source.shapes import Schema, Shape, root_shape, schema_of, schema_text

__all__ = ["fill_defaults"]

_KEY = re.compile(r'(?<!\\)"default"\s*:\s*')


def fill_defaults(node: Node, kind: str) -> Node:
    """The document with every key that is left out but has a default filled in; what was written is kept as it is.

    A default inside a map counts only where that map was written, or is itself a default.  The document must fit its schema.
    """
    return _fill(node, root_shape(kind))


def _fill(node: Node, shape: Shape) -> Node:
    if node.kind == "seq":
        inner = shape.element()
        elements = tuple(_fill(element, inner) for element in node.elements)
        changed = any(new is not old for new, old in zip(elements, node.elements, strict=True))
        return _like(node, elements=elements) if changed else node
    if node.kind != "map":
        return node
    items = [(key, _fill(value, shape.child(key.text))) for key, value in node.items]
    changed = any(new is not old for (_, new), (_, old) in zip(items, node.items, strict=True))
    for key, stated, file in shape.defaults():
        if key not in node:
            value = _default(stated, file)
            items.append((Node("text", value.span, key, origin="default", pointer=value.pointer), _fill(value, shape.child(key))))
            changed = True
    return _like(node, items=tuple(items)) if changed else node


def _like(node: Node, items: tuple[tuple[Node, Node], ...] = (), elements: tuple[Node, ...] = ()) -> Node:
    return Node(node.kind, node.span, node.text, node.quoted, items, elements, node.origin, node.pointer)


def _default(stated: Schema, file: str) -> Node:
    span, pointer = _places(file)[id(stated)]
    return _node(stated["default"], span, pointer)


def _node(value: Any, span: Span, pointer: str) -> Node:
    """Plain data as a node; whatever is inside it has the place of the whole."""
    if isinstance(value, dict):
        items = tuple(
            (Node("text", span, key, origin="default", pointer=pointer), _node(inner, span, pointer)) for key, inner in value.items()
        )
        return Node("map", span, items=items, origin="default", pointer=pointer)
    if isinstance(value, list):
        return Node("seq", span, elements=tuple(_node(inner, span, pointer) for inner in value), origin="default", pointer=pointer)
    kind: Kind = "boolean" if isinstance(value, bool) else "number" if isinstance(value, int) else "text"
    text = value if isinstance(value, str) else json.dumps(value)
    return Node(kind, span, text, isinstance(value, str), origin="default", pointer=pointer)


@cache
def _places(file: str) -> dict[int, tuple[Span, str]]:
    """Where each default of a schema file stands, by the identity of the subschema that states it: its span and JSON pointer.

    JSON readers keep no places, so the keys called "default" are found in the text; they come in the same order in the data.
    """
    text, name = schema_text(file), f"schemas/{file}.schema.json"
    starts = [0, *(match.end() for match in re.finditer("\n", text))]
    decoder = json.JSONDecoder()
    found: dict[int, tuple[Span, str]] = {}
    for match, (owner, pointer) in zip(_KEY.finditer(text), _owners(schema_of(file), ""), strict=True):
        _, end = decoder.raw_decode(text, match.end())
        line, last = bisect_right(starts, match.end()), bisect_right(starts, end)
        span = Span(name, line, match.end() - starts[line - 1] + 1, last, end - starts[last - 1] + 1)
        found[id(owner)] = span, f"{pointer}/default"
    return found


def _owners(data: Any, pointer: str) -> Iterator[tuple[Any, str]]:
    """Every object with a key "default", in the order in which those keys are written."""
    for key, inner in data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ():
        if key == "default":
            yield data, pointer
        yield from _owners(inner, f"{pointer}/{str(key).replace('~', '~0').replace('/', '~1')}")
