"""Tapers by what they are called: a standard's name, a ratio, an angle, or a change of diameter over a length."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from benchleaf.standards.tables import Row, table
from benchleaf.standards.tapers.taper import Taper, taper_from_half_angle, taper_from_rate

__all__ = ["parse_taper", "standard_taper", "taper_families", "taper_sizes"]

_INCH = Fraction(127, 5)
_NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_ANGLE = rf"({_NUMBER})\s*deg(?:\s*({_NUMBER})\s*min)?(?:\s*({_NUMBER})\s*sec)?"
_SIZE = r"(?:taper\s*)?(?:no\.?\s*|number\s*|#\s*)?"
_FAMILIES = ("morse", "brown_and_sharpe", "jarno", "jacobs", "steep", "metric")
_TITLES = {"morse": "MT", "brown_and_sharpe": "B&S ", "jarno": "Jarno ", "jacobs": "JT", "steep": "7:24 No. ", "metric": "metric "}
_STANDARD = tuple(
    (family, re.compile(pattern))
    for family, pattern in (
        ("morse", rf"(?:mt|mk|morse)\s*{_SIZE}(\d(?:\.5| 1/2)?)"),
        ("morse", r"(?:no\.?\s*|#\s*)?(\d(?:\.5| 1/2)?)\s*(?:mt|morse)(?:\s*taper)?"),
        ("brown_and_sharpe", rf"(?:b\s*&\s*s|bs|brown\s*(?:&|and)\s*sharpe)\s*{_SIZE}(\d+)"),
        ("jarno", rf"jarno\s*{_SIZE}(\d+)"),
        ("jacobs", rf"(?:jt|jacobs)\s*{_SIZE}(\d+(?:\s*s(?:hort)?)?)"),
        ("steep", r"(?:7:24|iso|nt|int)\s*(?:no\.?\s*|size\s*|#\s*)?(\d\d)(?:\s*taper)?"),
        ("metric", rf"metric\s*{_SIZE}(\d+)"),
    )
)
_PLACES = (("±", ""), ("°", " deg "), ("′", " min "), ("'", " min "), ("″", " sec "), ("”", '"'), ("“", '"'), ("–", "-"), ("×", "x"))


def taper_families() -> tuple[str, ...]:
    """The families of standard tapers: morse, brown_and_sharpe, jarno, jacobs, steep (7:24), metric (1:20)."""
    return _FAMILIES


def taper_sizes(family: str) -> tuple[str, ...]:
    """The sizes of a family in the table's order.  Raises LookupError for a family that is not known."""
    if family not in _FAMILIES:
        raise LookupError(f"no family of tapers {family}")
    if family == "jarno":
        row = table("tapers", family).rows[0]
        return tuple(str(size) for size in range(int(row.number("least")), int(row.number("most")) + 1))
    return tuple(row.text("size") for row in table("tapers", family).rows)


def standard_taper(family: str, size: str) -> Taper:
    """A standard taper, 'morse' '3' and so on.  Raises LookupError for one that is not in the table.

    Sources: ASME B5.10, ISO 296, ISO 239, ISO 297.  The rate of a Morse taper is that of ASME B5.10, which ISO 296 rounds to 1:n.
    """
    if size not in taper_sizes(family):
        raise LookupError(f"no {family.replace('_', ' ')} taper {size}")
    name = f"{_TITLES[family]}{size}"
    if family == "jarno":
        row, number = table("tapers", family).rows[0], Fraction(size)
        large, small, length = (row.number(end) * number * _INCH for end in ("large", "small", "length"))
        return _made(name, (large - small) / length, row, large, length)
    row = table("tapers", family).where("size", size)[0]
    if family in ("steep", "metric"):
        return _made(name, Fraction(7, 24) if family == "steep" else Fraction(1, 20), row, row.number("large"), row.maybe("length"))
    rate, length = row.number("per_foot") / 12, row.number("length") * _INCH
    large = row.number("large") * _INCH if row.has("large") else row.number("small") * _INCH + rate * length
    return _made(name, rate, row, large, length)


def _made(name: str, rate: Fraction, row: Row, large: Fraction, length: Fraction | None) -> Taper:
    ends = row.text("ends", row.status)
    return taper_from_rate(rate, name, large=large, length=length, source=row.source, status=row.status, ends_status=ends)


def parse_taper(text: str) -> Taper | None:
    """The taper that words mean, or None when they mean none or leave open which.

    Standard names: 'MT3', 'Morse 3', 'No. 4 1/2 Morse', 'B&S 9', 'Jarno 8', 'JT33', '7:24 No. 40', 'metric 80', 'taper pin'.  Ratios of
    diameter to length: '1:16', '1 in 16', '7:24'.  Angles: '16 deg included', '8.5 deg half', '8 deg 17 min 50 sec half'; an angle alone
    leaves open which it is.  Changes of diameter: '0.602 in/ft', '3/4 in per ft', '5 mm per 100 mm'.
    """
    words = _fold(text)
    for read in (_standard, _named, _ratio, _angle, _change):
        found = read(words, text)
        if found is not None:
            return found
    return None


def _fold(text: str) -> str:
    folded = text.casefold()
    for mark, word in _PLACES:
        folded = folded.replace(mark, word)
    if " deg " in folded:
        folded = folded.replace('"', " sec ")
    folded = re.sub(r"\b(degrees?|minutes?|seconds?)\b", lambda found: found.group(1)[:3], folded)
    return " ".join(folded.split())


def _standard(words: str, _: str) -> Taper | None:
    for family, pattern in _STANDARD:
        found = pattern.fullmatch(words)
        if found:
            size = " ".join(found.group(1).replace(" 1/2", ".5").split())
            size = re.sub(r"\s*s(hort)?$", " short", size)
            return standard_taper(family, size) if size in taper_sizes(family) else None
    return None


def _named(words: str, _: str) -> Taper | None:
    for row in table("tapers", "named").rows:
        if words.removesuffix(" taper") in (row.text("name"), *row.words("aliases")):
            name = row.text("name")
            if row.has("half_angle"):
                return taper_from_half_angle(row.number("half_angle"), name, source=row.source, status=row.status)
            return taper_from_rate(row.number("rate"), name, source=row.source, status=row.status)
    return None


def _ratio(words: str, text: str) -> Taper | None:
    found = re.fullmatch(rf"(?:taper\s*(?:of\s*)?)?({_NUMBER})\s*(?::|\bin\b|\bto\b)\s*({_NUMBER})(?:\s*(?:on diameter|taper))?", words)
    if not found:
        return None
    return _given(taper_from_rate, text, lambda: _value(found.group(1)) / _value(found.group(2)))


def _angle(words: str, text: str) -> Taper | None:
    whole, half = r"(?:included|incl\.?|inc\.?)(?: angle)?", r"(?:half(?:[ -]angle)?|per side|a side)"
    for kind, parts in ((whole, 2), (half, 1)):
        found = re.fullmatch(rf"{_ANGLE}\s*{kind}", words) or re.fullmatch(rf"{kind}\s*(?:of\s*)?{_ANGLE}", words)
        if found:
            degrees = sum((_value(part) / 60**place for place, part in enumerate(found.groups()) if part), Fraction(0))
            return _given(taper_from_half_angle, text, lambda: degrees / parts)  # noqa: B023 - called at once
    return None


def _change(words: str, text: str) -> Taper | None:
    foot = re.fullmatch(rf"({_NUMBER})\s*(?:in\.?|inch(?:es)?|\")\s*(?:/|per)\s*(?:a\s*)?(?:ft\.?|foot)", words)
    foot = foot or re.fullmatch(rf"({_NUMBER})\s*(?:tpf|taper per foot)", words)
    if foot:
        return _given(taper_from_rate, text, lambda: _value(foot.group(1)) / 12)
    found = re.fullmatch(rf"({_NUMBER})\s*mm\s*(?:/|per|in|over)\s*({_NUMBER})?\s*(mm|m)", words)
    if found:
        over = _value(found.group(2) or "1") * (1000 if found.group(3) == "m" else 1)
        return _given(taper_from_rate, text, lambda: _value(found.group(1)) / over)
    return None


def _given(make: Callable[[Fraction, str], Taper], text: str, value: Callable[[], Fraction]) -> Taper | None:
    """A taper as the user gave it; None when its figures make none (nought, or an angle past a right one)."""
    try:
        return make(value(), " ".join(text.split()))
    except (ValueError, ZeroDivisionError):
        return None


def _value(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))
