"""The grammar of quantities: raw text to an exact number and a unit.

One number and one unit from a list; nothing is guessed and nothing is repaired.  Each *format* is a
kind of quantity that a schema may ask for (``"format": "length"``).  A number is ``12``, ``1.27``, ``.005``, ``5/32``,
``1 7/16`` or ``1-7/16``; a leading zero, an exponent, a decimal comma and a thousands mark are refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.diagnostics import close_matches
from benchleaf.units.registry import convert

__all__ = ["FORMATS", "Format", "Parsed", "QuantityFault", "parse"]

# Spaces that word processors and phones put between a number and its unit read as a space.
_SPACES = re.compile("[ \u00a0\u2009\u202f]+")
_NUMBER = r"(?P<number>\d+[ -]\d+/\d+|\d+/\d+|\d*\.\d+|\d+)"
_LONGEST = 40  # characters: a quantity is a number and a unit
_DIGITS = 15  # more digits than any instrument reads; keeps hostile numbers small


@dataclass(frozen=True, slots=True)
class QuantityFault:
    """What is wrong with the text: ``offset`` and ``length`` mark the characters at fault."""

    code: str
    message: str
    hint: str = ""
    offset: int = 0
    length: int = 0


@dataclass(frozen=True, slots=True)
class Parsed:
    """An exact value in the format's canonical unit; ``system`` is 'inch' or 'metric' where the words decide, else ''."""

    value: Fraction
    unit: str
    system: str = ""


class _FaultError(Exception):
    def __init__(self, fault: QuantityFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


@dataclass(frozen=True, slots=True)
class Format:
    """A kind of quantity.  ``units`` maps what may be written to a unit of the registry; ``example`` is shown in hints."""

    name: str
    what: str
    unit: str
    example: str
    units: Mapping[str, str]
    sign: str = "positive"  # 'positive' | 'not negative' | 'any'
    largest: Fraction = Fraction(1_000_000)
    special: Callable[[str], Fraction | None] | None = None


_METRIC = {"mm": "mm", "um": "um", "\u00b5m": "um", "\u03bcm": "um", "cm": "cm", "m": "m"}
_INCH = {"in": "in", "inch": "in", "inches": "in", '"': "in", "\u2033": "in", "thou": "thou"}
_LENGTHS = _METRIC | _INCH
_INCH_WORDS = frozenset(_INCH) | {"TPI", "DP", "ft/min", "in/ft"}
# What people write by habit, and what it should be; 'mil' and capitals would be read as something else by other programs.
_MEANT = {
    "MM": "mm", "Mm": "mm", "millimetre": "mm", "millimeter": "mm", "millimetres": "mm", "mil": "thou", "mils": "thou", "IN": "in", "In": "in",
    "'": "in", "ft": "in", "tpi": "TPI", "Tpi": "TPI", "dp": "DP", "rev/min": "rpm", "RPM": "rpm", "r/min": "rpm", "1/min": "rpm",
    "degrees": "deg", "degree": "deg", "sec": "s", "seconds": "s", "mpm": "m/min", "sfm": "ft/min", "fpm": "ft/min", "gon": "deg", "rad": "deg",
}  # fmt: skip


def _number(text: str, offset: int) -> Fraction:
    """The value of a number in one of the allowed shapes."""
    if sum(char.isdigit() for char in text) > _DIGITS:
        raise _FaultError(QuantityFault("units/number-size", f"more than {_DIGITS} digits", "", offset, len(text)))
    if re.match(r"0\d", text):
        raise _FaultError(
            QuantityFault("units/leading-zero", "a number with a leading zero", f"write {text.lstrip('0') or '0'}", offset, len(text))
        )
    whole, _, rest = text.replace("-", " ").partition(" ")
    parts = [whole, rest] if rest else [whole]
    total = Fraction(0)
    for part in parts:
        top, slash, bottom = part.partition("/")
        if slash and int(bottom) == 0:
            raise _FaultError(QuantityFault("units/number", "a fraction over zero", "", offset, len(text)))
        total += Fraction(int(top), int(bottom)) if slash else Fraction(part)
    return total


def _split(text: str, form: Format) -> tuple[Fraction, str, int]:
    """Number, unit word and the place of the unit word."""
    match = re.match(rf"(?P<sign>[-+\u2212]?){_NUMBER}", text)
    if re.match(r"[-+\u2212]?\d+,\d", text):
        comma = text.index(",")
        better = text[:comma] + "." + text[comma + 1 :]
        raise _FaultError(QuantityFault("units/decimal-comma", "a decimal comma", f"write {better}", comma, 1))
    if match is None:
        raise _FaultError(QuantityFault("units/number", f"no {form.what} here", f"write it like {form.example}", 0, len(text)))
    value = _number(match["number"], match.start("number"))
    if match["sign"] in ("-", "\u2212"):
        value = -value
    rest = text[match.end() :]
    unit = rest.strip(" ")
    return value, unit, match.end() + len(rest) - len(rest.lstrip(" "))


def _bare(value: Fraction, text: str, form: Format) -> QuantityFault:
    """A number without its unit: say what it would be in each system, since one of the two is usually absurd."""
    hint = f"write the unit: {form.example}"
    if {"mm", "in"} <= set(form.units) and not isinstance(form.units, set):
        as_inch, as_mm = convert(value, "in", "mm"), convert(value, "mm", "in")
        hint = f"write `{text} mm` (= {float(as_mm):.4g} in) or `{text} in` (= {float(as_inch):.4g} mm)"
    return QuantityFault("units/missing", f"a {form.what} without its unit", hint, 0, len(text))


def _unit_fault(unit: str, place: int, form: Format) -> QuantityFault:
    known = ", ".join(dict.fromkeys(word for word in form.units if word.isascii()))
    meant = _MEANT.get(unit)
    if meant in form.units:
        return QuantityFault("units/unknown", f"{unit[:20]!r} is not a unit here", f"write {meant}", place, len(unit))
    for other in FORMATS.values():
        if unit in other.units and other.unit != form.unit:
            message = f"{unit!r} measures a {other.what}, but a {form.what} is wanted"
            return QuantityFault("units/dimension", message, f"write it like {form.example}", place, len(unit))
    close = close_matches(unit, list(form.units), 1)
    hint = f"did you mean {close[0]}? " if close else ""
    return QuantityFault("units/unknown", f"{unit[:20]!r} is not a unit of {form.what}", f"{hint}units known here: {known}", place, len(unit))


def _degrees_minutes(text: str) -> Fraction | None:
    """1°26'16" and 30 deg 15 min: degrees, minutes and seconds of arc."""
    match = re.fullmatch(
        r"(?P<sign>[-\u2212]?)(?P<d>\d{1,3}) ?(?:\u00b0|deg) ?(?P<m>\d{1,2}) ?(?:'|\u2032|min)(?: ?(?P<s>\d{1,2}(?:\.\d{1,6})?) ?(?:\"|\u2033|sec))?", text
    )
    if match is None:
        return None
    minutes, seconds = Fraction(match["m"]), Fraction(match["s"] or 0)
    if minutes >= 60 or seconds >= 60:
        raise _FaultError(QuantityFault("units/number", "minutes and seconds of arc run from 0 to 59", "", 0, len(text)))
    value = Fraction(match["d"]) + minutes / 60 + seconds / 3600
    return -value if match["sign"] else value


def _lead_from_tpi(text: str) -> Fraction | None:
    """16 TPI, 11 1/2 TPI: turns per inch, hence a lead."""
    match = re.fullmatch(rf"{_NUMBER} ?(?:TPI|tpi)", text)
    if match is None:
        return None
    turns = _number(match["number"], 0)
    if turns == 0:
        raise _FaultError(QuantityFault("units/range", "a thread with no turns to the inch has no lead", "", 0, len(text)))
    return Fraction(127, 5) / turns


def _tooth_size(text: str) -> Fraction | None:
    """module 1.25 and 20 DP: both are a tooth size, given as the module in mm."""
    match = re.fullmatch(rf"module {_NUMBER}(?: ?mm)?", text)
    if match is not None:
        return _number(match["number"], 7)
    match = re.fullmatch(rf"{_NUMBER} ?DP", text)
    if match is None:
        return None
    pitch = _number(match["number"], 0)
    if pitch == 0:
        raise _FaultError(QuantityFault("units/range", "a diametral pitch of zero", "", 0, len(text)))
    return Fraction(127, 5) / pitch


def _ratio(text: str) -> Fraction | None:
    """1/2, 24:48, 4 or 1.25; a pair of numbers is always first over second, whatever its digits."""
    match = re.fullmatch(r"(\d+) ?: ?(\d+)", text)
    if match is not None:
        if int(match[2]) == 0:
            raise _FaultError(QuantityFault("units/number", "a ratio to zero", "", 0, len(text)))
        return _number(match[1], 0) / _number(match[2], match.start(2))
    match = re.fullmatch(_NUMBER, text)
    return _number(match["number"], 0) if match else None


def _taper(text: str) -> Fraction | None:
    """1:20 and 0.602 in/ft: change of diameter over length."""
    match = re.fullmatch(r"1 ?: ?(\d*\.\d+|\d+)", text)
    if match is not None:
        if Fraction(match[1]) == 0:
            raise _FaultError(QuantityFault("units/number", "a taper over no length", "", 0, len(text)))
        return 1 / _number(match[1], match.start(1))
    match = re.fullmatch(rf"{_NUMBER} ?in/ft", text)
    return _number(match["number"], 0) / 12 if match else None


def _formats(*formats: Format) -> dict[str, Format]:
    return {form.name: form for form in formats}


_TURN_UNITS = {"rpm": "turn/min"}
FORMATS: dict[str, Format] = _formats(
    Format("length", "length", "mm", "12.5 mm or 1/2 in", _LENGTHS, largest=Fraction(100_000)),
    Format("distance", "distance", "mm", "0 mm or 12.5 mm", _LENGTHS, sign="not negative", largest=Fraction(100_000)),
    Format("position", "position", "mm", "-12 mm or 1/2 in", _LENGTHS, sign="any", largest=Fraction(100_000)),
    Format("lead", "lead or pitch", "mm/turn", "1.5 mm or 16 TPI", _LENGTHS | {"TPI": "TPI"}, largest=Fraction(1000), special=_lead_from_tpi),
    Format("tooth-size", "tooth size", "mm", "module 1.25 or 20 DP", {"module": "module", "DP": "DP"}, largest=Fraction(50), special=_tooth_size),
    Format("angle", "angle", "deg", "29.5 deg or 1\u00b026'16\"", {"deg": "deg", "\u00b0": "deg"}, sign="any", largest=Fraction(360),
           special=_degrees_minutes),
    Format("positive-angle", "angle", "deg", "60 deg", {"deg": "deg", "\u00b0": "deg"}, largest=Fraction(180), special=_degrees_minutes),
    Format("speed", "spindle speed", "turn/min", "120 rpm", _TURN_UNITS, largest=Fraction(20_000)),
    Format("cutting-speed", "cutting speed", "m/min", "30 m/min or 100 ft/min", {"m/min": "m/min", "ft/min": "ft/min"}, largest=Fraction(5000)),
    Format("time", "time", "s", "1.5 s", {"s": "s", "min": "min"}, largest=Fraction(100_000)),
    Format("ratio", "ratio", "", "1/2 or 24:48", {}, largest=Fraction(10_000), special=_ratio),
    Format("taper", "taper", "", "1:20 or 0.602 in/ft", {"in/ft": "in/ft"}, largest=Fraction(4), special=_taper),
    Format("share", "share", "", "200 ppm or 5 %", {"ppm": "ppm", "%": "%"}, sign="not negative", largest=Fraction(1)),
    Format("power", "power", "kW", "0.55 kW", {"kW": "kW", "W": "W"}, largest=Fraction(100)),
)  # fmt: skip
_PLAIN = {"ppm": Fraction(1, 1_000_000), "%": Fraction(1, 100)}


def parse(format_name: str, raw: str) -> Parsed | QuantityFault:
    """Read ``raw`` as the named format.

    Returns the exact value in the format's canonical unit (mm, mm/turn, deg, turn/min, m/min, s, plain number), or the
    fault.  Never raises for what a user can write; raises KeyError for a format that does not exist.
    """
    form = FORMATS[format_name]
    try:
        return _parse(form, raw)
    except _FaultError as error:
        return error.fault


def _parse(form: Format, raw: str) -> Parsed:
    if len(raw) > _LONGEST:
        raise _FaultError(QuantityFault("units/number", f"more than {_LONGEST} characters for a {form.what}", f"write it like {form.example}", 0, _LONGEST))
    odd = re.search(r"[^ -~\u00a0\u2009\u202f\u00b0\u00b5\u03bc\u2032\u2033\u2212]", raw)
    if odd:
        name = f"U+{ord(odd[0]):04X}"
        raise _FaultError(QuantityFault("units/character", f"the character {name} does not belong in a {form.what}", f"write it like {form.example}", odd.start(), 1))
    text = _SPACES.sub(" ", raw.strip())
    value = form.special(text) if form.special else None
    system = "inch" if re.search(r"(?:TPI|tpi|DP|in/ft)$", text) else ""
    if value is None:
        value, unit, place = _split(text, form)
        if not unit and form.units:
            raise _FaultError(_bare(value, text, form))
        if unit in _PLAIN and unit in form.units:
            value *= _PLAIN[unit]
        elif unit in form.units and (form.unit or unit in _LENGTHS):
            target = "mm" if form.unit == "mm/turn" else form.unit
            value = convert(value, form.units[unit], target)
        else:
            raise _FaultError(_unit_fault(unit, place, form))
        system = "inch" if unit in _INCH_WORDS else "metric" if unit in _METRIC or unit == "m/min" else ""
    if (form.sign == "positive" and value <= 0) or (form.sign == "not negative" and value < 0):
        wanted = "more than nothing" if form.sign == "positive" else "not negative"
        raise _FaultError(QuantityFault("units/range", f"a {form.what} must be {wanted}", "", 0, len(raw)))
    if abs(value) > form.largest:
        raise _FaultError(QuantityFault("units/range", f"a {form.what} beyond anything on these machines", f"check the figure and its unit; the largest read here is {form.largest} {form.unit}".rstrip(), 0, len(raw)))
    return Parsed(value, form.unit, system)
