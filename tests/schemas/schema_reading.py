"""Reading the schemas for the tests: references resolved, a validator of the general-purpose kind, formats checked by the grammar."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource

from benchleaf.resources import data_folder
from benchleaf.units import FORMATS, Parsed, parse

Schema = dict[str, Any]
KINDS = ("gear-set", "job", "lathe", "material", "thread-list", "tooling", "workshop")
FOLDER = data_folder("schemas")


@cache
def load(name: str) -> Schema:
    """The schema of that file name, such as 'lathe.schema.json'."""
    found: Schema = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    return found


@cache
def registry() -> Registry[Any]:
    names = [f"{kind}.schema.json" for kind in (*KINDS, "common")]
    return Registry().with_resources([(name, Resource.from_contents(load(name))) for name in names])


def checker() -> FormatChecker:
    """Formats as the language means them."""
    formats = FormatChecker(formats=())
    for name in FORMATS:
        formats.checks(name)(lambda value, name=name: not isinstance(value, str) or isinstance(parse(name, value), Parsed))
    return formats


def validator(schema: Schema, home: str) -> Draft202012Validator:
    """A validator for a part of the schema file ``home``."""
    whole = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": f"part-of/../{home}", **schema}
    return Draft202012Validator(whole, registry=registry(), format_checker=checker())


def resolved(schema: Schema, home: str) -> tuple[Schema, str]:
    """The schema with its reference replaced by what it names (words beside the reference go first; ``$was`` keeps the name),
    and the file it is from."""
    while "$ref" in schema:
        file, _, pointer = str(schema["$ref"]).partition("#/$defs/")
        home = file or home
        target = load(home)["$defs"][pointer]
        schema = {"$was": pointer, **target, **{key: value for key, value in schema.items() if key != "$ref"}}
    return schema, home


def parts(schema: Schema, home: str, path: str = "") -> Iterator[tuple[str, Schema, str]]:
    """Every subschema that describes a value of a document: (path, schema with its reference resolved, file)."""
    here, home = resolved(schema, home)
    yield path, here, home
    for name, inner in here.get("properties", {}).items():
        yield from parts(inner, home, f"{path}.{name}")
    if isinstance(here.get("items"), dict):
        yield from parts(here["items"], home, f"{path}[]")
    if isinstance(here.get("additionalProperties"), dict):
        yield from parts(here["additionalProperties"], home, f"{path}.*")


def kind_parts(kind: str) -> Iterator[tuple[str, Schema, str]]:
    name = f"{kind}.schema.json"
    return parts(load(name), name)


def files() -> list[Path]:
    """Every schema of this room's tests (not that of the printed sheet)."""
    return [FOLDER / f"{kind}.schema.json" for kind in (*KINDS, "common")]
