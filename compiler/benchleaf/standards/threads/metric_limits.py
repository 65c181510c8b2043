"""Limits of ISO metric threads by their tolerance class, ISO 965-1."""

from __future__ import annotations

import re
from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.threads.metric_tolerances import crest_tolerance, deviation, diameter_range, grade_factors, pitch_tolerance
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import figure, power

__all__ = ["MetricRule"]

_GRADES = {"outside pitch": (3, 9), "inside pitch": (4, 8)}
_TABLE = "ISO 965-1"
_GROUPS = {"S": "short", "N": "normal", "L": "long"}


@record
class _Side:
    """Grade and position of the pitch diameter, then of the crest."""

    pitch_grade: int
    pitch_position: str
    crest_grade: int
    crest_position: str


def _side(words: str) -> _Side:
    parts = re.findall(r"(\d+)([A-Za-z])", words)
    (grade, position), (crest_grade, crest_position) = parts[0], parts[-1]
    return _Side(int(grade), position, int(crest_grade), crest_position)


@record
class MetricRule:
    """Tolerance classes of ISO 965-1: '6g', '4g6g', '6H', '6H/6g'; the pitch diameter's class stands before the crest's."""

    words: str
    engagement: str = ""

    @staticmethod
    def read(words: str, engagement: str = "") -> MetricRule:
        """A rule from class words.  Raises DesignationError for classes that the standard does not have."""
        MetricRule.check(words, Reader(words), 0, len(words))
        return MetricRule(words, engagement)

    @staticmethod
    def check(words: str, reader: Reader, start: int, end: int) -> None:
        """Raise DesignationError unless every class exists: positions e f g h outside, G H inside, grades within the tables."""
        sides = words.split("/")
        if len(sides) == 2 and not (sides[0][-1].isupper() and sides[1][-1].islower()):
            raise reader.fault(f"a fit is the inside class, a stroke, the outside class; {words} is not", "write it as 6H/6g", start, end)
        for part in sides:
            if re.fullmatch(r"(?:\d{1,2}[A-Za-z]){1,2}", part) is None:
                raise reader.fault(
                    f"{part[:20]!r} is not a tolerance class of ISO 965-1", "outside as 6g or 4g6g, inside as 6H or 5H6H", start, end
                )
            one = _side(part)
            inside = one.pitch_position.isupper()
            allowed = "GH" if inside else "efgh"
            where = "inside" if inside else "outside"
            if one.pitch_position not in allowed or one.crest_position not in allowed:
                raise reader.fault(
                    f"{part} is not a tolerance class: {where} threads have positions {', '.join(allowed)}",
                    "small letters are outside threads, capitals inside ones",
                    start,
                    end,
                )
            if one.pitch_grade not in grade_factors(f"{where} pitch"):
                low, high = _GRADES[f"{where} pitch"]
                raise reader.fault(
                    f"{part}: pitch diameters of {where} threads have grades {low} to {high}", "the usual one is 6", start, end
                )
            if one.crest_grade not in grade_factors(f"{where} crest"):
                grades = ", ".join(str(grade) for grade in grade_factors(f"{where} crest"))
                raise reader.fault(
                    f"{part}: crests of {where} threads have grades {grades} only",
                    f"name both, the pitch diameter's first: {one.pitch_grade}{one.pitch_position}6{one.crest_position}",
                    start,
                    end,
                )

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when only the other side has a class."""
        words = next((part for part in self.words.split("/") if part[-1].isupper() is inside), None)
        if words is None:
            where, other = ("inside", "outside") if inside else ("outside", "inside")
            raise DesignationError(
                f"{self.words} is a class of {other} threads, but {thread.designation} is wanted {where}",
                f"write {'6H' if inside else '6g'}, or leave the class out",
            )
        side = _side(words)
        return self._inside(thread, words, side, engagement) if inside else self._outside(thread, words, side, engagement)

    def _outside(self, thread: Thread, words: str, side: _Side, engagement: Fraction | None) -> ThreadLimits:
        pitch_deviation, crest_deviation = deviation(thread.pitch, side.pitch_position), deviation(thread.pitch, side.crest_position)
        pitch_part = pitch_tolerance(thread.major, thread.pitch, side.pitch_grade, inside=False)
        crest_part = crest_tolerance(thread.pitch, side.crest_grade, inside=False)
        major = thread.major - crest_deviation.value
        pitch = thread.pitch_diameter - pitch_deviation.value
        root = thread.minor_diameter - pitch_deviation.value
        shift = f"deviation {side.pitch_position} {figure(pitch_deviation.value, 3)}"
        return ThreadLimits(
            inside=False,
            tolerance=words,
            major=_span(major - crest_part.value, major, thread.major, "major diameter", crest_deviation, crest_part),
            pitch=_span(pitch - pitch_part.value, pitch, thread.pitch_diameter, "pitch diameter", pitch_deviation, pitch_part),
            minor=SizeLimits(
                None,
                root,
                f"no part of the root above D1 {figure(thread.minor_diameter, 3)} - {shift}; root radius P/8 or more",
                f"ISO 724 and {_TABLE}",
                _worst(pitch_deviation),
                thread.minor_diameter,
            ),
            pitch_tolerance=pitch_part.value,
            allowance=pitch_deviation.value,
            basis=tuple(dict.fromkeys((pitch_deviation, crest_deviation, pitch_part, crest_part))),
            notes=self._notes(thread, engagement),
        )

    def _inside(self, thread: Thread, words: str, side: _Side, engagement: Fraction | None) -> ThreadLimits:
        pitch_deviation, crest_deviation = deviation(thread.pitch, side.pitch_position), deviation(thread.pitch, side.crest_position)
        pitch_part = pitch_tolerance(thread.major, thread.pitch, side.pitch_grade, inside=True)
        crest_part = crest_tolerance(thread.pitch, side.crest_grade, inside=True)
        pitch = thread.pitch_diameter + pitch_deviation.value
        minor = thread.minor_diameter + crest_deviation.value
        return ThreadLimits(
            inside=True,
            tolerance=words,
            major=SizeLimits(
                thread.major + pitch_deviation.value,
                None,
                f"root at or beyond D {figure(thread.major)} + deviation {side.pitch_position} {figure(pitch_deviation.value, 3)}",
                f"ISO 724 and {_TABLE}",
                _worst(pitch_deviation),
                thread.major,
            ),
            pitch=_span(pitch, pitch + pitch_part.value, thread.pitch_diameter, "pitch diameter", pitch_deviation, pitch_part),
            minor=_span(minor, minor + crest_part.value, thread.minor_diameter, "minor diameter", crest_deviation, crest_part),
            pitch_tolerance=pitch_part.value,
            allowance=pitch_deviation.value,
            basis=tuple(dict.fromkeys((pitch_deviation, crest_deviation, pitch_part, crest_part))),
            notes=self._notes(thread, engagement),
        )

    def _notes(self, thread: Thread, engagement: Fraction | None) -> tuple[str, ...]:
        span = diameter_range(thread.major)
        notes = (
            () if span else (f"ISO 965-1 has no tolerances for {figure(thread.major)} mm: its formula is used with the diameter itself",)
        )
        if engagement is None:
            return notes
        scale = thread.pitch * power(span[0] if span else thread.major, Fraction(1, 5))
        least, most = Fraction(224, 100) * scale, Fraction(67, 10) * scale
        group = "S" if engagement <= least else "N" if engagement <= most else "L"
        stated = self.engagement or "N"
        if group == stated:
            return notes
        size = f"an engagement of {figure(engagement, 2)} mm is {_GROUPS[group]} ({group}) for this thread"
        return (*notes, f"{size}: normal is {figure(least, 1)} to {figure(most, 1)} mm (ISO 965-1 formula); the class is of group {stated}")


_ORDER = ("standard", "published", "derived", "common practice", "from memory")


def _worst(*parts: Quantity) -> str:
    return max((part.status for part in parts), key=_ORDER.index)


def _span(lower: Fraction, upper: Fraction, basic: Fraction, what: str, shift: Quantity, width: Quantity) -> SizeLimits:
    sign = "+" if lower >= basic else "-"
    words = (
        f"basic {what} {figure(basic, 3)} {sign} {shift.name} {figure(shift.value, 3)}; then {sign} {width.name} {figure(width.value, 3)}"
    )
    return SizeLimits(lower, upper, words, f"ISO 724 and {_TABLE}", _worst(shift, width), basic)
