"""The schemas as schemas: valid, closed, resolvable, described well enough to be the manual, with defaults and examples that hold."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from schemas.schema_reading import FOLDER, KINDS, MADE, STEPS, Schema, file_parts, files, load, resolved, target, validator

import benchleaf.standards
from benchleaf.source.schema import kinds
from benchleaf.units import FORMATS, Parsed, parse

# Everything we use of JSON Schema (draft 2020-12).  A misspelt keyword is silently ignored by validators, hence this list.
KEYWORDS = {
    "$schema", "$id", "$ref", "$defs", "title", "description", "default", "examples", "type", "const", "enum", "oneOf", "not",
    "if", "then", "else", "properties", "required", "additionalProperties", "propertyNames", "minProperties", "maxProperties",
    "items", "minItems", "maxItems", "uniqueItems", "minimum", "maximum", "minLength", "maxLength", "pattern", "format",
}  # fmt: skip

WRITTEN = (*KINDS, *STEPS)  # whatever is written by hand


def _subschemas(schema: Any) -> Iterator[Schema]:
    """Every schema in the file, whatever its use."""
    yield schema
    for key in ("properties", "$defs"):
        for inner in schema.get(key, {}).values():
            yield from _subschemas(inner)
    for key in ("items", "additionalProperties", "propertyNames", "not", "if", "then", "else"):
        if isinstance(schema.get(key), dict):
            yield from _subschemas(schema[key])
    for inner in schema.get("oneOf", ()):
        yield from _subschemas(inner)


@pytest.mark.parametrize("name", files())
def test_every_schema_is_valid_uses_known_words_only_and_resolves(name: str) -> None:
    schema = load(name)
    Draft202012Validator.check_schema(schema)
    assert schema["$id"] == name
    for part in _subschemas(schema):
        assert set(part) <= KEYWORDS, set(part) - KEYWORDS
        assert "format" not in part or part["format"] in FORMATS
        if "$ref" in part:
            resolved(part, name)  # raises KeyError when it dangles


def test_every_kind_has_its_schema_and_no_schema_is_left_over() -> None:
    assert {"gear-set", "job", "lathe", "material", "thread-list", "tooling", "workshop"} <= set(KINDS) == set(kinds())
    for kind in KINDS:
        assert load(f"{kind}.schema.json")["properties"]["kind"]["const"] == kind
        assert {"schema", "kind"} <= set(load(f"{kind}.schema.json")["required"])
    assert {path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.json")} == {*files(), *(f"{name}.schema.json" for name in MADE)}


def test_a_job_takes_every_step_that_has_a_schema_and_no_other_each_by_its_name() -> None:
    steps = load("job.schema.json")["properties"]["steps"]["items"]
    wanted = {name.removeprefix("steps/"): {"$ref": f"{name}.schema.json"} for name in STEPS}
    assert "screwcut" in wanted
    assert steps["properties"] == wanted
    assert (steps["minProperties"], steps["maxProperties"], steps["additionalProperties"]) == (1, 1, False)


def test_steps_lean_on_what_is_shared_and_not_on_each_other() -> None:
    for name in STEPS:
        for part in _subschemas(load(f"{name}.schema.json")):
            if "$ref" in part:
                file, pointer = target(part["$ref"], f"{name}.schema.json")
                assert file in (f"{name}.schema.json", "common.schema.json"), f"{name}: {part['$ref']}"
                assert pointer, f"{name}: {part['$ref']}"


def test_nothing_that_is_shared_lies_unused() -> None:
    used = {target(part["$ref"], name) for name in files() for part in _subschemas(load(name)) if "$ref" in part}
    assert {("common.schema.json", name) for name in load("common.schema.json")["$defs"]} <= used


@pytest.mark.parametrize("kind", WRITTEN)
def test_every_map_is_closed_and_every_text_and_list_is_bounded(kind: str) -> None:
    for path, schema, _ in file_parts(kind):
        types = schema.get("type", ())
        types = {types} if isinstance(types, str) else set(types)
        if "object" in types:
            free = schema.get("additionalProperties")
            assert free is False or (isinstance(free, dict) and {"propertyNames", "maxProperties"} <= set(schema)), path
            assert set(schema.get("required", ())) <= set(schema.get("properties", ())), path
        if "array" in types:
            assert "maxItems" in schema, path
        if "integer" in types and "string" not in types:
            assert {"minimum", "maximum"} <= set(schema), path
        if "string" in types and "format" not in schema:
            assert "maxLength" in schema or "oneOf" in schema or "enum" in schema or "enum" in schema.get("then", ()), path
        assert "number" not in types or "format" in schema, f"{path}: numbers that matter are text, read exactly"


@pytest.mark.parametrize("kind", WRITTEN)
def test_everything_is_described_and_what_may_be_left_out_says_what_then(kind: str) -> None:
    for path, schema, home in file_parts(kind):
        words = schema.get("description", "")
        assert words.endswith("."), f"{path}: no description"
        assert "title" in schema or "*" in path, path
        for option in schema.get("oneOf", ()):
            assert option["description"].endswith("."), path
        if path and "title" in schema:
            assert schema["title"] == schema["title"].strip().rstrip("."), path
        for name, inner in schema.get("properties", {}).items():
            part, _ = resolved(inner, home)
            said = part["description"]
            if name in schema.get("required", ()):
                assert "Left out:" not in said, f"{path}.{name}: it cannot be left out"
                assert "default" not in part, f"{path}.{name}: nobody would ever get the default"
            elif "default" in part:
                assert part["default"] in ([], {}) or "Left out:" not in said, f"{path}.{name}: it is never left out, there is a default"
            elif schema.get("maxProperties") != 1 and name != "note":
                assert "Left out" in said or "Only for" in said, f"{path}.{name}: and if it is left out?"


@pytest.mark.parametrize("kind", WRITTEN)
def test_defaults_and_examples_are_what_the_schema_itself_allows(kind: str) -> None:
    seen = 0
    for path, schema, home in file_parts(kind):
        rules = validator({key: value for key, value in schema.items() if key not in ("$id", "$schema", "$was")}, home)
        for value in [*schema.get("examples", ()), *([schema["default"]] if "default" in schema else [])]:
            problems = [error.message for error in rules.iter_errors(value)]
            assert problems == [], f"{path}: {value!r}"
            if "format" in schema:
                assert isinstance(parse(schema["format"], value), Parsed), f"{path}: {value!r}"
            seen += 1
    assert seen > (0 if kind in STEPS else 3)


def _filled(schema: Schema, home: str, value: Any) -> Any:
    """The value with every default put in, written here afresh from the words of JSON Schema."""
    schema, home = resolved(schema, home)
    if isinstance(value, dict):
        known = schema.get("properties", {})
        out = {key: _filled(known[key], home, inner) if key in known else inner for key, inner in value.items()}
        for name, inner in known.items():
            part, where = resolved(inner, home)
            if name not in out and "default" in part:
                out[name] = _filled(part, where, part["default"])
        return out
    if isinstance(value, list) and isinstance(schema.get("items"), dict):
        return [_filled(schema["items"], home, item) for item in value]
    return value


@pytest.mark.parametrize("kind", WRITTEN)
def test_a_default_for_a_whole_map_says_the_same_as_the_defaults_inside_it(kind: str) -> None:
    """Two places that state one default could drift apart."""
    for path, schema, home in file_parts(kind):
        if isinstance(schema.get("default"), dict) and schema.get("properties") and not schema.get("required"):
            assert _filled(schema, home, {}) == _filled(schema, home, schema["default"]) == schema["default"], path


def test_the_material_groups_offered_are_those_of_the_table_of_speeds() -> None:
    table = yaml.safe_load((Path(benchleaf.standards.__file__).parent / "data" / "speeds.yaml").read_text(encoding="utf-8"))
    rows = [row["name"] for row in table["tables"]["materials"]["rows"]]
    assert load("material.schema.json")["properties"]["group"]["examples"] == rows


@pytest.mark.parametrize("name", files())
def test_the_files_are_laid_out_for_reading(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert text.endswith("}\n")
    assert "\t" not in text
    assert json.loads(text) == load(name)
