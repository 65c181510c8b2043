"""Parallel pipe threads, ISO 228-1.  The size is a pipe bore: G 1/2 measures 20.955 mm over the crests."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.inch import InchWords, fraction_text, tpi_text
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, figure, rounded
from benchleaf.standards.threads.tables import number, table

__all__ = [
    "PipeRule",
    "parallel_pipe",
    "parallel_rows",
    "pipe_from_words",
    "pipe_sets",
    "pipe_size",
    "read_parallel_pipe",
    "whitworth_pipe_sizes",
]

_SOURCE = "ISO 228-1"


@lru_cache(maxsize=1)
def parallel_rows() -> Mapping[Fraction, tuple[Fraction, Fraction]]:
    """Nominal size to diameter over the crests (mm) and threads per inch."""
    return {number(size): (number(major), number(tpi)) for size, (major, tpi) in table("pipe")["parallel"]["rows"].items()}


def pipe_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    return {"BSP": tuple(f"G {fraction_text(size)}" for size in parallel_rows())}


def pipe_size(reader: Reader, sizes: Mapping[Fraction, object], what: str) -> tuple[Fraction, tuple[int, int]]:
    """Read a nominal pipe size that must be in ``sizes``, with its place in the text."""
    start = reader.at
    size = reader.number("pipe size", f"write the size after the letter, as in {what} 1/2")
    reader.take(r'\s*(?:"|inch(?:es)?\b|in\b\.?)')
    check_size(reader, size, sizes, what, (start, reader.at))
    return size, (start, reader.at)


def check_size(reader: Reader, size: Fraction, sizes: Mapping[Fraction, object], what: str, place: tuple[int, int]) -> None:
    """Raise DesignationError when ``size`` is not a listed pipe size."""
    if size not in sizes:
        near = sorted(sorted(sizes, key=lambda other: abs(other - size))[:2])
        hint = (
            f"the nearest are {' and '.join(fraction_text(one) for one in near)}; the size is the pipe's bore, not a diameter of the thread"
        )
        raise reader.fault(f"{what} {fraction_text(size)[:20]} is not a listed pipe size", hint, *place)


def whitworth_pipe_sizes(size: Fraction) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Major, pitch and minor diameter in mm and threads per inch; the height is rounded to 0.001 mm before it is taken off."""
    major, tpi = parallel_rows()[size]
    height = rounded(form("whitworth 55").basic_depth(INCH / tpi), 3)
    return major, major - height, major - 2 * height, tpi


@record
class PipeRule:
    """ISO 228-1: outside class A or B, inside one class only.  ``size`` is the nominal size."""

    words: str
    given: bool
    size: Fraction

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side; raises DesignationError when an outside class is asked for inside."""
        if inside and self.given:
            plain = f"G {fraction_text(self.size)}"
            raise DesignationError(
                f"{self.words} is a class of outside pipe threads, but {thread.designation} is wanted inside",
                f"write {plain}: inside threads have one class",
            )
        data = table("pipe")["parallel"]["tolerances"]
        row = next(row for row in data["rows"] if number(row["tpi"]) == thread.tpi and self.size <= number(row["to"]))
        status = "published" if self.size <= 2 else "from memory"

        def part(name: str, value: Fraction) -> Quantity:
            return Quantity(name, value, "table", f"{_SOURCE} table", status)

        def span(lower: Fraction | None, upper: Fraction | None, basic: Fraction, words: str) -> SizeLimits:
            return SizeLimits(lower, upper, words, f"{_SOURCE} table", status, basic)

        d, d2, d1 = thread.major, thread.pitch_diameter, thread.minor_diameter
        if inside:
            pitch_part, bore_part = (
                part("pitch-diameter tolerance, inside", number(row["pitch"])),
                part("minor-diameter tolerance, inside", number(row["minor"])),
            )
            return ThreadLimits(
                inside=True,
                tolerance="inside",
                major=span(d, None, d, "root at or beyond the basic major diameter"),
                pitch=span(
                    d2, d2 + pitch_part.value, d2, f"basic pitch diameter {figure(d2, 3)}; then + tolerance {figure(pitch_part.value, 3)}"
                ),
                minor=span(
                    d1, d1 + bore_part.value, d1, f"basic minor diameter {figure(d1, 3)}; then + tolerance {figure(bore_part.value, 3)}"
                ),
                pitch_tolerance=pitch_part.value,
                allowance=Fraction(0),
                basis=(pitch_part, bore_part),
            )
        share = data["class B"] if self.words == "B" else 1
        pitch_part = part(f"pitch-diameter tolerance, class {self.words}", share * number(row["pitch"]))
        crest_part = part("major-diameter tolerance", number(row["major"]))
        return ThreadLimits(
            inside=False,
            tolerance=self.words,
            major=span(d - crest_part.value, d, d, f"basic major diameter {figure(d, 3)}; then - tolerance {figure(crest_part.value, 3)}"),
            pitch=span(
                d2 - pitch_part.value, d2, d2, f"basic pitch diameter {figure(d2, 3)}; then - tolerance {figure(pitch_part.value, 3)}"
            ),
            minor=span(None, d1, d1, f"no part of the root above the basic minor diameter {figure(d1, 3)}"),
            pitch_tolerance=pitch_part.value,
            allowance=Fraction(0),
            basis=(pitch_part, crest_part),
        )


def parallel_pipe(size: Fraction, hand: str, tolerance: str | None, notes: tuple[str, ...] = ()) -> Thread:
    """A G thread of a listed nominal size."""
    major, pitch_diameter, minor, tpi = whitworth_pipe_sizes(size)
    name = f"G {fraction_text(size)}"
    suffix = (f" {tolerance}" if tolerance else "") + ("-LH" if hand == "left" else "")
    usual: str = table("pipe")["parallel"]["tolerances"]["usual"]
    return Thread(
        designation=name + suffix,
        family="pipe parallel",
        series="G",
        form=form("whitworth 55"),
        major=major,
        pitch=INCH / tpi,
        starts=1,
        hand=hand,
        tolerance=tolerance or usual,
        tolerance_given=tolerance is not None,
        system="inch",
        pitch_diameter=pitch_diameter,
        minor_diameter=minor,
        root_diameter=minor,
        rule=PipeRule(tolerance or usual, tolerance is not None, size),
        tpi=tpi,
        size_is_nominal_bore=True,
        notes=(
            f"{fraction_text(size)} in {name} is the bore of the pipe: over the crests it is {figure(major, 3)} mm, {tpi_text(tpi)} TPI",
            *notes,
        ),
    )


def read_parallel_pipe(reader: Reader) -> Thread | None:
    """Read 'G 1/2', 'G 1/2 A', 'G1/2B-LH'; None when the text is not of this family."""
    if reader.take(rf"G\s*(?={MIXED})") is None:
        return None
    size, place = pipe_size(reader, parallel_rows(), "G")
    tpi = reader.take(r"\s*-\s*(\d+)(?!\d*/)")
    if tpi is not None and int(tpi.group(1)) != parallel_rows()[size][1]:
        raise reader.fault(f"G {fraction_text(size)} has {tpi_text(parallel_rows()[size][1])} threads per inch", "leave them out", *place)
    hand, tolerance = "right", None
    reader.skip()
    while not reader.done:
        if tolerance is None and (match := reader.take(r"(?:class\s+)?([AB])(?![a-z])")) is not None:
            tolerance = match.group(1).upper()
        elif (match := reader.take(r"(LH|RH)\b")) is not None:
            hand = "left" if match.group(1).upper() == "LH" else "right"
        else:
            word, _ = reader.word()
            raise reader.fault(
                f"{word[:20]!r} means nothing after a G size", "after the size: A or B (outside threads only), then LH for left hand"
            )
        reader.skip()
    return parallel_pipe(size, hand, tolerance)


def pipe_from_words(reader: Reader, words: InchWords) -> Thread:
    """'1/2 BSP' and '1/2-14 BSPP' as G threads."""
    place = words.spans["size"]
    check_size(reader, words.size, parallel_rows(), "G", place)
    tpi = parallel_rows()[words.size][1]
    if words.tpi not in (None, tpi):
        raise reader.fault(f"{fraction_text(words.size)} BSP has {tpi_text(tpi)} threads per inch", "leave them out", *words.spans["tpi"])
    if words.tolerance not in (None, "A", "B"):
        raise reader.fault(
            f"{words.tolerance} is not a class of pipe threads", "outside A or B; inside threads have one class", *words.spans["tolerance"]
        )
    if words.starts != 1:
        raise reader.fault("pipe threads have one start", "spell the thread out by form, major diameter and lead", *place)
    return parallel_pipe(words.size, words.hand, words.tolerance)
