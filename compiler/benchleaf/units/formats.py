"""The kinds of quantity (*formats*) that a schema may ask for, and the shapes of its own that each may take."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction

from benchleaf.record import record
from benchleaf.units.number import NUMBER, fault, value_of

__all__ = ["FORMATS", "INCH_WORDS", "LENGTHS", "METRIC_WORDS", "Format"]

# Reads the text with blanks at its ends removed; the second argument is where it starts in the raw text.
Special = Callable[[str, int], "Fraction | None"]


@record
class Format:
    """A kind of quantity.

    ``what`` names it with its article; ``unit`` is the canonical unit; ``units`` maps what may be written to a unit of the
    registry (or to '' for the words that only ``special`` reads); ``example`` is shown in hints.
    """

    name: str
    what: str
    unit: str
    example: str
    units: Mapping[str, str]
    sign: str = "positive"  # 'positive' | 'not negative' | 'any'
    largest: Fraction = Fraction(1_000_000)
    special: Special | None = None


_METRIC = {"mm": "mm", "um": "um", "\u00b5m": "um", "\u03bcm": "um", "cm": "cm", "m": "m"}
_INCH = {"in": "in", "inch": "in", "inches": "in", '"': "in", "\u2033": "in", "thou": "thou"}
LENGTHS = _METRIC | _INCH
INCH_WORDS = frozenset(_INCH) | {"TPI", "tpi", "DP", "ft/min", "in/ft"}
METRIC_WORDS = frozenset(_METRIC) | {"m/min", "module"}
_INCH_MM = Fraction(127, 5)
_ARC = re.compile(
    r"([-\u2212]?)(\d+) *(?:\u00b0|deg)"
    r" *(\d{1,2}(?:\.\d{1,6})?) *(?:'|\u2032|min)"
    r"(?: *(\d{1,2}(?:\.\d{1,6})?) *(?:\"|''|\u2033|sec))?"
)


def _degrees_minutes(text: str, offset: int) -> Fraction | None:
    """1°26'16" and 30 deg 15 min: degrees, minutes and seconds of arc.  The last part may have decimals."""
    match = _ARC.fullmatch(text)
    if match is None:
        return None
    minutes, seconds = Fraction(match[3]), Fraction(match[4] or 0)
    if minutes >= 60 or seconds >= 60:
        raise fault("units/number", "minutes and seconds of arc that do not run from 0 to 59", "", offset, len(text))
    if match[4] and minutes.denominator != 1:
        raise fault("units/number", "seconds of arc after a broken number of minutes", "", offset, len(text))
    value = value_of(match[2], offset + match.start(2)) + minutes / 60 + seconds / 3600
    return -value if match[1] else value


def _per_inch(text: str, offset: int, word: str, nothing: str) -> Fraction | None:
    match = re.fullmatch(rf"({NUMBER}) *(?:{word})", text)
    if match is None:
        return None
    count = value_of(match[1], offset)
    if count == 0:
        raise fault("units/range", nothing, "", offset, len(text))
    return _INCH_MM / count


def _lead_from_tpi(text: str, offset: int) -> Fraction | None:
    """16 TPI, 11 1/2 TPI: turns per inch, hence a lead."""
    return _per_inch(text, offset, "TPI|tpi", "a thread with no turns to the inch, which has no lead")


def _tooth_size(text: str, offset: int) -> Fraction | None:
    """module 1.25 and 20 DP: both are a tooth size, given as the module in mm."""
    match = re.fullmatch(rf"module +({NUMBER})(?: *mm)?", text)
    if match is not None:
        return value_of(match[1], offset + match.start(1))
    return _per_inch(text, offset, "DP", "a diametral pitch of zero")


def _ratio(text: str, offset: int) -> Fraction | None:
    """1/2, 24:48, 4 or 1.25; a pair of numbers is always first over second, whatever its digits."""
    match = re.fullmatch(r"(\d+) *: *(\d+)", text)
    if match is not None:
        first, second = value_of(match[1], offset), value_of(match[2], offset + match.start(2))
        if second == 0:
            raise fault("units/number", "a ratio to zero", "", offset, len(text))
        return first / second
    return value_of(text, offset) if re.fullmatch(NUMBER, text) else None


def _taper(text: str, offset: int) -> Fraction | None:
    """1:20 and 0.602 in/ft: change of diameter over length."""
    match = re.fullmatch(r"1 *: *(\d*\.\d+|\d+)", text)
    if match is not None:
        over = value_of(match[1], offset + match.start(1))
        if over == 0:
            raise fault("units/number", "a taper over no length", "", offset, len(text))
        return 1 / over
    match = re.fullmatch(rf"({NUMBER}) *in/ft", text)
    return value_of(match[1], offset) / 12 if match else None


def _share(text: str, offset: int) -> Fraction | None:
    """200 ppm and 5 %."""
    match = re.fullmatch(rf"({NUMBER}) *(ppm|%)", text)
    return value_of(match[1], offset) / (100 if match[2] == "%" else 1_000_000) if match else None


_ANGLES = {"deg": "deg", "\u00b0": "deg"}
_SPEEDS = {"m/min": "m/min", "ft/min": "ft/min"}
_STROKES = {"strokes/min": "stroke/min", "stroke/min": "stroke/min"}
_ALL = (
    Format("length", "a length", "mm", "12.5 mm or 1/2 in", LENGTHS, largest=Fraction(100_000)),
    Format("distance", "a distance", "mm", "0 mm or 12.5 mm", LENGTHS, sign="not negative", largest=Fraction(100_000)),
    Format("position", "a position", "mm", "-12 mm or 1/2 in", LENGTHS, sign="any", largest=Fraction(100_000)),
    Format("lead", "a lead or pitch", "mm/turn", "1.5 mm or 16 TPI", LENGTHS | {"TPI": ""}, largest=Fraction(1000), special=_lead_from_tpi),
    Format("tooth-size", "a tooth size", "mm", "module 1.25 or 20 DP", {"module": "", "DP": ""}, largest=Fraction(50), special=_tooth_size),
    Format("angle", "an angle", "deg", "29.5 deg or 1\u00b026'16\"", _ANGLES, sign="any", largest=Fraction(360), special=_degrees_minutes),
    Format("positive-angle", "an angle", "deg", "60 deg", _ANGLES, largest=Fraction(180), special=_degrees_minutes),
    Format("speed", "a spindle speed", "turn/min", "120 rpm", {"rpm": "turn/min"}, largest=Fraction(20_000)),
    Format("stroke-rate", "a rate of strokes", "stroke/min", "28 strokes/min", _STROKES, largest=Fraction(1000)),
    Format("cutting-speed", "a cutting speed", "m/min", "30 m/min or 100 ft/min", _SPEEDS, largest=Fraction(5000)),
    Format("time", "a time", "s", "1.5 s", {"s": "s", "min": "min"}, largest=Fraction(100_000)),
    Format("ratio", "a ratio", "", "1/2 or 24:48", {}, largest=Fraction(10_000), special=_ratio),
    Format("taper", "a taper", "", "1:20 or 0.602 in/ft", {"in/ft": ""}, largest=Fraction(4), special=_taper),
    Format("share", "a share", "", "200 ppm or 5 %", {"ppm": "", "%": ""}, sign="not negative", largest=Fraction(1), special=_share),
    Format("power", "a power", "kW", "0.55 kW", {"kW": "kW", "W": "W"}, largest=Fraction(100)),
)
FORMATS: Mapping[str, Format] = {form.name: form for form in _ALL}
