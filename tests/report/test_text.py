"""Diagnostics as text: the layout letter by letter, markers that stay under their words, and nothing that drives a terminal."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.report.excerpt import excerpt, harmless
from benchleaf.report.text import render, render_one, summary

LINES = {
    "jobs/gland-nut.yaml": ["schema: 1", "", "", "", "", "", "", "", "  bore: 28.07 mm", "  lead: [1, 2,", "    3]"],
    "lathe.yaml": [f"line {number}" for number in range(1, 121)],
}
BORE = Diagnostic(
    "thread/bore-small",
    "the bore is 0.31 mm under the smallest minor diameter for M30x1.5-6H",
    Span("jobs/gland-nut.yaml", 9, 9, 9, 17),
    label="needs 28.376 to 28.676 mm before threading",
    notes=("a note",),
    hints=("add a boring step to 28.5 mm",),
)


def test_the_layout() -> None:
    assert render([BORE], LINES) == (
        "error[thread/bore-small]: the bore is 0.31 mm under the smallest minor diameter for M30x1.5-6H\n"
        "  --> jobs/gland-nut.yaml:9:9\n"
        "   |\n"
        " 9 |   bore: 28.07 mm\n"
        "   |         ^^^^^^^^ needs 28.376 to 28.676 mm before threading\n"
        "   = note: a note\n"
        "   = hint: add a boring step to 28.5 mm\n"
        "\n"
        "1 error in 1 file\n"
    )


def test_related_places_have_their_own_excerpt_and_line_numbers_line_up() -> None:
    related = ((Span("lathe.yaml", 101, 1, 101, 5), "given here"), (Span("gone.yaml", 3, 2, 3, 4), "and here"))
    fault = Diagnostic("a/b", "message", Span("jobs/gland-nut.yaml", 10, 9, 11, 7), Severity.WARNING, related=related)
    assert render_one(fault, LINES) == (
        "warning[a/b]: message\n"
        "    --> jobs/gland-nut.yaml:10:9\n"
        "     |\n"
        "  10 |   lead: [1, 2,\n"
        "     |         ^^^^^^\n"
        "    see lathe.yaml:101:1\n"
        "     |\n"
        " 101 | line 101\n"
        "     | ---- given here\n"
        "    see gone.yaml:3:2  and here\n"
    )


@pytest.mark.parametrize(
    "span",
    [None, Span("gone.yaml"), Span("lathe.yaml", 500, 1, 500, 2), Span("lathe.yaml", 0, 0, 0, 0), Span("lathe.yaml", 3, 900, 3, 950), Span("lathe.yaml", 3, 1, 1, 1)],
)  # fmt: skip
def test_places_that_cannot_be_shown_do_no_harm(span: Span | None) -> None:
    text = render_one(Diagnostic("a/b", "message", span), LINES)
    assert text.startswith("error[a/b]: message\n")
    assert (str(span) in text) == (span is not None)


def test_an_empty_stretch_gets_a_marker_all_the_same() -> None:
    text = render_one(Diagnostic("a/b", "m", Span("lathe.yaml", 1, 7, 1, 7)), LINES)
    assert text.split("\n")[4] == "   |       ^"


@pytest.mark.parametrize(
    ("line", "start", "end", "shown", "marker"),
    [
        ("name: Möwe x", 6, 10, "name: Möwe x", "      ^^^^"),
        ("名前: 旋盤 x", 4, 6, "名前: 旋盤 x", "      ^^^^"),
        ("\tlead: 3", 1, 5, "    lead: 3", "    ^^^^"),
        ("a\tb\tc", 4, 5, "a   b   c", "        ^"),
        ("cafe\u0301: x", 7, 8, "cafe\u0301: x", "      ^"),
        ("a\x1b[31mb", 1, 2, "a<U+001B>[31mb", " ^^^^^^^^"),
        ("25.4\u00a0mm", 4, 5, "25.4<U+00A0>mm", "    ^^^^^^^^"),
        ("a\u202eb", 2, 3, "a<U+202E>b", "         ^"),
    ],
)
def test_the_marker_is_under_its_words(line: str, start: int, end: int, shown: str, marker: str) -> None:
    view = excerpt(line, start, end, 80)
    assert view.text == shown
    assert " " * view.start + "^" * view.length == marker


@pytest.mark.parametrize("place", [0, 3, 60, 150, 290, 296])
def test_of_a_long_line_the_part_around_the_marker_is_shown(place: int) -> None:
    line = "".join(f"{number:03}" for number in range(100))
    view = excerpt(line, place, place + 3, 40)
    assert len(view.text) <= 40
    assert view.text[view.start : view.start + view.length] == line[place : place + 3]
    assert view.text.startswith("...") == (place > 20)
    assert view.text.endswith("...") == (place < 280)


def test_a_marker_longer_than_the_line_is_cut() -> None:
    view = excerpt("a" * 500, 100, 480, 40)
    assert len(view.text) <= 40
    assert view.start + view.length <= 40


def _wide(text: str) -> int:
    """Columns of a text (UAX #11)."""
    return sum(0 if unicodedata.category(char) in ("Mn", "Me") else 2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text)


@given(st.text(max_size=400), st.integers(0, 400), st.integers(0, 50), st.integers(20, 120))
def test_an_excerpt_keeps_to_its_room_and_its_words(line: str, start: int, length: int, room: int) -> None:
    view = excerpt(line, start, start + length, room)
    assert _wide(view.text) <= room + 8, "the last character may be a wide one or one shown by its number"
    assert view.length >= 1
    assert all(char.isprintable() for char in view.text)


@given(st.text(max_size=60), st.text(max_size=60), st.text(max_size=200), st.integers(1, 210), st.booleans())
def test_nothing_in_a_file_can_drive_a_terminal(message: str, file: str, line: str, column: int, multi: bool) -> None:
    span = Span(file, 1, column, 2 if multi else 1, column + 3)
    fault = Diagnostic("a/b", message, span, label=message, notes=(message,), hints=(line,), related=((span, line),))
    text = render([fault], {file: [line, line]})
    assert all(char == "\n" or (char.isprintable() and unicodedata.category(char) != "Cf") for char in text)


def test_harmless_leaves_good_words_alone() -> None:
    assert harmless("Möwe 旋盤 ¼ in 1°26'") == "Möwe 旋盤 ¼ in 1°26'"
    assert harmless("a\nb\u200bc") == "a<U+000A>b<U+200B>c"


def test_colour_only_adds_escapes_and_only_when_asked() -> None:
    faults = [BORE, Diagnostic("a/b", "m", Span("lathe.yaml", 2), Severity.WARNING), Diagnostic("a/c", "m", None, Severity.NOTE)]
    plain, painted = render(faults, LINES), render(faults, LINES, colour=True)
    assert "\x1b" not in plain
    assert painted != plain
    assert re.sub(r"\x1b\[[0-9;]*m", "", painted) == plain
    assert painted.count("\x1b[0m") == len(re.findall(r"\x1b\[[0-9;]+m", painted)) / 2


@pytest.mark.parametrize(
    ("severities", "files", "words"),
    [
        ([], None, "no faults"),
        ([], 12, "no faults in 12 files"),
        ([Severity.ERROR], None, "1 error in 1 file"),
        ([Severity.ERROR, Severity.ERROR, Severity.WARNING], 3, "2 errors, 1 warning in 3 files"),
        ([Severity.WARNING, Severity.NOTE, Severity.NOTE], 1, "1 warning, 2 notes in 1 file"),
    ],
)
def test_the_summary_counts(severities: list[Severity], files: int | None, words: str) -> None:
    assert summary([Diagnostic("a/b", "m", Span("x"), severity) for severity in severities], files) == words


def test_a_million_letters_are_not_walked_through_for_each_fault() -> None:
    import time

    line = "a" * 1_000_000
    faults = [Diagnostic("a/b", "m", Span("x", 1, 900_000 + number, 1, 900_001 + number)) for number in range(100)]
    start = time.perf_counter()
    assert len(render(faults, {"x": [line]})) < 60_000
    assert time.perf_counter() - start < 1
