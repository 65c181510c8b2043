"""Inch threads of Whitworth form: BSW, BSF, brass, model engineers' and specials, with limits by BS 84."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.inch import InchWords, inch_size_text, tpi_text
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import INCH, figure, power, rounded, size_text
from benchleaf.standards.threads.tables import number, table

__all__ = ["WhitworthRule", "whitworth_from_words", "whitworth_pairs", "whitworth_sets", "whitworth_thread"]

_STANDARD = ("BSW", "BSF")
_NAMES = {"BSB": "brass", "BRASS": "brass", "MODEL ENGINEER": "ME", "MODEL ENGINEERS": "ME", "WHIT": "Whit", "WHITWORTH": "Whit"}
_HALF = Fraction(1, 2)


@lru_cache(maxsize=1)
def whitworth_pairs() -> Mapping[str, tuple[tuple[Fraction, Fraction], ...]]:
    """Sizes (in) and threads per inch by series, in order of size within a pitch."""
    data = table("whitworth")
    pairs = {name: tuple((number(size), number(tpi)) for size, tpi in data["series"][name]["rows"].items()) for name in _STANDARD}
    for name, row in data["custom"].items():
        pairs[name] = tuple((number(size), number(tpi)) for tpi, sizes in row["rows"].items() for size in sizes)
    return pairs


def whitworth_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    names = {"BSW": "BSW", "BSF": "BSF", "brass": "brass 26", "ME": "ME"}
    return {
        names[name]: tuple(f"{inch_size_text(size, tpi)}-{tpi_text(tpi)} {name}" for size, tpi in pairs)
        for name, pairs in whitworth_pairs().items()
    }


@record
class WhitworthRule:
    """Fits of BS 84: close, medium, free outside; close, medium, normal inside.  ``listed``: whether BS 84 lists the size."""

    words: str
    listed: bool

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when the fit is not one of that side."""
        data = table("whitworth")["tolerances"]
        allowed = data["inside" if inside else "outside"]
        if self.words not in allowed:
            where = "inside" if inside else "outside"
            raise DesignationError(f"{self.words} is not a fit of {where} Whitworth threads", f"{where} threads are {', '.join(allowed)}")
        size, pitch = thread.major / INCH, thread.pitch / INCH
        ground = (2 * power(size, Fraction(1, 3)) + 3 * power(size, _HALF) + 5 * power(pitch, _HALF)) / 1000
        share = number(data["shares"][self.words])
        status = "from memory" if self.listed else "derived"
        source = data["source"] + ("" if self.listed else ", applied to a size that BS 84 does not list")

        def part(name: str, inches: Fraction, formula: str) -> Quantity:
            return Quantity(f"{name} tolerance, {self.words}", rounded(inches, 4) * INCH, formula, source, status)

        words = "T = 0.002 D^(1/3) + 0.003 L^(1/2) + 0.005 P^(1/2) in, L = D"
        pitch_part = part("effective-diameter", share * ground, f"{size_text(share)} T, {words}")
        notes = (
            ()
            if engagement is None or engagement <= thread.major * 3 / 2
            else ("the limits are for an engagement of about one diameter (BS 84)",)
        )

        def span(lower: Fraction | None, upper: Fraction | None, basic: Fraction, words: str) -> SizeLimits:
            return SizeLimits(lower, upper, words, source, status, basic)

        if inside:
            base = next(number(extra) for tpi, extra in data["inside minor"] if 1 / pitch >= tpi)
            bore_part = part("minor-diameter", pitch / 5 + base, f"0.2 P + {size_text(base)} in")
            return ThreadLimits(
                inside=True,
                tolerance=self.words,
                major=span(thread.major, None, thread.major, "root at or beyond the basic major diameter"),
                pitch=span(
                    thread.pitch_diameter,
                    thread.pitch_diameter + pitch_part.value,
                    thread.pitch_diameter,
                    _plus("effective diameter", thread.pitch_diameter, pitch_part),
                ),
                minor=span(
                    thread.minor_diameter,
                    thread.minor_diameter + bore_part.value,
                    thread.minor_diameter,
                    _plus("minor diameter", thread.minor_diameter, bore_part),
                ),
                pitch_tolerance=pitch_part.value,
                allowance=Fraction(0),
                basis=(pitch_part, bore_part),
                notes=notes,
            )
        root = power(pitch, _HALF)
        crest_share, root_share = number(data["outside major"][self.words]), number(data["outside minor"][self.words])
        crest_part = part(
            "major-diameter", share * ground + crest_share * root, f"{size_text(share)} T + {size_text(crest_share)} P^(1/2) in"
        )
        root_part = part("minor-diameter", share * ground + root_share * root, f"{size_text(share)} T + {size_text(root_share)} P^(1/2) in")
        return ThreadLimits(
            inside=False,
            tolerance=self.words,
            major=span(thread.major - crest_part.value, thread.major, thread.major, _minus("major diameter", thread.major, crest_part)),
            pitch=span(
                thread.pitch_diameter - pitch_part.value,
                thread.pitch_diameter,
                thread.pitch_diameter,
                _minus("effective diameter", thread.pitch_diameter, pitch_part),
            ),
            minor=span(
                thread.minor_diameter - root_part.value,
                thread.minor_diameter,
                thread.minor_diameter,
                _minus("minor diameter", thread.minor_diameter, root_part),
            ),
            pitch_tolerance=pitch_part.value,
            allowance=Fraction(0),
            basis=(pitch_part, crest_part, root_part),
            notes=notes,
        )


def _minus(what: str, basic: Fraction, part: Quantity) -> str:
    return f"basic {what} {figure(basic / INCH)} in; then - tolerance {figure(part.value / INCH)} in"


def _plus(what: str, basic: Fraction, part: Quantity) -> str:
    return f"basic {what} {figure(basic / INCH)} in; then + tolerance {figure(part.value / INCH)} in"


def whitworth_thread(
    size: Fraction,
    tpi: Fraction,
    series: str,
    *,
    starts: int = 1,
    hand: str = "right",
    tolerance: str | None = None,
    named: str = "",
    system: str = "inch",
    notes: tuple[str, ...] = (),
) -> Thread:
    """A thread of Whitworth form of any size (in) and threads per inch; ``series`` is BSW, BSF, brass, ME or Whit.

    Raises DesignationError for sizes that leave no core and for fits that BS 84 does not have.
    """
    shape = form("whitworth 55")
    pitch = 1 / tpi
    if 2 * shape.design_depth(pitch) >= size:
        raise DesignationError(
            f"{size_text(tpi)} threads per inch leave no core in a diameter of {size_text(size)} in",
            "check the size and the threads per inch",
        )
    fits = table("whitworth")["tolerances"]["shares"]
    words = (tolerance or table("whitworth")["tolerances"]["usual"]).lower()
    if words not in fits:
        raise DesignationError(f"{words[:20]!r} is not a fit of BS 84", f"the fits are {', '.join(fits)}")
    suffix = [
        *([words] if tolerance is not None else []),
        *([f"{starts}-START"] if starts > 1 else []),
        *(["LH"] if hand == "left" else []),
    ]
    minor = rounded(size - 2 * shape.basic_depth(pitch), 4) * INCH
    return Thread(
        designation=named or " ".join([f"{inch_size_text(size, tpi)}-{tpi_text(tpi)} {series}", *suffix]),
        family="whitworth",
        series=series,
        form=shape,
        major=size * INCH,
        pitch=pitch * INCH,
        starts=starts,
        hand=hand,
        tolerance=words,
        tolerance_given=tolerance is not None,
        system=system,
        pitch_diameter=rounded(size - 2 * shape.addendum(pitch), 4) * INCH,
        minor_diameter=minor,
        root_diameter=minor,
        rule=WhitworthRule(words, series in _STANDARD),
        tpi=tpi,
        notes=notes,
    )


def _at(series: str, size: Fraction) -> list[Fraction]:
    return [tpi for listed, tpi in whitworth_pairs().get(series, ()) if listed == size]


def whitworth_from_words(reader: Reader, words: InchWords) -> Thread:
    """A BSW, BSF, brass, ME or plain Whitworth thread from the parts of its designation."""
    series = _NAMES.get(words.series, words.series)
    fitting = _at(series, words.size)
    place = words.spans.get("series", words.spans["size"])
    notes: tuple[str, ...] = ()
    tpi = words.tpi
    if tpi is None and series == "brass":
        tpi = Fraction(26)
    if tpi is None:
        if len(fitting) != 1:
            listed = [f"{inch_size_text(words.size, one)}-{tpi_text(one)} {name}" for name in _STANDARD for one in _at(name, words.size)]
            own = f"{series} has {' or '.join(map(tpi_text, fitting))} at this size"
            hint = own if fitting else f"write {' or '.join(listed)}" if listed else f"write them after a hyphen, as in 1/2-12 {series}"
            raise reader.fault("the threads per inch are missing", hint, *words.spans["size"])
        tpi = fitting[0]
        notes = (
            f"{series} has {tpi_text(tpi)} threads per inch at this size ({'BS 84' if series in _STANDARD else 'custom of the trade'})",
        )
    size = inch_size_text(words.size, tpi)
    if series in _STANDARD and tpi not in fitting:
        other = next((name for name in _STANDARD if (words.size, tpi) in whitworth_pairs()[name]), "Whit")
        mine = f"{series} has {tpi_text(fitting[0])} at this size; " if fitting else f"no such size in {series}; "
        raise reader.fault(
            f"{size}-{tpi_text(tpi)} is not in the {series} series", f"{mine}{tpi_text(tpi)} is {size}-{tpi_text(tpi)} {other}", *place
        )
    if series == "brass" and tpi != 26:
        raise reader.fault(
            "brass thread has 26 threads per inch at every diameter", f"write {size}-26 brass, or {size}-{tpi_text(tpi)} Whit", *place
        )
    if series in ("brass", "ME") and tpi not in fitting:
        notes = (*notes, f"{size}-{tpi_text(tpi)} is not in the usual list of {series} threads")
    if words.tolerance is not None and words.tolerance not in table("whitworth")["tolerances"]["shares"]:
        raise reader.fault(
            f"{words.tolerance} is not a fit of BS 84",
            "outside close, medium or free; inside close, medium or normal",
            *words.spans["tolerance"],
        )
    try:
        return whitworth_thread(words.size, tpi, series, starts=words.starts, hand=words.hand, tolerance=words.tolerance, notes=notes)
    except DesignationError as error:
        raise reader.fault(error.message, error.hint, *words.spans["size"]) from None
