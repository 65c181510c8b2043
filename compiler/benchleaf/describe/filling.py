"""Gaps of a file filled in where they are, everything else left as it was written, comments too."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from benchleaf.describe.writing import entry, flow
from benchleaf.source.node import Node

__all__ = ["filled"]


def filled(text: str, node: Node, data: dict[str, Any]) -> str:
    """The text of a file (whose document is ``node``) with the keys put in that ``data`` has and it has not."""
    lines = text.splitlines()
    # From the last line up, so that the places of what comes before stay true.
    for line, column, words in sorted(_additions(node, data, top=True), key=lambda item: item[:2], reverse=True):
        if column is None:
            lines[line:line] = words
        else:
            there = lines[line - 1]
            lines[line - 1] = f"{there[: column - 1].rstrip()}, {words[0]}{there[column - 1 :]}"
    return "\n".join(lines) + "\n"


def _additions(node: Node, data: Any, *, top: bool = False) -> Iterator[tuple[int, int | None, list[str]]]:
    """(line, column or None, words): for a block the lines to put after that line, for a map in braces what goes before its brace."""
    if node.kind == "seq" and isinstance(data, list):
        for element, part in zip(node.elements, data, strict=False):
            yield from _additions(element, part)
        return
    if node.kind != "map" or not isinstance(data, dict):
        return
    for key, value in node.items:
        if key.text in data:
            yield from _additions(value, data[key.text])
    new = [(key, value) for key, value in data.items() if key not in node]
    if not new:
        return
    first = node.items[0][0] if node.items else None
    braces = first is None or (not top and node.span.column < first.span.column and node.span.line == first.span.line and _in_braces(node))
    if braces:
        words = ", ".join(f"{key}: {flow(value)}" for key, value in new)
        yield node.span.end_line, node.span.end_column - 1, [words]
        return
    indent = first.span.column - 1 if first is not None else 0
    last = max(_end(value) for _, value in node.items)
    yield last, None, [line for key, value in new for line in entry(key, value, indent)]


def _in_braces(node: Node) -> bool:
    """Whether a map was written in braces: then it begins before its first key, and ends after its last value."""
    last = node.items[-1][1]
    return (node.span.end_line, node.span.end_column) > (last.span.end_line, last.span.end_column)


def _end(node: Node) -> int:
    """The last line of a value."""
    inner = [_end(value) for _, value in node.items] + [_end(element) for element in node.elements]
    return max([node.span.end_line if not inner or _closed(node) else 0, *inner])


def _closed(node: Node) -> bool:
    return node.span.line == node.span.end_line
