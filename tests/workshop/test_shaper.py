"""Shapers: what a file becomes, what is found wrong with one, and that every figure of the profiles can be worked with."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better
from pathlib import Path
from typing import Any

import pytest
import yaml

from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.kinematics.crank import Constant, Link, link_of_strokes, motion
from benchleaf.report.codes import Code, codes
from benchleaf.resources import data_folder
from benchleaf.source.schema import schema_of
from benchleaf.standards.shaping import tool_shapes
from benchleaf.workshop.files import Library
from benchleaf.workshop.links import Root
from benchleaf.workshop.load import load_path
from benchleaf.workshop.shaper import Shaper

BASE = """\
schema: 1
kind: shaper
name: Bench shaper
system: metric
ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {ratio: 3:2}}
rates: [{rate: 25 strokes/min}]
table:
  cross: {travel: 250 mm, dial: {division: 0.05 mm, turn: 5 mm}}
  vertical: {travel: 180 mm}
head: {travel: 80 mm, dial: {division: 0.02 mm, turn: 3 mm}, swivel: 60 deg}
space: {under-ram: 220 mm}
"""
SHAPERS = [code for code in codes().values() if code.code.startswith("shaper/")]


def read(text: str, folder: Path) -> tuple[Shaper | None, tuple[Diagnostic, ...]]:
    path = folder / "shaper.yaml"
    path.write_text(text, encoding="utf-8")
    file = Library().read(path, Root(folder, folder))
    return file.value(Shaper), file.diagnostics


def with_parts(text: str) -> str:
    """The base file with the keys of a snippet in the place of its own."""
    taken = set(yaml.safe_load(text))
    kept = [block for block in _blocks(BASE) if block.split(":")[0] not in taken]
    return "".join(kept) + text


def _blocks(text: str) -> list[str]:
    blocks: list[str] = []
    for line in text.splitlines(keepends=True):
        if line.startswith(" "):
            blocks[-1] += line
        else:
            blocks.append(line)
    return blocks


def model(text: str, folder: Path) -> Shaper:
    found, faults = read(text, folder)
    assert faults == ()
    assert found is not None
    return found


# What a file becomes


def test_the_least_that_can_be_said_and_what_is_then_understood(tmp_path: Path) -> None:
    shaper = model(BASE, tmp_path)
    assert (shaper.ram.shortest_stroke.value, shaper.ram.longest_stroke.value) == (20, 250)
    assert shaper.ram.drive.crank is None
    assert shaper.ram.drive.ratio is not None
    assert shaper.ram.drive.ratio.value == F(3, 2)
    assert [(rate.rate.value, rate.rate.unit, dict(rate.set)) for rate in shaper.rates] == [(25, "stroke/min", {})]
    assert (shaper.cross_feed, shaper.down_feed, shaper.vices, shaper.index_heads, shaper.readings, shaper.tooling) == (None, None, (), (), (), ())
    head = shaper.head
    assert (head.scale_upright.value, head.clapper_tilt.value, head.swivel_division.value, head.clapper_locks.value) == (0, 15, 1, False)
    assert (shaper.table.support.value, shaper.table.cross.backlash.value, shaper.table.vertical.dial) == (False, 0, None)


def test_an_inch_shaper_is_held_exactly() -> None:
    folder = data_folder("profiles") / "osier-lane"
    file = Library().read(folder / "shapers" / "old-shaper.yaml", Root(folder, folder))
    assert file.diagnostics == ()
    shaper = file.value(Shaper)
    assert shaper is not None
    assert shaper.system.value == "inch"
    assert shaper.ram.longest_stroke.value == 14 * F(127, 5)
    assert (shaper.table.cross.dial.division.value, shaper.table.cross.dial.turn.value) == (F(127, 5000), F(127, 25))
    assert shaper.cross_feed is not None
    assert [shaper.cross_feed.notch.value * notch.value / F(127, 5) for notch in shaper.cross_feed.notches] == [F(5 * k, 1000) for k in range(1, 7)]
    assert {rate.set["belt"].value for rate in shaper.rates} == {"1", "2", "3"}
    assert shaper.rates[0].set["back gear"].value == "in"
    assert [name.value for name in shaper.holding_names] == ["machine vice", "small vice", "index centres", "table clamps", "v-blocks"]
    assert [[hole.value for hole in plate] for plate in shaper.index_heads[0].plates] == [[15, 16, 17, 18, 19, 20], [21, 23, 27, 29, 31, 33]]
    assert [link.value for link in file.links["tooling"]] == ["../tooling/shaper-box.yaml"]


@pytest.mark.parametrize("place", ["osier-lane/shapers/old-shaper.yaml", "starter/shaper.yaml"])
def test_the_drives_of_the_profiles_run(place: str) -> None:
    """From file to motion: the longest stroke has a ratio as shapers have it (1.4 to 2, common practice), at speeds that tools stand."""
    path = data_folder("profiles") / place
    shaper = Library().read(path, Root(path.parent, path.parent)).value(Shaper)
    assert shaper is not None
    crank, ratio = shaper.ram.drive.crank, shaper.ram.drive.ratio
    drive: Link | Constant
    if crank is not None:
        strokes = shaper.ram.shortest_stroke.value, shaper.ram.longest_stroke.value
        drive = link_of_strokes(crank.centre_distance.value, crank.link_length.value, *strokes)
        assert drive.longest_stroke == shaper.ram.longest_stroke.value
    else:
        assert ratio is not None
        drive = Constant(ratio.value)
    found = motion(drive, shaper.ram.longest_stroke.value)
    assert F("1.4") <= found.ratio <= 2
    assert found.mean_cutting_speed(shaper.rates[0].rate.value) < 12  # slow enough at full stroke for tool steel (common practice)


def test_the_schema_offers_the_tools_of_the_table() -> None:
    tool: Any = schema_of("tooling")["properties"]["shaping-tools"]["items"]["properties"]["shape"]
    assert [shape["const"] for shape in tool["oneOf"]] == [shape.name for shape in tool_shapes()]


# What is found wrong


@pytest.mark.parametrize("code", SHAPERS, ids=lambda code: code.code)
def test_a_bad_snippet_has_its_fault_alone_and_a_good_one_has_none(code: Code, tmp_path: Path) -> None:
    assert {fault.code for fault in read(with_parts(code.bad), tmp_path)[1]} == {code.code}
    assert read(with_parts(code.good), tmp_path)[1] == ()


@pytest.mark.parametrize(
    ("parts", "code", "words"),
    [
        ("ram: {shortest-stroke: 300 mm, longest-stroke: 250 mm, drive: {ratio: 3:2}}\n", "size/order", "250 mm"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {hydraulic: 1/2}}\n", "shaper/ratio", "1/2"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {ratio: 3:2, hydraulic: 2}}\n", "schema/too-many", "hydraulic"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {}}\n", "schema/too-few", "{}"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {crank: {centre-distance: 140 mm, link-length: 300 mm, least-radius: 20 mm}}}\n", "shaper/crank-stroke", "20 mm"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {crank: {centre-distance: 140 mm, link-length: 300 mm, largest-radius: 150 mm}}}\n", "shaper/crank-pivot", "140 mm"),
        ("ram: {shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {crank: {centre-distance: 140 mm, link-length: 300 mm, least-radius: 60 mm, largest-radius: 58 mm}}}\n", "size/order", "58 mm"),
        ("head: {travel: 80 mm, dial: {division: 0.03 mm, turn: 2 mm}, swivel: 60 deg}\n", "dial/uneven", "2 mm"),
        ("space: {under-ram: 100 mm, under-ram-least: 180 mm}\n", "size/order", "100 mm"),
        ("vices:\n  - {name: v, jaw-width: 9 mm, jaw-depth: 9 mm, opening: 9 mm, height: 9 mm}\n  - {name: v, jaw-width: 9 mm, jaw-depth: 9 mm, opening: 9 mm, height: 9 mm}\n", "name/twice", "v"),
        ("vices: [{name: v, jaw-width: 9 mm, jaw-depth: 9 mm, opening: 9 mm, height: 9 mm}]\nother-holding: [{name: v, kind: clamps}]\n", "name/twice", "v"),
        ("index-heads: [{name: i, ratio: 40, centre-height: 250 mm}]\n", "shaper/no-room", "250 mm"),
        ("index-heads: [{name: i, ratio: 40, centre-height: 50 mm, holds-from: 20 mm, holds-to: 10 mm}]\n", "size/order", "10 mm"),
        ("readings: [{what: jaw upright, reads: 0.02 mm, over: 30 mm, date: 2026-09-12}]\n", "shaper/reading-of", "{what: jaw upright"),
    ],
)  # fmt: skip
def test_sizes_that_cannot_all_be_true(parts: str, code: str, words: str, tmp_path: Path) -> None:
    text = with_parts(parts)
    faults = read(text, tmp_path)[1]
    assert [fault.code for fault in faults] == [code]
    span = faults[0].span
    assert span is not None
    line = text.splitlines()[span.line - 1]
    assert line[span.column - 1 : span.end_column - 1].startswith(words)


def test_rates_out_of_order_are_only_a_warning(tmp_path: Path) -> None:
    shaper, faults = read(with_parts("rates: [{rate: 84 strokes/min}, {rate: 45 strokes/min}]\n"), tmp_path)
    assert shaper is not None
    assert [(fault.code, fault.severity) for fault in faults] == [("shaper/rate-order", Severity.WARNING)]


@pytest.mark.parametrize("written", ["25", "25 rpm", "25 spm"])
def test_a_rate_is_of_strokes(written: str, tmp_path: Path) -> None:
    faults = read(with_parts(f"rates: [{{rate: {written}}}]\n"), tmp_path)[1]
    assert len(faults) == 1
    assert faults[0].code.startswith("units/")
    assert "strokes/min" in " ".join((faults[0].message, *faults[0].hints))


def test_measuring_with_a_rule_is_good_enough(tmp_path: Path) -> None:
    """Three hundredths of the stroke and 2 mm are let pass; what is off by more is not."""
    crank = "ram: {{shortest-stroke: 20 mm, longest-stroke: 250 mm, drive: {{crank: {{centre-distance: 140 mm, link-length: 300 mm, largest-radius: {} mm}}}}}}\n"
    for radius, right in (("56.2", True), ("60.5", True), ("55.9", False), ("60.9", False)):
        faults = read(with_parts(crank.format(radius)), tmp_path)[1]
        assert bool(faults) != right, radius


def test_what_is_said_about_an_inch_shaper_is_said_in_inches(tmp_path: Path) -> None:
    text = with_parts("ram: {shortest-stroke: 1 in, longest-stroke: 14 in, drive: {crank: {centre-distance: 7 1/2 in, link-length: 16 in, largest-radius: 4 in}}}\n")
    assert [fault.message for fault in read(text, tmp_path)[1]] == ["a crank radius of 4 in gives a stroke of about 17.1 in, not 14 in"]


# Among other files


def _shop(folder: Path, **files: str) -> None:
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")


TOOLS = "schema: 1\nkind: tooling\nname: Box\nshaping-tools:\n  - {name: a, shape: round nose, cuts-with: HSS}\n"


def test_its_drawers_are_read_with_it(tmp_path: Path) -> None:
    _shop(tmp_path, shaper=BASE + "tooling: [box.yaml, other.yaml]\n", box=TOOLS, other=TOOLS)
    found = load_path(Path("shaper.yaml"), tmp_path)
    assert found.files == ("box.yaml", "other.yaml", "shaper.yaml")
    assert [fault.code for fault in found.diagnostics] == ["name/twice"]
    _shop(tmp_path, shaper=BASE + "tooling: [shaper.yaml]\n")
    assert [fault.code for fault in load_path(Path("shaper.yaml"), tmp_path).diagnostics] == ["link/cycle"]


def test_a_workshop_lists_it_among_its_machines(tmp_path: Path) -> None:
    _shop(tmp_path, workshop="schema: 1\nkind: workshop\nname: Shop\nmachines: [shaper.yaml]\n", shaper=BASE)
    found = load_path(Path(), tmp_path)
    assert (found.diagnostics, found.files) == ((), ("shaper.yaml", "workshop.yaml"))
    _shop(tmp_path, shaper=with_parts("space: {under-ram: 100 mm, under-ram-least: 180 mm}\n"))
    assert [fault.code for fault in load_path(Path(), tmp_path).diagnostics] == ["size/order"]
    _shop(tmp_path, shaper=TOOLS)
    assert "lathe or shaper" in load_path(Path(), tmp_path).diagnostics[0].message
