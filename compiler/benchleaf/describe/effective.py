"""A file as the compiler sees it: what it is built on merged in, defaults filled in, each value with the place it comes from."""

from __future__ import annotations

from collections.abc import Iterator

from benchleaf.describe.writing import scalar
from benchleaf.source.node import Node

__all__ = ["effective"]

_COLUMN = 48  # where the places stand


def effective(node: Node, *, origins: bool) -> str:
    """The document as YAML in block style, one value a line; with ``origins`` a comment says the file and line of each."""
    lines = list(_map(node, 0))
    if not origins:
        return "".join(f"{words}\n" for words, _ in lines)
    return "".join(f"{words:<{_COLUMN}}  # {place}\n" if place else f"{words}\n" for words, place in lines)


def _place(node: Node) -> str:
    where = f"{node.span.file}:{node.span.line}"
    return f"{where} (default)" if node.origin == "default" else where


def _map(node: Node, indent: int) -> Iterator[tuple[str, str]]:
    for key, value in node.items:
        yield from _value(f"{' ' * indent}{scalar(key.text)}:", value, indent)


def _value(head: str, value: Node, indent: int) -> Iterator[tuple[str, str]]:
    if value.kind == "map" and value.items:
        yield head, ""
        yield from _map(value, indent + 2)
    elif value.kind == "seq" and value.elements:
        yield head, ""
        for element in value.elements:
            yield from _element(element, indent + 2)
    else:
        empty = {"map": "{}", "seq": "[]"}.get(value.kind)
        words = value.text if value.kind in ("number", "boolean") and not value.quoted else scalar(value.text)
        yield f"{head} {empty or words}", _place(value)


def _element(element: Node, indent: int) -> Iterator[tuple[str, str]]:
    if element.kind != "map" or not element.items:
        yield from _value(f"{' ' * indent}-", element, indent)
        return
    lines = list(_map(element, indent + 2))
    first, place = lines[0]
    yield f"{' ' * indent}- {first.strip()}", place
    yield from lines[1:]
