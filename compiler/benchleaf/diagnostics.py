"""The one record of a fault, and the table of fault codes.

Everything a user can get wrong is a :class:`Diagnostic`.  Stages return
diagnostics beside their value; nobody prints and nobody raises for a fault of
the user's.  This module stands on the ground: it imports nothing of ours.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import Enum

__all__ = ["Diagnostic", "Severity", "Span", "close_matches", "has_errors", "ordered"]


class Severity(Enum):
    """How bad: an error stops the sheet, a warning is printed on it, a note only informs."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the worst, so that sorting puts errors first."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of text in a file.  Lines and columns count code points from 1; the end is exclusive.

    ``file`` is the path as the user would type it (relative to where they stand when that is possible).
    """

    file: str
    line: int = 1
    column: int = 1
    end_line: int = 1
    end_column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One fault.

    ``code`` is stable and of the form ``area/name``; ``message`` stands alone, lower case, no
    full stop, in shop language, and never says how to mend (``hints`` do).  ``label`` is what is
    printed beside the marker under the words at fault.  ``related`` are other places that matter.
    """

    code: str
    message: str
    span: Span | None = None
    severity: Severity = Severity.ERROR
    label: str = ""
    notes: tuple[str, ...] = ()
    hints: tuple[str, ...] = ()
    related: tuple[tuple[Span, str], ...] = field(default=())

    @property
    def sort_key(self) -> tuple[str, int, int, int, str, str]:
        """File, line, column, then severity, code, message: a total, stable order."""
        where = self.span or Span("")
        return (where.file, where.line, where.column, self.severity.rank, self.code, self.message)


def ordered(diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Sort by place and drop exact repeats (two jobs that read one bad lathe report it once)."""
    return tuple(sorted(dict.fromkeys(diagnostics), key=lambda d: d.sort_key))


def has_errors(diagnostics: Iterable[Diagnostic]) -> bool:
    """True when at least one is an error."""
    return any(d.severity is Severity.ERROR for d in diagnostics)


def close_matches(word: str, known: Sequence[str], limit: int = 3) -> tuple[str, ...]:
    """Names in ``known`` that ``word`` may have meant, best first; empty when nothing is close."""
    import difflib  # only faulty input pays for it

    folded = {name.casefold(): name for name in known}
    hits = difflib.get_close_matches(word.casefold()[:80], list(folded), n=limit, cutoff=0.6)
    return tuple(folded[hit] for hit in hits)
