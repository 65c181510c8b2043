"""Unified inch threads: series, designation, and limits by ASME B1.1."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.inch import InchWords, inch_size_text, listed_size, tpi_text
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import INCH, rounded, size_text
from benchleaf.standards.threads.tables import number, table
from benchleaf.standards.threads.unified_limits import UnifiedRule

__all__ = ["series_of", "sizes_of", "unified_from_words", "unified_sets", "unified_thread"]

GRADED = ("UNC", "UNF", "UNEF")


@lru_cache(maxsize=8)
def sizes_of(series: str) -> Mapping[Fraction, Fraction]:
    """Sizes (in) and threads per inch of a graded series."""
    return {listed_size(name): number(tpi) for name, tpi in table("unified")["series"][series]["rows"].items()}


def unified_sets() -> dict[str, tuple[str, ...]]:
    """The graded series as designations."""
    return {
        name: tuple(f"{inch_size_text(size, tpi, unified=True)}-{tpi_text(tpi)} {name}" for size, tpi in sizes_of(name).items())
        for name in GRADED
    }


def series_of(size: Fraction, tpi: Fraction) -> str:
    """UNC, UNF, UNEF or UN (constant pitch) when ASME B1.1 lists the size (in) with these threads per inch, else UNS."""
    for name in GRADED:
        if sizes_of(name).get(size) == tpi:
            return name
    for row in table("unified")["constant pitch"]["rows"]:
        if number(row["tpi"]) == tpi:
            step = Fraction(1, 16) if size <= 2 else Fraction(1, 8)
            if (number(row["from"]) <= size <= number(row["to"]) and (size / step).denominator == 1) or size in map(
                listed_size, row.get("numbered", ())
            ):
                return "UN"
    return "UNS"


def unified_thread(
    size: Fraction,
    tpi: Fraction,
    *,
    starts: int = 1,
    hand: str = "right",
    tolerance: str | None = None,
    rounded_root: bool = False,
    named: str = "",
    system: str = "inch",
    notes: tuple[str, ...] = (),
) -> Thread:
    """A Unified thread of any size (in) and threads per inch.

    ``named`` replaces the designation of ASME B1.1.  Raises DesignationError for sizes that leave no core and for classes
    that do not exist.
    """
    shape = form("unified rounded root 60" if rounded_root else "unified 60")
    pitch = 1 / tpi
    if 2 * shape.design_depth(pitch) >= size:
        raise DesignationError(
            f"{size_text(tpi)} threads per inch leave no core in a diameter of {size_text(size)} in",
            "check the size and the threads per inch",
        )
    series = series_of(size, tpi)
    usual = table("unified")["usual"]
    rule = UnifiedRule.read(tolerance if tolerance is not None else f"{usual['outside']}/{usual['inside']}", series)
    name = series.replace("UN", "UNR", 1) if rounded_root else series
    body = f"{inch_size_text(size, tpi, unified=True)}-{tpi_text(tpi)} {name}"
    suffix = [
        *([rule.words] if tolerance is not None else []),
        *([f"{starts}-START"] if starts > 1 else []),
        *(["LH"] if hand == "left" else []),
    ]
    return Thread(
        designation=named or "-".join([body, *suffix]),
        family="unified",
        series=name,
        form=shape,
        major=size * INCH,
        pitch=pitch * INCH,
        starts=starts,
        hand=hand,
        tolerance=rule.words,
        tolerance_given=tolerance is not None,
        system=system,
        pitch_diameter=rounded(size - 2 * shape.addendum(pitch), 4) * INCH,
        minor_diameter=rounded(size - 2 * shape.basic_depth(pitch), 4) * INCH,
        root_diameter=rounded(size - 2 * shape.design_depth(pitch), 4) * INCH,
        rule=rule,
        tpi=tpi,
        notes=notes,
    )


def unified_from_words(reader: Reader, words: InchWords) -> Thread:
    """A Unified thread from the parts of its designation; a series that does not fit the size is a fault."""
    rounded_root = words.series.startswith("UNR")
    series = words.series.replace("UNR", "UN", 1)
    notes = list(words.notes)
    tpi = words.tpi
    if tpi is None:
        if series not in GRADED or words.size not in sizes_of(series):
            shown = reader.text[slice(*words.spans["size"])].strip()
            hint = (
                f"write them after a hyphen: {shown}-20 UNS"
                if series not in GRADED
                else f"{series} has no such size; write the threads per inch and UNS"
            )
            raise reader.fault("the threads per inch are missing", hint, *words.spans["size"])
        tpi = sizes_of(series)[words.size]
        notes.append(f"{series} has {tpi_text(tpi)} threads per inch at this size (ASME B1.1)")
    found = series_of(words.size, tpi)
    size = inch_size_text(words.size, tpi, unified=True)
    if series in GRADED and found != series:
        right = sizes_of(series).get(words.size)
        other = f"{size}-{tpi_text(tpi)} {found}"
        hint = (
            f"{series} has {tpi_text(right)} at this size; {tpi_text(tpi)} is {other}"
            if right
            else f"no such size in {series}; write {other}"
        )
        raise reader.fault(f"{size}-{tpi_text(tpi)} is not in the {series} series", hint, *words.spans.get("series", words.spans["size"]))
    if found != series and not words.notes:
        read = "read as" if not series else f"written {words.series}, is"
        notes.append(f"{size}-{tpi_text(tpi)} {read} {found} (ASME B1.1 series tables)")
    if words.numbered is not None:
        notes.append(f"number {words.numbered} is {size_text(words.size)} in over the crests")
    if words.tolerance is not None:
        UnifiedRule.check(words.tolerance, reader, *words.spans["tolerance"])
    try:
        return unified_thread(
            words.size, tpi, starts=words.starts, hand=words.hand, tolerance=words.tolerance, rounded_root=rounded_root, notes=tuple(notes)
        )
    except DesignationError as error:
        raise error if error.length else reader.fault(error.message, error.hint, *words.spans["size"]) from None
