"""From validated nodes to typed models, driven by the models' own annotations.

A model is a frozen dataclass whose fields bear the keys' names (``over_bed`` for ``over-bed``, ``from_`` for ``from``), plus
``origin``.  The node has passed its schema, so a mismatch here is a fault of ours and raises :class:`StructureError`.
"""

from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, TypeVar

from benchleaf.source.node import Node
from benchleaf.units import Parsed, parse
from benchleaf.workshop.values import Flag, Measure, Number, Origin, Word

__all__ = ["StructureError", "structure"]

T = TypeVar("T")


class StructureError(Exception):
    """A schema and a model disagree: our bug, never the user's."""


def structure(model: type[T], node: Node, path: str = "") -> T:
    """Build ``model`` (a dataclass) from a map node.  ``path`` is the dotted path of keys so far."""
    if node.kind != "map":
        raise StructureError(f"{path or 'document'}: a map is wanted for {model.__name__}, the schema let {node.kind} pass")
    hints = _hints(typing.cast(type, model))
    known = {name.rstrip("_").replace("_", "-"): name for name in hints if name != "origin"}
    values: dict[str, Any] = dict.fromkeys(known.values())
    for key, value in node.items:
        if key.text in ("schema", "kind") and not path:
            continue
        if key.text not in known:
            raise StructureError(f"{path}.{key.text}: the schema knows this key, {model.__name__} does not")
        name = known[key.text]
        values[name] = _build(hints[name], value, _join(path, key.text))
    for name, hint in hints.items():
        if name != "origin" and values[name] is None and not _optional(hint):
            values[name] = _empty(hint, f"{path}.{name}")
    built: T = typing.cast(Any, model)(origin=_origin(node, path), **values)
    return built


@lru_cache(maxsize=128)
def _hints(model: type) -> dict[str, Any]:
    return typing.get_type_hints(model, include_extras=True)


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key


def _optional(hint: Any) -> bool:
    return typing.get_origin(hint) in (types.UnionType, typing.Union) and type(None) in typing.get_args(hint)


def _empty(hint: Any, path: str) -> Any:
    """Lists and tables that are left out are empty; anything else must have been required or had a default."""
    kind = typing.get_origin(hint)
    if kind is tuple:
        return ()
    if kind is Mapping:
        return types.MappingProxyType({})
    raise StructureError(f"{path}: neither required nor given a default by its schema")


def _origin(node: Node, path: str) -> Origin:
    return Origin(path, node.span, default=node.origin == "default")


def _build(hint: Any, node: Node, path: str) -> Any:
    if typing.get_origin(hint) in (types.UnionType, typing.Union):
        return _build(_choose(hint, node, path), node, path)
    if typing.get_origin(hint) is typing.Annotated:
        return _scalar(typing.get_args(hint)[1], node, path)
    if typing.get_origin(hint) is tuple:
        element = typing.get_args(hint)[0]
        return tuple(_build(element, item, f"{path}[{index}]") for index, item in enumerate(node.elements))
    if typing.get_origin(hint) is Mapping:
        element = typing.get_args(hint)[1]
        return types.MappingProxyType({key.text: _build(element, value, _join(path, key.text)) for key, value in node.items})
    if hint is Flag:
        return Flag(node.text == "true", _origin(node, path))
    if hasattr(hint, "from_node"):  # what reads its own node
        return hint.from_node(node, path)
    if dataclasses.is_dataclass(hint):
        return structure(typing.cast(Any, hint), node, path)
    raise StructureError(f"{path}: no rule for {hint!r}")


def _choose(hint: Any, node: Node, path: str) -> Any:
    """The member of a union that has the node's shape: map, list or scalar."""
    wanted = node.kind if node.kind in ("map", "seq") else "scalar"
    for member in typing.get_args(hint):
        if member is not type(None) and _shape(member) == wanted and (wanted != "scalar" or _takes(member, node)):
            return member
    raise StructureError(f"{path}: nothing in {hint!r} takes a {node.kind}")


def _shape(member: Any) -> str:
    if member is Flag or typing.get_origin(member) is typing.Annotated:
        return "scalar"
    return "seq" if typing.get_origin(member) is tuple else "map"


def _takes(member: Any, node: Node) -> bool:
    if member is Flag:
        return node.kind == "boolean"
    name = str(typing.get_args(member)[1])
    if name == "count":
        return node.text.isdecimal() and not node.quoted
    return name in ("text", "link") or isinstance(parse(name, node.text), Parsed)


def _scalar(name: str, node: Node, path: str) -> Measure | Word | Number:
    origin = _origin(node, path)
    if name in ("text", "link"):
        return Word(node.text, origin)
    if name == "count":
        return Number(int(node.text), origin)
    parsed = parse(name, node.text)
    if not isinstance(parsed, Parsed):
        raise StructureError(f"{path}: {parsed.message}; the schema does not ask for the format {name!r}")
    return Measure(parsed.value, parsed.unit, node.text, origin, parsed.system)
