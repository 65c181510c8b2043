"""The grammar of numbers: raw text to an exact Fraction, or the fault.

A number is ``12``, ``1.27``, ``.005``, ``5/32``, ``1 7/16`` or ``1-7/16``.  A leading zero, an exponent, a decimal comma and a
thousands mark are refused: each is read differently somewhere, and nothing is guessed.
"""

from __future__ import annotations

import re
from decimal import Context, Decimal
from fractions import Fraction

from benchleaf.record import record

__all__ = ["NUMBER", "QuantityError", "QuantityFault", "about", "fault", "leading", "malformed", "value_of"]

# No capturing groups of its own: callers wrap it as they need.
NUMBER = r"(?:\d+(?: +|-)\d+/\d+|\d+/\d+|\d*\.\d+|\d+)"
_DIGITS = 15  # more digits than any instrument reads; keeps hostile numbers small


@record
class QuantityFault:
    """What is wrong with the text: ``offset`` and ``length`` mark the characters at fault, counted in the raw text."""

    code: str
    message: str
    hint: str = ""
    offset: int = 0
    length: int = 0


class QuantityError(Exception):
    """Carries a fault out of the grammar; never leaves the room."""

    def __init__(self, fault: QuantityFault) -> None:
        super().__init__(fault.message)
        self.fault = fault


def fault(code: str, message: str, hint: str, offset: int, length: int) -> QuantityError:
    """An error to raise; ``code`` in full, so that it can be found by searching for it."""
    return QuantityError(QuantityFault(code, message, hint, offset, length))


def about(value: Fraction) -> str:
    """A number to four significant figures for a hint, without a float on the way."""
    rounded = Context(prec=4).divide(Decimal(value.numerator), Decimal(value.denominator))
    text = format(rounded, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def value_of(text: str, offset: int) -> Fraction:
    """The value of ``text``, which has the shape of NUMBER and stands at ``offset`` in the raw text."""
    if sum(char.isdigit() for char in text) > _DIGITS:
        raise fault("units/number-size", f"more than {_DIGITS} digits", "", offset, len(text))
    for part in re.finditer(r"\d+(?:\.\d*)?", text):
        if re.match(r"0\d", part[0]) and text[part.start() - 1 : part.start()] != ".":
            better = part[0].lstrip("0")
            better = better if better[:1].isdigit() else f"0{better}"
            hint = f"write {text[: part.start()]}{better}{text[part.end() :]}"
            raise fault("units/leading-zero", "a number with a leading zero", hint, offset, len(text))
    whole, _, rest = re.sub("-| +", " ", text).partition(" ")
    total = Fraction(0)
    for part_text in [whole, rest] if rest else [whole]:
        top, slash, bottom = part_text.partition("/")
        if slash and int(bottom) == 0:
            raise fault("units/number", "a fraction over zero", "", offset, len(text))
        if slash and rest and int(top) >= int(bottom):
            raise fault("units/number", "a whole number followed by a fraction that is not less than one", "", offset, len(text))
        total += Fraction(int(top), int(bottom)) if slash else Fraction(part_text)
    return total


def leading(text: str) -> str | None:
    """The number at the start of ``text`` (unsigned), or None."""
    match = re.match(NUMBER, text)
    return match[0] if match else None


def malformed(text: str, offset: int) -> QuantityError | None:
    """The fault, when ``text`` (unsigned, at ``offset``) starts with something that only looks like a number."""
    comma = re.match(r"\d[\d.]*(?:,\d+)+(?:\.\d+)?", text)
    if comma:
        return _comma(comma[0], text[comma.end() :], offset)
    power = re.match(rf"{NUMBER}[eE][+-]?\d+", text)
    if power:
        return fault("units/number", "a number with an exponent", "write it out", offset, power.end())
    number = leading(text)
    if number is None:
        return None
    if re.match(r" +\d", text[len(number) :]):
        return fault("units/number", "two numbers where one is wanted", "", offset, len(text))
    odd = re.match(r"[.,/:'\d]*[./:'\d](?=\d|$| )|\.", text[len(number) :])
    if odd and not odd[0].startswith("'"):
        return fault("units/number", "a number that cannot be read", "", offset, len(number) + odd.end())
    return None


def _comma(text: str, rest: str, offset: int) -> QuantityError:
    """A comma is a decimal mark here and a thousands mark there: say what it would be, never choose."""
    at = text.index(",")
    plain = text.replace(",", "")
    if text.count(",") > 1 or re.fullmatch(r"\d{1,3},\d{3}\.\d+", text):
        return fault("units/decimal-comma", "a comma in a number", f"write {plain}{rest}", offset + at, 1)
    if "." in text[:at]:
        better = text.replace(".", "").replace(",", ".")
        return fault("units/decimal-comma", "a comma in a number", f"write {better}{rest}", offset + at, 1)
    decimal = text.replace(",", ".")
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
        return fault(
            "units/decimal-comma", "a comma in a number", f"write {decimal}{rest} or {plain}{rest}, whichever is meant", offset + at, 1
        )
    return fault("units/decimal-comma", "a decimal comma", f"write {decimal}{rest}", offset + at, 1)
