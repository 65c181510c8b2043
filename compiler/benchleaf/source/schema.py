"""Shape: one closed JSON Schema for each kind of file, and every way in which a file departs from it.

Dispatch on ``kind`` happens here, not in the schemas, so that messages speak of the kind that was meant.  jsonschema is
imported on first use.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.resources import data_folder
from benchleaf.source.node import Node

__all__ = ["KINDS", "FormatFault", "kind_of", "schema_of", "validate"]

KINDS = ("gear-set", "job", "lathe", "material", "tooling", "workshop")
VERSION = "1"
_WHOLE = re.compile(r"(?:0|-?[1-9][0-9]*)\Z")


@dataclass(frozen=True, slots=True)
class FormatFault:
    """What a format checker says: ``offset`` and ``length`` mark the characters at fault inside the value."""

    code: str
    message: str
    hint: str = ""
    offset: int = 0
    length: int = 0


Formats = Mapping[str, Callable[[str], FormatFault | None]]


@lru_cache(maxsize=16)
def schema_of(kind: str) -> Mapping[str, Any]:
    """The schema of a kind, as parsed JSON."""
    loaded: Mapping[str, Any] = json.loads(schema_path(kind).read_text(encoding="utf-8"))
    return loaded


def schema_path(kind: str) -> Path:
    """The file of a kind's schema; 'common' holds the shared definitions."""
    return data_folder("schemas") / f"{kind}.schema.json"


def kind_of(node: Node, shown: str) -> tuple[str | None, list[Diagnostic]]:
    """The kind that a document names, checked together with its schema version."""
    if node.kind != "map":
        return None, [Diagnostic("schema/not-a-map", "this file is not a map of keys and values", node.span, hints=("start it with `schema: 1` and `kind:`",))]
    faults = []
    version, kind = node.get("schema"), node.get("kind")
    start = Span(shown)
    if version is None:
        faults.append(Diagnostic("schema/version", "the key `schema` is missing", start, hints=("add `schema: 1` at the top",)))
    elif version.text != VERSION or version.quoted:
        faults.append(Diagnostic("schema/version", f"schema {version.text[:20]!r} is not known to this version", version.span, hints=("write `schema: 1`",)))
    if kind is None:
        faults.append(Diagnostic("schema/kind", "the key `kind` is missing", start, hints=(f"add `kind:` with one of {', '.join(KINDS)}",)))
        return None, faults
    if kind.text not in KINDS:
        close = close_matches(kind.text, KINDS, 1)
        hint = f"did you mean {close[0]}?" if close else f"kinds there are: {', '.join(KINDS)}"
        faults.append(Diagnostic("schema/kind", f"there is no kind {kind.text[:40]!r}", kind.span, hints=(hint,)))
        return None, faults
    return kind.text, faults


def validate(node: Node, kind: str, formats: Formats) -> list[Diagnostic]:
    """Every departure of a document from the schema of its kind.

    Whole numbers are handed to jsonschema as integers where the schema takes one; every other scalar is text, so that quantities
    are judged by their format alone.
    """
    validator = _validator(kind)
    plain = _plain(node)
    faults: list[Diagnostic] = []
    for error in validator.iter_errors(plain):
        _explain(error, node, formats, faults)
    _check_formats(validator, schema_of(kind), plain, node, formats, faults)
    return _without_echoes(faults)


def _without_echoes(faults: list[Diagnostic]) -> list[Diagnostic]:
    return list(dict.fromkeys(faults))


class _Scalar(str):
    """A scalar's text that remembers how it was written, so that the type checker can tell 40 from "40"."""

    __slots__ = ("node",)
    node: Node


@lru_cache(maxsize=16)
def _validator(kind: str) -> Any:
    import jsonschema
    from jsonschema import validators
    from referencing import Registry, Resource
    from referencing.jsonschema import DRAFT202012

    registry: Any = Registry()
    for path in sorted(data_folder("schemas").glob("*.schema.json")):
        contents = json.loads(path.read_text(encoding="utf-8"))
        resource = Resource.from_contents(contents, default_specification=DRAFT202012)
        registry = registry.with_resource(path.name, resource)
        if "$id" in contents:
            registry = registry.with_resource(contents["$id"], resource)
    checker = jsonschema.Draft202012Validator.TYPE_CHECKER.redefine_many({
        "string": lambda _, value: isinstance(value, str),
        "integer": lambda _, value: isinstance(value, _Scalar) and not value.node.quoted and bool(_WHOLE.match(value)),
        "boolean": lambda _, value: isinstance(value, _Scalar) and not value.node.quoted and value in ("true", "false"),
        "null": lambda _, value: isinstance(value, _Scalar) and value.node.kind == "null",
        "number": lambda _, value: False,
    })  # fmt: skip
    base: Any = jsonschema.Draft202012Validator
    extended = validators.extend(base, type_checker=checker, validators={
        "minimum": _bound("minimum", lambda value, bound: value >= bound),
        "maximum": _bound("maximum", lambda value, bound: value <= bound),
        "const": _const, "enum": _enum,
    })  # fmt: skip
    return extended(schema_of(kind), registry=registry)


def _bound(name: str, holds: Callable[[int, int], bool]) -> Any:
    from jsonschema.exceptions import ValidationError

    def check(validator: Any, bound: int, value: Any, schema: Any) -> Any:
        if validator.is_type(value, "integer") and not holds(int(value), bound):
            yield ValidationError(name)

    return check


def _same(value: Any, wanted: Any) -> bool:
    if isinstance(wanted, bool):
        return value == ("true" if wanted else "false")
    return bool(value == str(wanted)) if isinstance(value, str) else False


def _const(validator: Any, wanted: Any, value: Any, schema: Any) -> Any:
    from jsonschema.exceptions import ValidationError

    if not _same(value, wanted):
        yield ValidationError("const")


def _enum(validator: Any, choices: Any, value: Any, schema: Any) -> Any:
    from jsonschema.exceptions import ValidationError

    if not any(_same(value, choice) for choice in choices):
        yield ValidationError("enum")


def _plain(node: Node) -> Any:
    if node.kind == "map":
        return {key.text: _plain(value) for key, value in node.items}
    if node.kind == "seq":
        return [_plain(element) for element in node.elements]
    scalar = _Scalar(node.text)
    scalar.node = node
    return scalar


def _at(node: Node, path: list[Any]) -> Node:
    """The node at a jsonschema path."""
    for part in path:
        node = node.elements[part] if isinstance(part, int) else node[part]
    return node


def _explain(error: Any, root: Node, formats: Formats, faults: list[Diagnostic]) -> None:
    """Turn one jsonschema error into words at the place at fault."""
    path = list(error.absolute_path)
    node = _at(root, path)
    key = path[-1] if path and isinstance(path[-1], str) else ""
    what = f"`{key}`" if key else "this"
    keyword, schema = error.validator, error.schema
    if keyword in ("oneOf", "anyOf"):
        _branch(error, root, node, what, formats, faults)
    elif keyword == "additionalProperties":
        known = list(schema.get("properties", {}))
        for name, value in node.items:
            if name.text not in known:
                faults.append(_unknown_key(name, value, known, schema))
    elif keyword == "required":
        for name in error.validator_value:
            if node.get(name) is None:
                fault = Diagnostic("schema/missing", f"the key `{name}` is missing{f' in {what}' if key else ''}", _start(node), hints=_example(schema, name))
                if fault not in faults:
                    faults.append(fault)
    elif keyword == "type":
        faults.append(_type_fault(node, what, error.validator_value))
    elif keyword in ("enum", "const"):
        choices = [_word(choice) for choice in (error.validator_value if keyword == "enum" else [error.validator_value])]
        close = close_matches(node.text, choices, 1)
        hint = f"did you mean {close[0]}?" if close else f"write one of: {', '.join(choices)}"
        faults.append(Diagnostic("schema/choice", f"{what} cannot be {node.text[:40]!r}" if node.kind not in ("map", "seq") else f"{what} must be a word", node.span,
                                 hints=(hint,) if not close else (hint, f"it may be: {', '.join(choices)}")))  # fmt: skip
    elif keyword in ("minimum", "maximum"):
        side = "at least" if keyword == "minimum" else "at most"
        faults.append(Diagnostic("schema/range", f"{what} must be {side} {error.validator_value}", node.span))
    elif keyword in ("minItems", "minProperties"):
        faults.append(Diagnostic("schema/too-few", f"{what} needs at least {error.validator_value}", node.span))
    elif keyword in ("maxItems", "maxProperties"):
        faults.append(Diagnostic("schema/too-many", f"{what} has more than {error.validator_value}", node.span))
    elif keyword == "maxLength":
        faults.append(Diagnostic("schema/too-long", f"{what} is longer than {error.validator_value} characters", node.span))
    elif keyword == "minLength":
        faults.append(Diagnostic("schema/empty", f"{what} is empty", node.span))
    elif keyword == "pattern":
        faults.append(Diagnostic("schema/pattern", f"{what} is not written as it should be", node.span, hints=_example({"properties": {key: schema}}, key)))
    elif keyword == "uniqueItems":
        faults.append(Diagnostic("schema/repeated", f"{what} lists the same thing twice", node.span))
    elif keyword == "propertyNames":
        faults.append(Diagnostic("schema/name", f"a name in {what} is empty or too long", node.span))
    else:
        faults.append(Diagnostic("schema/shape", f"{what} does not have the shape it should", node.span))


def _branch(error: Any, root: Node, node: Node, what: str, formats: Formats, faults: list[Diagnostic]) -> None:
    """None of several shapes fits: speak of the one that was meant, told by the node's own shape."""
    branches: dict[int, list[Any]] = {}
    for inner in error.context:
        branches.setdefault(inner.schema_path[0], []).append(inner)
    meant = [inners for inners in branches.values() if not any(inner.validator == "type" and not inner.path for inner in inners)]
    deep = [inners for inners in meant if not all(inner.validator in ("const", "enum", "format", "pattern") and not inner.path for inner in inners)]
    if deep:
        for inner in min(deep, key=len):
            _explain(inner, root, formats, faults)
        return
    consts = [inner for inners in meant for inner in inners if inner.validator in ("const", "enum")]
    choices = [_word(choice) for inner in consts for choice in (inner.validator_value if inner.validator == "enum" else [inner.validator_value])]
    if choices and node.kind not in ("map", "seq"):
        close = close_matches(node.text, choices, 1)
        hint = f"did you mean {close[0]}?" if close else f"write one of: {', '.join(choices)}"
        faults.append(Diagnostic("schema/choice", f"{what} cannot be {node.text[:40]!r}", node.span, hints=(hint,)))
        return
    faults.append(Diagnostic("schema/shape", f"{what} does not have any of the shapes it may have", node.span, hints=_examples_of(error.schema)))


def _unknown_key(name: Node, value: Node, known: list[str], schema: Mapping[str, Any]) -> Diagnostic:
    close = close_matches(name.text, known, 2)
    if close:
        hints = (f"did you mean {' or '.join(f'`{key}`' for key in close)}?",)
    else:
        hints = (f"keys known here: {', '.join(known)}",)
    return Diagnostic("schema/unknown-key", f"there is no key {name.text[:60]!r} here", name.span, hints=hints)


def _type_fault(node: Node, what: str, wanted: Any) -> Diagnostic:
    shapes = {"object": "a map of keys and values", "array": "a list", "string": "words", "integer": "a whole number", "boolean": "true or false", "null": "nothing"}
    names = [wanted] if isinstance(wanted, str) else list(wanted)
    is_now = {"map": "a map", "seq": "a list", "null": "empty"}.get(node.kind, "")
    message = f"{what} must be {' or '.join(shapes[name] for name in names)}" + (f", not {is_now}" if is_now else f", not {node.text[:30]!r}")
    hint = "write plain digits, such as 40: no decimal point, exponent, leading zero or quotes" if "integer" in names and not is_now else ""
    if names == ["boolean"] and node.text.lower() in ("yes", "no", "on", "off", "true", "false"):
        hint = f"write {'true' if node.text.lower() in ('yes', 'on', 'true') else 'false'}"
    return Diagnostic("schema/type", message, _start(node), hints=(hint,) if hint else ())


def _start(node: Node) -> Span:
    """A map's or list's span cut down to its first line, so that the marker stays readable."""
    span = node.span
    return span if span.end_line == span.line else Span(span.file, span.line, span.column, span.line, span.column + 1)


def _word(choice: Any) -> str:
    return str(choice).lower() if isinstance(choice, bool) else str(choice)


def _example(schema: Mapping[str, Any], name: str) -> tuple[str, ...]:
    found = schema.get("properties", {}).get(name, {}).get("examples", ())
    return (f"such as `{name}: {json.dumps(found[0], ensure_ascii=False) if not isinstance(found[0], str) else found[0]}`",) if found else ()


def _examples_of(schema: Mapping[str, Any]) -> tuple[str, ...]:
    found = schema.get("examples", ())
    return (f"such as {json.dumps(found[0], ensure_ascii=False) if not isinstance(found[0], str) else found[0]}",) if found else ()


def _check_formats(validator: Any, schema: Any, plain: Any, node: Node, formats: Formats, faults: list[Diagnostic]) -> None:
    """Walk schema and document together and judge every value that the schema gives a format."""
    for form in _formats_for(validator, schema, plain):
        if form in formats and node.kind not in ("map", "seq"):
            fault = formats[form](node.text)
            if fault is not None:
                faults.append(_format_fault(fault, node))
    for sub in _subschemas(validator, schema, plain):
        if node.kind == "map":
            for name, value in node.items:
                inner = sub.get("properties", {}).get(name.text, sub.get("additionalProperties"))
                if isinstance(inner, Mapping):
                    _check_formats(validator, inner, plain[name.text], value, formats, faults)
        elif node.kind == "seq" and isinstance(sub.get("items"), Mapping):
            for index, element in enumerate(node.elements):
                _check_formats(validator, sub["items"], plain[index], element, formats, faults)


def _format_fault(fault: FormatFault, node: Node) -> Diagnostic:
    span = node.span
    if not node.quoted and span.line == span.end_line and fault.length:
        start = span.column + fault.offset
        span = Span(span.file, span.line, start, span.line, start + fault.length)
    return Diagnostic(fault.code, fault.message, span, hints=(fault.hint,) if fault.hint else ())


def _subschemas(validator: Any, schema: Any, plain: Any) -> list[Mapping[str, Any]]:
    """The schema with its references followed and, of alternatives, those whose outer shape the value has."""
    found: list[Mapping[str, Any]] = [schema]
    if "$ref" in schema:
        resolved = validator._resolver.lookup(schema["$ref"])
        found += _subschemas(validator.evolve(schema=resolved.contents, _resolver=resolved.resolver), resolved.contents, plain)
    for keyword in ("oneOf", "anyOf", "allOf"):
        for branch in schema.get(keyword, ()):
            subs = _subschemas(validator, branch, plain)
            if all(validator.is_type(plain, kind) for sub in subs for kind in [sub.get("type")] if isinstance(kind, str)):
                found += subs
    return found


def _formats_for(validator: Any, schema: Any, plain: Any) -> list[str]:
    subs = _subschemas(validator, schema, plain)
    if any("const" in sub or "enum" in sub for sub in subs[1:]) and any(_same(plain, choice) for sub in subs for choice in [*sub.get("enum", ()), sub.get("const")]):
        return []
    return [sub["format"] for sub in subs if "format" in sub]
