"""Diagnostics as JSON: versioned, complete, read back as written, and plain ASCII."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.report.json_ import to_json


def test_the_form() -> None:
    fault = Diagnostic("a/b", "m", Span("x.yaml", 2, 3, 2, 5), Severity.WARNING, "l", ("n",), ("h",), ((Span("y.yaml"), "r"),))
    place = {"file": "x.yaml", "line": 2, "column": 3, "end_line": 2, "end_column": 5}
    assert json.loads(to_json([fault, Diagnostic("c/d", "m")])) == {
        "schema": 1,
        "diagnostics": [
            {
                "code": "a/b", "severity": "warning", "message": "m", "place": place, "label": "l", "notes": ["n"], "hints": ["h"],
                "related": [{"place": {"file": "y.yaml", "line": 1, "column": 1, "end_line": 1, "end_column": 1}, "message": "r"}],
            },
            {"code": "c/d", "severity": "error", "message": "m", "place": None, "label": "", "notes": [], "hints": [], "related": []},
        ],
    }  # fmt: skip
    assert json.loads(to_json([])) == {"schema": 1, "diagnostics": []}


@given(st.text(), st.text())
def test_whatever_is_in_it_it_is_plain_and_comes_back(message: str, file: str) -> None:
    text = to_json([Diagnostic("a/b", message, Span(file))])
    assert all(char == "\n" or " " <= char <= "~" for char in text)
    found = json.loads(text)["diagnostics"][0]
    assert (found["message"], found["place"]["file"]) == (message, file)
