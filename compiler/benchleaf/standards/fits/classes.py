"""Tolerance classes as they are written: ``H7``, ``js6``, ``H7/g6``.  Capitals are holes, small letters shafts (ISO 286-1)."""

from __future__ import annotations

import re

from benchleaf.record import record

__all__ = ["GRADES", "HOLES", "SHAFTS", "FitError", "ToleranceClass", "parse_fit", "parse_tolerance"]

GRADES = ("01", "0", *(str(number) for number in range(1, 19)))
SHAFTS = (
    "a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s", "t", "u", "v", "x", "y", "z",
    "za", "zb", "zc",
)  # fmt: skip
HOLES = tuple(letters.upper() for letters in SHAFTS)
_CLASS = re.compile(r"([A-Za-z]{1,2})(\d{1,2})")


class FitError(ValueError):
    """A size or class that the tables do not hold.

    ``reason``: 'size' (nominal size beyond the tables), 'grade' (no such grade), 'class' (the letter and grade do not go together, or not
    at this size) or 'name' (no such purpose, process or general class).  The message stands alone; ``hint`` says what to do.
    """

    def __init__(self, reason: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.reason = reason
        self.hint = hint


@record
class ToleranceClass:
    """A tolerance class: ``letters`` of the fundamental deviation (capitals for a hole) and ``grade`` without IT ('01' to '18')."""

    letters: str
    grade: str

    @property
    def hole(self) -> bool:
        """Whether it is the class of a hole (an inside size)."""
        return self.letters.isupper()

    @property
    def rank(self) -> int:
        """The place of the grade among :data:`GRADES`, finest first."""
        return GRADES.index(self.grade)

    def __str__(self) -> str:
        return f"{self.letters}{self.grade}"


def parse_tolerance(text: str) -> ToleranceClass | None:
    """The class that ``text`` names, None where it names none (another letter, mixed capitals, a grade beyond IT01 to IT18)."""
    match = _CLASS.fullmatch(text.strip(" "))
    if match is None or match[1] not in HOLES + SHAFTS or match[2] not in GRADES:
        return None
    return ToleranceClass(match[1], match[2])


def parse_fit(text: str) -> tuple[ToleranceClass, ToleranceClass] | None:
    """The hole's and the shaft's class of a fit such as ``H7/g6``, None where it is no such fit.  The hole stands first (ISO 286-1)."""
    first, _, second = text.partition("/")
    hole, shaft = parse_tolerance(first), parse_tolerance(second)
    if hole is None or shaft is None or not hole.hole or shaft.hole:
        return None
    return hole, shaft
