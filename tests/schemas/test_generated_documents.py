"""Whatever a schema lets pass can be filled and structured: the models never meet a document that they cannot hold."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from schemas.documents import QUANTITIES, Plain, as_yaml, documents
from schemas.schema_reading import FOLDER, KINDS, STEPS, load, resolved, validator
from schemas.test_schemas_and_models import MODELS

from benchleaf.operations.registry import operation
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.schema import FormatFault, validate
from benchleaf.source.yaml_ import parse_text
from benchleaf.units import FORMATS, QuantityFault, parse
from benchleaf.workshop.job import Step
from benchleaf.workshop.structure import structure
from benchleaf.workshop.values import Flag, Measure, Number, Origin, Word


def _checker(name: str) -> Any:
    def check(text: str) -> FormatFault | None:
        read = parse(name, text)
        return FormatFault(read.code, read.message, read.hint, read.offset, read.length) if isinstance(read, QuantityFault) else None

    return check


CHECKERS = {name: _checker(name) for name in FORMATS}


def _leaves(value: Any) -> Iterator[Measure | Word | Number | Flag]:
    """The values of a model; a step is read as its operation reads it (the name of the operation is a key, not a value)."""
    if isinstance(value, (Measure, Word, Number, Flag)):
        yield value
    elif isinstance(value, Step):
        yield from _leaves(structure(operation(value.operation.value).model, value.node, value.operation.origin.path))
    elif isinstance(value, tuple):
        for item in value:
            yield from _leaves(item)
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from _leaves(item)
    elif dataclasses.is_dataclass(value) and not isinstance(value, Origin):
        for field in dataclasses.fields(value):
            if field.name != "origin":
                yield from _leaves(getattr(value, field.name))


def _scalars(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for inner in value.values():
            yield from _scalars(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _scalars(inner)
    else:
        yield {True: "true", False: "false"}[value] if isinstance(value, bool) else str(value)


def _made(data: Any, name: str) -> tuple[str, dict[str, Any]]:
    """A document of a kind; or, of a step, the smallest job that has it.  With the kind."""
    file = f"{name}.schema.json"
    made = data.draw(documents(load(file), file))
    if name not in STEPS:
        return name, made
    job = _smallest(load("job.schema.json"), "job.schema.json")
    return "job", {**job, "steps": [{name.removeprefix("steps/"): made}]}


@pytest.mark.parametrize("name", [*KINDS, *STEPS])
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_the_generator_makes_what_the_schema_allows(name: str, data: Any) -> None:
    kind, document = _made(data, name)
    schema = {key: value for key, value in load(f"{kind}.schema.json").items() if key not in ("$schema", "$id")}
    assert [error.message for error in validator(schema, f"{kind}.schema.json").iter_errors(document)] == []


@pytest.mark.parametrize("name", [*KINDS, *STEPS])
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_what_the_schema_lets_pass_is_held_by_the_model_word_for_word(name: str, data: Any) -> None:
    kind, document = _made(data, name)
    text = as_yaml(document)
    node, faults = parse_text(text, "made.yaml")
    assert node is not None, text
    assert [*faults, *validate(node, kind, CHECKERS)] == [], text
    model = structure(MODELS[kind], fill_defaults(node, kind))
    leaves = list(_leaves(model))
    written = sorted(leaf.text for leaf in leaves if not leaf.origin.default)
    assert written == sorted(_scalars({key: value for key, value in document.items() if key not in ("schema", "kind")}))
    for leaf in leaves:
        assert not isinstance(leaf, Measure) or type(leaf.value) is Fraction
        span = leaf.origin.span
        if leaf.origin.default:
            assert span.file.startswith("schemas/")
        else:
            assert (span.file, span.line) == ("made.yaml", 1)
            assert yaml.safe_load(f"x: !!str {text[span.column - 1 : span.end_column - 1]}")["x"] == leaf.text


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_every_value_of_a_step_has_the_path_by_which_its_node_is_found(data: Any) -> None:
    """Steps are read later than the rest of the job, yet know where they stand."""
    document = data.draw(documents(load("job.schema.json"), "job.schema.json"))
    node, _ = parse_text(as_yaml(document), "made.yaml")
    assert node is not None
    filled = fill_defaults(node, "job")
    job = structure(MODELS["job"], filled)
    assert [[step.operation.value] for step in job.steps] == [list(step) for step in document["steps"]]
    for number, step in enumerate(job.steps):
        assert step.operation.origin.path == f"steps[{number}].{step.operation.value}"
        assert step.node is filled["steps"][number][step.operation.value]
        for leaf in _leaves(step):
            if "levers" not in leaf.origin.path:  # a lever may be called anything, with dots and brackets
                found = filled.at(leaf.origin.path)
                assert found is not None, leaf.origin.path
                assert (found.text, found.span) == (leaf.text, leaf.origin.span)


@pytest.mark.parametrize("name", [*KINDS, *STEPS])
def test_a_default_points_at_the_schema_line_that_states_it(name: str) -> None:
    kind = "job" if name in STEPS else name
    smallest = _smallest(load(f"{name}.schema.json"), f"{name}.schema.json")
    if name in STEPS:
        smallest = {**_smallest(load("job.schema.json"), "job.schema.json"), "steps": [{name.removeprefix("steps/"): smallest}]}
    node, _ = parse_text(as_yaml(smallest), "made.yaml")
    assert node is not None
    assert validate(node, kind, CHECKERS) == []
    defaults = [leaf for leaf in _leaves(structure(MODELS[kind], fill_defaults(node, kind))) if leaf.origin.default]
    assert defaults or kind in ("gear-set", "material", "thread-list", "tooling", "workshop")
    for leaf in defaults:
        file = leaf.origin.span.file.removeprefix("schemas/")
        lines = (FOLDER / file).read_text(encoding="utf-8").splitlines()
        assert leaf.text in lines[leaf.origin.span.line - 1]
    stated = load(f"{name}.schema.json").get("properties", {})
    own = {leaf.origin.path.rsplit(".", 1)[-1]: leaf for leaf in defaults if leaf.origin.path.startswith("steps[0].")}
    for key, part in stated.items() if name in STEPS else ():
        if "default" in part and not isinstance(part["default"], (list, dict)):
            assert own[key].origin.span.file == f"schemas/{name}.schema.json"


def _smallest(schema: Any, home: str) -> Any:
    """The smallest document: required keys only, the first of each choice."""
    schema, home = resolved(schema, home)
    if "const" in schema:
        return schema["const"]
    if "oneOf" in schema:
        return schema["oneOf"][0]["const"]
    kind = schema["type"] if isinstance(schema["type"], str) else schema["type"][0]
    if kind == "object":
        needed = list(schema.get("required", ()))
        needed += [key for key in schema["properties"] if key not in needed][: max(0, schema.get("minProperties", 0) - len(needed))]
        return {key: _smallest(schema["properties"][key], home) for key in needed}
    if kind == "array":
        return [_smallest(schema["items"], home)] * schema.get("minItems", 0)
    if kind == "integer":
        return schema["minimum"]
    if "format" in schema:
        return Plain(QUANTITIES[schema["format"]][0])
    return schema.get("then", {}).get("enum", ["x"])[0]
