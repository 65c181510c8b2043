"""The YAML parser's complaints in the words of somebody who writes a file by hand.

libyaml and PyYAML's own parser word the same complaint differently; both are known here.  What the parser noticed is seldom where the
mistake is, so the lines around the place are looked at too.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from benchleaf.diagnostics import Diagnostic, Span

__all__ = ["explain"]

_KEY = re.compile(r"\s*(?:- +)*[^\s#'\"\[{][^:#]*:(?:\s|$)")


class _Place:
    """The place of a complaint: ``line`` and ``column`` from 0, kept inside the text."""

    def __init__(self, error: Any, text: str, shown: str) -> None:
        self.problem = str(error.problem or "")
        self.context = str(error.context or "")
        self.lines = text.split("\n")
        self.shown = shown
        mark = error.problem_mark or error.context_mark
        self.line, self.column = self._inside(mark.line, mark.column) if mark else (0, 0)
        context = error.context_mark
        self.start = self._inside(context.line, context.column) if context else None
        self.at_end = not "\n".join([self.words[self.column :], *self.lines[self.line + 1 :]]).strip()

    def _inside(self, line: int, column: int) -> tuple[int, int]:
        """The parser puts the end of the text in a line of its own."""
        if line >= len(self.lines):
            line = len(self.lines) - 1
            column = len(self.lines[line])
        return line, min(column, len(self.lines[line]))

    @property
    def words(self) -> str:
        return self.lines[self.line]

    @property
    def indent(self) -> int:
        return len(self.words) - len(self.words.lstrip())

    @property
    def character(self) -> str:
        return self.words[self.column : self.column + 1]

    def above(self) -> str:
        """The nearest line above that says something."""
        return next((line for line in reversed(self.lines[: self.line]) if line.strip() and not line.lstrip().startswith("#")), "")

    def span(self, column: int | None = None, length: int = 1, line: int | None = None) -> Span:
        line, column = self.line if line is None else line, self.column if column is None else column
        return Span(self.shown, line + 1, column + 1, line + 1, column + 1 + length)

    def rest(self) -> Span:
        """From the place to the end of its line."""
        return self.span(length=max(len(self.words.rstrip()) - self.column, 1))

    def opened(self, words: str) -> tuple[tuple[Span, str], ...]:
        """What was open when it went wrong."""
        return ((self.span(self.start[1], 1, self.start[0]), words),) if self.start is not None else ()


def explain(error: Any, text: str, shown: str) -> Diagnostic:
    """The complaint (a ``yaml.MarkedYAMLError``) as a diagnostic at the place that needs mending."""
    place = _Place(error, text, shown)
    tabs = _tab(place)
    if tabs is not None:
        return tabs
    about = f"{place.context}: {place.problem}"
    for pattern, words in _WORDS:
        if re.search(pattern, about):
            return words(place)
    return Diagnostic(
        "yaml/syntax", "this cannot be read as YAML", place.span(), hints=("look at the quotes, brackets and indentation here",)
    )


def _fault(code: str, message: str, span: Span, hint: str, related: tuple[tuple[Span, str], ...] = ()) -> Diagnostic:
    return Diagnostic(code, message, span, hints=(hint,) if hint else (), related=related)


def _tab(place: _Place) -> Diagnostic | None:
    column = place.words[: place.indent].find("\t")
    if column < 0 and place.character == "\t":
        return _fault("yaml/tab", "a tab where only spaces can stand", place.span(), "use spaces instead")
    if column < 0:
        return None
    more = sum("\t" in line[: len(line) - len(line.lstrip())] for line in place.lines[place.line + 1 :] if line.strip())
    notes = (f"{more} more {'line is' if more == 1 else 'lines are'} indented with a tab",) if more else ()
    hints = ("indent with spaces, two for each level",)
    return Diagnostic("yaml/tab", "a tab in the indentation", place.span(column), notes=notes, hints=hints)


def _start(place: _Place) -> Diagnostic:
    sign = place.character if place.character.isprintable() and place.character else ""
    if place.problem.endswith("numeric character") or "alphabetic or numeric" in place.problem:  # behind a lone & or *
        column = place.start[1] if place.start is not None else place.column
        sign = place.words[column : column + 1]
        return _fault("yaml/start", f"a value cannot begin with `{sign}`", place.span(column), "put the value in quotes")
    if not sign:
        return _fault("yaml/syntax", "something is missing here", place.span(), "look at the line above")
    if sign == "`":
        return _fault("yaml/start", "a value cannot begin with a backtick", place.span(), "put the value in quotes")
    return _fault("yaml/start", f"a value cannot begin with `{sign}`", place.span(), "put the value in quotes")


def _colon(place: _Place) -> Diagnostic:
    """A colon that would make a key where none can be."""
    if re.search(r":\s", place.words[: place.column]):
        hint = "put the value in quotes if the colon belongs to it, else start a new line"
        return _fault("yaml/colon", "a second key in one line", place.span(), hint)
    above = place.above()
    key = place.span(place.indent, max(place.column - place.indent, 1))
    if above and place.indent > len(above) - len(above.lstrip()) and _KEY.match(above):
        hint = "line it up with the key above, or take the value above away"
        return _fault("yaml/indent", "this line is indented under a key that already has its value", key, hint)
    if above and not re.search(r":(\s|$)", above):
        return _fault("yaml/colon", "the line above this one has no colon after its key", key, "write `key: value`")
    return _fault("yaml/colon", "a colon that does not follow a key", place.span(), "put the value in quotes if the colon belongs to it")


def _no_colon(place: _Place) -> Diagnostic:
    line, column = place.start if place.start is not None else (place.line, place.column)
    length = max(len(place.lines[line].rstrip()) - column, 1)
    return _fault(
        "yaml/colon",
        "a line without a colon among keys",
        place.span(column, length, line),
        "write `key: value`, with a space behind the colon",
    )


def _no_space(place: _Place) -> Diagnostic:
    return _fault("yaml/colon", "a colon without a space behind it", place.span(), "write `key: value`, with a space behind the colon")


def _lines_up(place: _Place) -> Diagnostic:
    """A line that ends a block in a way it cannot."""
    behind = place.words[: place.column].rstrip()
    if behind.strip() and behind[-1] in "'\"":
        hint = "put the whole value in one pair of quotes; inside single quotes an apostrophe is written twice"
        return _fault("yaml/quote", "words behind a closing quote", place.rest(), hint)
    if behind.strip() and behind[-1] in "]}":
        return _fault("yaml/bracket", "words behind a closing bracket", place.rest(), "put a comma or a new line between")
    related = place.opened("the block that it breaks begins here")
    if place.character == ":":
        return _fault("yaml/key", "a value without its key", place.span(), "write a key in front of the colon")
    if place.character in ("]", "}"):
        return _fault("yaml/bracket", f"a `{place.character}` that closes nothing", place.span(), "delete it, or write its opening bracket")
    if "'-' indicator" in place.problem or "block collection" in place.context:
        return _fault(
            "yaml/indent",
            "this line does not belong to the list above it",
            place.rest(),
            "begin it with a dash, or indent it as the key of the list is",
            related,
        )
    if place.character == "-" and re.match(r"-(\s|$)", place.words[place.column :]):
        return _fault(
            "yaml/indent",
            "an entry of a list among keys",
            place.rest(),
            "put a key for the list in front, and indent its entries below it",
            related,
        )
    return _fault(
        "yaml/indent",
        "this line does not line up with those above it",
        place.rest(),
        "indent keys that belong together by the same number of spaces",
        related,
    )


def _bracket(place: _Place) -> Diagnostic:
    close = "}" if "mapping" in place.context else "]"
    line, column = place.start if place.start is not None else (place.line, place.column)
    if place.at_end or place.line > line:
        return _fault(
            "yaml/bracket", f"a bracket that is never closed with `{close}`", place.span(column, 1, line), f"write `{close}` where it ends"
        )
    hint = "put a comma between entries; a value that holds a bracket, brace, comma or `: ` needs quotes"
    return _fault("yaml/bracket", f"a comma or `{close}` is wanted here", place.span(), hint, place.opened("the bracket opens here"))


def _quote(place: _Place) -> Diagnostic:
    line, column = place.start if place.start is not None else (place.line, place.column)
    return _fault(
        "yaml/quote",
        "a quote that is never closed",
        place.span(column, 1, line),
        "close it; a value that begins with a quote mark ends with one",
    )


def _escape(place: _Place) -> Diagnostic:
    column = place.words.rfind("\\", 0, place.column + 1)
    span = place.span(column, 2) if column >= 0 else place.span()
    return _fault(
        "yaml/escape",
        "a backslash in double quotes that means nothing",
        span,
        "write `\\\\`, or use single quotes, which take a backslash as it is",
    )


def _list_on_line(place: _Place) -> Diagnostic:
    if re.search(r":\s+$", place.words[: place.column]):
        return _fault(
            "yaml/indent",
            "a list that begins on the line of its key",
            place.span(),
            "start each entry on its own line below the key, or write `[a, b]`",
        )
    return _fault(
        "yaml/indent", "a dash where no list can be", place.span(), "line it up with the other entries, or put the value in quotes"
    )


def _tag(place: _Place) -> Diagnostic:
    column = place.start[1] if place.start is not None and place.start[0] == place.line else place.column
    tag = re.match(r"!\S*", place.words[column:])
    named = f"the tag `{tag[0][:40]}`: " if tag else ""
    return _fault(
        "yaml/tag",
        f"{named}only plain data is read, no tags",
        place.span(column, len(tag[0][:40]) if tag else 1),
        "put the value in quotes if it begins with `!`",
    )


def _directive(place: _Place) -> Diagnostic:
    line = place.start[0] if place.start is not None else place.line
    if not place.lines[line].startswith("%"):
        line = next((number for number in range(line, -1, -1) if place.lines[number].startswith("%")), line)
    return _fault("yaml/directive", "a line cannot begin with `%`", place.span(0, 1, line), "delete the line, or put the value in quotes")


def _outside(place: _Place) -> Diagnostic:
    """Something behind the end of the document."""
    if place.words.startswith("%") or any(line.startswith("%") for line in place.lines[: place.line]):
        return _directive(place)
    if place.character in ("]", "}"):
        return _fault("yaml/bracket", f"a `{place.character}` that closes nothing", place.span(), "delete it, or write its opening bracket")
    if place.above().startswith("..."):
        return _fault("yaml/documents", "words behind the end of the document", place.rest(), "delete the line `...`")
    if place.words[: place.column].rstrip()[-1:] in ("]", "}", "'", '"') and place.words[: place.column].strip():
        return _lines_up(place)
    return _fault(
        "yaml/indent",
        "this line does not line up with the first one",
        place.rest(),
        "indent keys that belong together by the same number of spaces",
    )


def _block(place: _Place) -> Diagnostic:
    line, column = place.start if place.start is not None else (place.line, place.column)
    sign = place.lines[line][column : column + 1]
    return _fault(
        "yaml/start",
        f"a value cannot begin with `{sign}`",
        place.span(column, 1, line),
        "put the value in quotes; text over several lines starts below a lone `|`",
    )


def _key_sign(place: _Place) -> Diagnostic:
    return _fault("yaml/start", "a value cannot begin with `? `", place.span(), "put the value in quotes")


def _marker(place: _Place) -> Diagnostic:
    line = place.start[0] if place.start is not None else place.line
    return (
        _quote(place)
        if "quoted" in place.context
        else _fault("yaml/documents", "a line of `---` inside a value", place.span(0, 3, line), "delete it")
    )


def _deep(place: _Place) -> Diagnostic:
    return _fault("yaml/too-deep", "far too many lists or maps inside one another", place.span(), "")


# Looked at in this order: context and problem as either parser words them.
_WORDS: tuple[tuple[str, Callable[[_Place], Diagnostic]], ...] = (
    (r"nesting depth", _deep),
    (r"directive|%TAG|%YAML|incompatible YAML", _directive),
    (r"block scalar", _block),
    (r"escape|hexdecimal|hexadecimal|invalid Unicode character", _escape),
    (r"document indicator|document separator", _marker),
    (r"quoted scalar.*end of stream", _quote),
    (r"undefined tag handle|scanning a tag|parsing a tag|tag URI|expected '!'", _tag),
    (r"alphabetic or numeric", _start),
    (r"cannot start any token|node content", _start),
    (r"mapping values are not allowed", _colon),
    (r"could not find expected ':'", _no_colon),
    (r"unexpected ':'", _no_space),
    (r"(block )?sequence entries are not allowed", _list_on_line),
    (r"mapping keys are not allowed", _key_sign),
    (r"expected ',' or", _bracket),
    (r"document start", _outside),
    (r"expected key|'-' indicator|block end", _lines_up),
)
