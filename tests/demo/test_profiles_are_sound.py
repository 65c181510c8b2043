"""Every profile that comes with the program is valid, says where its language is described, and explains itself."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchleaf.operations.registry import operation
from benchleaf.resources import data_folder
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.schema import FormatFault, kind_of, validate
from benchleaf.source.yaml_ import load
from benchleaf.units import FORMATS, QuantityFault, parse
from benchleaf.workshop.files import _MODELS
from benchleaf.workshop.structure import structure

PROFILES = data_folder("profiles")
FILES = sorted(PROFILES.rglob("*.yaml"))
MODELS: dict[str, type] = dict(_MODELS)  # those that the program itself structures files by


def _format(name: str, text: str) -> FormatFault | None:
    read = parse(name, text)
    return FormatFault(read.code, read.message, read.hint, read.offset, read.length) if isinstance(read, QuantityFault) else None


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(PROFILES).as_posix())
def test_a_profile_validates_and_structures_and_names_its_schema(path: Path) -> None:
    node, source, faults = load(path, path.name)
    assert faults == []
    assert node is not None
    assert source is not None
    kind, faults = kind_of(node, path.name)
    assert faults == []
    assert kind is not None
    assert validate(node, kind, {name: lambda text, name=name: _format(name, text) for name in FORMATS}) == []
    model = structure(MODELS[kind], fill_defaults(node, kind))
    assert model.name.value  # type: ignore[attr-defined]
    for step in getattr(model, "steps", ()):  # read as each operation reads its own
        here = step.operation.origin.path
        assert structure(operation(step.operation.value).model, step.node, here).origin.path == here
    # The first line is what editors read: the path of the schema, seen from the file.
    wanted = os.path.relpath(data_folder("schemas") / f"{kind}.schema.json", path.parent).replace(os.sep, "/")
    assert source.lines[0] == f"# yaml-language-server: $schema={wanted}"
    assert max(len(line) for line in source.lines) <= 160


def test_there_is_something_of_every_kind_to_look_at_and_to_copy() -> None:
    for shop in ("osier-lane", "starter"):
        kinds = {node["kind"].text for path in FILES if path.is_relative_to(PROFILES / shop) for node in [load(path, path.name)[0]] if node}
        assert kinds == set(MODELS), shop


def test_every_file_of_a_workshop_is_named_by_another() -> None:
    """A file that nothing names is never checked with the rest."""
    for shop in ("osier-lane", "starter"):
        folder = PROFILES / shop
        named = {folder / "workshop.yaml"}
        for path in folder.rglob("*.yaml"):
            node = load(path, path.name)[0]
            assert node is not None
            named |= {(path.parent / leaf.text).resolve() for leaf in node.walk() if leaf.text.endswith(".yaml")}
        assert named == {path.resolve() for path in folder.rglob("*.yaml")}


def test_the_starter_explains_its_keys() -> None:
    for path in (PROFILES / "starter").glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        assert text.count("#") >= 3, path.name
