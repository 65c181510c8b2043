"""The grammar of quantities: raw text to an exact number and a unit.

One number and one unit from a list; nothing is guessed and nothing is repaired.  Each *format* is a kind of quantity that a
schema may ask for (``"format": "length"``).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from benchleaf.diagnostics import close_matches
from benchleaf.units.formats import FORMATS, INCH_WORDS, LENGTHS, METRIC_WORDS, Format
from benchleaf.units.number import NUMBER, QuantityError, QuantityFault, about, fault, leading, malformed, value_of
from benchleaf.units.registry import convert

__all__ = ["FORMATS", "Format", "Parsed", "QuantityFault", "parse"]

# Spaces that word processors and phones put between a number and its unit read as a space.
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u2009\u202f", " "))
_ODD = re.compile("[^ -~\u00b0\u00b5\u03bc\u2032\u2033\u2212]")
_LONGEST = 40  # characters: a quantity is a number and a unit
# Characters that a word processor or a phone puts in the place of a plain one.
_PLAINLY = {
    "\u201d": '"', "\u201c": '"', "\u2019": "'", "\u2018": "'", "\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4", "\u215b": "1/8",
    "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8", "\u2044": "/", "\u00ba": "\u00b0", "\u2236": ":", "\u2013": "-",
}  # fmt: skip
# What people write by habit, and what it should be; 'mil' and capitals would be read as something else by other programs.
_MEANT = {
    "MM": "mm", "Mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm", "mils": "thou",
    "mil": "thou (or mm, if millimetres are meant)", "IN": "in", "In": "in", "in.": "in", "ins": "in", "thous": "thou", "Tpi": "TPI",
    "tpi.": "TPI", "t.p.i.": "TPI", "dp": "DP", "Dp": "DP", "rev/min": "rpm", "RPM": "rpm", "r/min": "rpm", "1/min": "rpm",
    "degrees": "deg", "degree": "deg", "sec": "s", "secs": "s", "seconds": "s", "mins": "min", "mpm": "m/min", "sfm": "ft/min",
    "fpm": "ft/min", "spm": "strokes/min", "mod": "module", "M": "module", "m": "module", "ppM": "ppm", "pc": "%", "percent": "%",
}  # fmt: skip
_PER_TURN = re.compile(r"(mm|in)/(?:turn|rev|r|1)")


@dataclass(frozen=True, slots=True)
class Parsed:
    """An exact value in the format's canonical unit; ``system`` is 'inch' or 'metric' where the words decide, else ''."""

    value: Fraction
    unit: str
    system: str = ""


@lru_cache(maxsize=4096)
def parse(format_name: str, raw: str) -> Parsed | QuantityFault:
    """Read ``raw`` as the named format.

    Returns the exact value in the format's canonical unit (mm, mm/turn, deg, turn/min, m/min, s, kW, plain number), or the
    fault.  Never raises for what a user can write; raises KeyError for a format that does not exist.
    """
    form = FORMATS[format_name]
    try:
        return _parse(form, raw)
    except QuantityError as error:
        return error.fault


def _parse(form: Format, raw: str) -> Parsed:
    text = _plain(form, raw)
    start = len(text) - len(text.lstrip(" "))
    text = text.strip(" ")
    unit = text.split(" ", 1)[0] if form.name == "tooth-size" else re.sub(rf"^[-+\u2212]?(?:{NUMBER})? *", "", text)
    value = form.special(text, start) if form.special else None
    if value is None:
        value, unit = _number_and_unit(form, text, start)
    if (form.sign == "positive" and value <= 0) or (form.sign == "not negative" and value < 0):
        wanted = "must be more than nothing" if form.sign == "positive" else "cannot be negative"
        raise fault("units/range", f"{form.what} {wanted}", "", start, len(text))
    if abs(value) > form.largest:
        hint = f"check the figure and its unit; the largest read here is {form.largest} {form.unit}".rstrip()
        raise fault("units/range", f"{form.what} beyond anything on these machines", hint, start, len(text))
    inch = unit in INCH_WORDS or text.endswith("DP")
    return Parsed(value, form.unit, "inch" if inch else "metric" if unit in METRIC_WORDS else "")


def _plain(form: Format, raw: str) -> str:
    """The text with every kind of space as a space; same length, so that offsets still point into ``raw``."""
    if len(raw) > _LONGEST:
        raise fault("units/number", f"more than {_LONGEST} characters for {form.what}", f"write it like {form.example}", 0, _LONGEST)
    text = raw.translate(_SPACES)
    odd = _ODD.search(text)
    if odd:
        plainly = _PLAINLY.get(odd[0])
        hint = f"write {plainly}" if plainly else f"write it like {form.example}"
        raise fault("units/character", f"the character U+{ord(odd[0]):04X} does not belong in {form.what}", hint, odd.start(), 1)
    return text


def _number_and_unit(form: Format, text: str, start: int) -> tuple[Fraction, str]:
    """The plain shape: a number, then a unit of the format's own list."""
    sign = text[:1] if text[:1] in ("-", "+", "\u2212") else ""
    body, place = text[len(sign) :], start + len(sign)
    wrong = malformed(body, place)
    if wrong:
        raise wrong
    number = leading(body)
    if number is None:
        raise fault("units/number", f"no {form.what.split(' ', 1)[1]} here", f"write it like {form.example}", start, max(len(text), 1))
    value = value_of(number, place)
    rest = body[len(number) :]
    unit = rest.strip(" ")
    at = place + len(number) + len(rest) - len(rest.lstrip(" "))
    if not unit and form.units:
        raise _bare(form, value, text, start)
    target = form.units.get(unit, "") if unit else ""
    if not target:
        if sign and (unit in form.units or not unit):
            raise fault("units/range", f"a sign before {form.what}", f"write it like {form.example}", start, len(text))
        raise _unit_fault(form, value, unit, at)
    canonical = "mm" if form.unit == "mm/turn" else form.unit
    return convert(-value if sign in ("-", "\u2212") else value, target, canonical), unit


def _bare(form: Format, value: Fraction, text: str, start: int) -> QuantityError:
    """A number without its unit: say what it would be in each system, since one of the two is usually absurd."""
    hint = f"write the unit: {form.example}"
    if set(LENGTHS) <= set(form.units) and value:
        as_inch, as_mm = convert(value, "in", "mm"), convert(value, "mm", "in")
        hint = f"write `{text} mm` (= {about(as_mm)} in) or `{text} in` (= {about(as_inch)} mm)"
    return fault("units/missing", f"{form.what} without its unit", hint, start, len(text))


def _unit_fault(form: Format, value: Fraction, unit: str, place: int) -> QuantityError:
    """Something that is not a unit of this format stands behind the number."""
    shown = unit if len(unit) <= 20 else unit[:20] + "..."
    lengths = set(LENGTHS) <= set(form.units)
    if lengths:
        feet = re.fullmatch(rf"(?:'|\u2032|ft|feet|foot) *(?:({NUMBER}) *(?:\"|''|\u2033|in)?)?", unit)
        if feet:
            inches = value * 12 + (value_of(feet[1], place) if feet[1] else 0)
            whole = about(inches) if inches.denominator != 1 else str(inches)
            return fault("units/unknown", "a length in feet, which are not read here", f"write {whole} in", place, len(unit))
        turn = _PER_TURN.fullmatch(unit)
        if turn and form.name == "lead":
            hint = f"a lead is the travel of one turn anyhow: write {turn[1]}"
            return fault("units/unknown", f"`{shown}` is not a unit here", hint, place, len(unit))
    one_in = re.fullmatch(rf"in ({NUMBER})", unit)
    if one_in and form.name == "taper" and value == 1:
        return fault("units/unknown", f"`{shown}` is not a unit here", f"write 1:{one_in[1]}", place, len(unit))
    if form.units.keys() >= {"deg"} and re.fullmatch(r"'|\u2032|arcmin|min", unit):
        return fault("units/unknown", "minutes of arc without degrees", f"write 0\u00b0{about(value)}'", place, len(unit))
    meant = _MEANT.get(unit, "")
    if meant and meant.split(" ", 1)[0] in form.units:
        better = form.example if meant == "module" else meant
        return fault("units/unknown", f"`{shown}` is not a unit here", f"write {better}", place, len(unit))
    for other in FORMATS.values():
        if unit in other.units and other.what != form.what:
            message = f"`{shown}` measures {other.what}, but {form.what} is wanted"
            return fault("units/dimension", message, f"write it like {form.example}", place, len(unit))
    if not form.units:
        return fault("units/number", f"{form.what} has no unit", f"write it like {form.example}", place, max(len(unit), 1))
    close = close_matches(unit, list(form.units), 1) if len(unit) > 2 else ()  # two letters are near to everything
    known = ", ".join(word for word in form.units if word.isascii())
    hint = f"did you mean {close[0]}? units known here: {known}" if close else f"units known here: {known}"
    return fault("units/unknown", f"`{shown}` is not a unit of {form.what.split(' ', 1)[1]}", hint, place, len(unit))
