"""Limits of Unified threads by the formulas of ASME B1.1, rounded step by step as its tables are."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import INCH, figure, power, rounded
from benchleaf.standards.threads.tables import number, table

__all__ = ["UnifiedRule"]

_SOURCE = "ASME B1.1 formulas"
_THIRD, _TWO_THIRDS = Fraction(1, 3), Fraction(2, 3)


@record
class UnifiedRule:
    """Classes 1A to 3A outside, 1B to 3B inside, or both as '2A/2B'; ``series`` decides the length of engagement of the formula."""

    words: str
    series: str

    @staticmethod
    def read(words: str, series: str) -> UnifiedRule:
        """A rule from class words.  Raises DesignationError for classes that do not exist."""
        UnifiedRule.check(words, Reader(words), 0, len(words))
        return UnifiedRule(words.upper(), series)

    @staticmethod
    def check(words: str, reader: Reader, start: int, end: int) -> None:
        """Raise DesignationError unless every class is one of 1A 2A 3A 1B 2B 3B."""
        classes = table("unified")["classes"]
        known = (*classes["outside pitch"], *classes["inside pitch"])
        parts = words.upper().split("/")
        if any(part not in known for part in parts) or (len(parts) > 1 and (len(parts) > 2 or parts[0][-1] == parts[1][-1])):
            raise reader.fault(
                f"{words[:20]!r} is not a class of Unified threads", f"the classes are {', '.join(known)}: A outside, B inside", start, end
            )

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when only the other side has a class."""
        letter = "B" if inside else "A"
        words = next((part for part in self.words.split("/") if part.endswith(letter)), None)
        if words is None:
            where, other = ("inside", "outside") if inside else ("outside", "inside")
            raise DesignationError(
                f"{self.words} is a class of {other} threads, but {thread.designation} is wanted {where}",
                f"write {self.words[0]}{letter}, or leave the class out",
            )
        size, pitch = thread.major / INCH, thread.pitch / INCH
        if self.series in ("UNC", "UNF") or (self.series == "UN" and pitch >= Fraction(1, 8)):
            length, length_words = size, "D"
        else:
            length, length_words = 9 * pitch, "9 P"
        ground = Fraction(15, 10000) * (power(size, _THIRD) + power(length, Fraction(1, 2)) + 10 * power(pitch, _TWO_THIRDS))
        base = _quantity(
            "class 2A pitch-diameter tolerance", ground, f"0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3), engagement LE = {length_words}"
        )
        notes = _engagement_notes(engagement, thread, length_words)
        return self._inside(thread, words, base, ground, notes) if inside else self._outside(thread, words, base, ground, notes)

    def _outside(self, thread: Thread, words: str, base: Quantity, ground: Fraction, notes: tuple[str, ...]) -> ThreadLimits:
        classes = table("unified")["classes"]
        size, pitch = thread.major / INCH, thread.pitch / INCH
        allowance = _quantity(
            f"allowance of class {words}",
            number(classes["allowance"][words]) * ground,
            f"{classes['allowance'][words]} x the class 2A pitch-diameter tolerance",
        )
        share = number(classes["outside pitch"][words])
        pitch_part = _quantity(f"pitch-diameter tolerance of class {words}", share * ground, f"{figure(share)} x the class 2A tolerance")
        crest_share = number(classes["outside major"][words])
        crest_part = _quantity(
            f"major-diameter tolerance of class {words}", crest_share * power(pitch, _TWO_THIRDS), f"{figure(crest_share, 3)} P^(2/3)"
        )
        gap = allowance.value / INCH
        major = rounded(size - gap, 4)
        pitch_upper = thread.pitch_diameter / INCH - gap
        depth = 2 * (thread.form.root_limit_depth(pitch))
        root = rounded(major - depth, 4)
        kind = "rounded root (UNR)" if thread.series.startswith("UNR") else "root flat"
        return ThreadLimits(
            inside=False,
            tolerance=words,
            major=_limits(
                major - crest_part.value / INCH,
                major,
                thread.major,
                f"major diameter D - allowance {_in(gap)}; then - tolerance {_in(crest_part.value / INCH)}",
            ),
            pitch=_limits(
                pitch_upper - pitch_part.value / INCH,
                pitch_upper,
                thread.pitch_diameter,
                f"basic pitch diameter {_in(thread.pitch_diameter / INCH)} - allowance {_in(gap)}; then - {_in(pitch_part.value / INCH)}",
            ),
            minor=_limits(None, root, thread.minor_diameter, f"largest {kind}: largest major diameter {_in(major)} - {_in(depth)}"),
            pitch_tolerance=pitch_part.value,
            allowance=allowance.value,
            basis=(base, allowance, pitch_part, crest_part),
            notes=notes,
        )

    def _inside(self, thread: Thread, words: str, base: Quantity, ground: Fraction, notes: tuple[str, ...]) -> ThreadLimits:
        size, pitch = thread.major / INCH, thread.pitch / INCH
        share = number(table("unified")["classes"]["inside pitch"][words])
        pitch_part = _quantity(f"pitch-diameter tolerance of class {words}", share * ground, f"{figure(share)} x the class 2A tolerance")
        crest, crest_words = _bore_tolerance(size, pitch, words)
        crest_part = _quantity(f"minor-diameter tolerance of class {words}", crest, crest_words)
        basic = thread.pitch_diameter / INCH
        bore = thread.minor_diameter / INCH
        # The tables print bores to three places from number 6 (0.138 in) up; only the upper one of class 3B keeps four.
        places = 3 if size >= Fraction(138, 1000) else 4
        lower = rounded(bore, places)
        upper = rounded(bore + crest_part.value / INCH, 4 if words == "3B" else places)
        return ThreadLimits(
            inside=True,
            tolerance=words,
            major=_limits(thread.major / INCH, None, thread.major, "root at or beyond the basic major diameter D"),
            pitch=_limits(
                basic,
                basic + pitch_part.value / INCH,
                thread.pitch_diameter,
                f"basic pitch diameter {_in(basic)}; then + tolerance {_in(pitch_part.value / INCH)}",
            ),
            minor=_limits(
                lower,
                upper,
                thread.minor_diameter,
                f"basic minor diameter {_in(bore)}; then + tolerance {_in(crest_part.value / INCH)}; rounded as the tables are",
            ),
            pitch_tolerance=pitch_part.value,
            allowance=Fraction(0),
            basis=(base, pitch_part, crest_part),
            notes=notes,
        )


def _bore_tolerance(size: Fraction, pitch: Fraction, words: str) -> tuple[Fraction, str]:
    """Tolerance of the inside minor diameter in inches, and its formula."""
    fine = Fraction(5, 100) * power(pitch, _TWO_THIRDS) + Fraction(3, 100) * pitch / size - Fraction(2, 1000)
    most = Fraction(394, 1000) * pitch
    if words == "3B":
        if pitch < Fraction(1, 12):
            least, floor = Fraction(23, 100) * pitch - Fraction(15, 10) * pitch**2, "0.23 P - 1.5 P^2"
        else:
            least, floor = Fraction(12, 100) * pitch, "0.12 P"
        return min(max(fine, least), most), f"0.05 P^(2/3) + 0.03 P/D - 0.002, at least {floor}, at most 0.394 P"
    if size < Fraction(1, 4):
        least = pitch / 4 - Fraction(4, 10) * pitch**2
        return min(max(fine, least), most), "below 1/4 in: 0.05 P^(2/3) + 0.03 P/D - 0.002, at least 0.25 P - 0.4 P^2, at most 0.394 P"
    if pitch > Fraction(1, 4):
        return Fraction(15, 100) * pitch, "coarser than 4 TPI: 0.15 P"
    return pitch / 4 - Fraction(4, 10) * pitch**2, "0.25 P - 0.4 P^2"


def _engagement_notes(engagement: Fraction | None, thread: Thread, words: str) -> tuple[str, ...]:
    if engagement is None:
        return ()
    least, most = (Fraction(0), Fraction(3, 2) * thread.major) if words == "D" else (5 * thread.pitch, 15 * thread.pitch)
    if least <= engagement <= most:
        return ()
    normal = "up to 1 1/2 diameters" if words == "D" else "5 to 15 pitches"
    actual = f"{figure(engagement / thread.major, 2)} diameters, {figure(engagement / thread.pitch, 1)} pitches"
    return (f"the limits hold for an engagement of {normal}; this one is {actual} (ASME B1.1)",)


def _quantity(name: str, inches: Fraction, formula: str) -> Quantity:
    """A tolerance or allowance, to four places of an inch as the tables have it, carried in mm."""
    return Quantity(name, rounded(inches, 4) * INCH, formula + ", to 0.0001 in", _SOURCE, "standard")


def _in(inches: Fraction) -> str:
    return f"{figure(inches, 4)} in"


def _limits(lower: Fraction | None, upper: Fraction | None, basic: Fraction, formula: str) -> SizeLimits:
    return SizeLimits(None if lower is None else lower * INCH, None if upper is None else upper * INCH, formula, _SOURCE, "standard", basic)
