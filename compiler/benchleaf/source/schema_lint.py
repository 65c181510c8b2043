"""House rules for the schemas: what JSON Schema itself lets pass but what would mislead whoever writes a file."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import SchemaError

from benchleaf.source.schema import Formats
from benchleaf.source.shapes import Schema, Shape, is_kind, resolve, root_shape, schema_of, schema_text, types_of
from benchleaf.source.validator import Checker, registry

__all__ = ["KEYWORDS", "lint"]

# A misspelt keyword is silently passed over by validators; these are the ones that faults are worded for.
KEYWORDS = frozenset({
    "$schema", "$id", "$ref", "$defs", "title", "description", "default", "examples", "type", "const", "enum", "oneOf", "anyOf", "allOf",
    "not", "if", "then", "else", "properties", "required", "additionalProperties", "propertyNames", "minProperties", "maxProperties",
    "items", "minItems", "maxItems", "uniqueItems", "minimum", "maximum", "minLength", "maxLength", "pattern", "format",
})  # fmt: skip
_MAPS = ("properties", "$defs")
_SINGLE = ("items", "additionalProperties", "propertyNames", "not", "if", "then", "else")
_LISTS = ("oneOf", "anyOf", "allOf")
_CONDITIONAL = ("oneOf", "anyOf", "not", "if", "then", "else", "propertyNames")


def lint(name: str, formats: Formats) -> list[str]:
    """Everything that is wrong with a schema file (a kind, 'common', or a step such as 'steps/screwcut'), each with its JSON pointer."""
    faults: list[str] = []
    schema = schema_of(name)
    try:
        Draft202012Validator.check_schema(schema)
    except SchemaError as error:
        return [f"{name}: not a schema: {error.message} at {error.json_path}"]
    faults += [f"{name}: the key {key!r} is given twice" for key in _twice(schema_text(name))]
    if schema.get("$id") != f"{name}.schema.json":
        faults.append(f"{name}: $id is not the name of its file")
    for pointer, part, conditional in _subschemas(schema, ""):
        faults += [f"{name}{pointer or '/'}: {words}" for words in _judge(part, pointer, name, conditional, formats)]
    if not faults and is_kind(name):
        faults += _mixtures(root_shape(name), name, frozenset())
    return faults


def _twice(text: str) -> list[str]:
    found: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in items]
        found.extend(key for key in dict(items) if keys.count(key) > 1)
        return dict(items)

    json.loads(text, object_pairs_hook=pairs)
    return found


def _subschemas(schema: Any, pointer: str, conditional: bool = False) -> Iterator[tuple[str, Schema, bool]]:
    """Every subschema of a file with its JSON pointer, and whether it bears only on some values."""
    if not isinstance(schema, Mapping):
        return
    yield pointer, schema, conditional
    for word in _MAPS:
        for key, inner in schema.get(word, {}).items():
            yield from _subschemas(inner, f"{pointer}/{word}/{key.replace('~', '~0').replace('/', '~1')}", conditional)
    for word in _SINGLE:
        yield from _subschemas(schema.get(word), f"{pointer}/{word}", conditional or word in _CONDITIONAL)
    for word in _LISTS:
        for index, inner in enumerate(schema.get(word, ())):
            yield from _subschemas(inner, f"{pointer}/{word}/{index}", conditional or word in _CONDITIONAL)


def _judge(part: Schema, pointer: str, name: str, conditional: bool, formats: Formats) -> Iterator[str]:
    for word in sorted(set(part) - KEYWORDS):
        yield f"the keyword {word!r} is not one of ours"
    if "format" in part and part["format"] not in formats:
        yield f"nothing checks the format {part['format']!r}"
    if "$ref" in part:
        try:
            resolve(str(part["$ref"]), name)
        except (KeyError, TypeError):
            yield f"the reference {part['$ref']!r} leads nowhere"
            return
    types = [part["type"]] if isinstance(part.get("type"), str) else part.get("type", [])
    free = part.get("additionalProperties")
    if "object" in types and not conditional and free is not False and not (isinstance(free, Mapping) and "propertyNames" in part):
        yield "not closed: additionalProperties must be false, or a schema beside propertyNames"
    if not conditional:
        absent = [key for key in part.get("required", ()) if key not in part.get("properties", {})]
        yield from (f"{key!r} is required but not among the properties" for key in absent)
    for key, inner in part.get("properties", {}).items():
        if not conditional and not _described(inner, name):
            yield f"the property {key!r} has neither title nor description"
    if "default" in part and conditional:
        yield "a default stands only where it always applies, not in an alternative"
    stated = [("default", part["default"])] if "default" in part else []
    for word, value in [*stated, *(("example", value) for value in part.get("examples", ()))]:
        reference = {"$ref": f"{name}.schema.json#{pointer}"}
        judge = Draft202012Validator(reference, registry=registry(), format_checker=Checker(formats))
        if not judge.is_valid(value):
            yield f"the {word} {value!r} does not fit its own schema"


def _described(inner: Schema, name: str) -> bool:
    if "title" in inner or "description" in inner:
        return True
    if "$ref" not in inner:
        return False
    try:
        target, home = resolve(str(inner["$ref"]), name)
    except (KeyError, TypeError):
        return True  # reported on its own
    return _described(target, home)


def _mixtures(shape: Shape, path: str, seen: frozenset[int]) -> Iterator[str]:
    """Places where one alternative takes words and another whole numbers: plain digits would be words, whichever was meant."""
    marks = frozenset(id(part) for part, _ in shape.parts)
    if not marks or marks <= seen:
        return
    if "string" in shape.types and any("integer" in (types := types_of(part)) and "string" not in types for part, _ in shape.parts):
        yield f"{path}: words in one alternative, whole numbers in another"
    for key in shape.known():
        yield from _mixtures(shape.child(key), f"{path}.{key}", seen | marks)
    yield from _mixtures(shape.element(), f"{path}[]", seen | marks)
