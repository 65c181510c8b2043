"""Judging the shape: agreement with jsonschema itself, places inside scalars, hints, limits, speed."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource
from schemas.schema_reading import MADE
from source.reading import TRIAL_SCHEMAS, UNITS, judge, schemas_from, words_at

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.resources import data_folder
from benchleaf.source import shapes
from benchleaf.source.schema import FormatFault, kind_of, kinds, validate
from benchleaf.source.yaml_ import load, parse_text

HEAD = "schema: 1\nkind: toy\n"


@pytest.fixture
def toy() -> Iterator[None]:
    with schemas_from(TRIAL_SCHEMAS):
        yield


def _one(text: str) -> Diagnostic:
    found = judge(HEAD + text)
    assert len(found) == 1, found
    return found[0]


@pytest.mark.usefixtures("toy")
@pytest.mark.parametrize(
    ("text", "marked"),
    [
        ("size: 1,5 mm", ","),
        ("size: '1,5 mm'", ","),
        ('size: "1,5 mm"', ","),
        ('size: "1,5\\u0020mm"', '"1,5\\u0020mm"'),  # what is written is not letter for letter what is meant
        ("size: >-\n  1,5 mm", ">-\n  1,5 mm"),
        ("size: &a !!str 1,5 mm", ","),
        ("size: 25.4\u00a0Mm", "Mm"),
        ("group: {first: 25 MM}", "MM"),
        ("sizes: [1 mm, 4 mil]", "mil"),
        ("size: ''", "'"),
        ("count: 40.5", "40.5"),
        ("nmae: x", "nmae"),
        ("size:", "size"),
        ("tree: {leaf: }", "leaf"),
        ("tree: [a]", "tree"),
        ("sizes: [1 mm, [2 mm]]", "[2 mm]"),
        ("teeth: {}", "teeth"),
        ("names: {A: {}}", "A"),
        ("teeth: {teeth: 4, x: 5, teeths: 6}", "x"),
        ("hand: rihgt", "rihgt"),
    ],
)
def test_the_marker_is_under_the_words_at_fault(text: str, marked: str) -> None:
    first = judge(HEAD + text)[0]
    assert first.span is not None
    assert words_at(HEAD + text, first.span) == marked


@pytest.mark.usefixtures("toy")
@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("nmae2: x", "did you mean `name` or `names`?"),
        ("Hand: left", "did you mean `hand`?"),
        ("hand: Left", "did you mean `left`?"),
        ("leaf: 3", "it belongs under `tree` or `inner`: check the indentation"),
        ("width: 3 mm", "it belongs under `end`: check the indentation"),
        ("flag: On", "write `true`, without quotes"),
        ("sizes: 3 mm", "write `[3 mm]`"),
        ("name: false", "write `'false'` in quotes if the word itself is meant"),
        ("size: 4", "write `4 mm` (= 0.1575 in) or `4 in` (= 101.6 mm)"),
        ("tree: 4", "give its keys on lines of their own below it: `leaf`, `inner`"),
        ("code: x", "write it like `AB12`"),
    ],
)
def test_the_hint_says_what_to_do(text: str, hint: str) -> None:
    assert hint in _one(text).hints


@pytest.mark.usefixtures("toy")
def test_the_range_names_the_bound_and_the_choice_the_words() -> None:
    assert "2" in _one("count: 1").message
    assert _one("count: 1").label == "at least 2"
    assert _one("grade: x").hints == ("write `fine` or `coarse`",)


@pytest.mark.usefixtures("toy")
def test_a_mistyped_key_that_is_wanted_is_one_fault() -> None:
    found = judge("schema: 1\nkind: toy\nend: {by: relief, widht: 3 mm}\n")
    assert [(fault.code, fault.hints) for fault in found] == [("schema/unknown-key", ("did you mean `width`?",))]


@pytest.mark.usefixtures("toy")
def test_every_missing_key_is_named_at_its_owner() -> None:
    text = "schema: 1\nkind: toy\nend:\n  by: run-out\n"
    found = judge(text)
    assert [(fault.code, fault.message) for fault in found] == [("schema/missing", "`end` lacks `length`")]
    assert found[0].span == Span("x.yaml", 3, 1, 3, 4)


@pytest.mark.usefixtures("toy")
def test_faults_of_many_places_come_in_the_order_of_the_file() -> None:
    found = judge(HEAD + "count: x\nflag: x\nsize: x\nzzz: 1\nhand: 3\n")
    lines = [fault.span.line for fault in found if fault.span]
    assert lines == sorted(lines) == [3, 4, 5, 6, 7]


@pytest.mark.usefixtures("toy")
def test_a_checker_is_given_the_words_and_says_where() -> None:
    asked: list[str] = []

    def length(text: str) -> FormatFault | None:
        asked.append(text)
        return FormatFault("trial/code", "a message", "a hint", 2, 3) if text.startswith("x") else None

    text = HEAD + "size: xyabcz\nsizes: [1.50, 007, '1e3']\n"
    node, _ = parse_text(text, "f")
    assert node is not None
    found = validate(node, "toy", {"length": length})
    assert found == [Diagnostic("trial/code", "a message", Span("f", 3, 9, 3, 12), hints=("a hint",))]
    assert asked == ["xyabcz", "1.50", "007", "1e3"]


@pytest.mark.usefixtures("toy")
@pytest.mark.parametrize(
    "text",
    [f"name: {'n' * 9000}", f"{'k' * 900}: x", f"hand: {'h' * 9000}", f"count: {'1' * 9000}", f"names: {{{'n' * 900}: a}}", f"size: {'1' * 9000} mm",
     f"code: {'c' * 9000}", f"sizes: [{'s' * 9000}]", f"flag: {'f' * 9000}", f"grade: {'g' * 9000}"],
    ids=lambda text: text.partition(":")[0][:9],
)  # fmt: skip
def test_long_words_are_not_echoed(text: str) -> None:
    for fault in judge(HEAD + text):
        assert all(len(words) < 200 for words in (fault.message, fault.label, *fault.hints)), fault


@pytest.mark.usefixtures("toy")
def test_thousands_of_faults_are_cut_off_quickly() -> None:
    keys = HEAD + "".join(f"nome{number}: x\n" for number in range(9000))
    start = time.perf_counter()
    found = judge(keys)
    assert time.perf_counter() - start < 3
    assert found[-1].code == "schema/many-faults"
    assert len(found) == 101


@pytest.mark.usefixtures("toy")
def test_thousands_of_different_entries_are_compared_quickly() -> None:
    start = time.perf_counter()
    found = judge(HEAD + "sizes: [a, " + ", ".join(f"{{k{number}: v}}" for number in range(6000)) + "]\n")
    assert time.perf_counter() - start < 3
    assert found[-1].code == "schema/many-faults"


def test_the_kind_is_told_before_anything_else() -> None:
    beside = {path.name.removesuffix(".schema.json") for path in data_folder("schemas").glob("*.json")}
    assert {"gear-set", "job", "lathe", "material", "thread-list", "tooling", "workshop"} <= set(kinds()) == beside - {"common", *MADE}
    for text, kind in (
        ("schema: 1\nkind: job\n", "job"),
        ("kind: job\n", "job"),
        ("schema: 2\nkind: job\n", None),
        ("kind: [job]\n", None),
    ):
        node, _ = parse_text(text, "x")
        assert node is not None
        assert kind_of(node, "x")[0] == kind


# Agreement with jsonschema on the trial schema, with plain data made here afresh.

_SCALARS = st.sampled_from(
    ["3", "40", "40.0", "040", "-3", "1e3", "0x28", "true", "false", "True", "yes", "~", "''", "'40'", "3 mm", "1,5 mm", "left", "right", "free", "relief",
     "run-out", "AB12", "abc", "fine", "words of some length", ".nan", "24:48"]
)  # fmt: skip
_KEYS = ["name", "count", "flag", "size", "sizes", "code", "hand", "grade", "names", "tree", "teeth", "end", "either", "choice", "group"]
_INNER = ["leaf", "inner", "teeth", "by", "width", "length", "rows", "levers", "extra", "first", "deep", "A"]
_VALUES = st.recursive(
    _SCALARS,
    lambda inner: (
        st.lists(inner, max_size=4).map(lambda words: f"[{', '.join(words)}]")
        | st.dictionaries(st.sampled_from(_INNER), inner, max_size=3).map(
            lambda words: "{" + ", ".join(f"{key}: {value}" for key, value in words.items()) + "}"
        )
    ),
    max_leaves=6,
)
_INTEGERS = {"count", "teeth", "leaf", "rows", "levers", "extra"}  # keys under which the trial schema wants whole numbers


def _plain(text: str, key: str = "") -> Any:
    """The data that a flow value means, by the rules that the language states."""
    node, _ = parse_text(f"a: {text}", "x")
    assert node is not None

    def data(node: Any, key: str) -> Any:
        if node.kind == "map":
            return {name.text: data(value, name.text) for name, value in node.items}
        if node.kind == "seq":
            return [data(element, "") for element in node.elements]
        if node.quoted:
            return node.text
        if re.fullmatch(r"-?(0|[1-9]\d*)", node.text) and key in _INTEGERS:
            return int(node.text)
        return {"true": True, "false": False, "~": None, "": None}.get(node.text, node.text)

    return data(node["a"], key)


def _stock() -> Draft202012Validator:
    formats = FormatChecker(formats=())
    formats.checks("length")(lambda value: not isinstance(value, str) or UNITS["length"](value) is None)
    registry: Registry[Any] = Registry().with_resources(
        [(f"{name}.schema.json", Resource.from_contents(dict(shapes.schema_of(name)))) for name in ("toy", "common")]
    )
    return Draft202012Validator(dict(shapes.schema_of("toy")), registry=registry, format_checker=formats)


@pytest.mark.usefixtures("toy")
def test_there_is_a_fault_exactly_where_jsonschema_finds_one() -> None:
    stock = _stock()

    @given(st.dictionaries(st.sampled_from(_KEYS), _VALUES, min_size=1, max_size=5))
    @settings(max_examples=500, deadline=None)
    def agree(values: dict[str, str]) -> None:
        found = judge(HEAD + "".join(f"{key}: {value}\n" for key, value in values.items()))
        data = {"schema": 1, "kind": "toy"} | {key: _plain(value, key) for key, value in values.items()}
        lines = dict(enumerate(values, 3))
        assert {lines[fault.span.line] for fault in found if fault.span} == {
            str(error.absolute_path[0]) for error in stock.iter_errors(data)
        }
        for fault in found:
            assert "'" not in fault.message.replace("`'", "").replace("'`", ""), "no repr of anything"

    agree()


def test_a_long_profile_is_judged_in_a_few_milliseconds() -> None:
    path = data_folder("profiles") / "osier-lane" / "lathes" / "long-lathe.yaml"
    node, _, _ = load(path, "x")
    assert node is not None
    best = 1.0
    for _ in range(5):
        start = time.perf_counter()
        faults = validate(node, "lathe", UNITS)
        best = min(best, time.perf_counter() - start)
    assert faults == []
    assert best < 0.03
