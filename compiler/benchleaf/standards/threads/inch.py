"""Reading what inch designations share: size, threads per inch, series, class, starts and hand, in the orders in which they are met."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from benchleaf.diagnostics import close_matches
from benchleaf.standards.threads.model import DesignationError
from benchleaf.standards.threads.reading import MIXED, Reader, mixed
from benchleaf.standards.threads.rounding import rounded, size_text
from benchleaf.standards.threads.tables import number, table

__all__ = ["InchWords", "fraction_text", "inch_size_text", "listed_size", "numbered_size", "read_inch_words", "tpi_text"]

_NUMBER_WORD = r"#\s*|no\.?\s*|number\s+"
_SERIES = (
    r"(?:(?P<constant>\d+)[\s-]*)?(?P<unified>UNR?(?:EF|C|F|S)?)(?![a-z])"
    r"|(?P<other>B\.?S\.?W\.?|B\.?S\.?F\.?|BSB|B\.?S\.?C\.?|CEI|whit(?:worth)?\.?|brass|M\.?E\.?|model engineers?"
    r"|acme|square|sq|buttress|butt|NPT|B\.?S\.?P\.?[TP]?\.?)(?![a-z])"
)
_STARTS = r"\(?\s*(?P<count>\d{1,2})[\s-]*starts?\b\s*\)?|\(?\s*(?P<named>single|double|twin|triple|quadruple)(?:[\s-]*starts?)?\b\s*\)?"
_NAMED = {"single": 1, "double": 2, "twin": 2, "triple": 3, "quadruple": 4}
_CLASS = r"(?P<class>[1-6][ABGC](?:\s*/\s*[1-6][AB])?|[AB])(?![a-z\d])"
_QUALITY = r"(?P<quality>close|medium|free|normal)(?![a-z])"
_SIDE = r"(?P<side>bolt|screw|nut)(?![a-z])|(?P<filler>class|form|thread|general purpose)(?![a-z])"
_KNOWN_WORDS = ("UNC", "UNF", "UNEF", "UNS", "UN", "BSW", "BSF", "BSC", "brass", "ME", "Acme", "2A", "2B", "3A", "3B", "LH", "medium")
_HAND = r"(?P<left>LH|L\.H\.|left(?:[ -]hand)?)(?![a-z])|(?P<right>RH|R\.H\.|right(?:[ -]hand)?)(?![a-z])"


@dataclass(slots=True)
class InchWords:
    """The parts of an inch designation as read.  ``size`` in inches; ``spans`` are places in the text, by part.

    ``numbered`` is the number of a numbered size, ``bare`` a whole number that may be one;
    ``crossed`` tells '10x1.5' from '10-1.5'.
    """

    size: Fraction
    numbered: int | None = None
    bare: int | None = None
    crossed: bool = False
    tpi: Fraction | None = None
    series: str = ""
    constant: int | None = None
    tolerance: str | None = None
    side: str = ""
    starts: int = 1
    hand: str = "right"
    notes: list[str] = field(default_factory=list)
    spans: dict[str, tuple[int, int]] = field(default_factory=dict)


def numbered_size(count: int) -> Fraction:
    """Diameter in inches of a numbered size: 0.060 + 0.013 n (ASME B1.1)."""
    return Fraction(60 + 13 * count, 1000)


def listed_size(text: str) -> Fraction:
    """A size of a data file, '#10' or '1 1/8', in inches."""
    return numbered_size(int(text[1:])) if text.startswith("#") else number(text)


@lru_cache(maxsize=1)
def _numbered_pairs() -> frozenset[tuple[int, Fraction]]:
    data = table("unified")
    graded = ((name, number(tpi)) for series in data["series"].values() for name, tpi in series["rows"].items())
    constant = ((name, number(row["tpi"])) for row in data["constant pitch"]["rows"] for name in row.get("numbered", ()))
    return frozenset((int(name[1:]), tpi) for name, tpi in (*graded, *constant) if name.startswith("#"))


def _bare_is_number(count: int, tpi: Fraction | None) -> bool:
    """Whether a bare whole number before the threads per inch is a numbered size rather than inches.

    A listed pair settles it; else a diameter of at least 3.5 pitches is taken as the numbered one, since no listed
    numbered size is under 4 pitches and no inch size in use has that fine a thread.
    """
    if tpi is None or count not in table("unified")["numbered"]:
        return False
    return (count, tpi) in _numbered_pairs() or (not _plain_inch(count, tpi) and numbered_size(count) * tpi >= Fraction(7, 2))


def _plain_inch(count: int, tpi: Fraction) -> bool:
    data = table("unified")
    graded = any(number(series["rows"].get(str(count), 0)) == tpi for series in data["series"].values())
    return graded or any(
        number(row["tpi"]) == tpi and number(row["from"]) <= count <= number(row["to"]) for row in data["constant pitch"]["rows"]
    )


def inch_size_text(size: Fraction, tpi: Fraction, unified: bool = False) -> str:
    """A size in inches as it is written before the threads per inch, so that reading gives the same size again."""
    if unified:
        for count, listed in _numbered_pairs():
            if listed == tpi and numbered_size(count) == size:
                return str(count)
    if size.denominator == 1:
        return f"{size}.0" if unified and _bare_is_number(int(size), tpi) else str(size)
    text = fraction_text(size)
    return text if size.denominator in (2, 4, 8, 16, 32, 64) else size_text(size)


def fraction_text(size: Fraction) -> str:
    """'1 1/8' for nine eighths; '2' for two."""
    whole, part = divmod(size, 1)
    return " ".join(str(one) for one in (whole, part) if one) or "0"


def tpi_text(tpi: Fraction) -> str:
    """Threads per inch as they are written: '4 1/2', '11 1/2', '20', else decimal."""
    return fraction_text(tpi) if tpi.denominator in (1, 2, 4, 8) else size_text(tpi)


def read_inch_words(reader: Reader) -> InchWords | None:
    """Read an inch designation; None when no size stands at the beginning.  Raises DesignationError on what cannot be read."""
    leading = _leading_series(reader)
    words = _size_and_pitch(reader)
    if words is None:
        return None
    if leading is not None:
        words.series, words.constant = leading
    reader.skip()
    while not reader.done:
        _item(reader, words)
        reader.skip()
    _check_tpi(reader, words)
    if words.bare is not None and words.series[:2] in ("", "UN") and _bare_is_number(words.bare, words.tpi):
        words.numbered, words.size = words.bare, numbered_size(words.bare)
    return words


def _check_tpi(reader: Reader, words: InchWords) -> None:
    if words.constant is not None:
        if words.tpi is None:
            words.tpi = Fraction(words.constant)
        if words.tpi != words.constant:
            message = f"{words.constant}-UN is the series of {words.constant} threads per inch, not {size_text(words.tpi)}"
            raise reader.fault(message, "name one of the two", *words.spans["series"])
    if words.tpi is not None and words.tpi < 1:
        hint = f"a millimetre thread is written M{size_text(words.size)}x{size_text(words.tpi)}"
        raise reader.fault(f"{size_text(words.tpi)} threads per inch is not an inch thread", hint, *words.spans["tpi"])


def _leading_series(reader: Reader) -> tuple[str, int | None] | None:
    match = reader.take(rf"(?:{_SERIES})[\s,:]+(?=#|no|[\d.])") if not reader.look(r"[\d.#]|no\b") else None
    if match is None:
        return None
    return _series_name(match), None


def _series_name(match: re.Match[str]) -> str:
    return (match.group("unified") or match.group("other")).upper().replace(".", "")


def _size_and_pitch(reader: Reader) -> InchWords | None:
    start = reader.at
    number_word = reader.take(_NUMBER_WORD)
    match = reader.take(r"\d+-\d{1,2}/\d{1,2}(?=\s*[\"\-x ]|$)|" + MIXED)
    if match is None:
        return None
    written = match.group()
    # Number 0 (0.060 in) is the one size that is written as a nought.
    size = numbered_size(0) if written == "0" else reader.value(match, "size")
    words = InchWords(size)
    inch_mark = reader.take(r'\s*(?:"|inch(?:es)?\b|in\b\.?)') is not None
    words.spans["size"] = (start, reader.at)
    if reader.take(r"\s*-\s*(?P<pitch>\d*\.\d+)\s*P(?:itch)?\s*-\s*(?P<lead>\d*\.\d+)\s*L(?:ead)?(?![a-z])") is None:
        _plain_tpi(reader, words)
    else:
        _pitch_and_lead(reader, words, start)
    if number_word is not None or written == "0":
        words.numbered = _listed_count(reader, words, written)
        words.size = numbered_size(words.numbered)
    elif written.isdigit() and not inch_mark:
        words.bare = int(written)
    return words


def _listed_count(reader: Reader, words: InchWords, written: str) -> int:
    counts: list[int] = table("unified")["numbered"]
    if not written.isdigit() or int(written) not in counts:
        hint = f"the numbered sizes are {', '.join(str(count) for count in counts)}"
        raise reader.fault(f"there is no numbered size {written[:20]}", hint, *words.spans["size"])
    return int(written)


def _plain_tpi(reader: Reader, words: InchWords) -> None:
    """Read the threads per inch after a hyphen, an x, or a blank when what follows the blank is no class, series or count of starts."""
    amount = r"(?P<tpi>\d+\s+\d{1,2}/\d{1,2}|\d*\.\d+|\d+(?!/))"
    unit = r"\s*(?:t\.?p\.?i\.?(?![a-z])|threads per inch)?"
    words.crossed = reader.look(r"\s*x")
    match = reader.take(rf"\s*[\-x]\s*{amount}{unit}") or reader.take(rf"\s+{amount}(?![\d.]|[ABGC]\b|[\s-]*starts?\b|-\s*UN){unit}")
    if match is not None:
        words.tpi = reader.value(match, "number of threads per inch", "tpi")
        words.spans["tpi"] = match.span("tpi")


def _pitch_and_lead(reader: Reader, words: InchWords, start: int) -> None:
    match = re.search(r"-\s*(?P<pitch>\d*\.\d+)\s*P[a-z]*\s*-\s*(?P<lead>\d*\.\d+)\s*L[a-z]*$", reader.text[: reader.at], re.IGNORECASE)
    assert match is not None
    pitch, lead = mixed(match.group("pitch")), mixed(match.group("lead"))
    if not pitch or not lead:
        raise reader.fault("pitch and lead must be more than nought", "", *match.span())
    places = len(match.group("pitch").partition(".")[2])
    whole = Fraction(round(1 / pitch))
    words.tpi = whole if whole and rounded(1 / whole, places) == pitch else 1 / pitch
    starts = round(lead * words.tpi)
    if starts < 1 or abs(lead - starts / words.tpi) > Fraction(1, 10 ** (places - 1)):
        raise reader.fault(
            "the lead is not a whole number of pitches", "lead = starts x pitch, as in 3/4-.0625P-.125L (2 STARTS)", *match.span()
        )
    words.starts = starts
    words.spans["tpi"] = match.span()


def _item(reader: Reader, words: InchWords) -> None:
    if (match := reader.take(_STARTS)) is not None:
        starts = int(match.group("count")) if match.group("count") else _NAMED[match.group("named").lower()]
        if not 1 <= starts <= 24 or (words.starts not in (1, starts)):
            raise reader.fault(f"{starts} starts do not go with the rest of the designation", "lead = starts x pitch", *match.span())
        words.starts = starts
    elif not words.series and (match := reader.take(_SERIES)) is not None:
        words.series = _series_name(match)
        words.constant = int(match.group("constant")) if match.group("constant") else None
        words.spans["series"] = match.span()
    elif words.tolerance is None and (match := reader.take(_CLASS)) is not None:
        words.tolerance = "".join(match.group("class").upper().split())
        words.spans["tolerance"] = match.span()
    elif words.tolerance is None and (match := reader.take(_QUALITY)) is not None:
        words.tolerance = match.group("quality").lower()
        words.spans["tolerance"] = match.span()
    elif (match := reader.take(_SIDE)) is not None:
        if match.group("side"):
            words.side = "nut" if match.group("side").lower() == "nut" else "bolt"
    elif (match := reader.take(_HAND)) is not None:
        words.hand = "left" if match.group("left") else "right"
    else:
        raise _unknown(reader, words)


def _unknown(reader: Reader, words: InchWords) -> DesignationError:
    word, _ = reader.word()
    near = close_matches(word, _KNOWN_WORDS)
    order = "after the threads per inch: a series (UNC, UNF, UN, BSW, BSF, ...), a class (2A, 2B), LH for left hand"
    hint = f"did you mean {' or '.join(near)}?" if near else order
    return reader.fault(f"{word[:20]!r} means nothing in an inch thread designation", hint)
