"""Reading the schemas for the tests: references resolved, a validator of the general-purpose kind, formats checked by the grammar."""

from __future__ import annotations

import json
import posixpath
from collections.abc import Iterator
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource

from benchleaf.resources import data_folder
from benchleaf.units import FORMATS, Parsed, parse

Schema = dict[str, Any]
FOLDER = data_folder("schemas")
_SUFFIX = ".schema.json"
MADE = {"sheet", "register"}  # languages of their own, which the program writes
# Found, not listed: the kinds of file that are written by hand, and what the step of each operation takes, one file an operation.
KINDS = tuple(sorted({path.name.removesuffix(_SUFFIX) for path in FOLDER.glob(f"*{_SUFFIX}")} - {"common", *MADE}))
STEPS = tuple(sorted(f"steps/{path.name.removesuffix(_SUFFIX)}" for path in (FOLDER / "steps").glob(f"*{_SUFFIX}")))


@cache
def load(name: str) -> Schema:
    """The schema of that file, such as 'lathe.schema.json' or 'steps/screwcut.schema.json'."""
    found: Schema = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    return found


@cache
def registry() -> Registry[Any]:
    names = [f"{name}.schema.json" for name in (*KINDS, *STEPS, "common")]
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


def target(reference: str, home: str) -> tuple[str, str]:
    """The file that a reference in the file ``home`` leads to, and the name of the definition there ('' for the whole file)."""
    file, _, pointer = reference.partition("#")
    assert not pointer or pointer.startswith("/$defs/"), reference
    return posixpath.normpath(posixpath.join(posixpath.dirname(home), file)) if file else home, pointer.removeprefix("/$defs/")


def resolved(schema: Schema, home: str) -> tuple[Schema, str]:
    """The schema with its reference replaced by what it names (words beside the reference go first; ``$was`` keeps the name),
    and the file it is from."""
    while "$ref" in schema:
        home, name = target(str(schema["$ref"]), home)
        found = load(home)["$defs"][name] if name else {key: value for key, value in load(home).items() if key not in ("$schema", "$id")}
        schema = {"$was": name or home, **found, **{key: value for key, value in schema.items() if key != "$ref"}}
    return schema, home


def parts(schema: Schema, home: str, path: str = "") -> Iterator[tuple[str, Schema, str]]:
    """Every subschema that describes a value of a document: (path, schema with its reference resolved, file).

    A step is given as a whole; what it takes has a file of its own, which is walked on its own.
    """
    start = home
    here, home = resolved(schema, home)
    yield path, here, home
    if home != start and home.startswith("steps/"):
        return
    for name, inner in here.get("properties", {}).items():
        yield from parts(inner, home, f"{path}.{name}")
    if isinstance(here.get("items"), dict):
        yield from parts(here["items"], home, f"{path}[]")
    if isinstance(here.get("additionalProperties"), dict):
        yield from parts(here["additionalProperties"], home, f"{path}.*")


def file_parts(name: str) -> Iterator[tuple[str, Schema, str]]:
    """The parts of the schema of a kind or step."""
    return parts(load(f"{name}{_SUFFIX}"), f"{name}{_SUFFIX}")


def files() -> list[str]:
    """Every schema of this room's tests (not that of the printed sheet), as :func:`load` takes it."""
    return [f"{name}{_SUFFIX}" for name in (*KINDS, *STEPS, "common")]
