"""A document built on another: what it says goes before what its base says, and every value keeps the place where it was written.

- Maps are merged key by key.
- Lists of things that have a ``name`` are merged by name: a thing of a name that the base has is merged with it, others are added.
- Everything else (single values, lists of values) replaces what the base says.
"""

from __future__ import annotations

from benchleaf.source.node import Node

__all__ = ["merged"]


def merged(base: Node, over: Node) -> Node:
    """``over`` laid over ``base``.  The kinds of node need not agree: then ``over`` replaces."""
    if base.kind == "map" and over.kind == "map":
        return _maps(base, over)
    if base.kind == "seq" and over.kind == "seq" and _named(base) and _named(over):
        return _lists(base, over)
    return over


def _maps(base: Node, over: Node) -> Node:
    items = []
    for key, value in base.items:
        newer = next(((name, inner) for name, inner in over.items if name.text == key.text), None)
        items.append((key, value) if newer is None else (newer[0], merged(value, newer[1])))
    items += [(key, value) for key, value in over.items if key.text not in base]
    return Node(over.kind, over.span, items=tuple(items), origin=over.origin, pointer=over.pointer)


def _named(node: Node) -> bool:
    return bool(node.elements) and all(item.kind == "map" and "name" in item for item in node.elements)


def _lists(base: Node, over: Node) -> Node:
    newer = {item["name"].text: item for item in over.elements}
    elements = [merged(item, newer.pop(item["name"].text)) if item["name"].text in newer else item for item in base.elements]
    elements += [item for item in over.elements if item["name"].text in newer]
    return Node(over.kind, over.span, elements=tuple(elements), origin=over.origin, pointer=over.pointer)
