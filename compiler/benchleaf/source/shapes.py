"""The schema files, and what a schema says about one place of a document.

A *shape* gathers every subschema that bears on a place: the schema itself, what it refers to, and its alternatives.  It serves to
turn scalars into plain data, to fill in defaults, and to word faults; whether a document fits is judged by jsonschema alone.
"""

from __future__ import annotations

import json
import posixpath
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from benchleaf.resources import data_folder

__all__ = ["Schema", "Shape", "is_kind", "kinds", "names", "resolve", "root_shape", "schema_of", "schema_path", "schema_text", "types_of"]

Schema = Mapping[str, Any]
_SUFFIX = ".schema.json"
_TYPES: Mapping[type, str] = {bool: "boolean", int: "integer", str: "string", dict: "object", list: "array"}
_VERSION = f"common{_SUFFIX}#/$defs/schema"


def schema_path(name: str) -> Path:
    """The file of a kind's schema; 'common' holds the shared definitions, 'steps/...' what one operation takes."""
    return data_folder("schemas") / f"{name}{_SUFFIX}"


@cache
def schema_text(name: str) -> str:
    """The words of a schema file."""
    return schema_path(name).read_text(encoding="utf-8")


@cache
def schema_of(name: str) -> Schema:
    """A schema as plain data.  The same object each time: faults are traced back to their subschema by identity."""
    found: Schema = json.loads(schema_text(name))
    return found


@cache
def names() -> tuple[str, ...]:
    """Every schema file there is, by its path without the suffix."""
    folder = data_folder("schemas")
    return tuple(sorted(path.relative_to(folder).as_posix().removesuffix(_SUFFIX) for path in folder.glob(f"**/*{_SUFFIX}")))


@cache
def kinds() -> tuple[str, ...]:
    """The kinds of file that can be written by hand."""
    return tuple(name for name in names() if is_kind(name))


def is_kind(name: str) -> bool:
    """Whether there is a schema that asks for this ``kind`` and for the version of the language.  Opens no other schema."""
    properties = schema_of(name).get("properties", {}) if name in names() else {}
    return bool(properties.get("kind", {}).get("const") == name and properties.get("schema", {}).get("$ref") == _VERSION)


def resolve(reference: str, home: str) -> tuple[Schema, str]:
    """The subschema that a ``$ref`` in the file ``home`` names, and its file.  Raises KeyError when it dangles."""
    file, _, pointer = reference.partition("#")
    if file:
        home = posixpath.normpath(posixpath.join(posixpath.dirname(home), file)).removesuffix(_SUFFIX)
    if home not in names():
        raise KeyError(reference)
    found: Any = schema_of(home)
    for part in pointer.split("/")[1:]:
        found = found[part.replace("~1", "/").replace("~0", "~")]
    return found, home


class Shape:
    """Every subschema that bears on a place.

    ``always`` are those that apply whatever is written (with the file each stands in); ``parts`` adds the alternatives of
    ``oneOf``, ``anyOf`` and ``if``.
    """

    __slots__ = ("_children", "_element", "always", "parts", "types")

    def __init__(self, places: tuple[tuple[Schema, str], ...]) -> None:
        self.always = tuple(_gather(places, ("allOf",)))
        self.parts = tuple(_gather(places, ("allOf", "anyOf", "oneOf", "then", "else")))
        self.types = frozenset(name for part, _ in self.parts for name in types_of(part))
        self._children: dict[str, Shape] = {}
        self._element: Shape | None = None

    def child(self, key: str) -> Shape:
        """The shape of the value at a key; one without parts when the schema does not know the key."""
        found = self._children.get(key)
        if found is None:
            found = Shape(tuple(_below(self.parts, key)))
            if found.parts:  # what a user makes up is not kept
                self._children[key] = found
        return found

    def element(self) -> Shape:
        """The shape of the entries of a list."""
        if self._element is None:
            places = ((part["items"], home) for part, home in self.parts if isinstance(part.get("items"), Mapping))
            self._element = Shape(tuple(places))
        return self._element

    def at(self, path: list[str | int]) -> Shape:
        """The shape at a path."""
        here = self
        for part in path:
            here = here.child(part) if isinstance(part, str) else here.element()
        return here

    def said(self, word: str) -> Any:
        """What the nearest subschema says under an annotation such as 'title'; None when none does."""
        return next((part[word] for part, _ in self.parts if word in part), None)

    def known(self) -> tuple[str, ...]:
        """The keys known here."""
        return tuple(dict.fromkeys(key for part, _ in self.parts for key in part.get("properties", ())))

    def defaults(self) -> Iterator[tuple[str, Schema, str]]:
        """Keys that have a default, each with the subschema that states it and its file."""
        seen: set[str] = set()
        for part, home in self.always:
            for key, inner in part.get("properties", {}).items():
                if key in seen:
                    continue
                for stated, file in _gather(((inner, home),), ("allOf",)):
                    if "default" in stated:
                        seen.add(key)
                        yield key, stated, file
                        break


def _gather(places: tuple[tuple[Schema, str], ...], branches: tuple[str, ...]) -> Iterator[tuple[Schema, str]]:
    """The subschemas of the places with all they lead to, nearest first."""
    pending = list(reversed(places))
    seen: set[int] = set()
    while pending:
        part, home = pending.pop()
        if not isinstance(part, Mapping) or id(part) in seen:
            continue
        seen.add(id(part))
        yield part, home
        further: list[tuple[Schema, str]] = []
        if "$ref" in part:
            further.append(resolve(part["$ref"], home))
        for word in branches:
            inner = part.get(word, ())
            further += [(branch, home) for branch in ((inner,) if isinstance(inner, Mapping) else inner)]
        pending += reversed(further)


def _below(parts: tuple[tuple[Schema, str], ...], key: str) -> Iterator[tuple[Schema, str]]:
    for part, home in parts:
        inner = part.get("properties", {}).get(key, part.get("additionalProperties"))
        if isinstance(inner, Mapping):
            yield inner, home


def types_of(part: Schema) -> tuple[str, ...]:
    """The types that a subschema takes, also where it says so by its values."""
    stated = part.get("type", ())
    values = [*part.get("enum", ()), *([part["const"]] if "const" in part else [])]
    return (*((stated,) if isinstance(stated, str) else stated), *(_TYPES[type(value)] for value in values if type(value) in _TYPES))


@cache
def root_shape(kind: str) -> Shape:
    """The shape of a whole document of a kind."""
    return Shape(((schema_of(kind), kind),))
