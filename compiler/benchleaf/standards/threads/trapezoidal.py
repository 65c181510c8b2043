"""ISO metric trapezoidal threads: ISO 2902 to 2904 sizes, ISO 2903 limits."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from benchleaf.record import record
from benchleaf.standards.threads.basic import BasicRule
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.metric_tolerances import RANGES_TOP, diameter_range, pitch_tolerance, r40_steps
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, figure, size_text
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["TrapezoidalRule", "lead_and_pitch", "read_trapezoidal", "trapezoidal_sets", "trapezoidal_thread"]

_SOURCE = "ISO 2903"
_MICROMETRE = Fraction(1, 1000)
_CLASSES = {False: ("7e", "8e", "8c", "9c"), True: ("7H", "8H", "9H")}


@lru_cache(maxsize=1)
def _series() -> Mapping[Fraction, tuple[Fraction, ...]]:
    return {number(size): numbers(pitches) for size, pitches in table("trapezoidal")["series"]["rows"].items()}


@lru_cache(maxsize=1)
def _by_pitch() -> Mapping[Fraction, Mapping[str, Any]]:
    return {number(row["P"]): row for row in table("trapezoidal")["by pitch"]["rows"]}


def trapezoidal_sets() -> dict[str, tuple[str, ...]]:
    """The preferred pitches as designations."""
    return {"trapezoidal": tuple(f"Tr{size_text(size)}x{size_text(pitches[0])}" for size, pitches in _series().items())}


def _pitch_part(major: Fraction, pitch: Fraction, grade: int, inside: bool) -> Quantity:
    symbol = "TD2" if inside else "Td2"
    data = table("trapezoidal")["pitch diameters"]
    span = diameter_range(major)
    row = next((row for row in data["rows"] if span and number(row["to"]) == span[1] and number(row["P"]) == pitch), None)
    if row is not None:
        status = "published" if symbol in row.get("published", ()) and grade == 7 else data["status"]
        # Each grade is a quarter coarser than the one before it: four steps of R40.
        return Quantity(
            f"{symbol} grade {grade}",
            r40_steps(Fraction(row[symbol]), 4 * (grade - 7)) * _MICROMETRE,
            "table",
            f"{_SOURCE} table of {symbol}",
            status,
        )
    seven = pitch_tolerance(major, pitch, 7, inside)
    return Quantity(
        f"{symbol} grade {grade}",
        r40_steps(seven.value / _MICROMETRE, 4 * (grade - 7)) * _MICROMETRE,
        "90 P^0.4 d^0.1 by grade, to the nearest R40 number",
        f"{_SOURCE}, by the formula of ISO 965-1",
        "derived",
    )


@record
class TrapezoidalRule:
    """Classes 7e, 8e, 8c, 9c outside, 7H, 8H, 9H inside, or both as '7H/7e'.  The deviation is on the pitch diameter only."""

    words: str

    @staticmethod
    def check(words: str, reader: Reader, start: int, end: int) -> None:
        """Raise DesignationError unless every class exists."""
        for part in words.split("/"):
            if part not in _CLASSES[False] and part not in _CLASSES[True]:
                known = ", ".join((*_CLASSES[False], *_CLASSES[True]))
                raise reader.fault(f"{part[:20]!r} is not a class of trapezoidal threads", f"the classes are {known}", start, end)

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side, None where ISO 2903 has none; raises DesignationError when only the other side has a class."""
        words = next((part for part in self.words.split("/") if part[-1].isupper() is inside), None)
        if words is None:
            where, other = ("inside", "outside") if inside else ("outside", "inside")
            raise DesignationError(
                f"{self.words} is a class of {other} threads, but {thread.designation} is wanted {where}",
                f"write {'7H' if inside else '7e'}, or leave the class out",
            )
        row = _by_pitch().get(thread.pitch)
        if row is None or thread.major > RANGES_TOP:
            return BasicRule("ISO 2903 has no tolerances for this pitch and diameter").limits(thread, inside, engagement)
        data = table("trapezoidal")["by pitch"]
        status = "published" if thread.pitch <= number(data["published to"]) else "from memory"
        pitch_part = _pitch_part(thread.major, thread.pitch, int(words[0]), inside)
        d, d2 = thread.major, thread.pitch_diameter
        source = f"ISO 2904 and {_SOURCE}"
        if inside:
            bore_part = Quantity("TD1 grade 4", row["TD1"] * _MICROMETRE, "table", f"{_SOURCE} table of TD1", "from memory")
            root = d + 2 * thread.form.clearance(thread.pitch)
            d1 = thread.minor_diameter
            return ThreadLimits(
                inside=True,
                tolerance=words,
                major=SizeLimits(root, None, f"D4 = d + 2 a_c = {figure(root, 3)}: root at or beyond it", "ISO 2904", "standard", root),
                pitch=SizeLimits(
                    d2,
                    d2 + pitch_part.value,
                    f"basic pitch diameter {figure(d2, 3)}; then + {pitch_part.name} {figure(pitch_part.value, 3)}",
                    source,
                    pitch_part.status,
                    d2,
                ),
                minor=SizeLimits(
                    d1,
                    d1 + bore_part.value,
                    f"basic minor diameter {figure(d1, 3)}; then + TD1 {figure(bore_part.value, 3)}",
                    source,
                    bore_part.status,
                    d1,
                ),
                pitch_tolerance=pitch_part.value,
                allowance=Fraction(0),
                basis=(pitch_part, bore_part),
            )
        shift = Quantity(
            f"deviation {words[-1]}",
            row[words[-1]] * _MICROMETRE,
            "table, on the pitch diameter only",
            f"{_SOURCE} table of deviations",
            status if words[-1] == "e" else "from memory",
        )
        crest_part = Quantity("Td grade 4", row["Td"] * _MICROMETRE, "table", f"{_SOURCE} table of Td", status)
        root_part = Quantity(
            "Td3",
            Fraction(5, 4) * pitch_part.value + shift.value,
            f"1.25 {pitch_part.name} + deviation {words[-1]}",
            f"{_SOURCE} formula",
            pitch_part.status,
        )
        d3 = thread.root_diameter
        upper = d2 - shift.value
        return ThreadLimits(
            inside=False,
            tolerance=words,
            major=SizeLimits(
                d - crest_part.value, d, f"major diameter {figure(d, 3)}; then - Td {figure(crest_part.value, 3)}", source, status, d
            ),
            pitch=SizeLimits(
                upper - pitch_part.value,
                upper,
                f"basic pitch diameter {figure(d2, 3)} - {shift.name} {figure(shift.value, 3)}; then - Td2 {figure(pitch_part.value, 3)}",
                source,
                pitch_part.status,
                d2,
            ),
            minor=SizeLimits(
                d3 - root_part.value,
                d3,
                f"d3 = d - P - 2 a_c = {figure(d3, 3)}; then - Td3 {figure(root_part.value, 3)}",
                source,
                root_part.status,
                d3,
            ),
            pitch_tolerance=pitch_part.value,
            allowance=shift.value,
            basis=(shift, pitch_part, crest_part, root_part),
        )


def trapezoidal_thread(
    major: Fraction, pitch: Fraction, starts: int, hand: str, tolerance: str | None, *, named: str = "", system: str = "metric"
) -> Thread:
    """A trapezoidal thread of any diameter and pitch (mm)."""
    shape = form("trapezoidal 30")
    usual = table("trapezoidal")["usual"]
    if 2 * shape.design_depth(pitch) >= major:
        raise DesignationError(
            f"a pitch of {size_text(pitch)} mm leaves no core in a diameter of {size_text(major)} mm", "check the pitch and the diameter"
        )
    words = tolerance if tolerance is not None else f"{usual['inside']}/{usual['outside']}"
    TrapezoidalRule.check(words, Reader(words), 0, len(words))
    lead = f"{size_text(starts * pitch)}(P{size_text(pitch)})" if starts > 1 else size_text(pitch)
    listed = pitch in _series().get(major, ())
    return Thread(
        designation=named
        or f"Tr{size_text(major)}x{lead}" + ("LH" if hand == "left" else "") + (f"-{tolerance}" if tolerance is not None else ""),
        family="trapezoidal",
        series="ISO 2902" if listed else "not listed",
        form=shape,
        major=major,
        pitch=pitch,
        starts=starts,
        hand=hand,
        tolerance=words,
        tolerance_given=tolerance is not None,
        system=system,
        pitch_diameter=major - 2 * shape.addendum(pitch),
        minor_diameter=major - 2 * shape.basic_depth(pitch),
        root_diameter=major - 2 * shape.design_depth(pitch),
        rule=TrapezoidalRule(words),
        tpi=INCH / pitch if system == "inch" else None,
        notes=() if listed else (f"Tr{size_text(major)}x{size_text(pitch)} is not among the diameters and pitches of ISO 2902",),
    )


def lead_and_pitch(reader: Reader, example: str) -> tuple[Fraction, int]:
    """Read '7' or '14(P7)' or '14P7': the lead stands first, the pitch after P.  Gives the pitch and the starts."""
    start = reader.at
    lead = reader.number("pitch", f"write it after x, as in {example}")
    match = reader.take(rf"\s*\(?\s*P\s*(?P<pitch>{MIXED})\s*\)?")
    pitch = reader.value(match, "pitch", "pitch") if match is not None else lead
    starts = lead / pitch
    if starts.denominator != 1 or starts > 24:
        raise reader.fault(
            "the lead is not a whole number of pitches", f"lead = starts x pitch; the lead stands first: {example}", start, reader.at
        )
    return pitch, int(starts)


def read_trapezoidal(reader: Reader) -> Thread | None:
    """Read 'Tr40x7', 'Tr40x14(P7)LH-7e', 'Tr 12x3-7H'; None when the text is not of this family."""
    if reader.take(rf"Tr\s*(?={MIXED})") is None:
        return None
    start = reader.at
    major = reader.number("diameter", "write the diameter after Tr: Tr20x4")
    if reader.take(r"\s*x\s*") is None:
        pitches = _series().get(major)
        size = f"Tr{size_text(major)}"
        hint = " or ".join(f"{size}x{size_text(pitch)}" for pitch in pitches) if pitches else "as in Tr20x4"
        raise reader.fault("the pitch of a trapezoidal thread must be written", f"write {hint}", start, reader.at)
    pitch, starts = lead_and_pitch(reader, "Tr40x14(P7)")
    hand = "right"
    tolerance: str | None = None
    reader.skip()
    while not reader.done:
        if tolerance is None and (match := reader.take(r"\d+[a-z](?:\s*/\s*\d+[a-z])?(?![a-z])")) is not None:
            tolerance = "".join(match.group().split())
            TrapezoidalRule.check(tolerance, reader, match.start(), match.end())
        elif (match := reader.take(r"(LH|RH)\b")) is not None:
            hand = "left" if match.group(1).upper() == "LH" else "right"
        else:
            word, _ = reader.word()
            raise reader.fault(
                f"{word[:20]!r} is not a class of trapezoidal threads or a hand",
                "after the pitch: LH for left hand, then a class (7e outside, 7H inside)",
            )
        reader.skip()
    try:
        return trapezoidal_thread(major, pitch, starts, hand, tolerance)
    except DesignationError as error:
        raise reader.fault(error.message, error.hint, start, reader.at) from None
