"""Defaults: each from the line of the schema that states it, where its parent is there, and nothing else changed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from source.reading import TRIAL_SCHEMAS, UNITS, schemas_from, words_at

from benchleaf.resources import data_folder
from benchleaf.source import shapes
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.node import Node
from benchleaf.source.schema import kind_of, validate
from benchleaf.source.yaml_ import load, parse_text

PROFILES = sorted(data_folder("profiles").rglob("*.yaml"))


def _data(node: Node) -> Any:
    if node.kind == "map":
        return {key.text: _data(value) for key, value in node.items}
    return [_data(element) for element in node.elements] if node.kind == "seq" else node.text


def _words(value: Any) -> Any:
    """Plain data with its scalars as words."""
    if isinstance(value, dict):
        return {key: _words(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_words(inner) for inner in value]
    return value if isinstance(value, str) else json.dumps(value)


def _tops(node: Node) -> Iterator[Node]:
    """Values that are defaults, but not what is inside one."""
    for inner in [*(value for _, value in node.items), *node.elements]:
        if inner.origin == "default":
            yield inner
        else:
            yield from _tops(inner)


def _pointed(name: str, pointer: str) -> Any:
    found: Any = json.loads((data_folder("schemas") / name).read_text(encoding="utf-8"))
    for part in pointer.split("/")[1:]:
        found = found[int(part)] if isinstance(found, list) else found[part.replace("~1", "/").replace("~0", "~")]
    return found


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_each_default_stands_where_its_place_says(path: Any) -> None:
    node, _, faults = load(path, path.name)
    assert node is not None
    assert faults == []
    kind, _ = kind_of(node, path.name)
    assert kind is not None
    assert validate(node, kind, UNITS) == []
    filled = fill_defaults(node, kind)
    assert validate(filled, kind, UNITS) == [], "what is filled in fits too"
    for default in _tops(filled):
        folder, _, name = default.span.file.partition("/")
        assert folder == "schemas"
        text = (data_folder("schemas") / name).read_text(encoding="utf-8")
        stated = json.loads(words_at(text, default.span))
        assert stated == _pointed(name, default.pointer)
        assert default.pointer.endswith("/default")
        kept = _data(default)
        if isinstance(stated, dict):  # the defaults inside may add to it
            assert {key: kept[key] for key in stated} == _words(stated)
        elif not isinstance(stated, list):
            assert kept == _words(stated)


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_what_was_written_stays_and_filling_twice_changes_nothing(path: Any) -> None:
    node, _, _ = load(path, path.name)
    assert node is not None
    kind, _ = kind_of(node, path.name)
    assert kind is not None
    filled = fill_defaults(node, kind)
    assert fill_defaults(filled, kind) == filled

    def written(node: Node) -> Node:
        items = tuple((key, written(value)) for key, value in node.items if value.origin == "file")
        return Node(node.kind, node.span, node.text, node.quoted, items, tuple(written(element) for element in node.elements))

    assert written(filled) == node


def test_defaults_need_their_parent_and_may_nest() -> None:
    with schemas_from(TRIAL_SCHEMAS):
        node, _ = parse_text("schema: 1\nkind: toy\ntree: {inner: {}}\n", "x")
        assert node is not None
        filled = fill_defaults(node, "toy")
        group = {"first": "3 mm", "default": 'said "default": twice', "inner": {"deep": ["a", "b"]}}
        assert _data(filled) == {
            "schema": "1", "kind": "toy", "tree": {"inner": {"leaf": "7"}, "leaf": "7"}, "flag": "false", "size": "12 mm", "hand": "right", "group": group,
        }  # fmt: skip
        kinds = {path: found.kind for path in ("flag", "size", "tree.leaf", "group.inner") if (found := filled.at(path)) is not None}
        assert kinds == {"flag": "boolean", "size": "text", "tree.leaf": "number", "group.inner": "map"}
        leaf = filled.at("tree.leaf")
        assert leaf is not None
        assert leaf.span.file == "schemas/common.schema.json"
        assert leaf.pointer == "/$defs/tree/properties/leaf/default"
        text = shapes.schema_text("toy")
        for path in ("group", "group.default", "group.inner.deep", "hand", "size"):
            found = filled.at(path)
            assert found is not None
            assert found.origin == "default"
            assert found.span.file == "schemas/toy.schema.json"
            assert json.loads(words_at(text, found.span)) == _pointed_in(text, found.pointer)
        sparse, _ = parse_text("schema: 1\nkind: toy\n", "x")
        assert sparse is not None
        assert "tree" not in fill_defaults(sparse, "toy"), "no default inside a map makes the map appear"


def _pointed_in(text: str, pointer: str) -> Any:
    found: Any = yaml.safe_load(text)
    for part in pointer.split("/")[1:]:
        found = found[int(part)] if isinstance(found, list) else found[part]
    return found
