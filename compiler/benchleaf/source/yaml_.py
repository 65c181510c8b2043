"""YAML 1.2 core, composed to nodes: no values are made here, only words with their places.

PyYAML's parser (libyaml) supplies events; PyYAML's own resolver reads YAML 1.1, where ``on`` is true and ``24:48`` is a number in base 60, so
the core rules of YAML 1.2 (yaml.org/spec/1.2.2, section 10.3) stand here instead, and scalars stay text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source.node import Node
from benchleaf.source.text import SourceText, read_text

__all__ = ["load", "parse_text"]

DEEPEST = 40  # maps and lists inside one another
MOST_NODES = 50_000  # with aliases counted as often as they are used
LONGEST = 10_000  # characters of one scalar
_CORE = {
    "null": re.compile(r"(?:null|Null|NULL|~|)\Z"),
    "boolean": re.compile(r"(?:true|True|TRUE|false|False|FALSE)\Z"),
    "number": re.compile(r"(?:[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))\Z"),
}
_PLAIN_TAGS = {f"tag:yaml.org,2002:{name}" for name in ("str", "seq", "map")} | {"!"}
_Parser: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class _RefusedError(Exception):
    """Going on would mislead: the fault that ends the reading of this file."""

    def __init__(self, fault: Diagnostic) -> None:
        super().__init__(fault.message)
        self.fault = fault


def load(path: Path, shown: str) -> tuple[Node | None, SourceText | None, list[Diagnostic]]:
    """Read and compose a file.  The node is None when it cannot be read as YAML; all faults found are returned."""
    source, faults = read_text(path, shown)
    if source is None:
        return None, None, faults
    node, faults = parse_text(source.text, shown)
    return node, source, faults


def parse_text(text: str, shown: str) -> tuple[Node | None, list[Diagnostic]]:
    """Compose YAML text to a node, with every fault found."""
    reader = _Reader(shown)
    try:
        return reader.document(yaml.parse(text, Loader=_Parser)), reader.faults
    except _RefusedError as refusal:
        return None, [*reader.faults, refusal.fault]
    except yaml.MarkedYAMLError as error:
        return None, [*reader.faults, _syntax(error, text, shown)]
    except yaml.YAMLError:
        return None, [*reader.faults, Diagnostic("yaml/syntax", "this is not YAML", Span(shown))]


class _Reader:
    """Builds nodes from parser events, with budgets for depth, nodes and length."""

    def __init__(self, shown: str) -> None:
        self.shown = shown
        self.faults: list[Diagnostic] = []
        self.anchors: dict[str, tuple[Node, int]] = {}
        self.open_anchors: set[str] = set()
        self.count = 0

    def span(self, event: Any) -> Span:
        start, end = event.start_mark, event.end_mark
        return Span(self.shown, start.line + 1, start.column + 1, end.line + 1, end.column + 1)

    def refuse(self, code: str, message: str, event: Any, hint: str = "") -> _RefusedError:
        start = event.start_mark
        span = Span(self.shown, start.line + 1, start.column + 1, start.line + 1, start.column + 2)
        return _RefusedError(Diagnostic(code, message, span, hints=(hint,) if hint else ()))

    def document(self, events: Iterator[Any]) -> Node | None:
        root: Node | None = None
        documents = 0
        for event in events:
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self.refuse("yaml/documents", "a second document in one file", event, "one document a file: split it, or delete the '---'")
            elif isinstance(event, (ScalarEvent, SequenceStartEvent, MappingStartEvent, AliasEvent)):
                root = self.node(event, events, 0)
        if root is None or (root.kind == "null" and not root.text):
            raise _RefusedError(Diagnostic("yaml/empty", "this file is empty", Span(self.shown), hints=("start it with `schema: 1` and `kind:`",)))
        return root

    def node(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        self.count += 1
        if self.count > MOST_NODES:
            raise self.refuse("yaml/too-many", f"more than {MOST_NODES} values, aliases counted as often as they are used", event)
        if isinstance(event, AliasEvent):
            return self.alias(event)
        if event.tag is not None and event.tag not in _PLAIN_TAGS:
            raise self.refuse("yaml/tag", f"the tag {event.tag[:60]!r} is not read here: only plain data is", event, "delete the tag")
        if depth > DEEPEST:
            raise self.refuse("yaml/too-deep", f"more than {DEEPEST} maps and lists inside one another", event)
        before = self.count
        if event.anchor is not None:
            self.open_anchors.add(event.anchor)
        if isinstance(event, ScalarEvent):
            built = self.scalar(event)
        elif isinstance(event, SequenceStartEvent):
            built = self.sequence(event, events, depth)
        else:
            built = self.mapping(event, events, depth)
        if event.anchor is not None:
            self.open_anchors.discard(event.anchor)
            self.anchors[event.anchor] = (built, self.count - before + 1)
        return built

    def alias(self, event: Any) -> Node:
        if event.anchor in self.open_anchors:
            raise self.refuse("yaml/alias-cycle", f"the alias *{event.anchor[:40]} is inside what it stands for", event)
        if event.anchor not in self.anchors:
            raise self.refuse("yaml/alias-unknown", f"nothing is anchored as &{event.anchor[:40]}", event)
        node, size = self.anchors[event.anchor]
        self.count += size
        if self.count > MOST_NODES:
            raise self.refuse("yaml/too-many", f"aliases that unfold to more than {MOST_NODES} values", event, "write the values out, or use fewer")
        return node

    def scalar(self, event: Any) -> Node:
        if len(event.value) > LONGEST:
            raise self.refuse("yaml/scalar-long", f"one value of {len(event.value)} characters; the longest read is {LONGEST}", event)
        quoted = bool(event.style)
        kind = "text"
        if not quoted and event.tag is None:
            kind = next((name for name, pattern in _CORE.items() if pattern.match(event.value)), "text")
        return Node(kind, self.span(event), event.value, quoted)

    def sequence(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        elements: list[Node] = []
        for inner in events:
            if isinstance(inner, SequenceEndEvent):
                return Node("seq", _joined(self.span(event), self.span(inner)), elements=tuple(elements))
            elements.append(self.node(inner, events, depth + 1))
        raise AssertionError("the parser closes what it opens")

    def mapping(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        items: list[tuple[Node, Node]] = []
        first: dict[str, Span] = {}
        for inner in events:
            if isinstance(inner, MappingEndEvent):
                return Node("map", _joined(self.span(event), self.span(inner)), items=tuple(items))
            key = self.node(inner, events, depth + 1)
            if key.kind in ("map", "seq"):
                raise self.refuse("yaml/key", "a map or list as a key", inner, "keys are plain words; braces need quotes")
            value = self.node(next(events), events, depth + 1)
            if key.text in first:
                self.faults.append(Diagnostic("yaml/duplicate-key", f"the key {key.text[:60]!r} is given twice", key.span, related=((first[key.text], "first given here"),),
                                              hints=("keep one of the two",)))  # fmt: skip
                continue
            first[key.text] = key.span
            items.append((key, value))
        raise AssertionError("the parser closes what it opens")


def _joined(start: Span, end: Span) -> Span:
    return Span(start.file, start.line, start.column, end.end_line, end.end_column)


def _syntax(error: yaml.MarkedYAMLError, text: str, shown: str) -> Diagnostic:
    """The parser's complaint in shop words, at the place that needs mending."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line, mark.column) if mark is not None else (0, 0)
    lines = text.split("\n")
    words = lines[line] if line < len(lines) else ""
    tab = re.match(r" *\t", words)
    if tab:
        span = Span(shown, line + 1, tab.end(), line + 1, tab.end() + 1)
        return Diagnostic("yaml/tab", "a tab in the indentation", span, hints=("indent with spaces, two for each level",))
    span = Span(shown, line + 1, column + 1, line + 1, column + 2)
    start = words[column : column + 1]
    if start in ("%", "@", "`"):
        return Diagnostic("yaml/syntax", f"a value cannot start with {start}", span, hints=("put it in quotes",))
    problem = str(error.problem or "")
    if "mapping values are not allowed" in problem:
        return Diagnostic("yaml/syntax", "a colon where none can be", span, hints=("check the indentation, or put the value in quotes if the colon belongs to it",))
    if "expected" in problem and "block end" in problem:
        return Diagnostic("yaml/syntax", "this line does not line up with those above it", span, hints=("check the indentation",))
    if "end of stream" in problem or "unexpected end" in problem or "expected ',' or" in problem:
        return Diagnostic("yaml/syntax", "a bracket, brace or quote that is never closed", span, hints=("close it",))
    return Diagnostic("yaml/syntax", "this is not YAML", span, notes=(problem[:120],) if problem else (), hints=("check quotes, brackets and indentation",))
