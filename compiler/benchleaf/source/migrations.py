"""Files in an older version of the language, brought up to date step by step: keys and values are put otherwise where they stand, so that
comments and layout stay.

Version 0 was never published.  It is what the language might have looked like before, kept so that the way from one version to the next
is there and tried before it is needed: a gear set's ``teeth`` and ``module``, a lathe's ``leadscrew: 3 mm``, a material's ``sort``, a
job's ``lathe``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source.node import Node
from benchleaf.source.schema import VERSION
from benchleaf.source.yaml_ import parse_text

__all__ = ["migrated", "older_version"]


@dataclass(frozen=True, slots=True)
class _Edit:
    """Words in place of those that stand in a stretch of the text."""

    span: Span
    words: str


_Step = Callable[[Node], Iterator[_Edit]]


def older_version(node: Node) -> int | None:
    """The version that a document says it is written in, when that is older than today's and can be brought up to date."""
    said = node.get("schema") if node.kind == "map" else None
    if said is None or said.kind != "number" or not said.text.isdecimal():
        return None
    version = int(said.text[:9])
    return version if version in _STEPS else None


def migrated(text: str, shown: str) -> tuple[str | None, list[Diagnostic]]:
    """The text in today's version; None when it is that already, or with the faults that keep it from being read."""
    node, faults = parse_text(text, shown)
    if node is None or faults:
        return None, faults
    if older_version(node) is None:
        return None, []
    while (version := older_version(node)) is not None:
        text = _changed(text, [*_STEPS[version](node), _Edit(node["schema"].span, str(version + 1))])
        node, faults = parse_text(text, shown)
        if node is None or faults:
            message = f"the step from version {version} of the language does not lead to a sound file"
            return None, [Diagnostic("migrate/refused", message, Span(shown), hints=("bring it up to date by hand",))]
    return text, []


def _changed(text: str, edits: list[_Edit]) -> str:
    lines = text.split("\n")
    for edit in sorted(edits, key=lambda edit: (edit.span.line, edit.span.column), reverse=True):
        span = edit.span
        first, last = lines[span.line - 1], lines[span.end_line - 1]
        lines[span.line - 1 : span.end_line] = (first[: span.column - 1] + edit.words + last[span.end_column - 1 :]).split("\n")
    return "\n".join(lines)


# What a step is made of


def _renamed(node: Node, old: str, new: str) -> Iterator[_Edit]:
    if old in node and new not in node:
        yield _Edit(node.key_span(old), new)


def _restated(node: Node, key: str, words: Callable[[str], str]) -> Iterator[_Edit]:
    value = node.get(key)
    if value is not None and value.kind in ("text", "number") and not value.quoted:
        yield _Edit(value.span, words(value.text))


# From version 0 to version 1


def _gear_set(node: Node) -> Iterator[_Edit]:
    yield from _renamed(node, "teeth", "wheels")
    yield from _restated(node, "module", lambda words: f"module {words}")
    yield from _renamed(node, "module", "tooth-size")


def _lathe(node: Node) -> Iterator[_Edit]:
    yield from _restated(node, "leadscrew", lambda words: f"{{lead: {words}, hand: right}}")


def _material(node: Node) -> Iterator[_Edit]:
    yield from _renamed(node, "sort", "group")


def _job(node: Node) -> Iterator[_Edit]:
    yield from _renamed(node, "lathe", "machine")


_FROM_0: Mapping[str, _Step] = {"gear-set": _gear_set, "lathe": _lathe, "material": _material, "job": _job}


def _from_0(node: Node) -> Iterator[_Edit]:
    kind = node.get("kind")
    step = _FROM_0.get(kind.text) if kind is not None else None
    if step is not None:
        yield from step(node)


_STEPS: Mapping[int, _Step] = {0: _from_0}  # one for each version before today's
assert sorted(_STEPS) == list(range(int(VERSION))), "a step for each version"
