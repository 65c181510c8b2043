"""Where an operation lays out its figures: every one with its basis, in the machine's own system of units.

Lengths are worked in millimetres and written down in the system of the machine that sets them, with the other
system beside them, because drawings come in either.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.sheet.model import Basis, Column, Figure, FigureRef, Given, Input, Limits, Source, Status
from benchleaf.sheet.numbers import fixed
from benchleaf.units import convert
from benchleaf.workshop.values import Flag, Measure, Number, Origin, Word

__all__ = ["GEOMETRY", "OWNER", "PRACTICE", "Desk", "Faults", "Value", "basis", "given", "length_text", "source", "stands_for"]

Value = Measure | Word | Number | Flag
GEOMETRY = Source("plane geometry", Status.DERIVED)
PRACTICE = Source("workshop practice", Status.PRACTICE)
OWNER = Source("the owner's own statement", Status.OWNER)

# Decimals by what reads the size: (metric, inch).  A figure is never finer than the instrument; 'reckoned' ones are compared, never set.
_PLACES = {"micrometer": (3, 4), "caliper": (2, 3), "rule": (1, 2), "reckoned": (4, 5)}


def source(title: str, status: str) -> Source:
    """A source from a table's or formula's own words; ``status`` as in :class:`Status`, or a table's short word for it."""
    short = {"confirmed": "published", "memory": "from memory"}
    return Source(title, Status(short.get(status, status)))


def given(value: Value) -> Given:
    """The words of a profile or job as an input of a figure."""
    span = value.origin.span
    return Given(value.origin.path, value.origin.words or value.text, span.file, span.line, span.column, value.origin.default)


def stands_for(value: Value) -> Origin:
    """The origin of a value that is worked out from another: reasons then quote the words that were written."""
    return replace(value.origin, words=value.origin.words or value.text)


def basis(formula: str, inputs: tuple[Value | str | Source, ...], why: Source) -> Basis:
    """A basis from values (given), figure ids (strings) and sources."""
    built: list[Input] = []
    for item in inputs:
        if isinstance(item, str):
            built.append(FigureRef(item))
        elif isinstance(item, Source):
            built.append(item)
        else:
            built.append(given(item))
    return Basis(formula, tuple(built), why)


def length_text(mm: Fraction, system: str, read_by: str = "micrometer") -> str:
    """A length with its unit, in the given system, to the digits that ``read_by`` shows."""
    metric, inch = _PLACES[read_by]
    return f"{fixed(mm, metric)} mm" if system == "metric" else f"{fixed(convert(mm, 'mm', 'in'), inch)} in"


def _other(system: str) -> str:
    return "inch" if system == "metric" else "metric"


class Desk:
    """Collects the figures of one section.  ``system`` is that of the machine ('metric' or 'inch')."""

    def __init__(self, system: str) -> None:
        self.system = system
        self.unit = "mm" if system == "metric" else "in"
        self.figures: dict[str, Figure] = {}

    def __getitem__(self, figure_id: str) -> Figure:
        return self.figures[figure_id]

    def __contains__(self, figure_id: str) -> bool:
        return figure_id in self.figures

    def pick(self, *figure_ids: str) -> tuple[Figure, ...]:
        """The named figures that exist, in the order asked for."""
        return tuple(self.figures[name] for name in figure_ids if name in self.figures)

    def words(self, figure_id: str, label: str, value: str, why: Basis, *, unit: str = "", also: str = "") -> Figure:
        """A figure whose value is words: a setting, a rule."""
        return self._keep(Figure(figure_id, label, value, unit, value, why, also=also))

    def number(
        self, figure_id: str, label: str, value: Fraction, unit: str, shown: str, why: Basis, *, rational: bool = True, also: str = ""
    ) -> Figure:
        """A plain number with its unit."""
        return self._keep(Figure(figure_id, label, value, unit, shown, why, rational, also=also))

    def length(
        self,
        figure_id: str,
        label: str,
        mm: Fraction,
        why: Basis,
        *,
        read_by: str = "micrometer",
        rational: bool = True,
        limits: tuple[Fraction | None, Fraction | None] | None = None,
    ) -> Figure:
        """A length given in mm, kept in the machine's unit.  With limits, ``mm`` is what to aim at and the limits are shown."""
        ours = None if limits is None else Limits(*(None if end is None else convert(end, "mm", self.unit) for end in limits))
        if limits is None:
            shown = length_text(mm, self.system, read_by).rsplit(" ", 1)[0]
            also = length_text(mm, _other(self.system), read_by)
        else:
            shown = _limits_text(limits, self.system, read_by).rsplit(" ", 1)[0]
            also = _limits_text(limits, _other(self.system), read_by)
        return self._keep(Figure(figure_id, label, convert(mm, "mm", self.unit), self.unit, shown, why, rational, ours, also))

    def column(self, column_id: str, label: str, unit: str, why: Basis, kind: str = "number") -> Column:
        """A table column."""
        return Column(column_id, label, unit, why, kind)

    def _keep(self, figure: Figure) -> Figure:
        if figure.id in self.figures:
            raise ValueError(f"figure {figure.id} made twice")
        self.figures[figure.id] = figure
        return figure


def _limits_text(limits: tuple[Fraction | None, Fraction | None], system: str, read_by: str) -> str:
    lower, upper = (None if end is None else length_text(end, system, read_by) for end in limits)
    if lower is None:
        return f"at most {upper}"
    if upper is None:
        return f"at least {lower}"
    return f"{lower.rsplit(' ', 1)[0]} to {upper}"


@dataclass(slots=True)
class Faults:
    """The faults that one step's checks have found so far."""

    found: list[Diagnostic]

    def error(
        self,
        code: str,
        message: str,
        at: Value | Span,
        label: str = "",
        *,
        hint: str = "",
        note: str = "",
        related: tuple[tuple[Value | Span, str], ...] = (),
    ) -> None:
        """A fault that makes the step impossible."""
        self._add(Severity.ERROR, code, message, at, label, hint, note, related)

    def warning(
        self,
        code: str,
        message: str,
        at: Value | Span,
        label: str = "",
        *,
        hint: str = "",
        note: str = "",
        related: tuple[tuple[Value | Span, str], ...] = (),
    ) -> None:
        """Something the machinist must know, which also goes on the sheet."""
        self._add(Severity.WARNING, code, message, at, label, hint, note, related)

    def note(
        self,
        code: str,
        message: str,
        at: Value | Span,
        label: str = "",
        *,
        hint: str = "",
        note: str = "",
        related: tuple[tuple[Value | Span, str], ...] = (),
    ) -> None:
        """Something worth knowing that changes nothing on the sheet."""
        self._add(Severity.NOTE, code, message, at, label, hint, note, related)

    def _add(
        self,
        severity: Severity,
        code: str,
        message: str,
        at: Value | Span,
        label: str,
        hint: str,
        note: str,
        related: tuple[tuple[Value | Span, str], ...],
    ) -> None:
        places = tuple((_span(place), words) for place, words in related)
        fault = Diagnostic(code, message, _span(at), severity, label, (note,) if note else (), (hint,) if hint else (), places)
        if fault not in self.found:  # several steps may come upon the same thing
            self.found.append(fault)


def _span(place: Value | Span) -> Span:
    return place if isinstance(place, Span) else place.origin.span
