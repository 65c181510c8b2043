"""jsonschema put to use: documents turned into plain data, judged, and each fault handed on with the node it is about."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import islice
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import FormatError, ValidationError
from jsonschema.validators import extend
from referencing import Registry, Resource
from referencing.exceptions import NoSuchResource
from referencing.jsonschema import DRAFT202012

from benchleaf.diagnostics import Diagnostic, ordered
from benchleaf.source.finding import Finding, FormatRefusal
from benchleaf.source.node import Node
from benchleaf.source.schema import Formats
from benchleaf.source.shapes import Schema, Shape, names, root_shape, schema_of
from benchleaf.source.wording import words_for
from benchleaf.source.wording_keys import meant_keys

__all__ = ["MOST_FAULTS", "Checker", "departures", "plain", "registry", "validator"]

MOST_FAULTS = 100  # reported of one file
WHOLE = re.compile(r"-?(?:0|[1-9][0-9]{0,14})")


class Checker(FormatChecker):
    """Hands a string to the format that the schema names; a name nobody gave a format for is let pass."""

    def __init__(self, formats: Formats) -> None:
        super().__init__(formats=())
        self.formats = formats

    def check(self, instance: object, format: str) -> None:
        """Raise FormatError when the format finds a fault."""
        judge = self.formats.get(format)
        fault = judge(instance) if judge is not None and isinstance(instance, str) else None
        if fault is not None:
            raise FormatError(fault.message, cause=FormatRefusal(fault))


def departures(node: Node, kind: str, formats: Formats) -> list[Diagnostic]:
    """See :func:`benchleaf.source.schema.validate`."""
    shape = root_shape(kind)
    judge = validator(kind).evolve(format_checker=Checker(formats))
    errors = list(islice(judge.iter_errors(plain(node, shape)), MOST_FAULTS + 1))
    findings = [Finding(error, node, list(error.absolute_path), kind) for error in errors[:MOST_FAULTS]]
    # Who wrote a list for a word need not hear as well that the list is none of the words; nor who mistyped a key that it is missing.
    wrong = {found.place for found in findings if found.word == "type"}
    mistyped = {found.place: meant_keys(found) for found in findings if found.word == "additionalProperties"}
    faults: list[Diagnostic] = []
    for found in findings:
        if found.word == "type" or found.place not in wrong:
            faults += words_for(found, mistyped.get(found.place, ()))
    found_all = ordered(faults)
    if len(errors) <= MOST_FAULTS >= len(found_all):
        return list(found_all)
    last = found_all[min(MOST_FAULTS, len(found_all)) - 1].span
    many = Diagnostic("schema/many-faults", f"more than {MOST_FAULTS} faults in this file", last, hints=("mend those above first",))
    return [*found_all[:MOST_FAULTS], many]


def plain(node: Node, shape: Shape) -> Any:
    """The document as the plain data that the schema is about; see :mod:`benchleaf.source.schema` for the rules."""
    if node.kind == "map":
        return {key.text: plain(value, shape.child(key.text)) for key, value in node.items}
    if node.kind == "seq":
        inner = shape.element()
        return [plain(element, inner) for element in node.elements]
    if node.kind == "number":
        whole = "integer" in shape.types and "string" not in shape.types
        return int(node.text) if whole and WHOLE.fullmatch(node.text) else node.text
    if node.kind == "boolean":
        return node.text == "true" if node.text in ("true", "false") else node.text
    return None if node.kind == "null" else node.text


def _unique(judge: Any, wanted: bool, instance: Any, schema: Schema) -> Iterator[ValidationError]:
    """``uniqueItems`` in one pass: jsonschema's own compares each entry with all before it where they are of several sorts."""
    if wanted and isinstance(instance, list):
        marks = [json.dumps(entry, sort_keys=True) for entry in instance]
        if len(set(marks)) != len(marks):
            yield ValidationError("an entry stands there twice")


_Validator: Any = extend(Draft202012Validator, {"uniqueItems": _unique})  # type: ignore[no-untyped-call]


@cache
def registry() -> Registry[bool | Schema]:
    """The schema files, each read when it is first referred to, and nothing else: what is not there is a fault of ours."""
    return Registry(retrieve=_own)  # type: ignore[call-arg]


def _own(uri: str) -> Resource[bool | Schema]:
    name = uri.removesuffix(".schema.json")
    if name not in names():
        raise NoSuchResource(ref=uri)  # type: ignore[call-arg]
    return Resource.from_contents(schema_of(name), default_specification=DRAFT202012)


@cache
def validator(kind: str) -> Any:
    """The validator of a kind, without formats."""
    return _Validator(schema_of(kind), registry=registry())
