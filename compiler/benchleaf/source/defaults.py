"""Defaults live in the schemas and nowhere else: here they become nodes, each pointing at the schema line that states it."""

from __future__ import annotations

from functools import lru_cache

from benchleaf.source.node import Node
from benchleaf.source.schema import schema_path
from benchleaf.source.yaml_ import parse_text

__all__ = ["fill_defaults"]


def fill_defaults(node: Node, kind: str) -> Node:
    """The document with every optional key that is missing but has a default filled in.  The node must have passed its schema."""
    return _fill(node, _document(kind), kind)


@lru_cache(maxsize=16)
def _document(kind: str) -> Node:
    """A schema as nodes: JSON is YAML, and only the composer knows on which line a default stands."""
    path = schema_path(kind)
    node, faults = parse_text(path.read_text(encoding="utf-8"), f"schemas/{path.name}")
    if node is None:
        raise RuntimeError(f"{path.name}: {faults[0].message}")
    return node


def _resolve(schema: Node, kind: str) -> tuple[Node, str]:
    """Follow references; returns the schema node and the file that it stands in."""
    while (reference := schema.get("$ref")) is not None:
        file, _, pointer = reference.text.partition("#")
        kind = file.removesuffix(".schema.json").rsplit("/", 1)[-1] or kind
        schema = _document(kind)
        for part in pointer.strip("/").split("/"):
            schema = schema[part] if part else schema
    return schema, kind


def _fill(node: Node, schema: Node, kind: str) -> Node:
    schema, kind = _resolve(schema, kind)
    for keyword in ("oneOf", "anyOf"):
        branches = schema.get(keyword)
        for branch in branches.elements if branches else ():
            resolved, place = _resolve(branch, kind)
            if _shape(resolved) == node.kind:
                return _fill(node, resolved, place)
    if node.kind == "map":
        return _fill_map(node, schema, kind)
    items = schema.get("items")
    if node.kind == "seq" and items is not None and items.kind == "map":
        return Node("seq", node.span, elements=tuple(_fill(element, items, kind) for element in node.elements), origin=node.origin)
    return node


def _shape(schema: Node) -> str:
    kind = schema.get("type")
    return {"object": "map", "array": "seq"}.get(kind.text if kind else "", "scalar")


def _fill_map(node: Node, schema: Node, kind: str) -> Node:
    properties, free = schema.get("properties"), schema.get("additionalProperties")
    items: list[tuple[Node, Node]] = []
    for key, value in node.items:
        inner = properties.get(key.text) if properties else None
        inner = inner or (free if free is not None and free.kind == "map" else None)
        items.append((key, _fill(value, inner, kind) if inner is not None else value))
    for name, inner in properties.items if properties else ():
        default = inner.get("default")
        if default is not None and node.get(name.text) is None:
            given = _as_default(default)
            items.append((Node("text", default.span, name.text, origin="default"), _fill(given, inner, kind)))
    return Node("map", node.span, items=tuple(items), origin=node.origin)


def _as_default(node: Node) -> Node:
    """The same node marked as a default; JSON's quotes are dropped, because they are the schema's and not the user's."""
    return Node(
        node.kind, node.span, node.text, False,
        tuple((Node(key.kind, key.span, key.text, origin="default"), _as_default(value)) for key, value in node.items),
        tuple(_as_default(element) for element in node.elements), "default",
    )  # fmt: skip
