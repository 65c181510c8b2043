"""Schemas and models agree both ways: every key has its field, every field its key, every quantity its format, nothing can be missing."""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from typing import Any

import pytest
from schemas.schema_reading import Schema, load, resolved

from benchleaf.units import FORMATS
from benchleaf.workshop.gears import GearSet
from benchleaf.workshop.job import Job
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.material import Material
from benchleaf.workshop.shop import Shop
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.tooling import Tooling
from benchleaf.workshop.values import Flag

MODELS: dict[str, type] = {"gear-set": GearSet, "job": Job, "lathe": Lathe, "material": Material, "thread-list": ThreadList, "tooling": Tooling, "workshop": Shop}


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
        fields = {name.replace("_", "-") for name in hints}
        for key in sorted(fields ^ set(keys)):
            self.say(f"{path}.{key}", "known to the schema only" if key in keys else "known to the model only")
        for name, hint in hints.items():
            key = name.replace("_", "-")
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
        assert dataclasses.is_dataclass(hint), hint
        self.model(hint, schema, home, path)
        return {"object"}

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


@pytest.mark.parametrize("kind", sorted(MODELS))
def test_the_schema_and_the_model_of_a_kind_agree_both_ways(kind: str) -> None:
    walk, name = Walk(), f"{kind}.schema.json"
    walk.model(MODELS[kind], load(name), name, "")
    assert walk.faults == []


def test_the_walk_reaches_every_model() -> None:
    """Else a model that nothing reaches would agree with anything."""
    walk = Walk()
    for kind, model in MODELS.items():
        walk.model(model, load(f"{kind}.schema.json"), f"{kind}.schema.json", "")
    modules = {model.__module__ for model in MODELS.values()}
    written = {
        item
        for module in modules
        for item in vars(__import__(module, fromlist=["*"])).values()
        if isinstance(item, type) and item.__module__ == module and dataclasses.is_dataclass(item)
    }
    assert written == walk.models
    assert walk.quantities > 60


def test_the_walk_notices_when_they_differ() -> None:
    walk, name = Walk(), "gear-set.schema.json"
    sound = load(name)
    keys = {key: value for key, value in sound["properties"].items() if key != "width"}
    keys |= {"bore": {"type": "string", "format": "angle"}, "colour": {"type": "string"}, "tooth-size": {"type": "integer"}}
    required = [key for key in sound["required"] if key != "name"]
    walk.model(GearSet, {**sound, "properties": keys, "required": required}, name, "")
    assert {fault.partition(":")[0] for fault in walk.faults} == {".width", ".bore", ".colour", ".tooth-size", ".name"}
