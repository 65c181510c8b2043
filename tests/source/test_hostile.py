"""Broken and hostile files: what must come of each that concerns reading and shape.  The table of them is data/hostile.json.

X17 and X31 are about links between files and have no fault that could be seen in one file; here they are only read.
"""

from __future__ import annotations

import base64
import json
import os
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from source.reading import HERE, UNITS, judge

from benchleaf.diagnostics import Diagnostic
from benchleaf.report.json_ import to_json
from benchleaf.report.text import render
from benchleaf.source.node import Node
from benchleaf.source.schema import kind_of, validate
from benchleaf.source.yaml_ import load, parse_text

INPUTS: list[dict[str, Any]] = json.loads((HERE / "data" / "hostile.json").read_text(encoding="utf-8"))["inputs"]
BY_NAME = {entry["id"]: entry for entry in INPUTS}
GEARS = "schema: 1\nkind: gear-set\nname: x\ntooth-size: module 1\n"


def _write(entry: dict[str, Any], folder: Path) -> list[Path]:
    """The files of an entry, whatever its form; the ones to be read."""
    if "tree" in entry:
        for name, text in entry["tree"]["files"].items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8")
        for name, target in entry["tree"].get("symlinks", {}).items():
            (folder / name).symlink_to(target)
        return [folder / name for name in (*entry["tree"]["files"], *entry["tree"].get("symlinks", {}))]
    path = folder / "x.yaml"
    if "base64" in entry:
        path.write_bytes(base64.b64decode(entry["base64"]))
    else:
        path.write_text(eval(entry["recipe"]) if "recipe" in entry else entry["text"], encoding="utf-8")
    return [path]


@pytest.mark.parametrize("name", BY_NAME)
def test_nothing_raises_nothing_takes_long_and_no_message_can_harm(tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    paths = _write(BY_NAME[name], tmp_path)
    monkeypatch.chdir(tmp_path)
    before = sorted(os.walk(tmp_path))
    tracemalloc.start()
    start = time.perf_counter()
    for path in paths:
        node, source, faults = load(path, path.name)
        if node is not None:
            kind, unkind = kind_of(node, path.name)
            faults += [*unkind, *(validate(node, kind, UNITS) if kind else ())]
        assert faults, "none of them is a sound file of the language"
        lines = {path.name: source.lines} if source else {}
        shown = render(faults, lines, files=1)
        assert all(char == "\n" or char.isprintable() for char in shown)
        assert len(shown) < 20_000
        assert all(fault.span is not None and fault.span.file == path.name for fault in faults)
        assert json.loads(to_json(faults))["diagnostics"]
    seconds, (_, peak) = time.perf_counter() - start, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert seconds < 2
    assert peak < 50_000_000
    assert sorted(os.walk(tmp_path)) == before, "nothing is written"


def _at(data: Any, path: list[str | int]) -> Any:
    for part in path:
        data = data[part]
    return data


@pytest.mark.parametrize("name", [entry["id"] for entry in INPUTS if "yaml11_reads" in entry])
def test_each_trap_is_one(name: str) -> None:
    """What a YAML 1.1 reader (PyYAML's own) makes of it: without the trap there would be nothing to test."""
    entry = BY_NAME[name]
    raw = base64.b64decode(entry["base64"]) if "base64" in entry else entry["text"]
    for trap in entry["yaml11_reads"]:
        if trap["as"] == "YAMLError":
            with pytest.raises(yaml.YAMLError):
                yaml.safe_load(raw)
        else:
            assert repr(_at(yaml.safe_load(raw), trap["at"])) == trap["as"]


def _node(name: str) -> Node:
    node, faults = parse_text(BY_NAME[name]["text"], "x")
    assert node is not None
    assert faults == []
    return node


def _faults(name: str) -> list[Diagnostic]:
    return parse_text(BY_NAME[name]["text"], "x")[1]


def _places(faults: list[Diagnostic]) -> list[tuple[str, int, int]]:
    return [(fault.code, fault.span.line, fault.span.column) for fault in faults if fault.span]


def test_x01_a_key_twice_points_at_the_second_and_names_the_first() -> None:
    faults = _faults("X01")
    assert _places(faults) == [("yaml/duplicate-key", 4, 3)]
    assert [(span.line, span.column) for span, _ in faults[0].related] == [(2, 3)]


def test_x03_tooth_pairs_are_words_whatever_their_digits() -> None:
    trains = _node("X03")["trains"]
    assert [(train.kind, train.text) for train in trains] == [("text", "24:48"), ("text", "24:72")]


def test_x05_on_and_off_are_words_as_keys_and_values() -> None:
    node = _node("X05")
    positions = node.at("levers[0].positions")
    assert positions is not None
    assert [(key.kind, key.text, value.text) for key, value in positions.items] == [("text", "on", "1/2"), ("text", "off", "1/1")]
    halver = node.at("set.halver")
    assert halver is not None
    assert (halver.kind, halver.text) == ("text", "on")


def test_x07_a_no_break_space_is_kept_for_the_quantity() -> None:
    assert _node("X07")["bore"].text == "25.4\u00a0mm"
    assert judge(GEARS + "wheels: [40]\nbore: 25.4\u00a0mm\n") == []


def test_x09_a_decimal_comma_is_marked_with_the_number_meant() -> None:
    assert _node("X09")["pitch"].text == "1,5 mm"
    faults = judge(GEARS + "wheels: [40]\nbore: 1,5 mm\n")
    assert _places(faults) == [("units/decimal-comma", 6, 8)]
    assert "1.5 mm" in faults[0].hints[0]


def test_x11_a_tab_is_marked_and_spaces_are_advised() -> None:
    faults = _faults("X11")
    assert _places(faults) == [("yaml/tab", 2, 1)]
    assert "spaces" in faults[0].hints[0]


def test_x13_utf_16_is_refused_in_words(tmp_path: Path) -> None:
    node, source, faults = load(_write(BY_NAME["X13"], tmp_path)[0], "x")
    assert (node, source) == (None, None)
    assert [fault.code for fault in faults] == ["source/encoding"]
    assert "UTF-8" in faults[0].hints[0]
    assert faults[0].message.isascii()


def test_x15_an_alias_bomb_is_named_by_its_line() -> None:
    assert [(code, line) for code, line, _ in _places(_faults("X15"))] == [("yaml/too-many", 5)]


def test_x19_each_senseless_count_of_teeth_is_reported_with_the_least_there_can_be() -> None:
    faults = judge(GEARS + BY_NAME["X19"]["text"])
    assert _places(faults) == [("schema/range", line, 12) for line in (6, 7, 8)]
    assert all("8" in fault.message for fault in faults)


def test_x21_no_pitch_and_no_turns_are_refused_at_each() -> None:
    job = "schema: 1\nkind: job\nname: x\nmachine: a\nmaterial: b\nblank: {bore: 20 mm}\nheld: {by: x}\nsteps:\n"
    for lead in ("0 mm", "0", "0 TPI"):
        step = f"  - screwcut: {{thread: {{form: metric, major: 20 mm, lead: {lead}}}, where: inside, length: 5 mm, ends-in: free end, tool: x}}\n"
        codes = [code for code, *_ in _places(judge(job + step + step))]
        assert len(codes) == 2
        assert all(code.startswith("units/") for code in codes)


def test_x23_neither_a_nan_nor_an_infinity_is_a_quantity() -> None:
    node = _node("X23")
    assert [(key.text, value.kind, value.text) for key, value in node.items] == [
        ("pitch", "number", ".nan"), ("lead", "number", ".inf"), ("bore", "text", "nan mm"),
    ]  # fmt: skip
    for word in (".nan", ".inf", "nan mm", "-.inf mm"):
        assert next(code for code, *_ in _places(judge(GEARS + f"wheels: [40]\nbore: {word}\n"))).startswith("units/")


def test_x25_half_a_tooth_and_other_spellings_fall_under_one_rule() -> None:
    faults = judge(GEARS + BY_NAME["X25"]["text"])
    assert _places(faults) == [("schema/whole-number", 5, column) for column in (10, 16, 22)]
    assert len({fault.hints for fault in faults}) == 1


def test_x27_capitals_and_look_alikes_are_read_alike_in_every_place() -> None:
    node = _node("X27")
    for key, value in node.items:
        bad = [bool(judge(GEARS + f"wheels: [40]\n{place}: '{value.text}'\n".replace("3' 6", "3'' 6"))) for place in ("bore", "width")]
        assert bad == [key.text != "blank"] * 2, 'only 0.64" is a length'


def test_x29_markup_in_a_name_is_words() -> None:
    assert _node("X29")["name"].text == "<script>alert(1)</script>"


def test_x33_a_loop_of_links_ends_with_an_error(tmp_path: Path) -> None:
    found = {path.name: [fault.code for fault in load(path, path.name)[2]] for path in _write(BY_NAME["X33"], tmp_path)}
    assert found == {"lathe.yaml": [], "again": ["source/not-a-file"], "p.yaml": ["source/loop"], "q.yaml": ["source/loop"]}


def test_x35_a_second_document_is_refused_at_its_dashes() -> None:
    assert _places(_faults("X35")) == [("yaml/documents", 2, 1)]


def test_x37_a_name_of_ten_million_letters_is_refused_by_a_stated_limit(tmp_path: Path) -> None:
    faults = load(_write(BY_NAME["X37"], tmp_path)[0], "x")[2]
    assert [fault.code for fault in faults] == ["source/too-large"]
    assert "1024 KiB" in faults[0].message
    assert [code for code, *_ in _places(parse_text("name: " + "a" * 10**5, "x")[1])] == ["yaml/scalar-long"]
    assert [code for code, *_ in _places(judge(GEARS.replace("name: x", "name: " + "a" * 9999) + "wheels: [40]\n"))] == ["schema/too-long"]


def test_x39_a_tag_is_named_and_nothing_is_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    faults = _faults("X39")
    assert _places(faults) == [("yaml/tag", 1, 7)]
    assert "!!python/object/apply:os.system" in faults[0].message
    assert list(tmp_path.iterdir()) == []


def test_every_entry_is_spoken_for() -> None:
    """An entry that is added to the table without a test of its own is noticed."""
    elsewhere = {"X17", "X31"}
    tested = {name.split("_")[1].upper() for name, value in globals().items() if name.startswith("test_x") and isinstance(value, Callable)}
    assert tested | elsewhere == set(BY_NAME)
