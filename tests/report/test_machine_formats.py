"""Faults for machines: SARIF by the rules of its standard, annotations with the right line and column."""

from __future__ import annotations

import json
import re
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.report.annotations import to_annotations
from benchleaf.report.codes import codes
from benchleaf.report.sarif import to_sarif

FAULT = Diagnostic(
    "tool/bore",
    "the bar is too fat, 100 %",
    Span("jobs/a b.yaml", 4, 9, 4, 14),
    Severity.ERROR,
    "too fat",
    ("a note",),
    ("a thinner bar: bar-8",),
    ((Span("tools.yaml", 2, 1, 2, 5), "the bar"),),
)
SPANS = st.builds(
    lambda file, line, column, more, wide: Span(file, line, column, line + more, column + wide),
    st.text(min_size=1, max_size=12), st.integers(1, 99), st.integers(1, 99), st.integers(0, 3), st.integers(0, 9),
)  # fmt: skip
FAULTS = st.builds(
    Diagnostic, st.sampled_from(sorted(codes())), st.text(max_size=40), st.none() | SPANS, st.sampled_from(Severity), st.text(max_size=9),
    st.tuples(st.text(max_size=9)), st.tuples(st.text(max_size=9)), st.lists(st.tuples(SPANS, st.text(max_size=9)), max_size=2).map(tuple),
)  # fmt: skip


def valid(log: Any) -> None:
    """Sections 3.13 to 3.30 and 3.49 of SARIF 2.1.0 as far as they say what must be there, and of which type."""
    assert log["version"] == "2.1.0"
    assert isinstance(log["runs"], list)
    for run in log["runs"]:
        assert isinstance(run["tool"]["driver"]["name"], str)
        rules = run["tool"]["driver"]["rules"]
        assert len({rule["id"] for rule in rules}) == len(rules)
        assert run["columnKind"] in ("utf16CodeUnits", "unicodeCodePoints")
        for result in run["results"]:
            assert result["level"] in ("none", "note", "warning", "error")
            assert isinstance(result["message"]["text"], str)
            assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
            for place in (*result.get("locations", ()), *result.get("relatedLocations", ())):
                artifact, region = place["physicalLocation"]["artifactLocation"], place["physicalLocation"]["region"]
                assert re.fullmatch(r"[A-Za-z0-9._~/%!$&'()*+,;=@-]*", artifact["uri"])
                assert region["startLine"] >= 1
                assert region["startColumn"] >= 1
                if "endLine" in region:
                    assert (region["endLine"], region["endColumn"]) > (region["startLine"], region["startColumn"])
            ids = [place["id"] for place in result.get("relatedLocations", ())]
            assert len(set(ids)) == len(ids)


def test_a_fault_in_sarif() -> None:
    log = json.loads(to_sarif([FAULT], "0.1.0"))
    valid(log)
    result = log["runs"][0]["results"][0]
    assert result["ruleId"] == "tool/bore"
    assert result["locations"][0]["physicalLocation"] == {
        "artifactLocation": {"uri": "jobs/a%20b.yaml"},
        "region": {"startLine": 4, "startColumn": 9, "endLine": 4, "endColumn": 14},
    }
    assert "hint: a thinner bar: bar-8" in result["message"]["text"]
    assert log["runs"][0]["tool"]["driver"]["rules"][0]["shortDescription"]["text"] == codes()["tool/bore"].title


@given(st.lists(FAULTS, max_size=4))
def test_whatever_the_faults_say_the_log_keeps_to_the_standard_and_to_ascii(faults: list[Diagnostic]) -> None:
    text = to_sarif(faults, "0.1.0")
    assert text.isascii()
    valid(json.loads(text))


def test_a_fault_as_an_annotation() -> None:
    line = to_annotations([FAULT])
    assert line == (
        "::error file=jobs/a b.yaml,line=4,col=9,endLine=4,endColumn=13,title=tool/bore"
        "::the bar is too fat, 100 %25%0Aa note%0Ahint: a thinner bar: bar-8\n"
    )


@given(st.lists(FAULTS, max_size=4))
def test_no_words_can_begin_a_command_of_their_own(faults: list[Diagnostic]) -> None:
    lines = to_annotations(faults).split("\n")
    assert len(lines) == len(faults) + 1
    for line in lines[:-1]:
        kind, fields, words = re.fullmatch(r"::(error|warning|notice) (.*?)::(.*)", line, re.DOTALL).groups()  # type: ignore[union-attr]
        assert kind
        assert "\r" not in words
        assert all(field.split("=")[0] in ("file", "line", "col", "endLine", "endColumn", "title") for field in fields.split(",") if "=" in field)
