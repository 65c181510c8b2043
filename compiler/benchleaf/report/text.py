"""Diagnostics as text: message, place, the line itself with a marker, what else matters, and what to do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.report.excerpt import excerpt, harmless

__all__ = ["render", "render_one", "summary"]

Lines = Mapping[str, Sequence[str]]
WIDTH = 120  # columns of a line from a file; messages are left to the terminal to wrap
_COLOURS = {Severity.ERROR: "1;31", Severity.WARNING: "1;33", Severity.NOTE: "1;36"}
_QUIET = "34"


def render(diagnostics: Iterable[Diagnostic], lines: Lines, *, colour: bool = False, files: int | None = None) -> str:
    """All diagnostics, a blank line between them, and the summary below.

    ``lines`` holds the lines of each file by its shown path; without them there is no excerpt.  ``colour`` is asked for by the
    caller, who knows the terminal and the wishes of its user.  ``files`` is the number of files looked at, where it is known.
    """
    found = list(diagnostics)
    parts = [render_one(diagnostic, lines, colour=colour) for diagnostic in found]
    return "\n".join([*parts, f"{summary(found, files)}\n"])


def render_one(diagnostic: Diagnostic, lines: Lines, *, colour: bool = False) -> str:
    """One diagnostic, ending in a line feed."""
    paint = _Paint(colour)
    tone = _COLOURS[diagnostic.severity]
    head = paint(f"{diagnostic.severity.value}[{harmless(diagnostic.code)}]", tone)
    out = [f"{head}: {paint(harmless(diagnostic.message), '1')}"]
    places = [(diagnostic.span, diagnostic.label, "^", tone)] if diagnostic.span is not None else []
    places += [(span, words, "-", _QUIET) for span, words in diagnostic.related]
    gutter = max((len(str(span.line)) for span, *_ in places if _line(span, lines) is not None), default=1)
    for index, (span, words, sign, tint) in enumerate(places):
        arrow = "-->" if index == 0 and diagnostic.span is not None else "see"
        out += _place(span, words, sign, arrow, lines, gutter, _Paint(colour), tint)
    edge = paint(" " * gutter + "  =", _QUIET)
    out += [f"{edge} note: {harmless(note)}" for note in diagnostic.notes]
    out += [f"{edge} hint: {harmless(hint)}" for hint in diagnostic.hints]
    return "\n".join(out) + "\n"


def summary(diagnostics: Iterable[Diagnostic], files: int | None = None) -> str:
    """'2 errors, 1 warning in 3 files'.  Without ``files``, those that the diagnostics name are counted."""
    found = list(diagnostics)
    count = Counter(diagnostic.severity for diagnostic in found)
    if files is None:
        files = len({diagnostic.span.file for diagnostic in found if diagnostic.span is not None})
    words = [_counted(count[severity], severity.value) for severity in Severity if count[severity]]
    where = f" in {_counted(files, 'file')}" if files else ""
    return (", ".join(words) or "no faults") + where


def _counted(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


class _Paint:
    """Wraps text in a colour, or leaves it."""

    def __init__(self, colour: bool) -> None:
        self.colour = colour

    def __call__(self, text: str, tone: str) -> str:
        return f"\x1b[{tone}m{text}\x1b[0m" if self.colour and text else text


def _line(span: Span, lines: Lines) -> str | None:
    known = lines.get(span.file, ())
    return known[span.line - 1] if 1 <= span.line <= len(known) else None


def _place(span: Span, words: str, sign: str, arrow: str, lines: Lines, gutter: int, paint: _Paint, tint: str) -> list[str]:
    """Where it is, and the line there with its marker; a stretch over several lines is marked to the end of its first."""
    pad = " " * gutter
    line = _line(span, lines)
    words = harmless(words)
    where = f"{pad} {paint(arrow, _QUIET)} {harmless(str(span))}"
    if line is None:
        return [f"{where}  {words}" if words else where]
    end = span.end_column - 1 if span.end_line == span.line else len(line.rstrip())
    view = excerpt(line, span.column - 1, end, WIDTH)
    bar = paint(f"{pad}  |", _QUIET)
    marker = " " * view.start + paint(sign * view.length + (f" {words}" if words else ""), tint)
    number = paint(f" {str(span.line).rjust(gutter)} |", _QUIET)
    return [where, bar, f"{number} {view.text}".rstrip(), f"{bar} {marker}"]
