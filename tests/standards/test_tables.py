"""The table loader, and what every data file of the package must keep."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest

from benchleaf.standards.tables import STATUSES, TableError, load, read, table

FILES = ("cautions", "speeds", "threading", "undercuts")
HEAD = "tables: {t: {about: a thing, source: a book, status: published, rows: "


def test_numbers_are_exact_and_text_stays_text() -> None:
    found = read(HEAD + "[{a: 0.1, b: 1/3, c: '0.1', d: 24:48, e: on, f: true, g: null, h: [1, 2.50], i: -4, j: 12L14}]}}")["t"].rows[0]
    assert (found.number("a"), found.number("b"), found.number("i")) == (F(1, 10), F(1, 3), F(-4))
    assert [found.text(name) for name in "cdej"] == ["0.1", "24:48", "on", "12L14"]
    assert found.flag("f")
    assert not found.flag("absent")
    assert not found.has("g")
    assert found.maybe("g") is None
    assert found.span("h") == (F(1), F(5, 2))
    assert found.words("absent") == ()
    assert (found.source, found.status) == ("a book", "published")


def test_a_row_and_a_column_may_be_trusted_less() -> None:
    text = "tables: {t: {about: a, source: b, status: published, cell_status: {w: from memory}, rows: [{v: 1, w: 2}, {v: 3, source: c, status: derived}]}}"
    first, second = read(text)["t"].rows
    assert (first.status_of("v"), first.status_of("w"), second.status_of("v")) == ("published", "from memory", "derived")
    assert second.source == "c"


@pytest.mark.parametrize(
    "text",
    ["", "[]", "tables: 3", "tables: {t: 1}", "tables: {t: {about: a, source: b, status: sure, rows: []}}", "tables: {t: {about: a, status: derived, rows: []}}",
     HEAD + "[1]}}", HEAD + "[{a: 1, a: 2}]}}", HEAD + "[{status: hearsay}]}}"],
)  # fmt: skip
def test_a_broken_table_is_refused(text: str) -> None:
    with pytest.raises(TableError):
        read(text)


@pytest.mark.parametrize("cell", ["number", "text", "flag", "words", "numbers", "span"])
def test_a_cell_of_another_kind_is_refused(cell: str) -> None:
    row = read(HEAD + "[{number: x, text: 1, flag: 1, words: [1], numbers: [x], span: [2, 1]}]}}")["t"].rows[0]
    with pytest.raises(TableError):
        getattr(row, cell)(cell)


@pytest.mark.parametrize("file", FILES)
def test_every_row_says_where_it_is_from(file: str) -> None:
    for found in load(file).values():
        assert found.about
        assert found.rows
        for row in found.rows:
            assert row.source
            assert {row.status, *row.cell_status.values()} <= set(STATUSES)
    assert load(file) is load(file)


def test_an_unknown_table_is_our_fault() -> None:
    with pytest.raises(TableError, match="no table"):
        table("speeds", "flying")
