"""A profile as YAML: the editor's line first, every top-level key with what its schema says of it, short maps on one line."""

from __future__ import annotations

import json
import re
import textwrap
from typing import Any

from benchleaf.source.shapes import Schema, resolve, schema_of

__all__ = ["document", "entry", "flow", "modeline", "scalar"]

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ./()+'°-]*[A-Za-z0-9).'°]|[A-Za-z0-9]")
_WIDTH = 110


def modeline(kind: str, schemas: str) -> str:
    """The line by which editors find the schema; ``schemas`` is where the schema files are, as seen from the file."""
    return f"# yaml-language-server: $schema={schemas}/{kind}.schema.json"


def document(kind: str, data: dict[str, Any], schemas: str, missing: list[str]) -> str:
    """The whole file.  What is still ``missing`` is named in comments at its end."""
    properties = schema_of(kind)["properties"]
    lines = [modeline(kind, schemas)]
    for key, value in data.items():
        lines += _comment(properties.get(key, {}), kind) if key not in ("schema", "kind") else []
        lines += entry(key, value, 0)
    if missing:
        lines.append("# Still to be filled in (run `benchleaf describe` on this file again):")
        lines += [f"#   {path}" for path in missing]
    return "\n".join(lines) + "\n"


def _comment(schema: Schema, home: str) -> list[str]:
    while "$ref" in schema:
        target, home = resolve(schema["$ref"], home)
        schema = {**target, **{key: value for key, value in schema.items() if key != "$ref"}}
    first, stop, _ = str(schema.get("description", "")).partition(". ")
    words = f"{first}." if stop else first
    return [f"# {line}" for line in textwrap.wrap(words, _WIDTH)]


def entry(key: str, value: Any, indent: int) -> list[str]:
    """The lines of one key, ``indent`` spaces in."""
    space = " " * indent
    short = f"{space}{scalar(key)}: {flow(value)}"
    if not isinstance(value, (dict, list)) or (len(short) <= _WIDTH and not _deep(value)):
        return [short]
    lines = [f"{space}{scalar(key)}:"]
    if isinstance(value, dict):
        for name, inner in value.items():
            lines += entry(name, inner, indent + 2)
        return lines
    for item in value:
        whole = f"{space}  - {flow(item)}"
        if not isinstance(item, dict) or len(whole) <= _WIDTH:
            lines.append(whole)
            continue
        inner = [line for name, part in item.items() for line in entry(name, part, indent + 4)]
        lines += [f"{space}  - {inner[0].strip()}", *inner[1:]]
    return lines


def _deep(value: Any) -> bool:
    """Whether a value is better on lines of its own: maps of maps, lists of maps."""
    parts = value.values() if isinstance(value, dict) else value
    return any(isinstance(part, dict) and len(part) > 1 for part in parts)


def flow(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{scalar(key)}: {flow(part)}" for key, part in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(part) for part in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if isinstance(value, int) else scalar(value)


def scalar(words: str) -> str:
    """Text bare where every reader of YAML takes it for the same text, else in quotes."""
    looks_like = words.casefold() in ("true", "false", "yes", "no", "on", "off", "null", "~") or re.fullmatch(r"[0-9.eE+-]+", words)
    return words if _PLAIN.fullmatch(words) and not looks_like else json.dumps(words, ensure_ascii=False)
