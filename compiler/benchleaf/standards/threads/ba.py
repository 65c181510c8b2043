"""British Association threads by BS 93: sizes follow from the number alone."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import figure, power, rounded
from benchleaf.standards.threads.tables import number, table

__all__ = ["BaRule", "ba_sets", "ba_sizes", "ba_thread", "read_ba"]


def _significant(value: Fraction, digits: int) -> Fraction:
    places = digits
    while value * Fraction(10) ** (places - digits) < 1:
        places += 1
    while value * Fraction(10) ** (places - digits) >= 10:
        places -= 1
    return rounded(value, places - 1)


def ba_sizes(count: int) -> tuple[Fraction, Fraction, Fraction]:
    """Pitch, major diameter and depth in mm of a BA number: 0.9^n, 6 (0.9^n)^1.2, 0.6 P to 0.005."""
    raw = Fraction(9, 10) ** count
    pitch = _significant(raw, 2)
    depth = Fraction(round(Fraction(6, 10) * pitch * 200), 200)
    return pitch, _significant(6 * power(raw, Fraction(6, 5)), 2), depth


def ba_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    first, last = table("ba")["numbers"]
    return {"BA": tuple(f"{count} BA" for count in range(first, last + 1))}


@record
class BaRule:
    """Bolts close or normal, nuts of one class (BS 93)."""

    words: str
    given: bool
    count: int

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when a class of bolts is asked for inside."""
        data = table("ba")["tolerances"]
        if inside:
            if self.given:
                raise DesignationError(
                    f"{self.words} is a class of BA bolts, but {thread.designation} is wanted inside",
                    f"write {self.count} BA: nuts have one class",
                )
            row = data["inside"]
        else:
            row = next(
                (
                    row
                    for name, row in data["outside"].items()
                    if name.partition(",")[0] == self.words and row["numbers"][0] <= self.count <= row["numbers"][1]
                ),
                None,
            )
            if row is None:
                raise DesignationError(f"BA bolts of number {self.count} have no {self.words} class", f"write {self.count} BA normal")
        status = row["status"]
        source = data["source"]

        def part(what: str) -> Quantity:
            share, extra = number(row[what][0]), number(row[what][1])
            words = f"{figure(share, 3)} P" + (f" + {figure(extra, 3)} mm" if extra else "")
            return Quantity(
                f"{what}-diameter tolerance, {'nut' if inside else self.words + ' bolt'}",
                rounded(share * thread.pitch + extra, 3),
                words,
                source,
                status,
            )

        d, d2, d1 = thread.major, thread.pitch_diameter, thread.minor_diameter
        gap = Fraction(0) if inside else number(row["allowance"])
        less = f" - allowance {figure(gap, 3)}" if gap else ""

        def below(basic: Fraction, what: str, width: Quantity) -> SizeLimits:
            words = f"basic {what} {figure(basic, 3)}{less}; then - tolerance {figure(width.value, 3)}"
            return SizeLimits(basic - gap - width.value, basic - gap, words, source, status, basic)

        def above(basic: Fraction, what: str, width: Quantity) -> SizeLimits:
            return SizeLimits(
                basic,
                basic + width.value,
                f"basic {what} {figure(basic, 3)}; then + tolerance {figure(width.value, 3)}",
                source,
                status,
                basic,
            )

        pitch_part, minor_part = part("pitch"), part("minor")
        if inside:
            major = SizeLimits(d, None, "root at or beyond the basic major diameter", source, status, d)
            return ThreadLimits(
                True,
                "nut",
                major,
                above(d2, "effective diameter", pitch_part),
                above(d1, "minor diameter", minor_part),
                pitch_part.value,
                gap,
                (pitch_part, minor_part),
            )
        major_part = part("major")
        return ThreadLimits(
            inside=False,
            tolerance=self.words,
            major=below(d, "major diameter", major_part),
            pitch=below(d2, "effective diameter", pitch_part),
            minor=below(d1, "minor diameter", minor_part),
            pitch_tolerance=pitch_part.value,
            allowance=gap,
            basis=(pitch_part, major_part, minor_part),
        )


def ba_thread(count: int, hand: str, tolerance: str | None) -> Thread:
    """A BA thread by its number."""
    pitch, major, depth = ba_sizes(count)
    usual: str = table("ba")["tolerances"]["usual"]
    last = table("ba")["numbers"][1]
    suffix = [*([tolerance] if tolerance else []), *(["LH"] if hand == "left" else [])]
    return Thread(
        designation=" ".join([f"{count} BA", *suffix]),
        family="british association",
        series="BA",
        form=form("british association 47.5"),
        major=major,
        pitch=pitch,
        starts=1,
        hand=hand,
        tolerance=tolerance or usual,
        tolerance_given=tolerance is not None,
        system="metric",
        pitch_diameter=major - depth,
        minor_diameter=major - 2 * depth,
        root_diameter=major - 2 * depth,
        rule=BaRule(tolerance or usual, tolerance is not None, count),
        notes=() if count <= last else (f"{count} BA follows the rule of the series but is not in BS 93:1951",),
    )


def read_ba(reader: Reader) -> Thread | None:
    """Read '2 BA', 'BA 2', 'No. 2 BA close bolt'; None when the text is not of this family."""
    match = reader.take(r"(?:no\.?\s*|#\s*)?(?P<count>\d{1,3})\s*B\.?A\.?(?![a-z])") or reader.take(
        r"B\.?A\.?\s*(?:no\.?\s*|#\s*)?(?P<count>\d{1,3})(?!\d)"
    )
    if match is None:
        return None
    count = int(match.group("count"))
    most = table("ba")["older numbers"]
    if count > most:
        raise reader.fault(f"there is no {count} BA", f"BA numbers run from 0, the largest, to {most}", *match.span("count"))
    hand, tolerance = "right", None
    reader.skip()
    while not reader.done:
        if tolerance is None and (match := reader.take(r"(close|normal)\b")) is not None:
            tolerance = match.group(1).lower()
        elif (match := reader.take(r"(LH|RH)\b")) is not None:
            hand = "left" if match.group(1).upper() == "LH" else "right"
        elif reader.take(r"(?:bolt|screw|nut|thread)\b") is None:
            word, _ = reader.word()
            raise reader.fault(f"{word[:20]!r} means nothing after a BA number", "after it: close or normal (bolts only), LH for left hand")
        reader.skip()
    return ba_thread(count, hand, tolerance)
