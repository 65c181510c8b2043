"""One fault as jsonschema found it, seen from the document; and the small words that all faults share."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

from jsonschema.exceptions import ValidationError

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source.node import Node
from benchleaf.source.schema import ScalarFault
from benchleaf.source.shapes import Schema, Shape, root_shape

__all__ = ["Finding", "FormatRefusal", "counted", "either", "first_sentence", "flow", "now", "quoted", "short", "word"]

_PLAIN = re.compile(r"[A-Za-z0-9./](?:(?:[\w./()+\" -]|:(?=\S))*[\w./()+\"-])?")


class FormatRefusal(Exception):  # noqa: N818 - carries a fault through jsonschema, is never seen
    """What a format checker found."""

    def __init__(self, fault: ScalarFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


class Finding:
    """One fault as jsonschema found it, with the node it is about."""

    __slots__ = ("error", "kind", "node", "path", "root", "shape", "word")

    def __init__(self, error: ValidationError, root: Node, path: list[str | int], kind: str) -> None:
        self.error = error
        self.word = str(error.validator)
        self.root = root
        self.path = path
        self.kind = kind
        self.shape: Shape = root_shape(kind).at(path)
        node = root.at(path)
        assert node is not None, "jsonschema speaks of what it was given"
        self.node = node

    @property
    def place(self) -> tuple[str | int, ...]:
        """The path, fit for a dictionary."""
        return tuple(self.path)

    @property
    def wanted(self) -> Any:
        """What the keyword asks for."""
        return self.error.validator_value

    @property
    def part(self) -> Schema:
        """The subschema that has the keyword."""
        schema: Schema = self.error.schema  # type: ignore[assignment]
        return schema

    def named(self, path: Sequence[str | int] | None = None) -> str:
        """The place in words: `spindle`, entry 3 of `wheels`, the file."""
        path = self.path if path is None else path
        if not path:
            return "the file"
        if isinstance(path[-1], int):
            return f"entry {path[-1] + 1} of {self.named(path[:-1])}"
        return f"`{short(path[-1])}`"

    def key_span(self) -> Span:
        """Where the name of the place is written: its key, or the first words of an entry of a list, or ``kind`` of the file."""
        if self.path and isinstance(self.path[-1], str):
            owner = self.root.at(self.path[:-1])
            return self.node.span if owner is None else owner.key_span(self.path[-1])
        if not self.path and self.node.get("kind"):
            return self.node["kind"].span
        return self.node.items[0][0].span if self.node.items else self.node.span

    def span(self) -> Span:
        """Where the value is written; its key when there is no value to mark."""
        return self.key_span() if self.node.kind == "null" else self.node.span

    def fault(
        self, code: str, message: str, span: Span | None = None, label: str = "", hints: Iterable[str] = (), notes: Iterable[str] = ()
    ) -> list[Diagnostic]:
        """One diagnostic, at the value unless said otherwise."""
        return [Diagnostic(code, message, span or self.span(), label=label, notes=tuple(notes), hints=tuple(hints))]


# Words


def now(node: Node) -> str:
    """What stands there."""
    return "keys with their values" if node.kind == "map" else "a list" if node.kind == "seq" else quoted(node)


def quoted(node: Node) -> str:
    """The words of a scalar, never more than fit on a line."""
    return f"`{short(node.text)}`" if node.text else "empty" if node.kind not in ("map", "seq") else now(node)


def short(text: str) -> str:
    """Text on one line, cut when it is long."""
    text = re.sub(r"[ \t\n]+", " ", text)
    return text if len(text) <= 40 else text[:37] + "..."


def word(choice: Any) -> str:
    """A choice of the schema as it is written in a file."""
    return str(choice).lower() if isinstance(choice, bool) else str(choice)


def counted(number: Any, one: str, many: str) -> str:
    """2 keys, 1 key."""
    return f"{number} {one if number == 1 else many}"


def either(words: Sequence[str], mark: str = "`") -> str:
    """`a`, `b` or `c`."""
    shown = [f"{mark}{word}{mark}" for word in words]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} or {shown[-1]}"


def first_sentence(text: str) -> str:
    """The first sentence, without its full stop."""
    return re.split(r"\.(?:\s|$)", text, maxsplit=1)[0]


def flow(value: Any) -> str:
    """Plain data as it would be written in a file, on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(key)}: {flow(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(inner) for inner in value) + "]"
    if not isinstance(value, str):
        return word(value)
    return value if _PLAIN.fullmatch(value) and value not in ("true", "false", "null") else "'" + value.replace("'", "''") + "'"
