"""Diagnostics as SARIF 2.1.0 (OASIS standard), for whatever shows findings beside the lines of a repository."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any
from urllib.parse import quote

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.report.codes import codes

__all__ = ["to_sarif"]

_LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def to_sarif(diagnostics: Iterable[Diagnostic], version: str) -> str:
    """One SARIF log with one run, ending in a line feed.  ``version`` is the program's.

    Columns count code points from 1 and ends are exclusive, as ours do (columnKind unicodeCodePoints); files are relative URIs.
    """
    found = list(diagnostics)
    rules = sorted({diagnostic.code for diagnostic in found})
    known = codes()
    log = {
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "benchleaf",
                        "semanticVersion": version,
                        "rules": [_rule(code, known[code].title if code in known else "", known) for code in rules],
                    }
                },
                "columnKind": "unicodeCodePoints",
                "results": [_result(diagnostic, rules.index(diagnostic.code)) for diagnostic in found],
            }
        ],
    }
    return json.dumps(log, ensure_ascii=True, indent=2) + "\n"


def _rule(code: str, title: str, known: Any) -> dict[str, Any]:
    rule: dict[str, Any] = {"id": code}
    if code in known:
        rule["shortDescription"] = {"text": title}
        rule["fullDescription"] = {"text": known[code].explanation}
        rule["help"] = {"text": known[code].explanation}
    return rule


def _result(diagnostic: Diagnostic, index: int) -> dict[str, Any]:
    words = [diagnostic.message, diagnostic.label, *diagnostic.notes, *(f"hint: {hint}" for hint in diagnostic.hints)]
    result: dict[str, Any] = {
        "ruleId": diagnostic.code,
        "ruleIndex": index,
        "level": _LEVELS[diagnostic.severity],
        "message": {"text": "; ".join(word for word in words if word)},
    }
    if diagnostic.span is not None:
        result["locations"] = [_location(diagnostic.span)]
    if diagnostic.related:
        result["relatedLocations"] = [
            {"id": number, **_location(span), "message": {"text": said}} for number, (span, said) in enumerate(diagnostic.related, 1)
        ]
    return result


def _location(span: Span) -> dict[str, Any]:
    region: dict[str, Any] = {"startLine": span.line, "startColumn": span.column}
    if (span.end_line, span.end_column) > (span.line, span.column):
        region |= {"endLine": span.end_line, "endColumn": span.end_column}
    return {"physicalLocation": {"artifactLocation": {"uri": quote(span.file.replace("\\", "/"))}, "region": region}}
