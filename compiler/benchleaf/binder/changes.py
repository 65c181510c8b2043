"""Which figures of a sheet have changed, from what to what, and which lines did it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from benchleaf.binder.figures import WORDS, Shown, numbers
from benchleaf.binder.leaves import Edit
from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.record import record

__all__ = ["Change", "as_data", "as_fault", "changes", "told"]

_AGAIN = ("build and print it again, and take the old one down",)


@record
class Change:
    """A figure that is not what it was.  ``old`` or ``new`` is '' where there was or is none; ``lines`` are the edits
    that it comes from."""

    figure: str
    label: str
    old: str
    new: str
    lines: tuple[Edit, ...]


def changes(old: Sequence[Shown], new: Sequence[Shown], edits: Sequence[Edit]) -> tuple[Change, ...]:
    """What has changed between two states of a sheet, in reading order; what is gone comes last.  ``edits`` are those of all its files."""
    before, after = {figure.id: figure for figure in old}, {figure.id: figure for figure in new}
    found = []
    for name in dict.fromkeys((*after, *before)):
        one, two = before.get(name), after.get(name)
        if one is not None and two is not None and _same(one, two):
            continue
        label = (two or one).label if (two or one) is not None else name  # type: ignore[union-attr]
        was, now = _differing(one, two)
        found.append(Change(name, label, was, now, _lines(one, two, edits)))
    return tuple(found)


def _same(one: Shown, two: Shown) -> bool:
    """Words may be put otherwise as long as their numbers stay."""
    if one.id.endswith(WORDS):
        return numbers(one.shown) == numbers(two.shown)
    return (one.shown, one.unit) == (two.shown, two.unit)


def _differing(one: Shown | None, two: Shown | None) -> tuple[str, str]:
    """What is shown before and after: of a column only the rows that differ."""
    old, new = (one.shown if one else ()), (two.shown if two else ())
    if (len(old) == 1 and len(new) == 1) or one is None or two is None or one.unit != two.unit:
        return _listed(old, one), _listed(new, two)
    rows = [(a, b) for a, b in zip_longest(old, new, fillvalue="") if a != b]
    return _listed([a for a, _ in rows if a], one), _listed([b for _, b in rows if b], two)


def _listed(words: Sequence[str], figure: Shown | None) -> str:
    if figure is None:
        return ""
    many = ", ".join(words[:4]) + (f" ... {words[-1]}" if len(words) > 5 else f", {words[4]}" if len(words) == 5 else "")
    return f"{many} {figure.unit}".strip()


def _lines(one: Shown | None, two: Shown | None, edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """The edits that a figure comes from: of values that it goes back to; else of files that it goes back to (a set of wheels is
    taken as a whole); else all."""
    origins = [*(one.origins if one else ()), *(two.origins if two else ())]
    places, files = {(origin.file, origin.path) for origin in origins}, {origin.file for origin in origins}
    direct = [edit for edit in edits if (edit.file, edit.path) in places]
    whole = {origin.file for origin in origins if origin.path == "name"}
    as_whole = [edit for edit in edits if edit.file in whole and edit not in direct]
    near = [edit for edit in edits if edit.file in files]
    return tuple([*direct, *as_whole] or near or edits)


def told(change: Change) -> Iterator[str]:
    """The change in words, one line for the figure and one for each line of a file."""
    unit = f"{change.old or 'not there'} -> {change.new or 'not there'}"
    yield f"{change.figure} ({change.label}): {unit}"
    by_line: dict[tuple[str, int], list[Edit]] = {}
    for edit in change.lines:
        by_line.setdefault((edit.file, edit.line), []).append(edit)
    for (file, line), group in by_line.items():
        edit = group[0]
        was, now = (edit.old if edit.old is not None else "nothing"), (edit.new if edit.new is not None else "nothing")
        more = f" and {len(group) - 1} more there" if len(group) > 1 else ""
        yield f"  {file}:{line}  {edit.path}: {was} -> {now}{more}"


def as_fault(sheet: str, change: Change, folder: str) -> Iterator[Diagnostic]:
    """The change as a warning at each line that did it, or without a place; ``folder`` is the workshop's, as the user would type it."""
    words = f"the sheet `{sheet}` no longer holds: {change.label}, {change.old or 'not there'}, is now {change.new or 'not there'}"
    places = dict.fromkeys((f"{folder}/{edit.file}" if folder not in ("", ".") else edit.file, edit.line) for edit in change.lines)
    for file, line in places:
        yield Diagnostic("register/stale", words, Span(file, line, 1, line, 1), Severity.WARNING, hints=_AGAIN)
    if not places:
        yield Diagnostic("register/stale", words, severity=Severity.WARNING, hints=_AGAIN)


def as_data(change: Change) -> Mapping[str, object]:
    """The change for programs."""
    lines = [{"file": edit.file, "line": edit.line, "path": edit.path, "old": edit.old, "new": edit.new} for edit in change.lines]
    return {"figure": change.figure, "label": change.label, "old": change.old, "new": change.new, "lines": lines}
