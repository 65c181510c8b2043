"""A file built on another: what is merged, where every value is from, and the circles and strangers that are caught."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from operations.small_shop import FILES

from benchleaf.compile import check_paths
from benchleaf.source.merge import merged
from benchleaf.source.yaml_ import parse_text
from benchleaf.workshop.files import Library
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.links import Root

TWIN = """\
schema: 1
kind: lathe
extends: lathe.yaml
name: Twin lathe
spindle: {bore: 20 mm}
workholding:
  - {name: chuck, largest-speed: 900 rpm}
  - {name: collet, kind: collet}
"""


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "twin").mkdir()
    (tmp_path / "twin" / "lathe.yaml").write_text(TWIN.replace("extends: lathe.yaml", "extends: ../lathe.yaml"), encoding="utf-8")
    return tmp_path


def lathe(shop: Path, name: str = "twin/lathe.yaml") -> Lathe:
    file = Library().read(shop / name, Root(shop, shop))
    assert file.diagnostics == ()
    found = file.value(Lathe)
    assert found is not None
    return found


def test_maps_are_merged_by_key_and_named_things_by_name(shop: Path) -> None:
    twin = lathe(shop)
    assert (twin.name.value, twin.spindle.bore.text, twin.spindle.length.text if twin.spindle.length else "") == ("Twin lathe", "20 mm", "400 mm")
    held = {device.name.value: device for device in twin.workholding}
    assert list(held) == ["chuck", "collet"]
    assert held["chuck"].kind.value == "chuck"
    assert held["chuck"].largest_speed is not None
    assert held["chuck"].largest_speed.text == "900 rpm"


def test_every_value_keeps_the_line_where_it_was_written(shop: Path) -> None:
    twin = lathe(shop)
    assert (twin.spindle.bore.origin.span.file, twin.spindle.bore.origin.span.line) == ("twin/lathe.yaml", 5)
    assert twin.centres.origin.span.file == "lathe.yaml"


def test_links_that_come_from_the_base_are_seen_from_the_base(shop: Path) -> None:
    job = (shop / "job.yaml").read_text(encoding="utf-8")
    (shop / "job.yaml").write_text(job.replace("machine: lathe.yaml", "machine: twin/lathe.yaml"), encoding="utf-8")
    checked = check_paths([shop / "job.yaml"], shop)
    assert [fault for fault in checked.diagnostics if fault.severity.value == "error"] == []
    sheet = checked.jobs[0].sheet
    assert sheet is not None
    assert sheet.machine == "Twin lathe"
    assert set(checked.jobs[0].job.files) >= {"twin/lathe.yaml", "lathe.yaml", "gears.yaml"}


def test_a_fault_in_what_is_taken_over_stands_in_its_own_file(shop: Path) -> None:
    base = (shop / "lathe.yaml").read_text(encoding="utf-8")
    (shop / "lathe.yaml").write_text(base.replace("centres: 600 mm", "centres: 600"), encoding="utf-8")
    found = check_paths([shop / "twin" / "lathe.yaml"], shop).diagnostics
    assert [(fault.span.file, fault.code) for fault in found if fault.span] == [("lathe.yaml", "units/no-unit")] or found[0].span.file == "lathe.yaml"  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("extends: lathe.yaml", "link/cycle"),  # itself
        ("extends: ../gears.yaml", "link/kind"),
        ("extends: ../nowhere.yaml", "link/missing"),
        ("extends: ../../outside.yaml", "link/outside"),
        ("extends: [../lathe.yaml]", "schema/type"),
    ],
)
def test_what_cannot_be_built_on_is_told_at_its_line(shop: Path, words: str, code: str) -> None:
    (shop / "twin" / "lathe.yaml").write_text(TWIN.replace("extends: lathe.yaml", words), encoding="utf-8")
    found = [fault for fault in check_paths([shop / "twin" / "lathe.yaml"], shop).diagnostics if fault.code == code]
    assert found
    assert found[0].span is not None
    assert found[0].span.line == 3


def test_two_files_built_on_one_another_are_a_circle_and_not_a_hang(shop: Path) -> None:
    (shop / "a.yaml").write_text(TWIN.replace("lathe.yaml", "b.yaml"), encoding="utf-8")
    (shop / "b.yaml").write_text(TWIN.replace("lathe.yaml", "a.yaml"), encoding="utf-8")
    assert "link/cycle" in {fault.code for fault in check_paths([shop / "a.yaml"], shop).diagnostics}


SCALARS = st.sampled_from(["1 mm", "x", "2"])
VALUES = st.recursive(SCALARS, lambda inner: st.dictionaries(st.sampled_from("abc"), inner, max_size=3), max_leaves=8)


def _plain(value: object) -> str:
    return "{" + ", ".join(f"{key}: {_plain(inner)}" for key, inner in value.items()) + "}" if isinstance(value, dict) else str(value)


def _node(value: dict[str, object]):  # type: ignore[no-untyped-def]
    node, faults = parse_text(_plain(value), "x.yaml")
    assert node is not None
    assert faults == []
    return node


def _both(base: object, over: object) -> object:
    if isinstance(base, dict) and isinstance(over, dict):
        return {key: _both(base[key], over[key]) if key in base and key in over else over.get(key, base.get(key)) for key in {**base, **over}}
    return over


def _data(node):  # type: ignore[no-untyped-def]
    return {key.text: _data(value) for key, value in node.items} if node.kind == "map" else node.text


@given(st.dictionaries(st.sampled_from("abc"), VALUES, max_size=3), st.dictionaries(st.sampled_from("abc"), VALUES, max_size=3))
def test_merging_maps_is_what_it_is_on_plain_data(base: dict[str, object], over: dict[str, object]) -> None:
    assert _data(merged(_node(base), _node(over))) == _both(base, over)
    assert _data(merged(_node(base), _node({}))) == base
    assert _data(merged(_node({}), _node(over))) == over
