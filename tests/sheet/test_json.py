"""Sheets as JSON and back: exact, described, and deaf to damage."""

from __future__ import annotations

import copy
import dataclasses
import json
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from render.sample import PART, SAMPLE, SKETCH, hostile

from benchleaf.exact import PI
from benchleaf.render.json_ import to_json
from benchleaf.render.text import to_text
from benchleaf.resources import data_folder
from benchleaf.sheet.digest import digest, sealed
from benchleaf.sheet.drawings import PartDrawing, SketchDrawing
from benchleaf.sheet.from_json import from_json
from benchleaf.sheet.model import Basis, Figure, Limits, Say, Sheet, Source, Status
from benchleaf.sheet.plain import to_data
from benchleaf.sheet.words import UnknownFigureError, figures_by_name, spoken_text

SCHEMA: dict[str, Any] = json.loads((data_folder("schemas") / "sheet.schema.json").read_text(encoding="utf-8"))
TEXT = to_json(SAMPLE)


def problems(data: Any) -> list[str]:
    return [f"{error.json_path}: {error.message[:100]}" for error in Draft202012Validator(SCHEMA).iter_errors(data)]


def parts(schema: Any) -> Iterator[dict[str, Any]]:
    if isinstance(schema, dict):
        yield schema
        for key, inner in schema.items():
            if key in ("properties", "$defs"):
                for part in inner.values():
                    yield from parts(part)
            elif key == "oneOf":
                for part in inner:
                    yield from parts(part)
            elif key == "items":
                yield from parts(inner)


def test_the_schema_is_sound_closed_and_described() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    for part in parts(SCHEMA):
        if part.get("type") == "object":
            assert part["additionalProperties"] is False
            assert set(part["required"]) <= set(part["properties"])
        if part.get("type") == "array":
            assert "maxItems" in part
        if "$ref" in part:
            assert part["$ref"].removeprefix("#/$defs/") in SCHEMA["$defs"]
        else:
            assert part["description"].endswith("."), part


@pytest.mark.parametrize("sheet", [SAMPLE, hostile()], ids=["sample", "hostile"])
def test_what_is_written_is_what_the_schema_says(sheet: Sheet) -> None:
    assert problems(json.loads(to_json(sheet))) == []


def test_what_the_schema_does_not_know_is_not_written() -> None:
    data = json.loads(TEXT)
    data["sections"][0]["blocks"][0]["colour"] = "red"
    assert problems(data)


def test_a_sheet_comes_back_as_it_was() -> None:
    back, faults = from_json(TEXT, "x.json")
    assert faults == []
    assert back is not None
    assert to_json(back) == TEXT
    assert to_text(back) == to_text(SAMPLE)
    for ours, theirs in zip(SAMPLE.sections[0].figures(), back.sections[0].figures(), strict=True):
        if ours.rational:
            assert theirs == ours
        else:
            assert theirs.value == pytest.approx(ours.value, rel=1e-14)
            assert not theirs.rational
    assert [table.rows for table in back.sections[0].tables()][1] == [table.rows for table in SAMPLE.sections[0].tables()][1]


def test_drawings_come_back_shape_by_shape() -> None:
    part = dataclasses.replace(PART, id="centred", centres=(0.0, 60.0), whole=False)
    sheet = dataclasses.replace(SAMPLE, sections=(dataclasses.replace(SAMPLE.sections[0], blocks=(*SAMPLE.sections[0].blocks, part)),))
    back, faults = from_json(to_json(sheet), "x.json")
    assert faults == []
    assert back is not None
    blocks = back.sections[0].blocks
    assert [block for block in blocks if isinstance(block, SketchDrawing | PartDrawing)] == [PART, SKETCH, part]
    assert problems(json.loads(to_json(sheet))) == []


def figure_data(value: Fraction | str, **more: Any) -> dict[str, Any]:
    basis = Basis("x", (), Source("arithmetic", Status.DERIVED))
    figure = Figure("f", "f", value, "mm", "x", basis, **more)
    section = dataclasses.replace(SAMPLE.sections[0], blocks=(dataclasses.replace(SAMPLE.sections[0].blocks[0], figures=(figure,)),))
    found: dict[str, Any] = to_data(dataclasses.replace(SAMPLE, sections=(section,)))["sections"][0]["figures"][0]
    return found


@given(st.fractions(max_denominator=10**9))
def test_exact_values_are_fractions_and_decimals_of_the_same_number(value: Fraction) -> None:
    data = figure_data(value, limits=Limits(value, None))
    assert Fraction(data["exact"]) == value
    assert abs(Fraction(data["value"]) - value) <= abs(value) / 10**14
    assert "e" not in data["value"].lower()
    assert data["limits"] == {"lower": data["value"], "exact_lower": data["exact"]}


def test_irrational_values_have_no_fraction_and_words_no_number() -> None:
    assert figure_data(PI, rational=False)["value"].startswith("3.14159265358979")
    assert "exact" not in figure_data(PI, rational=False)
    assert {key: figure_data("PLAIN")[key] for key in ("is", "value")} == {"is": "words", "value": "PLAIN"}


def test_every_figure_of_a_group_is_found_flat() -> None:
    data = json.loads(TEXT)
    for section in data["sections"]:
        flat = [figure["id"] for figure in section["figures"]]
        assert flat == [name for block in section["blocks"] if block["kind"] == "figures" for name in block["figures"]]
        assert len(flat) == len(set(flat))


def damaged() -> Iterator[tuple[str, str, str]]:
    """Name, text, code."""
    yield "empty", "", "sheet/not-json"
    yield "half", TEXT[: len(TEXT) // 2], "sheet/not-json"
    yield "not a number", TEXT.replace('"severity": 3', '"severity": NaN', 1), "sheet/not-json"
    yield "deep", "[" * 100_000, "sheet/not-json"
    yield "a list", "[1, 2]", "sheet/not-a-sheet"
    yield "something else", '{"kind": "lathe"}', "sheet/not-a-sheet"
    yield "of tomorrow", TEXT.replace('"schema": 1', '"schema": 2', 1), "sheet/version"
    for name, old, new in (
        ("a section lost", '"sections"', '"sektions"'),
        ("nothing divided", '"exact": "40"', '"exact": "40/0"'),
        ("a power", '"exact": "40"', '"exact": "1e999999999"'),
        ("a status unheard of", '"status": "standard"', '"status": "gospel"'),
        ("a weight unheard of", '"weight": "set"', '"weight": "heavy"'),
        ("a block unheard of", '"kind": "steps"', '"kind": "poem"'),
        ("a wheel in the air", '"axis": 1', '"axis": 9'),
        ("a figure lost", '"wheel_a",', '"wheel_z",'),
        ("a figure said that is not there", "at {rpm}.", "at {speed}."),
        ("a number for words", '"title": "Packing tube"', '"title": 7'),
        ("an id that is none", '"id": "rpm"', '"id": "R P M"'),
        ("a truth for a number", '"teeth": 40', '"teeth": true'),
        ("a shape unheard of", '"shape": "arrow"', '"shape": "spiral"'),
        ("a stretch of no length", '"end": 20.0', '"end": 1.0'),
    ):
        assert old in TEXT, name
        yield name, TEXT.replace(old, new, 1), "sheet/damaged"


@pytest.mark.parametrize(("text", "code"), [case[1:] for case in damaged()], ids=[case[0] for case in damaged()])
def test_a_damaged_file_is_a_fault_in_words(text: str, code: str) -> None:
    sheet, faults = from_json(text, "out/tube.json")
    assert sheet is None
    assert [fault.code for fault in faults] == [code]
    assert faults[0].span is not None
    assert faults[0].span.file == "out/tube.json"
    assert faults[0].hints
    assert faults[0].message[0].islower()
    assert not faults[0].message.endswith(".")


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    yield path
    if isinstance(data, dict):
        for key, inner in data.items():
            yield from places(inner, (*path, key))
    elif isinstance(data, list):
        for number, inner in enumerate(data):
            yield from places(inner, (*path, number))


PLACES = [path for path in places(json.loads(TEXT)) if path]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(PLACES), st.sampled_from([None, True, -1, 10**30, 0.5, "", "x", "\ud800", [], {}, [[]], {"kind": "say"}]))
def test_any_one_value_changed_never_ends_in_a_traceback(path: tuple[Any, ...], value: Any) -> None:
    data = copy.deepcopy(json.loads(TEXT))
    spot = data
    for key in path[:-1]:
        spot = spot[key]
    spot[path[-1]] = value
    sheet, faults = from_json(json.dumps(data), "x.json")
    assert (sheet is None) == bool(faults)
    if sheet is not None:
        to_text(sheet)
        to_json(sheet).encode("utf-8")


def test_the_digest_is_of_what_is_said_not_of_where_it_was_written() -> None:
    def told(change: Any) -> str:
        text = json.loads(TEXT)
        change(text)
        sheet, faults = from_json(json.dumps(text), "x")
        assert faults == []
        assert sheet is not None
        return digest(sheet)

    def moved(data: dict[str, Any]) -> None:
        data["files"] = ["elsewhere.yaml"]
        data["program"] = "benchleaf 99"
        data["digest"] = "0" * 64
        for figure in data["sections"][0]["figures"]:
            for item in figure["basis"]["inputs"]:
                if "line" in item:
                    item |= {"line": 1, "column": 1, "file": "elsewhere.yaml"}

    def shown(data: dict[str, Any]) -> None:
        data["sections"][0]["figures"][0]["shown"] = "41"

    def written(data: dict[str, Any]) -> None:
        inputs = [item for figure in data["sections"][0]["figures"] for item in figure["basis"]["inputs"] if "words" in item]
        inputs[0]["words"] += " "

    assert told(moved) == digest(SAMPLE)
    assert len({digest(SAMPLE), told(shown), told(written)}) == 3
    assert sealed(SAMPLE).digest == digest(SAMPLE) == sealed(sealed(SAMPLE)).digest


def test_sentences_find_figures_of_their_own_section_first() -> None:
    names = figures_by_name(SAMPLE)
    assert spoken_text(Say("at {rpm} or {screwcut.rpm}"), names, "screwcut") == "at 52\u00a0rpm or 52\u00a0rpm"
    assert spoken_text(Say("{half_nuts}: {strange braces}"), names, "screwcut") == "keep closed: {strange braces}"
    with pytest.raises(UnknownFigureError):
        spoken_text(Say("{rpm}"), names, "elsewhere")
