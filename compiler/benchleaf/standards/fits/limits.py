"""Limits of size from ISO 286 classes and from the general tolerances of ISO 2768-1.

Lengths in mm; the tables of ISO 286 are in micrometres.  Ranges of nominal size are over one number and up to and including the next.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.fits.classes import GRADES, SHAFTS, FitError, ToleranceClass
from benchleaf.standards.tables import STATUSES, Row, table

__all__ = ["SizeLimits", "general_limits", "grade_width", "largest_size", "limits", "plain"]

_STANDARD = "ISO 286-1"
_MIRRORED = SHAFTS[: SHAFTS.index("h") + 1]  # a to h: es, and the hole's EI mirrors it


@record
class SizeLimits:
    """What a size may be: nominal size and deviations from it, mm.

    ``basis``: 'table' (deviation and grade stand in the tables), 'rule' (by a rule of the standard from its tables: holes mirrored from
    shafts, the delta rule, js), 'general' (a general tolerance) or 'written' (stated with the size; then ``status`` is empty).
    """

    nominal: Fraction
    lower_deviation: Fraction
    upper_deviation: Fraction
    basis: str
    source: str
    status: str

    @property
    def lower(self) -> Fraction:
        """The least permissible size, mm."""
        return self.nominal + self.lower_deviation

    @property
    def upper(self) -> Fraction:
        """The largest permissible size, mm."""
        return self.nominal + self.upper_deviation

    @property
    def middle(self) -> Fraction:
        """The size half-way between the limits, mm."""
        return (self.lower + self.upper) / 2

    @property
    def width(self) -> Fraction:
        """The tolerance: upper less lower limit, mm."""
        return self.upper_deviation - self.lower_deviation

    def holds(self, size: Fraction) -> bool:
        """Whether a size, mm, is within the limits or at one of them."""
        return self.lower <= size <= self.upper


@record
class _Value:
    """A figure of the tables, mm, and its status."""

    value: Fraction
    status: str


def limits(nominal: Fraction, tolerance: ToleranceClass) -> SizeLimits:
    """The limits of a nominal size, mm, in a tolerance class.

    Raises :class:`FitError`: 'size' beyond 500 mm, 'class' where the standard does not use or not table the class at that size.
    Source: ISO 286-1; holes K, M, N to IT8 and P to ZC to IT7 by the delta rule, delta = IT(n) - IT(n-1), nought up to 3 mm.
    """
    width = _grade(nominal, tolerance.grade)
    _refuse_unused(nominal, tolerance)
    letters = tolerance.letters.lower()
    if letters == "js":
        return _made(nominal, -width.value / 2, width.value / 2, "rule", width.status)
    if tolerance.letters == "J":
        upper = _deviation(nominal, tolerance, f"J{tolerance.grade}")
        return _made(nominal, upper.value - width.value, upper.value, "table", upper.status, width.status)
    found = _deviation(nominal, tolerance, f"j{tolerance.grade}" if letters == "j" else letters)
    if not tolerance.hole:
        return _shaft(nominal, tolerance, found, width)
    if letters in _MIRRORED:
        return _made(nominal, -found.value, -found.value + width.value, "rule", found.status, width.status)
    delta = _delta(nominal, tolerance, width)
    over_eight = letters == "n" and tolerance.rank > GRADES.index("8") and nominal > 3
    upper = _Value(Fraction(0), found.status) if over_eight else _Value(delta.value - found.value, found.status)
    for row in table("limits/iso286", "limits").where("class", str(tolerance)):
        if _covers(row, nominal):
            upper = _Value(row.number("upper") / 1000, row.status)
            return _made(nominal, upper.value - width.value, upper.value, "table", upper.status, width.status)
    return _made(nominal, upper.value - width.value, upper.value, "rule", upper.status, delta.status, width.status)


def grade_width(nominal: Fraction, grade: str) -> Fraction:
    """The standard tolerance of a grade ('7' is IT7), mm.  Raises :class:`FitError` ('size', 'grade').  Source: ISO 286-1 table 1."""
    return _grade(nominal, grade).value


def largest_size() -> Fraction:
    """The largest nominal size that the grades are known for, mm.  Source: ISO 286-1 table 1, as far as it is carried here."""
    return max(row.number("to") for row in table("limits/iso286", "grades").rows)


def general_limits(nominal: Fraction, grade: str = "m") -> SizeLimits | None:
    """The limits of a length without a tolerance of its own, class f, m, c or v; None where the table has none for the size.

    Raises :class:`FitError` ('name') for another class.  Source: ISO 2768-1 table 1; it holds where a drawing calls for it.
    """
    if grade not in ("f", "m", "c", "v"):
        raise FitError("name", f"no general tolerance class {grade}", "classes: f, m, c, v")
    for row in table("limits/general", "linear").rows:
        first = nominal == row.number("over") == Fraction(1, 2)
        if (first or _covers(row, nominal)) and row.has(grade):
            value = row.number(grade)
            return SizeLimits(nominal, -value, value, "general", f"{row.source}, class {grade}", row.status)
    return None


def _shaft(nominal: Fraction, tolerance: ToleranceClass, found: _Value, width: _Value) -> SizeLimits:
    if tolerance.letters in _MIRRORED:
        return _made(nominal, found.value - width.value, found.value, "table", found.status, width.status)
    value = found.value
    if tolerance.letters == "k" and not GRADES.index("4") <= tolerance.rank <= GRADES.index("7"):
        value = Fraction(0)
    return _made(nominal, value, value + width.value, "table", found.status, width.status)


def _made(nominal: Fraction, lower: Fraction, upper: Fraction, basis: str, *statuses: str) -> SizeLimits:
    """Limits that can be trusted as far as the least trusted figure they come from."""
    return SizeLimits(nominal, lower, upper, basis, _STANDARD, max(statuses, key=STATUSES.index))


def _covers(row: Row, nominal: Fraction) -> bool:
    return row.number("over") < nominal <= row.number("to")


def _row(name: str, nominal: Fraction) -> Row:
    found = next((row for row in table("limits/iso286", name).rows if _covers(row, nominal)), None)
    if found is None:
        what = "a nominal size is above nought" if nominal <= 0 else f"no ISO 286 limits here for {plain(nominal)} mm"
        raise FitError("size", what, "the tables go to 500 mm: write the limits out")
    return found


def _cell(row: Row, name: str) -> _Value:
    status = "from memory" if name in row.words("remembered") else row.status_of(name)
    return _Value(row.number(name) / 1000, status)


def _grade(nominal: Fraction, grade: str) -> _Value:
    if grade not in GRADES:
        raise FitError("grade", f"no tolerance grade IT{grade}", "grades go from IT01 and IT0 to IT18")
    return _cell(_row("grades", nominal), f"IT{grade}")


def _deviation(nominal: Fraction, tolerance: ToleranceClass, column: str) -> _Value:
    """The fundamental deviation in a column of the tables; h is nought by definition."""
    if column == "h":
        return _Value(Fraction(0), "published")
    for name in ("deviations", "stepped"):
        row = _row(name, nominal)
        if row.has(column):
            return _cell(row, column)
    raise _unused(nominal, tolerance)


def _delta(nominal: Fraction, tolerance: ToleranceClass, width: _Value) -> _Value:
    """What the delta rule adds to the upper deviation of a hole K to ZC, mm, and 0 where it does not apply."""
    letters, rank = tolerance.letters, tolerance.rank
    last = GRADES.index("8" if letters in ("K", "M", "N") else "7")
    if nominal <= 3 or rank > last:
        return _Value(Fraction(0), width.status)
    if rank < GRADES.index("3"):
        raise _unused(nominal, tolerance)
    finer = _grade(nominal, GRADES[rank - 1])
    return _Value(width.value - finer.value, max(width.status, finer.status, key=STATUSES.index))


def _refuse_unused(nominal: Fraction, tolerance: ToleranceClass) -> None:
    for row in table("limits/iso286", "unused").rows:
        letters = row.words("letters")
        grades = GRADES.index(row.text("from")) <= tolerance.rank <= GRADES.index(row.text("to"))
        if grades and (not letters or tolerance.letters in letters) and row.number("over") < nominal <= row.number("up_to"):
            raise _unused(nominal, tolerance)


def _unused(nominal: Fraction, tolerance: ToleranceClass) -> FitError:
    return FitError("class", f"no limits for {tolerance} at {plain(nominal)} mm", "choose another class or write the limits out")


def plain(value: Fraction) -> str:
    """A number as it may be read back: a decimal where it ends within 9 places, else a whole number and a fraction."""
    scaled = value * 10**9
    if scaled.denominator == 1:
        digits = str(abs(scaled.numerator)).rjust(10, "0")
        text = f"{digits[:-9]}.{digits[-9:]}".rstrip("0").rstrip(".")
    else:
        whole, rest = divmod(abs(value.numerator), value.denominator)
        text = f"{whole} {rest}/{value.denominator}" if whole else f"{rest}/{value.denominator}"
    return f"-{text}" if value < 0 else text
