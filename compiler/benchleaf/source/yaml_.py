"""YAML 1.2 core, composed to nodes with their places.

PyYAML's parser (libyaml where it is there) supplies events.  PyYAML's resolver is not used: it reads YAML 1.1, in which ``on`` is
true and ``24:48`` a number to base 60.  The core rules of YAML 1.2 (yaml.org/spec/1.2.2, section 10.3) stand here instead.

Plain data only: one document, no tags but those of plain data, no merge keys, no directive but ``%YAML 1.2``.  Aliases are read,
within a budget that counts what they stand for.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from yaml.events import AliasEvent, DocumentEndEvent, DocumentStartEvent, MappingEndEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source.node import Kind, Node
from benchleaf.source.text import SourceText, read_text
from benchleaf.source.yaml_words import explain

__all__ = ["DEEPEST", "LONGEST", "MOST_FAULTS", "MOST_NODES", "load", "parse_text"]

DEEPEST = 40  # maps and lists inside one another
MOST_NODES = 20_000  # keys and values of one file, those behind an alias counted at each use
LONGEST = 10_000  # characters of one scalar
MOST_FAULTS = 100  # reported of one file
_NUMBER = re.compile(
    r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+|[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"
)
_WORDS: dict[str, Kind] = dict.fromkeys(("", "~", "null", "Null", "NULL"), "null") | dict.fromkeys(  # type: ignore[assignment]
    ("true", "True", "TRUE", "false", "False", "FALSE"), "boolean"
)
_CORE_TAG = "tag:yaml.org,2002:"
_TAGS: dict[str, tuple[Kind, ...]] = {
    "map": ("map",), "seq": ("seq",), "str": ("text",), "null": ("null",), "bool": ("boolean",), "int": ("number",), "float": ("number",),
}  # fmt: skip
# A tag or anchor in front of a node, with the blanks and comments behind it.
_PROPERTY = re.compile(r"(?:!<[^>\n]*>|![^\s,\[\]{}]*|&[\w-]*)(?:\s+(?:#[^\n]*\n)?)*")
_Parser: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _RefusedError(Exception):
    """Reading further would be of no use: the fault that ends it."""

    def __init__(self, fault: Diagnostic) -> None:
        super().__init__(fault.message)
        self.fault = fault


def load(path: Path, shown: str) -> tuple[Node | None, SourceText | None, list[Diagnostic]]:
    """Read and compose a file; ``shown`` is its path as the user would type it.

    The node is None when its shape cannot be relied on; with a node there may still be faults (a key given twice, a second
    document).  The text is given whenever there is something to show in an excerpt.
    """
    source, faults = read_text(path, shown)
    if source is None or faults:
        return None, source, faults
    node, faults = parse_text(source.text, shown)
    return node, source, faults


def parse_text(text: str, shown: str, parser: Any = None) -> tuple[Node | None, list[Diagnostic]]:
    """Compose text (line ends plain, no byte-order mark, no control characters) to a node, with every fault found."""
    composer = _Composer(text, shown)
    root = None
    try:
        root = composer.document(yaml.parse(text, Loader=parser or _Parser))
    except _RefusedError as refusal:
        composer.fail(refusal.fault)
    except yaml.MarkedYAMLError as error:
        composer.fail(explain(error, text, shown))
    except yaml.YAMLError:  # a character that the parser does not take; files are rid of them beforehand
        composer.fail(Diagnostic("yaml/syntax", "this cannot be read as YAML", Span(shown)))
    return (None if composer.failed else root), composer.faults


def _scalar_kind(text: str) -> Kind:
    """What an unquoted scalar is by the core rules."""
    return _WORDS.get(text) or ("number" if _NUMBER.fullmatch(text) else "text")


def _short(text: str) -> str:
    text = re.sub(r"[ \t\n]+", " ", text)
    return text if len(text) <= 40 else text[:37] + "..."


class _Composer:
    """Builds nodes from the parser's events and gathers faults."""

    def __init__(self, text: str, shown: str) -> None:
        self.text = text
        self.shown = shown
        self.last_line = text.count("\n")
        self.faults: list[Diagnostic] = []
        self.failed = False
        self.count = 0
        self.anchors: dict[str, tuple[Node, int, int] | None] = {}  # None while it is still open; else node, size, height

    # Faults

    def report(
        self, code: str, message: str, span: Span, hint: str = "", label: str = "", related: tuple[tuple[Span, str], ...] = ()
    ) -> None:
        if len(self.faults) >= MOST_FAULTS:
            last = Diagnostic("yaml/many-faults", f"more than {MOST_FAULTS} faults in this file", span, hints=("mend those above first",))
            raise _RefusedError(last)
        self.faults.append(Diagnostic(code, message, span, label=label, hints=(hint,) if hint else (), related=related))

    def fail(self, fault: Diagnostic) -> None:
        self.failed = True
        self.faults.append(fault)

    def mark(self, event: Any, length: int = 1) -> Span:
        """A short stretch at the start of an event, for what may be long."""
        start = event.start_mark
        return Span(self.shown, start.line + 1, start.column + 1, start.line + 1, start.column + 1 + length)

    # Places

    def after_properties(self, event: Any) -> tuple[int, int, int]:
        """Index, line and column (from 0) of a node behind its tag and anchor."""
        start = event.start_mark
        index = start.index
        while (found := _PROPERTY.match(self.text, index)) is not None and found.end() > index:
            index = found.end()
        passed = self.text[start.index : index]
        lines = passed.count("\n")
        return index, start.line + lines, (len(passed) - passed.rfind("\n") - 1 if lines else start.column + len(passed))

    def scalar_span(self, event: Any) -> Span:
        start, end = event.start_mark, event.end_mark
        index, line, column = start.index, start.line, start.column
        last_line, last_column = end.line, end.column
        if line > self.last_line:  # libyaml puts an empty value at the end of the text in a line of its own
            column = len(self.text) - self.text.rfind("\n") - 1
            return Span(self.shown, self.last_line + 1, column + 1, self.last_line + 1, column + 1)
        if event.anchor is not None or event.tag is not None:
            index, line, column = self.after_properties(event)
            if index > end.index:
                index, line, column = end.index, end.line, end.column
        if event.style in ("|", ">"):  # the parser counts the empty lines below a block too
            raw = self.text[index : end.index].rstrip()
            lines = raw.count("\n")
            last_line, last_column = line + lines, (len(raw) - raw.rfind("\n") - 1 if lines else column + len(raw))
        return Span(self.shown, line + 1, column + 1, last_line + 1, last_column + 1)

    def joined(self, start: Any, end: Any, first: Span | None, last: Span | None) -> Span:
        """The span of a map or list: brackets included, or from its first to its last word."""
        if start.flow_style or last is None:
            _, line, column = (
                self.after_properties(start) if start.anchor or start.tag else (0, start.start_mark.line, start.start_mark.column)
            )
            return Span(self.shown, line + 1, column + 1, end.end_mark.line + 1, end.end_mark.column + 1)
        if first is None:  # a block list begins at its first dash
            _, line, column = (
                self.after_properties(start) if start.anchor or start.tag else (0, start.start_mark.line, start.start_mark.column)
            )
            return Span(self.shown, line + 1, column + 1, last.end_line, last.end_column)
        return Span(self.shown, first.line, first.column, last.end_line, last.end_column)

    def ended(self, event: Any, node: Node) -> Span:
        """A span that ends where the node does in this place: what an alias stands for ends elsewhere."""
        end = event.end_mark
        return Span(self.shown, end_line=end.line + 1, end_column=end.column + 1) if isinstance(event, AliasEvent) else node.span

    def moved(self, value: Node, key: Span) -> Node:
        """A value that is not there stands behind its key, wherever the parser noticed."""
        if (value.span.line, value.span.column) != (value.span.end_line, value.span.end_column):
            return value  # an empty text in quotes
        return Node(value.kind, Span(self.shown, key.end_line, key.end_column, key.end_line, key.end_column), quoted=value.quoted)

    # Composition

    def document(self, events: Iterator[Any]) -> Node | None:
        root: Node | None = None
        seen = False
        for event in events:
            if isinstance(event, DocumentStartEvent):
                if seen:
                    end: Any = event.end_mark
                    span = Span(self.shown, end.line + 1, max(end.column - 2, 1), end.line + 1, end.column + 1)
                    self.report(
                        "yaml/documents", "a second document in one file", span, "one document a file: split it, or delete the `---`"
                    )
                    return root
                seen = True
                self.directives(event)
            elif isinstance(event, DocumentEndEvent):
                continue
            elif seen and root is None:
                root, _ = self.node(event, events, 0)
        if root is None or (root.kind == "null" and not root.text and not self.faults):
            hint = "start it with `schema: 1` and `kind: ` with what it describes"
            raise _RefusedError(Diagnostic("yaml/empty", "there is nothing in this file", Span(self.shown), hints=(hint,)))
        return root

    def directives(self, event: Any) -> None:
        if event.tags or event.version not in (None, (1, 2)):
            self.report("yaml/directive", "a directive that is not read here", self.mark(event), "delete the line that begins with `%`")

    def node(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Node, int]:
        """A node and its height (0 for a scalar)."""
        self.count += 1
        if self.count > MOST_NODES:
            raise _RefusedError(Diagnostic("yaml/too-many", f"more than {MOST_NODES} keys and values in one file", self.mark(event)))
        if isinstance(event, AliasEvent):
            return self.alias(event, depth)
        anchor = event.anchor
        before = self.count
        if anchor is not None:
            self.anchors[anchor] = None
        height = 0
        if isinstance(event, ScalarEvent):
            node = self.scalar(event)
        else:
            if depth >= DEEPEST:
                message = f"more than {DEEPEST} maps and lists inside one another"
                raise _RefusedError(Diagnostic("yaml/too-deep", message, self.mark(event)))
            node, height = (self.sequence if isinstance(event, SequenceStartEvent) else self.mapping)(event, events, depth)
        if event.tag is not None:
            self.check_tag(event, node)
        if anchor is not None:
            self.anchors[anchor] = (node, self.count - before, height)
        return node, height

    def scalar(self, event: Any) -> Node:
        text = event.value
        if len(text) > LONGEST:
            message = f"a text of {len(text)} characters, the longest read is {LONGEST}"
            self.report("yaml/scalar-long", message, self.mark(event))
            self.failed = True
            text = text[:LONGEST]
        if event.style:
            return Node("text", self.scalar_span(event), text, True)
        if event.tag is not None and event.tag in ("!", f"{_CORE_TAG}str"):
            return Node("text", self.scalar_span(event), text, True)
        return Node(_scalar_kind(text), self.scalar_span(event), text)

    def sequence(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Node, int]:
        elements: list[Node] = []
        last: Span | None = None
        tallest = 0
        for inner in events:
            if isinstance(inner, SequenceEndEvent):
                break
            element, height = self.node(inner, events, depth + 1)
            elements.append(element)
            tallest = max(tallest, height)
            last = self.ended(inner, element)
        return Node("seq", self.joined(event, inner, None, last), elements=tuple(elements)), tallest + 1

    def mapping(self, event: Any, events: Iterator[Any], depth: int) -> tuple[Node, int]:
        items: list[tuple[Node, Node]] = []
        places: dict[str, Span] = {}
        first: Span | None = None
        last: Span | None = None
        tallest = 0
        for inner in events:
            if isinstance(inner, MappingEndEvent):
                break
            key, _ = self.node(inner, events, depth + 1)
            if first is None:
                first = key.span
            following = next(events)
            value, height = self.node(following, events, depth + 1)
            if not value.text and value.span.line > key.span.end_line and isinstance(following, ScalarEvent):
                value = self.moved(value, key.span)
            tallest = max(tallest, height)
            last = self.ended(following, value)
            if self.good_key(inner, key, places):
                items.append((key, value))
        return Node("map", self.joined(event, inner, first, last), items=tuple(items)), tallest + 1

    def good_key(self, event: Any, key: Node, places: dict[str, Span]) -> bool:
        """Whether the pair is to be kept; says why not."""
        if isinstance(event, AliasEvent) or key.kind in ("map", "seq"):
            what = "an alias" if isinstance(event, AliasEvent) else "a map" if key.kind == "map" else "a list"
            self.report(
                "yaml/key",
                f"{what} in the place of a key",
                self.mark(event),
                "keys are plain words; what begins with a bracket or `*` needs quotes",
            )
            self.failed = True
            return False
        if not key.text and (event.tag is not None or not key.quoted):
            self.report("yaml/key", "a value without its key", self.mark(event), "write a key in front of the colon")
            self.failed = True
            return False
        if key.text == "<<" and not key.quoted:
            self.report("yaml/merge", "`<<` does not merge anything here", key.span, "write the keys out")
            return False
        if key.text in places:
            self.report(
                "yaml/duplicate-key", f"the key `{_short(key.text)}` is given twice", key.span, "keep one of the two",
                label="second time", related=((places[key.text], "first given here"),),
            )  # fmt: skip
            return False
        places[key.text] = key.span
        return True

    def alias(self, event: Any, depth: int) -> tuple[Node, int]:
        name = event.anchor
        span = self.mark(event, len(name) + 1)
        if name not in self.anchors:
            self.report("yaml/alias", f"nothing above is marked `&{_short(name)}`", span, "a value that begins with `*` needs quotes")
        elif (target := self.anchors[name]) is None:
            self.report("yaml/alias", f"`*{_short(name)}` stands inside what it stands for", span, "write the values out")
        else:
            node, size, height = target
            self.count += size
            if self.count > MOST_NODES:
                message = f"aliases that unfold to more than {MOST_NODES} keys and values"
                raise _RefusedError(Diagnostic("yaml/too-many", message, span, hints=("write out what is needed",)))
            if depth + height > DEEPEST:
                message = f"aliases that unfold to more than {DEEPEST} maps and lists inside one another"
                raise _RefusedError(Diagnostic("yaml/too-deep", message, span, hints=("write out what is needed",)))
            return node, height
        self.failed = True
        return Node("null", span), 0

    def check_tag(self, event: Any, node: Node) -> None:
        """Only tags that say what plain data is anyhow are read."""
        tag = str(event.tag)
        plain = tag.removeprefix(_CORE_TAG)
        if tag == "!" or (plain != tag and node.kind in _TAGS.get(plain, ())):
            return
        written = _short(f"!!{plain}" if plain != tag else tag if tag.startswith("!") else f"!<{tag}>")
        length = len(written) if self.text.startswith(written, event.start_mark.index) else 1
        if plain != tag and plain in _TAGS:
            self.report("yaml/tag", f"the tag `{written}` does not suit what follows it", self.mark(event, length), "delete the tag")
        else:
            self.report("yaml/tag", f"the tag `{written}`: only plain data is read, no tags", self.mark(event, length), "delete the tag")
        self.failed = True
