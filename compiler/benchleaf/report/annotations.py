"""Diagnostics as the workflow commands by which build services put a message beside a line: one a line."""

from __future__ import annotations

from collections.abc import Iterable

from benchleaf.diagnostics import Diagnostic, Severity

__all__ = ["to_annotations"]

_KINDS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def to_annotations(diagnostics: Iterable[Diagnostic]) -> str:
    """``::error file=...,line=...,col=...,endLine=...,endColumn=...,title=code::message`` for each; what would end a field is escaped."""
    return "".join(_line(diagnostic) + "\n" for diagnostic in diagnostics)


def _line(diagnostic: Diagnostic) -> str:
    fields = []
    span = diagnostic.span
    if span is not None:
        # The end is inclusive there, exclusive here.
        last = max(span.end_column - 1, span.column) if span.end_line == span.line else max(span.end_column - 1, 1)
        fields = [("file", span.file), ("line", span.line), ("col", span.column), ("endLine", span.end_line), ("endColumn", last)]
    fields.append(("title", diagnostic.code))
    words = "\n".join([diagnostic.message, *diagnostic.notes, *(f"hint: {hint}" for hint in diagnostic.hints)])
    named = ",".join(f"{name}={_field(str(value))}" for name, value in fields)
    return f"::{_KINDS[diagnostic.severity]} {named}::{_data(words)}"


def _data(words: str) -> str:
    return words.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _field(words: str) -> str:
    return _data(words).replace(":", "%3A").replace(",", "%2C")
