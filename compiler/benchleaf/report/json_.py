"""Diagnostics as JSON: plain ASCII, so that nothing in it can drive a terminal; ``schema`` tells the version of the form."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from benchleaf.diagnostics import Diagnostic, Span

__all__ = ["VERSION", "as_data", "to_json"]

VERSION = 1


def to_json(diagnostics: Iterable[Diagnostic]) -> str:
    """All diagnostics as one JSON document, ending in a line feed.  Lines and columns count code points from 1, ends exclusive."""
    data = {"schema": VERSION, "diagnostics": [as_data(diagnostic) for diagnostic in diagnostics]}
    return json.dumps(data, ensure_ascii=True, indent=2).replace("\x7f", "\\u007f") + "\n"


def as_data(diagnostic: Diagnostic) -> dict[str, Any]:
    """One diagnostic as plain data, every key always there."""
    return {
        "code": diagnostic.code,
        "severity": diagnostic.severity.value,
        "message": diagnostic.message,
        "place": _place(diagnostic.span),
        "label": diagnostic.label,
        "notes": list(diagnostic.notes),
        "hints": list(diagnostic.hints),
        "related": [{"place": _place(span), "message": words} for span, words in diagnostic.related],
    }


def _place(span: Span | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {"file": span.file, "line": span.line, "column": span.column, "end_line": span.end_line, "end_column": span.end_column}
