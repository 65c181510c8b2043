"""What a file says, value by value, without comments and layout: what two states of a file are compared by."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from benchleaf.record import record
from benchleaf.source.node import Node
from benchleaf.source.yaml_ import load

__all__ = ["Edit", "Leaf", "edits", "leaves", "mark", "words_of"]


@record
class Leaf:
    """One value of a file: its words, and the line that they stand on."""

    words: str
    line: int


@record
class Edit:
    """A value that is not what it was.  ``line`` is where it stands now, or where it would stand when it is gone; ``old`` or ``new`` is
    None where there was or is none."""

    file: str
    path: str
    line: int
    old: str | None
    new: str | None


def leaves(path: Path) -> dict[str, Leaf]:
    """Every value of a file by its path in it; nothing when the file cannot be read."""
    node, _, _ = load(path, path.name)
    return dict(_walk(node, "")) if node is not None else {}


def _walk(node: Node, path: str) -> Iterator[tuple[str, Leaf]]:
    if node.kind == "map":
        for name, value in node.items:
            yield from _walk(value, f"{path}.{name.text}" if path else name.text)
    elif node.kind == "seq":
        for number, value in enumerate(node.elements):
            yield from _walk(value, f"{path}[{number}]")
    else:
        yield path, Leaf(" ".join(node.text.split()), node.span.line)


def words_of(found: Mapping[str, Leaf]) -> dict[str, str]:
    """The values without their lines."""
    return {path: leaf.words for path, leaf in found.items()}


def mark(words: Mapping[str, str]) -> str:
    """Ten hex digits that tell one state of a file from another."""
    text = "\n".join(f"{path}: {said}" for path, said in words.items())
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:10]


def edits(file: str, old: Mapping[str, str], new: Mapping[str, Leaf]) -> list[Edit]:
    """What has changed in a file, in the order in which it stands there now; what is gone comes last."""
    found = [
        Edit(file, path, leaf.line, old.get(path), leaf.words) for path, leaf in new.items() if old.get(path) != leaf.words
    ]
    return found + [Edit(file, path, _near(path, new), words, None) for path, words in old.items() if path not in new]


def _near(path: str, new: Mapping[str, Leaf]) -> int:
    """The line of what shares the longest start with a path: where something that is gone would be looked for."""
    def shared(other: str) -> int:
        return next((place for place, (one, two) in enumerate(zip(path, other, strict=False)) if one != two), min(len(path), len(other)))

    best = max(new, key=shared, default="")
    return new[best].line if best else 1
