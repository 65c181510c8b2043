"""Answers in words made into the plain data of a profile, judged by the schema of the place."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import Any

from benchleaf.diagnostics import close_matches
from benchleaf.source.node import Node
from benchleaf.source.shapes import Schema, resolve
from benchleaf.source.yaml_ import parse_text
from benchleaf.units import FORMATS, QuantityFault, parse

__all__ = ["NotUnderstoodError", "plain", "read_list", "read_map", "read_scalar"]


class NotUnderstoodError(ValueError):
    """Why an answer will not do, in words for whoever gave it."""


def read_scalar(words: str, schema: Schema, home: str) -> Any:
    """One value.  Raises NotUnderstoodError."""
    choices = [str(option["const"]) for option in schema.get("oneOf", ()) if "const" in option] or list(schema.get("enum", ()))
    if choices:
        return _choice(words, choices)
    types = schema.get("type", "string")
    if types == "boolean":
        if words.casefold() in ("y", "yes", "true"):
            return True
        if words.casefold() in ("n", "no", "false"):
            return False
        raise NotUnderstoodError("answer yes or no")
    if types == "integer":
        return _whole(words, schema)
    if words[:1] in "[{" and types != "string":
        return _flow(words)
    if isinstance(types, list) and "integer" in types and (words.isdecimal() or "string" not in types):
        return _whole(words, schema)
    form = schema.get("format")
    if form in FORMATS:
        found = parse(str(form), words)
        if isinstance(found, QuantityFault):
            raise NotUnderstoodError(f"{found.message}; {found.hint}" if found.hint else found.message)
    if len(words) > schema.get("maxLength", len(words)):
        raise NotUnderstoodError(f"at most {schema['maxLength']} letters")
    if "pattern" in schema and not re.search(schema["pattern"], words):
        raise NotUnderstoodError(f"write it like {schema.get('examples', [''])[0]}")
    return words


def _whole(words: str, schema: Schema) -> int:
    if not words.isdecimal():
        raise NotUnderstoodError("a whole number is wanted")
    number, low, high = int(words[:16]), schema.get("minimum", 0), schema.get("maximum", 10**9)
    if not low <= number <= high:
        raise NotUnderstoodError(f"a whole number from {low} to {high} is wanted")
    return number


def _choice(words: str, choices: list[str]) -> str:
    if words in choices:
        return words
    begins = [choice for choice in choices if choice.casefold().startswith(words.casefold())]
    if len(begins) == 1:
        return begins[0]
    close = close_matches(words, choices, 1)
    raise NotUnderstoodError(f"choose one of {', '.join(choices)}" + (f"; did you mean {close[0]}?" if close else ""))


def read_list(words: str, schema: Schema, home: str) -> list[Any]:
    """Values apart by commas, or a YAML list, with or without its brackets.  Raises NotUnderstoodError."""
    if "[" in words or "{" in words:
        return _flow_list(words)
    element = schema["items"]
    while "$ref" in element:
        target, home = resolve(element["$ref"], home)
        element = {**target, **{key: value for key, value in element.items() if key != "$ref"}}
    return [read_scalar(item.strip(), element, home) for item in words.split(",") if item.strip()]


def _flow_list(words: str) -> list[Any]:
    found: Any = None
    if words.startswith("["):
        with suppress(NotUnderstoodError):  # `[63, 60], 30` is a list without its own brackets
            found = _flow(words)
    if not isinstance(found, list):
        found = _flow(f"[{words}]" if words.count("[") == words.count("]") else words)
    if not isinstance(found, list):
        raise NotUnderstoodError("a list is wanted")
    return found


def read_map(words: str, schema: Schema, home: str) -> dict[str, Any]:
    """``name = value`` pairs apart by commas, or a YAML map.  Raises NotUnderstoodError."""
    if words.startswith("{"):
        found = _flow(words)
        if not isinstance(found, dict):
            raise NotUnderstoodError("a map is wanted")
        return found
    made: dict[str, Any] = {}
    for pair in words.split(","):
        name, sign, value = (part.strip() for part in pair.partition("="))
        if not sign or not name or not value:
            raise NotUnderstoodError("write it as name = value, name = value")
        made[name] = read_scalar(value, schema["additionalProperties"], home)
    return made


def _flow(words: str) -> Any:
    node, faults = parse_text(f"x: {words}", "answer")
    if node is None or faults or node.kind != "map":
        raise NotUnderstoodError(faults[0].message if faults else "this is not YAML")
    return plain(node["x"])


def plain(node: Node) -> Any:
    """A document as plain data: words stay words, whole numbers and yes or no become such."""
    if node.kind == "map":
        return {key.text: plain(value) for key, value in node.items}
    if node.kind == "seq":
        return [plain(element) for element in node.elements]
    if node.kind == "number" and node.text.isdecimal():
        return int(node.text)
    if node.kind == "boolean":
        return node.text == "true"
    return node.text


