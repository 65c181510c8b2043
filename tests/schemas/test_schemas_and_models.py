"""Schemas and models agree both ways: every key has its field, every field its key, every quantity its format, nothing can be missing."""

from __future__ import annotations

import dataclasses
import pkgutil
import types
import typing
from collections.abc import Mapping
from importlib import import_module
from typing import Any

import pytest
from schemas.schema_reading import KINDS, STEPS, Schema, load, resolved

import benchleaf.operations
from benchleaf.operations.registry import Operation, names, operation
from benchleaf.units import FORMATS
from benchleaf.workshop.files import _MODELS
from benchleaf.workshop.gears import GearSet
from benchleaf.workshop.job import Step
from benchleaf.workshop.values import Flag

MODELS: dict[str, type] = dict(_MODELS)  # those that the program itself structures files by
OPERATIONS = tuple(name.removeprefix("steps/") for name in STEPS)


def _model(name: str) -> type:
    """The model of a kind of file, or of a step such as 'steps/screwcut'."""
    model: type = operation(name.removeprefix("steps/")).model if name in STEPS else MODELS[name]
    return model


def _key(field: str) -> str:
    """The key of a field: 'over-bed' of ``over_bed``, 'from' of ``from_``."""
    return field.rstrip("_").replace("_", "-")


def _types(schema: Schema) -> set[str]:
    if "const" in schema:
        return {"string" if isinstance(schema["const"], str) else "integer"}
    given = schema["type"]
    found = {given} if isinstance(given, str) else set(given)
    # Text that looks like a number (a lever position, a ratio) may stand without quotation marks; it is read as text all the same.
    return found - {"integer", "number"} if "string" in found else found


def _members(hint: Any) -> list[Any]:
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        return [member for member in typing.get_args(hint) if member is not type(None)]
    return [hint]


def _optional(hint: Any) -> bool:
    return typing.get_origin(hint) in (types.UnionType, typing.Union) and type(None) in typing.get_args(hint)


class Walk:
    """Walks a model and its schema side by side and keeps what does not agree."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.models: set[type] = set()
        self.quantities = 0

    def say(self, path: str, words: str) -> None:
        self.faults.append(f"{path}: {words}")

    def model(self, model: Any, schema: Schema, home: str, path: str) -> None:
        self.models.add(model)
        hints = typing.get_type_hints(model, include_extras=True)
        hints.pop("origin")
        keys = {key: value for key, value in schema["properties"].items() if path or key not in ("schema", "kind")}
        fields = {_key(name) for name in hints}
        for key in sorted(fields ^ set(keys)):
            self.say(f"{path}.{key}", "known to the schema only" if key in keys else "known to the model only")
        for name, hint in hints.items():
            key = _key(name)
            if key not in keys:
                continue
            part, where = resolved(keys[key], home)
            here = f"{path}.{key}"
            always = key in schema.get("required", ()) or "default" in part
            may_be_empty = typing.get_origin(hint) in (tuple, Mapping)
            if not always and not _optional(hint) and not may_be_empty:
                self.say(here, "the model needs a value, the schema neither asks for it nor states a default")
            if always and _optional(hint):
                self.say(here, "there is always a value, yet the model says that it may be missing")
            self.value(hint, part, where, here)

    def value(self, hint: Any, schema: Schema, home: str, path: str) -> None:
        members = _members(hint)
        wanted = {name for member in members for name in self.member(member, schema, home, path)}
        if wanted != _types(schema):
            self.say(path, f"the model takes {sorted(wanted)}, the schema lets {sorted(_types(schema))} pass")

    def member(self, hint: Any, schema: Schema, home: str, path: str) -> set[str]:
        if hint is Flag:
            return {"boolean"}
        if typing.get_origin(hint) is typing.Annotated:
            return self.scalar(typing.get_args(hint)[1], schema, path)
        if typing.get_origin(hint) is tuple:
            part, where = resolved(schema["items"], home)
            self.value(typing.get_args(hint)[0], part, where, f"{path}[]")
            return {"array"}
        if typing.get_origin(hint) is Mapping:
            part, where = resolved(schema["additionalProperties"], home)
            self.value(typing.get_args(hint)[1], part, where, f"{path}.*")
            return {"object"}
        if hint is Step:
            self.step(schema, home, path)
            return {"object"}
        assert dataclasses.is_dataclass(hint), hint
        self.model(hint, schema, home, path)
        return {"object"}

    def step(self, schema: Schema, home: str, path: str) -> None:
        """A step is a map of one key, the name of its operation, whose model holds the rest."""
        self.models.add(Step)
        if (schema.get("minProperties"), schema.get("maxProperties")) != (1, 1):
            self.say(path, "a step names exactly one operation, the schema lets more or fewer pass")
        for name, inner in schema["properties"].items():
            part, where = resolved(inner, home)
            self.model(operation(name).model, part, where, f"{path}.{name}")

    def scalar(self, name: str, schema: Schema, path: str) -> set[str]:
        if name == "count":
            return {"integer"}
        is_link = schema.get("$was") == "link"
        if (name == "link") != is_link:
            self.say(path, f"the model says {name}, the schema {'a link' if is_link else 'text'}")
        format_name = name if name in FORMATS else None
        if schema.get("format") != format_name:
            self.say(path, f"the model reads {name}, the schema asks for {schema.get('format')}")
        self.quantities += name in FORMATS
        return {"string"}


def _walked(name: str) -> Walk:
    walk = Walk()
    part, home = resolved({"$ref": f"{name}.schema.json"}, "")
    walk.model(_model(name), part, home, "" if name in MODELS else name)
    return walk


@pytest.mark.parametrize("name", [*sorted(MODELS), *STEPS])
def test_the_schema_and_the_model_of_a_kind_or_step_agree_both_ways(name: str) -> None:
    assert _walked(name).faults == []


def test_every_kind_of_file_has_its_model() -> None:
    assert sorted(MODELS) == sorted(KINDS)
    assert len(set(MODELS.values())) == len(MODELS)


def test_the_operations_known_are_those_that_have_a_schema() -> None:
    assert sorted(names()) == sorted(OPERATIONS)


@pytest.mark.parametrize("name", OPERATIONS)
def test_every_step_of_the_schema_has_its_module(name: str) -> None:
    found = import_module(f"benchleaf.operations.{name.replace('-', '_')}").OPERATION
    assert isinstance(found, Operation)
    assert operation(name) is found
    assert dataclasses.is_dataclass(found.model)
    with pytest.raises(dataclasses.FrozenInstanceError):  # a step is never changed by what plans it
        found.model.__new__(found.model).origin = None
    assert callable(found.plan)
    assert found.on in ("lathe", "shaper", "any")


def test_every_operation_can_be_asked_for() -> None:
    """A module that no step names would never be used."""
    rooms = {item.name.replace("_", "-") for item in pkgutil.iter_modules(benchleaf.operations.__path__)}
    written = {name for name in rooms if hasattr(import_module(f"benchleaf.operations.{name.replace('-', '_')}"), "OPERATION")}
    assert "screwcut" in written
    assert sorted(written) == sorted(OPERATIONS)


def test_no_two_steps_share_a_model() -> None:
    models = [operation(name).model for name in OPERATIONS]
    assert len(set(models)) == len(models)


def test_the_walk_reaches_every_model() -> None:
    """Else a model that nothing reaches would agree with anything."""
    walks = [_walked(name) for name in (*MODELS, *STEPS)]
    reached = {model for walk in walks for model in walk.models}
    modules = {model.__module__ for model in reached}
    written = {
        item
        for module in modules
        for item in vars(import_module(module)).values()
        if isinstance(item, type) and item.__module__ == module and dataclasses.is_dataclass(item) and "origin" in item.__dataclass_fields__
    }
    assert {"benchleaf.workshop.lathe", "benchleaf.workshop.slides", "benchleaf.operations.screwcut.model"} <= modules
    assert written == reached
    assert sum(walk.quantities for walk in walks) > 60


def test_the_walk_notices_when_they_differ() -> None:
    walk, name = Walk(), "gear-set.schema.json"
    sound = load(name)
    keys = {key: value for key, value in sound["properties"].items() if key != "width"}
    keys |= {"bore": {"type": "string", "format": "angle"}, "colour": {"type": "string"}, "tooth-size": {"type": "integer"}}
    required = [key for key in sound["required"] if key != "name"]
    walk.model(GearSet, {**sound, "properties": keys, "required": required}, name, "")
    assert {fault.partition(":")[0] for fault in walk.faults} == {".width", ".bore", ".colour", ".tooth-size", ".name"}


def test_the_walk_goes_into_the_steps_of_a_job() -> None:
    walk = _walked("job")
    assert {operation(name).model for name in OPERATIONS} <= walk.models
    sound = load("job.schema.json")
    step = sound["properties"]["steps"]["items"]
    part, home = resolved(step["properties"]["screwcut"], "job.schema.json")
    part = {**part, "properties": {key: value for key, value in part["properties"].items() if key != "tool"}}
    walk = Walk()
    walk.step({**step, "properties": {"screwcut": part}, "maxProperties": 2}, home, "here")
    assert {fault.partition(":")[0] for fault in walk.faults} == {"here", "here.screwcut.tool"}
