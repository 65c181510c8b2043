"""Reading a designation from left to right, keeping the place in the text as it was written."""

from __future__ import annotations

import re
from fractions import Fraction

from benchleaf.standards.threads.model import DesignationError

__all__ = ["MIXED", "Reader", "mixed"]

LONGEST = 80
MIXED = r"\d+\s+\d{1,12}/\d{1,12}|\d{1,12}/\d{1,12}|\d*\.\d+|\d+"
_SAME = {
    "×": "x",
    "✕": "x",
    "⨯": "x",
    "–": "-",
    "—": "-",
    "−": "-",
    "‐": "-",
    "‑": "-",
    "″": '"',
    "”": '"',
    "“": '"',
    "\u00a0": " ",
    "\u2009": " ",
    "\u202f": " ",
    "\t": " ",
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}


def mixed(text: str) -> Fraction:
    """'1 1/8', '1-1/8', '9/16', '.25' or '3' as a number.  Raises ZeroDivisionError for a nought below the line."""
    whole, _, part = text.strip().replace("-", " ").rpartition(" ")
    return Fraction(part) + (Fraction(whole) if whole else 0)


class Reader:
    """A designation and how far it has been read.

    Signs that only look different (a multiplication sign, a dash, a vulgar fraction) are taken as their plain ones;
    faults are still marked in the text as written.
    """

    def __init__(self, written: str) -> None:
        self.written = written
        plain: list[str] = []
        self._origin: list[int] = []
        for place, sign in enumerate(written):
            part = _SAME.get(sign, sign)
            if sign in _VULGAR:
                part = (" " if plain and plain[-1].isdigit() else "") + _VULGAR[sign]
            plain.append(part)
            self._origin += [place] * len(part)
        self._origin.append(len(written))
        self.text = "".join(plain)
        self.at = len(self.text) - len(self.text.lstrip())
        self._end = len(self.text.rstrip())

    @property
    def rest(self) -> str:
        """What has not been read yet."""
        return self.text[self.at : self._end]

    @property
    def done(self) -> bool:
        """Whether everything has been read."""
        return self.at >= self._end

    def take(self, pattern: str) -> re.Match[str] | None:
        """Read ``pattern`` (in capitals or small letters alike) here, or stay."""
        match = re.compile(pattern, re.IGNORECASE).match(self.text, self.at, self._end)
        if match is not None:
            self.at = match.end()
        return match

    def look(self, pattern: str) -> bool:
        """Whether ``pattern`` stands here."""
        return re.compile(pattern, re.IGNORECASE).match(self.text, self.at, self._end) is not None

    def skip(self) -> None:
        """Pass blanks, hyphens and commas between the parts of a designation."""
        self.take(r"[\s,\-]+")

    def word(self) -> tuple[str, int]:
        """The next word, without reading it, and where it starts."""
        match = re.compile(r"[^\s,\-]+").match(self.text, self.at, self._end)
        return (match.group(), self.at) if match else (self.rest, self.at)

    def number(self, what: str, hint: str) -> Fraction:
        """Read a positive number.  Raises DesignationError when there is none."""
        match = self.take(MIXED)
        if match is None:
            raise self.fault(f"the {what} is missing", hint)
        return self.value(match, what)

    def value(self, match: re.Match[str], what: str, group: int | str = 0) -> Fraction:
        """The positive number in a match."""
        try:
            value = mixed(match.group(group))
        except ZeroDivisionError:
            value = Fraction(0)
        if value <= 0:
            raise self.fault(f"the {what} must be more than nought", "", match.start(group), match.end(group))
        return value

    def fault(self, message: str, hint: str = "", start: int | None = None, end: int | None = None) -> DesignationError:
        """An error at a stretch of the text; at the next word when no stretch is given."""
        if start is None:
            word, start = self.word()
            end = start + len(word)
        stop = end if end is not None else len(self.text)
        first, last = self._origin[min(start, len(self._origin) - 1)], self._origin[min(max(stop, start), len(self._origin) - 1)]
        return DesignationError(message, hint, first, max(last - first, 0))
