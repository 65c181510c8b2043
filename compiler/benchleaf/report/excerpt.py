"""A line of a file as a terminal shows it: nothing in it can move the cursor, and every character has a known width."""

from __future__ import annotations

import unicodedata

from benchleaf.record import record

__all__ = ["Excerpt", "excerpt", "harmless"]

_TAB = 4  # columns from one tab stop to the next
_CUT = "..."


def harmless(text: str) -> str:
    """Text without anything that drives a terminal or hides: such characters are shown by their number, as <U+001B>."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(char if _shows(char) else f"<U+{ord(char):04X}>" for char in text)


def _shows(char: str) -> bool:
    """Whether a character leaves its own mark on the screen: printable, and not a space that looks like the ordinary one."""
    return char == " " or (char.isprintable() and unicodedata.category(char) not in ("Zs", "Cf"))


def _width(char: str) -> int:
    """Columns that a printable character takes (UAX #11, East Asian Width; marks that combine take none)."""
    if unicodedata.category(char) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(char) in ("W", "F") else 1


@record
class Excerpt:
    """A line ready to be printed, with the column (from 0) at which the marker under it begins and how far it goes."""

    text: str
    start: int
    length: int


def excerpt(line: str, start: int, end: int, room: int) -> Excerpt:
    """Show ``line`` in at most ``room`` columns with a marker under the code points from ``start`` (from 0) up to ``end``.

    The marker is at least one column long.  Of a long line the part around the marker is shown.
    """
    start = min(max(start, 0), len(line))
    end = min(max(end, start), len(line))
    skipped = max(start - 4 * room, 0)  # a line of a million letters is not walked through to show a hundred
    piece = line[skipped : start + 5 * room]
    start, end = start - skipped, min(end - skipped, len(piece))
    shown: list[str] = []
    columns = [0]  # the column at which each code point begins
    for char in piece:
        if char == "\t":
            cell = " " * (_TAB - columns[-1] % _TAB)
            width = len(cell)
        elif _shows(char):
            cell, width = char, _width(char)
        else:
            cell = f"<U+{ord(char):04X}>"
            width = len(cell)
        shown.append(cell)
        columns.append(columns[-1] + width)
    first, last = _window(columns, start, end, room)
    left = _CUT if skipped + first > 0 else ""
    right = _CUT if skipped + last < len(line) else ""
    begin = columns[start] - columns[first] + len(left)
    stop = columns[min(end, last)] - columns[first] + len(left)
    return Excerpt(left + "".join(shown[first:last]) + right, begin, max(stop - begin, 1))


def _window(columns: list[int], start: int, end: int, room: int) -> tuple[int, int]:
    """The code points to show, from and up to: all when they fit, else as much of the marker as goes in with some room before it."""
    count = len(columns) - 1
    if columns[count] <= room:
        return 0, count
    inner = max(room - 2 * len(_CUT), 8)
    marked = min(columns[end] - columns[start], inner)
    before = min((inner - marked) // 2, inner // 3) if columns[start] > inner // 3 else columns[start]
    first = start
    while first > 0 and columns[start] - columns[first - 1] <= before:
        first -= 1
    last = first
    while last < count and columns[last + 1] - columns[first] <= inner:
        last += 1
    return first, last
