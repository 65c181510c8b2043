"""Explaining a figure: names are found as people type them, reasons go down to the lines of the owner's files."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from small_shop import write

from benchleaf.compile import check_paths
from benchleaf.explain import Entry, Library, UnknownFigure, entries, explain, find, listing
from benchleaf.resources import data_folder
from benchleaf.sheet.model import (
    Basis,
    Caution,
    Column,
    Figure,
    FigureGroup,
    FigureRef,
    Given,
    Row,
    Say,
    Section,
    Sheet,
    Source,
    Status,
    Table,
)

ARITHMETIC = Source("arithmetic", Status.DERIVED)
ISO = Source("ISO 965-1, table 1", Status.STANDARD)
SCREW = Given("leadscrew.lead", "3 mm", "lathe.yaml", 2, 19)
STEP_SCHEMA = (data_folder("schemas") / "steps" / "screwcut.schema.json").read_text(encoding="utf-8").splitlines()
STOP_BY = next(number for number, line in enumerate(STEP_SCHEMA, 1) if '"default": "power"' in line)
LIMIT = Given("steps[0].screwcut.stop-by", "power", "schemas/steps/screwcut.schema.json", STOP_BY, 1, default=True)


def figure(name: str, value: Fraction | str, shown: str, *inputs: Given | FigureRef | Source, unit: str = "mm") -> Figure:
    return Figure(name, name.replace("_", " "), value, unit, shown, Basis(f"how {name} is found", inputs, ARITHMETIC))


def sheet() -> Sheet:
    wanted = figure("wanted_lead", Fraction(127, 80), "1.588", SCREW, ISO)
    error = figure("error", Fraction(-125), "\u2212125", FigureRef("wanted_lead"), FigureRef("passes.dial"), FigureRef("other.error"), LIMIT, unit="ppm")
    dial = Column("dial", "dial", "mm", Basis("total rounded to divisions", (FigureRef("wanted_lead"),), ARITHMETIC), "dial")
    rows = tuple(Row((Fraction(number),), (f"{number}.00",)) for number in range(6))
    return Sheet(
        "nut", "Nut", "", "Lathe", "brass",
        (
            Section("screwcut", "screwcut", "Thread", "", (FigureGroup("Lead", (wanted, error)), Table("passes", "Passes", (dial,), rows))),
            Section("other", "screwcut", "Thread", "", (FigureGroup("Lead", (figure("error", "none", "none", unit=""),)),)),
        ),
        Caution(3, Say("local rules come first"), ARITHMETIC),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("screwcut.error", "screwcut.error"),
        ("wanted_lead", "screwcut.wanted_lead"),
        ("passes.dial", "screwcut.passes.dial"),
        ("dial", "screwcut.passes.dial"),
        ("screwcut.passes.dial", "screwcut.passes.dial"),
    ],
)
def test_figures_are_found_by_as_much_as_tells_them_apart(typed: str, meant: str) -> None:
    found = find(sheet(), typed)
    assert isinstance(found, Entry)
    assert found.name == meant


@pytest.mark.parametrize(
    ("typed", "names"),
    [
        ("error", ("screwcut.error", "other.error")),
        ("wanted_laed", ("screwcut.wanted_lead",)),
        ("screwcut.eror", ("screwcut.error",)),
        ("zzz", ("screwcut.wanted_lead", "screwcut.error", "screwcut.passes.dial", "other.error")),
    ],
)
def test_a_name_that_tells_too_little_brings_a_list(typed: str, names: tuple[str, ...]) -> None:
    found = find(sheet(), typed)
    assert isinstance(found, UnknownFigure)
    assert set(names) <= set(found.names)


def test_every_figure_is_listed_with_what_is_shown() -> None:
    text = listing(sheet())
    assert len(text.splitlines()) == len(entries(sheet())) == 4
    assert "screwcut.passes.dial  dial 0.00, 1.00, 2.00, 3.00 ... 5.00 mm" in text


def test_reasons_go_down_to_the_line(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "lathe.yaml").write_text("kind: lathe\nleadscrew: {lead: 3 mm}\n")
    entry = find(sheet(), "screwcut.error")
    assert isinstance(entry, Entry)
    text = explain(sheet(), entry, Library([tmp_path / "shop"], tmp_path))
    assert text.splitlines()[:5] == [
        "error \u2212125 ppm   [screwcut.error]",
        "  = how error is found",
        "  source: arithmetic (derived)",
        "  wanted lead 1.588 mm",
        "    exactly 127/80 mm",
    ]
    assert "    leadscrew.lead: 3 mm   shop/lathe.yaml:2\n      | leadscrew: {lead: 3 mm}" in text
    assert "    source: ISO 965-1, table 1 (standard)" in text
    assert text.count("how wanted_lead is found") == 1, "what was explained once is referred to"
    assert "(as explained above)" in text
    assert "  error none" in text
    told = f"  steps[0].screwcut.stop-by: power (not written: the default)   schemas/steps/screwcut.schema.json:{STOP_BY}"
    assert f'{told}\n    | "default": "power",' in text


def _givens(value: Any) -> Iterator[Given]:
    if isinstance(value, Given):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _givens(item)
    elif dataclasses.is_dataclass(value):
        for part in dataclasses.fields(value):
            yield from _givens(getattr(value, part.name))


def test_every_reason_of_a_real_sheet_is_found_where_it_says(tmp_path: Path) -> None:
    """What was written in the owner's files, and what was not in the schemas: those of the kinds and those of the steps."""
    (job,) = check_paths([write(tmp_path)], tmp_path).jobs
    assert job.sheet is not None
    library = Library([tmp_path], tmp_path)
    given = set(_givens(job.sheet))
    defaults = {reason for reason in given if reason.default}
    assert {"schemas/lathe.schema.json", "schemas/steps/screwcut.schema.json"} <= {reason.file for reason in defaults}
    assert {"job.yaml", "lathe.yaml"} <= {reason.file for reason in given - defaults}
    for reason in given:
        where, text = library.line(reason)
        assert where == f"{reason.file}:{reason.line}"
        assert not text.startswith("("), f"{reason}: {text}"
        assert reason.words in text or "..." in text
        assert ('"default": ' in text) == reason.default


@pytest.mark.parametrize(
    ("text", "remark"),
    [("kind: lathe\nleadscrew: {lead: 6 mm}\n", "has changed"), ("kind: lathe\n", "has changed"), (None, "not here any more")],
)
def test_files_that_changed_since_are_told(tmp_path: Path, text: str | None, remark: str) -> None:
    if text is not None:
        (tmp_path / "lathe.yaml").write_text(text)
    entry = find(sheet(), "wanted_lead")
    assert isinstance(entry, Entry)
    assert remark in explain(sheet(), entry, Library([tmp_path], tmp_path))


def test_a_damaged_sheet_neither_hangs_nor_reads_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "secret.yaml").write_text("x\n3 mm secret\n")
    outside = Given("x", "3 mm", "../secret.yaml", 2, 1)
    round_about = Section("a", "a", "A", "", (FigureGroup("", (figure("p", "x", "x", FigureRef("q"), outside), figure("q", "x", "x", FigureRef("p")))),))
    damaged = Sheet("s", "S", "", "", "", (round_about,), sheet().closing)
    entry = find(damaged, "p")
    assert isinstance(entry, Entry)
    text = explain(damaged, entry, Library([tmp_path / "shop"], tmp_path / "shop"))
    assert "among its own reasons" in text
    assert "secret" not in text.replace("../secret.yaml:2", "")
