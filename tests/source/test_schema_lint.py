"""House rules for schemas: ours keep them, and each rule bites."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from schemas.schema_reading import MADE
from source.reading import TRIAL_SCHEMAS, UNITS, schemas_from

from benchleaf.source.schema import kinds
from benchleaf.source.schema_lint import lint
from benchleaf.source.shapes import names

# Found, not listed.  Sheets and the register of what was printed have languages of their own, which are not written by hand.
OURS = [name for name in names() if name not in MADE]


def test_all_kinds_what_they_share_and_every_step_are_looked_at() -> None:
    steps = {name for name in OURS if name.startswith("steps/")}
    assert "steps/screwcut" in steps
    assert set(OURS) == {*kinds(), "common", *steps}


@pytest.mark.parametrize("name", OURS)
def test_the_schemas_of_the_language_keep_the_house_rules(name: str) -> None:
    assert lint(name, UNITS) == []


def _with(tmp_path: Path, changes: dict[str, Any], text: str = "") -> list[str]:
    """What is said of the trial schema after some of its properties are replaced."""
    toy = json.loads((TRIAL_SCHEMAS / "toy.schema.json").read_text(encoding="utf-8"))
    toy["properties"] = {key: toy["properties"][key] for key in ("schema", "kind")} | changes
    (tmp_path / "toy.schema.json").write_text(text or json.dumps(toy), encoding="utf-8")
    (tmp_path / "common.schema.json").write_text((TRIAL_SCHEMAS / "common.schema.json").read_text(encoding="utf-8"), encoding="utf-8")
    with schemas_from(tmp_path):
        return lint("toy", UNITS)


BAD: dict[str, tuple[dict[str, Any], str]] = {
    "a misspelt keyword": ({"type": "string", "maxLenght": 3}, "maxLenght"),
    "an unknown format": ({"type": "string", "format": "lenght"}, "lenght"),
    "a dangling reference": ({"$ref": "common.schema.json#/$defs/nothing"}, "leads nowhere"),
    "a reference to the network": ({"$ref": "https://example.org/x.json"}, "leads nowhere"),
    "an open map": ({"type": "object", "properties": {}}, "not closed"),
    "free names of any length": ({"type": "object", "additionalProperties": {"type": "string"}}, "not closed"),
    "a property without words": (
        {"type": "object", "properties": {"a": {"type": "string"}}, "additionalProperties": False},
        "neither title",
    ),
    "a required key that is not there": (
        {"type": "object", "required": ["a"], "properties": {}, "additionalProperties": False},
        "required",
    ),
    "a default that does not fit": ({"type": "integer", "minimum": 3, "default": 2}, "does not fit"),
    "a default of a wrong format": ({"type": "string", "format": "length", "default": "3 furlongs"}, "does not fit"),
    "an example that does not fit": ({"type": "string", "maxLength": 2, "examples": ["abc"]}, "does not fit"),
    "a default in an alternative": ({"oneOf": [{"type": "string", "default": "a"}, {"type": "array"}]}, "always applies"),
    "words here, numbers there": ({"oneOf": [{"type": "string", "maxLength": 2}, {"type": "integer", "minimum": 4}]}, "in another"),
}


@pytest.mark.parametrize("name", BAD)
def test_each_rule_bites(tmp_path: Path, name: str) -> None:
    part, words = BAD[name]
    found = _with(tmp_path, {"trial": {"title": "trial", **part}})
    assert len(found) == 1, found
    assert words in found[0]
    assert "trial" in found[0]


def test_the_trial_schemas_themselves_keep_the_rules(tmp_path: Path) -> None:
    with schemas_from(TRIAL_SCHEMAS):
        assert lint("toy", UNITS) == lint("common", UNITS) == []
    assert _with(tmp_path, {}) == []


def test_a_file_in_a_folder_is_judged_as_any_other(tmp_path: Path) -> None:
    """References are seen from the file that makes them, and the faults of one file are told of that file alone."""
    shared = {"$id": "common.schema.json", "$defs": {"width": {"title": "width", "type": "string", "format": "length"}}}
    step = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "steps/plane.schema.json",
        "title": "planing",
        "type": "object",
        "properties": {
            "width": {"$ref": "../common.schema.json#/$defs/width", "default": "3 mm"},
            "near": {"$ref": "common.schema.json#/$defs/width"},
            "far": {"title": "far", "$ref": "../../common.schema.json#/$defs/width"},
            "wrong": {"$ref": "../common.schema.json#/$defs/width", "default": "3 furlongs"},
            "again": {"title": "again", "type": "integer", "minimum": 3, "default": 2},
        },
        "additionalProperties": False,
    }
    (tmp_path / "steps").mkdir()
    (tmp_path / "common.schema.json").write_text(json.dumps(shared), encoding="utf-8")
    (tmp_path / "steps" / "plane.schema.json").write_text(json.dumps(step), encoding="utf-8")
    with schemas_from(tmp_path):
        assert names() == ("common", "steps/plane")
        assert lint("common", UNITS) == []
        found = lint("steps/plane", UNITS)
    assert [fault.partition(": ")[::2] for fault in found] == [
        ("steps/plane/properties/near", "the reference 'common.schema.json#/$defs/width' leads nowhere"),
        ("steps/plane/properties/far", "the reference '../../common.schema.json#/$defs/width' leads nowhere"),
        ("steps/plane/properties/wrong", "the default '3 furlongs' does not fit its own schema"),
        ("steps/plane/properties/again", "the default 2 does not fit its own schema"),
    ]


def test_a_key_given_twice_and_a_wrong_name_are_seen(tmp_path: Path) -> None:
    text = '{"$id": "other.schema.json", "type": "object", "title": "a", "title": "b", "properties": {}, "additionalProperties": false}'
    assert [fault.partition(": ")[2] for fault in _with(tmp_path, {}, text)] == [
        "the key 'title' is given twice",
        "$id is not the name of its file",
    ]
    assert "not a schema" in _with(tmp_path, {}, '{"type": 3}')[0]
