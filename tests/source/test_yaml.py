"""YAML 1.2 core: the table of the specification, JSON as a subset, places that give back the words, and both parsers alike."""

from __future__ import annotations

import json
import string
import time
import tracemalloc
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from source.reading import words_at

from benchleaf.diagnostics import Span
from benchleaf.source.node import Node, path_parts, path_text
from benchleaf.source.yaml_ import DEEPEST, LONGEST, MOST_FAULTS, MOST_NODES, parse_text


def _kind(scalar: str) -> str:
    node, faults = parse_text(f"a: {scalar}\n", "x")
    assert node is not None
    assert faults == []
    assert node["a"].text == scalar
    return node["a"].kind


# YAML 1.2.2 (yaml.org/spec/1.2.2), section 10.3.2 'Tag Resolution', and the examples of sections 10.2 and 10.3.
CORE = {
    "null": ["null", "Null", "NULL", "~"],
    "boolean": ["true", "True", "TRUE", "false", "False", "FALSE"],
    "number": [
        "0", "0o7", "0x3A", "-19", "+12", "020", "007", "0.", "-0.0", ".5", "+12e03", "-2E+05", "1e3", "12.", ".inf", "-.Inf", "+.INF", ".nan", ".NaN",
    ],
    "text": [
        "yes", "no", "on", "off", "Yes", "ON", "y", "n", "24:48", "1:30", "1_000", "0b101", "0o8", "0xG", "1.2.3", "2024-01-02", "=", "<<", "nULL", "tRUE",
        ".Nan", ".iNF", "-.nan", "+-1", "1e", "e3", ".", "-.", "1 7/16 in", "0.64\"", "3' 6\"", "1,5 mm", "25.4\u00a0mm", "nan mm", "٣",
    ],
}  # fmt: skip


@pytest.mark.parametrize(("kind", "scalar"), [(kind, scalar) for kind, scalars in CORE.items() for scalar in scalars])
def test_scalars_resolve_as_the_specification_says(kind: str, scalar: str) -> None:
    assert _kind(scalar) == kind


@given(st.text("0123456789.+-eExXoO_:abfinNtrul~", min_size=1, max_size=8).filter(lambda text: text.strip(" ") == text))
@settings(max_examples=600)
def test_numbers_are_what_a_reader_of_numbers_takes(text: str) -> None:
    """Python's own readers judge what is a number; the core rules differ from them in the ways listed here and in no other."""
    node, _ = parse_text(f"[{json.dumps(text)}]", "x")
    assert node is not None
    assert node.elements[0].kind == "text", "quotes make text"
    node, faults = parse_text(f"a: {text}", "x")
    if faults or node is None or node["a"].kind in ("map", "seq", "null") or node["a"].text != text:
        return  # not a plain scalar at all
    bare = text.removeprefix("-").removeprefix("+") if text[:2] not in ("+-", "-+", "--", "++") else text
    if text[:2] in ("0x", "0o"):
        wanted = all(char in (string.hexdigits if text[1] == "x" else string.octdigits) for char in text[2:]) and len(text) > 2
    elif bare in (".inf", ".Inf", ".INF") or text in (".nan", ".NaN", ".NAN"):
        wanted = True
    else:
        try:
            float(text)
            wanted = "_" not in text and not any(char in "nNiI" for char in text)
        except ValueError:
            wanted = False
    assert (node["a"].kind == "number") == wanted


def _same(node: Node, value: Any) -> bool:
    if isinstance(value, dict):
        return (
            node.kind == "map" and [key.text for key, _ in node.items] == list(value) and all(_same(node[key], value[key]) for key in value)
        )
    if isinstance(value, list):
        return node.kind == "seq" and len(node.elements) == len(value) and all(map(_same, node.elements, value))
    if value is None or isinstance(value, bool):
        return node.kind == ("null" if value is None else "boolean") and not node.quoted and json.loads(node.text) is value
    if isinstance(value, (int, float)):
        return node.kind == "number" and json.loads(node.text) == value
    return node.kind == "text" and node.quoted and node.text == value


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp"], exclude_characters="\ufeff\ufffe\uffff"), max_size=12
)
DATA = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**6), 10**6) | st.floats(-1e6, 1e6, allow_nan=False) | WORDS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS, inner, max_size=4),
    max_leaves=15,
)


@given(st.dictionaries(WORDS, DATA, min_size=1, max_size=4), st.sampled_from([None, 2]))
def test_json_is_read_as_json(value: dict[str, Any], indent: int | None) -> None:
    """JSON is a subset of YAML 1.2 (section 1.2 there), so the standard library's writer says what must come out."""
    node, faults = parse_text(json.dumps(value, indent=indent, ensure_ascii=False), "x")
    assert faults == []
    assert node is not None
    assert _same(node, value)


@given(st.dictionaries(st.text(string.ascii_letters, min_size=1, max_size=5), DATA, min_size=1, max_size=4), st.booleans())
def test_what_pyyaml_writes_is_read_back(value: dict[str, Any], flow: bool) -> None:
    """PyYAML's writer quotes whatever it would read as something else, so the shape and the words must come back."""
    text = yaml.safe_dump(value, allow_unicode=True, default_flow_style=flow, sort_keys=False, width=60)
    node, faults = parse_text(text, "x")
    assert faults == []

    def check(node: Node, value: Any) -> None:
        if isinstance(value, dict):
            assert {key.text for key, _ in node.items} == set(value)
            for key, inner in value.items():
                check(node[key], inner)
        elif isinstance(value, list):
            assert len(node.elements) == len(value)
            for element, inner in zip(node.elements, value, strict=True):
                check(element, inner)
        elif isinstance(value, str):
            assert node.text == value
        else:
            assert node.kind == {type(None): "null", bool: "boolean", int: "number", float: "number"}[type(value)]

    assert node is not None
    check(node, value)
    _places_hold(node, text)


def _places_hold(root: Node, text: str) -> None:
    """Spans give back the words, lie inside one another and stand in the order of the file."""
    for node in root.walk():
        words = words_at(text, node.span)
        if node.kind in ("map", "seq"):
            inner = [part.span for pair in node.items for part in pair] + [element.span for element in node.elements]
            ends = [((span.line, span.column), (span.end_line, span.end_column)) for span in inner]
            assert ends == sorted(ends)
            for start, end in ends:
                assert (node.span.line, node.span.column) <= start <= end <= (node.span.end_line, node.span.end_column)
            assert words == words.lstrip(" \n")
            assert not words.endswith("\n")
        elif not node.quoted:
            assert " ".join(words.split()) == " ".join(node.text.split())
        elif words.startswith('"'):
            assert yaml.safe_load(words) == node.text
        elif words.startswith("'"):
            assert words.endswith("'")
            assert len(words) >= 2
        elif not words.startswith(("|", ">")):  # made text by its tag
            assert " ".join(words.split()) == " ".join(node.text.split())


PIECES = st.sampled_from(["a", "b: ", ": ", "- ", "\n", "\n  ", "\n    ", "[", "]", "{", "}", ", ", "'", '"', "#", " ", "&x ", "*x", "|", ">-", "!!str ", "!t ", "?", "\t",
                          "1", "mm", "%", "@", "---\n", "...\n", "\\", "~", "<<: ", "ö"])  # fmt: skip


@given(st.lists(PIECES, max_size=25).map("".join))
@settings(max_examples=800, deadline=None)
def test_whatever_is_written_it_is_read_or_explained_and_places_hold(text: str) -> None:
    node, faults = parse_text(text, "x")
    lines = text.split("\n")
    assert node is not None or faults
    for fault in faults:
        assert fault.span is not None
        assert fault.message
        assert fault.message == fault.message.strip(". ")
        assert 1 <= fault.span.line <= len(lines)
        assert 1 <= fault.span.column <= len(lines[fault.span.line - 1]) + 1
    if node is not None and "*" not in text:
        _places_hold(node, text)


@given(st.lists(PIECES.filter(lambda piece: "\t" not in piece), max_size=12).map("".join))
@settings(max_examples=400, deadline=None)
def test_both_parsers_give_the_same_document(text: str) -> None:
    """Where both can read it.  They disagree on a few texts that one of them refuses, which no law of ours can mend."""
    with_c, faults_c = parse_text(text, "x", yaml.CSafeLoader)
    pure, faults_pure = parse_text(text, "x", yaml.SafeLoader)
    if with_c is not None and pure is not None and not faults_c and not faults_pure:
        for one, other in zip(with_c.walk(), pure.walk(), strict=True):
            assert (one.kind, one.text, one.quoted, len(one)) == (other.kind, other.text, other.quoted, len(other))
            if one.text:  # where a value that is not there stands is a matter of taste
                assert one.span == other.span


@given(st.text(max_size=60))
@settings(max_examples=400)
def test_no_text_makes_it_raise(text: str) -> None:
    node, faults = parse_text(text, "x")
    assert node is not None or faults


def test_a_colon_without_its_space_is_named() -> None:
    """Only libyaml refuses it; PyYAML's own parser, used where libyaml is missing, reads the key that was meant."""
    _, faults = parse_text("swing: {over:[1, 2]}\n", "x", yaml.CSafeLoader)
    assert [(fault.code, fault.span) for fault in faults] == [("yaml/colon", Span("x", 1, 13, 1, 14))]
    node, faults = parse_text("swing: {over:[1, 2]}\n", "x", yaml.SafeLoader)
    assert faults == []
    assert node is not None
    assert [entry.text for entry in node["swing"]["over"]] == ["1", "2"]


def test_properties_are_not_part_of_a_place() -> None:
    text = "a: &one !!str  words here\nb: !!map\n  c: &two [1, 2]\nd: &three # said\n  e: f\ng: &four\n- h\ni: *one\n"
    node, faults = parse_text(text, "x")
    assert faults == []
    assert node is not None
    found = {path: words_at(text, part.span) for path in ("a", "b", "b.c", "d", "g", "i") if (part := node.at(path)) is not None}
    assert found == {"a": "words here", "b": "c: &two [1, 2]", "b.c": "[1, 2]", "d": "e: f", "g": "- h", "i": "words here"}
    assert node.span == Span("x", 1, 1, 8, 8)


def test_an_alias_bomb_is_refused_before_it_goes_off() -> None:
    text = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 10))
    tracemalloc.start()
    start = time.perf_counter()
    node, faults = parse_text(text, "x")
    seconds, (_, peak) = time.perf_counter() - start, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert node is None
    assert [(fault.code, fault.span.line if fault.span else 0) for fault in faults] == [("yaml/too-many", 5)]
    assert seconds < 1
    assert peak < 20_000_000


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("[" * 100_000, "yaml/too-deep"),
        ("{a: " * 100_000, "yaml/too-deep"),
        ("- " * 100_000, "yaml/too-deep"),
        ("".join(" " * n + "a:\n" for n in range(700)), "yaml/too-deep"),
        ("".join(f"- &a{n} [{f'*a{n - 1}' if n else ''}]\n" for n in range(60)), "yaml/too-deep"),
        ("- a\n" * 200_000, "yaml/too-many"),
        ("a: '" + "b" * 900_000 + "'", "yaml/scalar-long"),
        ("a: |\n" + "  b\n" * 200_000, "yaml/scalar-long"),
        ("b" * 900_000 + ": a", "yaml/colon"),
        ("? " + "b" * 900_000 + "\n: a", "yaml/scalar-long"),
        ("a: !" + "b" * 900_000, "yaml/tag"),
        ("a: &" + "b" * 900_000 + " c\nd: *" + "b" * 899_999, "yaml/alias"),
        ("a: 'b\n" * 100_000, "yaml/quote"),
        ("a:\n\tb\n" * 100_000, "yaml/tab"),
        ("a: 1\n" * 9000, "yaml/many-faults"),
    ],
    ids=lambda text: text[:12] if isinstance(text, str) else "",
)
def test_limits_are_kept_quickly_and_in_few_words(text: str, code: str) -> None:
    start = time.perf_counter()
    _, faults = parse_text(text, "x")
    assert time.perf_counter() - start < 2
    assert code in {fault.code for fault in faults}
    assert len(faults) <= MOST_FAULTS + 1
    for fault in faults:
        assert len(fault.message) < 120
        assert all(len(words) < 120 for words in (*fault.hints, *fault.notes, fault.label))


def test_the_limits_themselves_are_allowed() -> None:
    for text in ("[" * DEEPEST + "]" * DEEPEST, "- a\n" * (MOST_NODES - 1), f"a: {'b' * LONGEST}"):
        node, faults = parse_text(text, "x")
        assert node is not None
        assert faults == []
    for text in ("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1), "- a\n" * MOST_NODES, f"a: {'b' * (LONGEST + 1)}"):
        assert parse_text(text, "x")[0] is None


def test_finding_ones_way_in_a_document() -> None:
    node, _ = parse_text("leadscrew: {lead: 3 mm}\nsteps:\n  - bore: 2 mm\n  - [x, y]\n", "x")
    assert node is not None
    assert node["leadscrew"]["lead"].text == "3 mm"
    assert [key.text for key in node] == ["leadscrew", "steps"]
    steps = node.get("steps")
    assert steps is not None
    assert [entry.kind for entry in steps] == ["map", "seq"]
    assert "bore" in steps[0]
    assert "lead" not in steps[0]
    assert len(steps) == 2
    assert node.key_span("steps") == Span("x", 2, 1, 2, 6)
    assert node.key_span("nowhere") == node.span
    assert (found := node.at("steps[1][0]")) is not None
    assert found.text == "x"
    assert node.at("steps[2]") is None
    assert node.at("steps.bore") is None
    assert node.at("leadscrew[0]") is None
    with pytest.raises(KeyError):
        node["nowhere"]
    assert len(repr(node)) < 60


@given(st.lists(st.text(string.ascii_letters + "-_ ö", min_size=1, max_size=6) | st.integers(0, 999), max_size=6))
def test_paths_are_written_and_read_back(parts: list[str | int]) -> None:
    assert list(path_parts(path_text(parts))) == parts
