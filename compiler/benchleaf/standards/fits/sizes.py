"""Whole sizes as drawings state them: ``25 H7``, ``16 mm +0.02/-0.01``, ``24.98 to 25 mm``, ``25 ±0.1 mm``, ``12.5 mm``."""

from __future__ import annotations

import re
from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.fits.classes import FitError, ToleranceClass, parse_fit, parse_tolerance
from benchleaf.standards.fits.limits import SizeLimits, general_limits, limits, plain
from benchleaf.units import QuantityFault, parse

__all__ = ["SizeFault", "Sized", "sized"]

_INCH = Fraction(127, 5)
_LONGEST = 80  # characters: a size and two deviations
_SPACES = str.maketrans({"\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u2212": "-"})
_MARK = re.compile(r"[ø∅⌀Ø] *")
_CLASS = re.compile(r"(?P<size>.*[\d \"″]) *(?P<kind>[A-Za-z]{1,2}\d{1,2}(?: */ *[A-Za-z]{1,2}\d{1,2})?)")
_RANGE = re.compile(r"(?P<low>.+?) +to +(?P<high>.+)")
_EVEN = re.compile(r"(?P<size>[^±]+?) *(?:±|\+/-) *(?P<by>[^±]+)")
_OFFSET = r"(?:[+-] *[\d./]*\d[^-+/\d]*|0[^-+/\d.]*)"
_UNEVEN = re.compile(rf"(?P<size>.*?[^-+/ ]) *(?P<first>[+-] *\d[^-+/]*|(?<= )0(?= */))(?: */ *| +)(?P<second>{_OFFSET})")
_UNIT = re.compile(r"[^\d ./+-][^\d]*$")


@record
class Sized:
    """A size as it was stated.

    ``form``: 'class', 'uneven' (two deviations), 'even' (plus and minus the same), 'limits' (two limits of size) or 'plain'.  ``system``
    is 'metric' or 'inch', the units it was written in.  ``limits`` is None for a plain size that no general tolerance covers.  Two limits
    state no nominal size: theirs is half-way between.  ``str`` gives it as it would be written, which reads back the same.
    """

    nominal: Fraction
    form: str
    system: str
    tolerance: ToleranceClass | None
    limits: SizeLimits | None

    def __str__(self) -> str:
        scale, unit = (_INCH, "in") if self.system == "inch" else (Fraction(1), "mm")
        size, held = plain(self.nominal / scale), self.limits
        if self.form == "class":
            return f"{size} {self.tolerance}" if unit == "mm" else f"{size} {unit} {self.tolerance}"
        if self.form == "plain" or held is None:
            return f"{size} {unit}"
        if self.form == "limits":
            return f"{plain(held.lower / scale)} to {plain(held.upper / scale)} {unit}"
        low, high = (held.lower_deviation / scale, held.upper_deviation / scale)
        return f"{size} \u00b1{plain(high)} {unit}" if self.form == "even" else f"{size} {unit} {_signed(high)}/{_signed(low)}"


@record
class SizeFault:
    """Why a text is not a size: ``reason`` 'text', 'quantity' (then ``code`` is the code of units), or a reason of FitError.

    ``offset`` and ``length`` mark the characters at fault.
    """

    reason: str
    message: str
    hint: str = ""
    offset: int = 0
    length: int = 0
    code: str = ""


class _FaultError(Exception):
    def __init__(self, fault: SizeFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


def sized(text: str, general: str | None = "m") -> Sized | SizeFault:
    """Read a size with its tolerance, or the fault.  Never raises for what a user can write.

    A size without a tolerance gets the general tolerance of class ``general`` of ISO 2768-1, or no limits where that is None.  Units are
    mm or in and must be written, but beside an ISO class, where mm is meant.  Raises FitError for a general class that does not exist.
    """
    if len(text) > _LONGEST:
        return SizeFault("text", f"more than {_LONGEST} characters for a size", "write it like 25 H7 or 25 mm +0.02/-0.01", 0, _LONGEST)
    clean = text.translate(_SPACES)
    mark = _MARK.match(clean.lstrip(" "))
    start = len(clean) - len(clean.lstrip(" ")) + (mark.end() if mark else 0)
    body = clean[start:].rstrip(" ")
    try:
        if match := _CLASS.fullmatch(body):
            return _by_class(match, start)
        if match := _RANGE.fullmatch(body):
            return _by_limits(match, start)
        if match := _EVEN.fullmatch(body):
            return _by_deviations(match, start, even=True)
        if match := _UNEVEN.fullmatch(body):
            return _by_deviations(match, start, even=False)
        nominal, system = _length(body, start, "")
    except _FaultError as error:
        return error.fault
    return Sized(nominal, "plain", system, None, general_limits(nominal, general) if general else None)


def _signed(value: Fraction) -> str:
    return "0" if value == 0 else f"+{plain(value)}" if value > 0 else plain(value)


def _length(text: str, offset: int, unit: str, form: str = "length") -> tuple[Fraction, str]:
    """A length, mm, and its system; ``unit`` is the unit where the text has none."""
    own = _UNIT.search(text)
    got = parse(form, text if own or not unit else f"{text} {unit}")
    if isinstance(got, QuantityFault):
        place = min(got.offset, max(len(text) - 1, 0))
        raise _FaultError(SizeFault("quantity", got.message, got.hint, offset + place, min(got.length, len(text) - place), got.code))
    return got.value, got.system


def _by_class(match: re.Match[str], start: int) -> Sized:
    place, name = start + match.start("kind"), match["kind"]
    tolerance = parse_tolerance(name)
    if tolerance is None:
        both = parse_fit(name)
        message = "a fit where the size of one part is wanted" if both else f"{name} is not an ISO 286 tolerance class"
        hint = f"write {match['size'].strip()} {both[0]} for the hole or {match['size'].strip()} {both[1]} for the shaft" if both else ""
        hint = hint or "write a class like H7 for a hole or g6 for a shaft"
        raise _FaultError(SizeFault("class", message, hint, place, len(name)))
    nominal, system = _length(match["size"].rstrip(" "), start, "mm")
    try:
        held = limits(nominal, tolerance)
    except FitError as error:
        where, long = (start, len(match["size"].rstrip(" "))) if error.reason == "size" else (place, len(name))
        raise _FaultError(SizeFault(error.reason, str(error), error.hint, where, long)) from error
    return Sized(nominal, "class", system, tolerance, held)


def _by_limits(match: re.Match[str], start: int) -> Sized:
    last = _UNIT.search(match["high"])
    high, system = _length(match["high"], start + match.start("high"), "")
    low, _ = _length(match["low"], start, last[0] if last else "")
    if low == high:
        raise _nothing_between(match, start)
    low, high = min(low, high), max(low, high)
    half = (high - low) / 2
    return Sized(low + half, "limits", system, None, _written(low + half, -half, half))


def _by_deviations(match: re.Match[str], start: int, *, even: bool) -> Sized:
    """Deviations beside a nominal size.  A unit that is written once, with the size or at the end, holds for all."""
    names = ("by",) if even else ("first", "second")
    own, last = _UNIT.search(match["size"]), _UNIT.search(match[names[-1]])
    unit = own[0] if own else last[0] if last and last[0] in ("mm", "in", '"') else ""
    nominal, system = _length(match["size"], start, unit)
    found = sorted(_offset(match[name], start + match.start(name), unit) for name in names)
    low, high = (-found[0], found[0]) if even else (found[0], found[1])
    if low >= high:
        raise _nothing_between(match, start)
    if nominal + low <= 0:
        raise _FaultError(SizeFault("text", "a lower limit that is not above nought", "check the deviations", start, len(match[0])))
    return Sized(nominal, "even" if even else "uneven", system, None, _written(nominal, low, high))


def _offset(text: str, offset: int, unit: str) -> Fraction:
    sign = text[0] if text[0] in "+-" else ""
    body = text[len(sign) :].strip(" ")
    if re.fullmatch(r"0(?:\.0+)?", body):
        return Fraction(0)
    zero = re.fullmatch(r"0(?:\.0+)? *(?:mm|um|in|\"|thou)", body)
    if zero:
        return Fraction(0)
    value, _ = _length(body, offset + text.index(body), unit)
    return -value if sign == "-" else value


def _written(nominal: Fraction, low: Fraction, high: Fraction) -> SizeLimits:
    return SizeLimits(nominal, low, high, "written", "as written", "")


def _nothing_between(match: re.Match[str], start: int) -> _FaultError:
    return _FaultError(SizeFault("text", "a tolerance with nothing between its limits", "write two different limits", start, len(match[0])))
