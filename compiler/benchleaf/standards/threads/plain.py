"""Threads of which only the basic sizes are known: cycle, square, buttress."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.standards.threads.basic import basic_thread
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.inch import InchWords, inch_size_text, tpi_text
from benchleaf.standards.threads.model import Thread
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, size_text
from benchleaf.standards.threads.tables import number, table
from benchleaf.standards.threads.trapezoidal import lead_and_pitch

__all__ = ["cycle_pairs", "cycle_sets", "plain_from_words", "read_plain_metric"]

_FORMS = {"BSC": "cycle 60", "square": "square", "buttress": "buttress 7/45"}
_NAMES = {"BSC": "BSC", "CEI": "BSC", "SQUARE": "square", "SQ": "square", "BUTT": "buttress", "BUTTRESS": "buttress"}
_REASONS = {
    "BSC": "tolerances of BS 811 are not held here",
    "square": "square threads have no standard and so no tolerances",
    "buttress": "tolerances of ASME B1.9 are not held here",
}


@lru_cache(maxsize=1)
def cycle_pairs() -> Mapping[Fraction, tuple[Fraction, ...]]:
    """Sizes (in) to threads per inch of the cycle thread."""
    pairs: dict[Fraction, tuple[Fraction, ...]] = {}
    for tpi, sizes in table("whitworth")["cycle"]["rows"].items():
        for size in sizes:
            pairs[number(size)] = (*pairs.get(number(size), ()), number(tpi))
    return pairs


def cycle_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    return {
        "BSC": tuple(f"{inch_size_text(size, tpi)}-{tpi_text(tpi)} BSC" for size, many in sorted(cycle_pairs().items()) for tpi in many)
    }


def plain_from_words(reader: Reader, words: InchWords) -> Thread:
    """'1/4-26 BSC', '1-5 square', '2 1/2-8 buttress' with basic sizes only."""
    series = _NAMES[words.series]
    if words.tolerance is not None:
        raise reader.fault(f"no tolerance classes of {series} threads are known here", "leave the class out", *words.spans["tolerance"])
    notes: tuple[str, ...] = ()
    tpi = words.tpi
    fitting = cycle_pairs().get(words.size, ()) if series == "BSC" else ()
    if tpi is None:
        if len(fitting) != 1:
            hint = (
                f"{series} has {' or '.join(tpi_text(one) for one in fitting)} at this size"
                if fitting
                else f"write them after a hyphen: 1-5 {series}"
            )
            raise reader.fault("the threads per inch are missing", hint, *words.spans["size"])
        tpi = fitting[0]
        notes = (f"BSC has {tpi_text(tpi)} threads per inch at this size (BS 811)",)
    elif series == "BSC" and tpi not in fitting:
        notes = (f"{inch_size_text(words.size, tpi)}-{tpi_text(tpi)} is not in the BSC list of BS 811",)
    shape = form(_FORMS[series])
    pitch = INCH / tpi
    if 2 * shape.design_depth(pitch) >= words.size * INCH:
        raise reader.fault(
            f"{tpi_text(tpi)} threads per inch leave no core in this diameter",
            "check the size and the threads per inch",
            *words.spans["size"],
        )
    suffix = [*([f"{words.starts}-START"] if words.starts > 1 else []), *(["LH"] if words.hand == "left" else [])]
    return basic_thread(
        shape,
        words.size * INCH,
        pitch,
        words.starts,
        words.hand,
        designation="-".join([f"{inch_size_text(words.size, tpi)}-{tpi_text(tpi)} {series}", *suffix]),
        family={"BSC": "cycle"}.get(series, series),
        series=series,
        system="inch",
        reason=_REASONS[series],
        tpi=tpi,
        notes=notes,
    )


def read_plain_metric(reader: Reader) -> Thread | None:
    """Read 'Sq 24x5' (square) and 'S48x8', 'S48x16(P8)LH' (buttress by DIN 513), mm; None when the text is of neither."""
    head = reader.take(rf"(?P<name>Sq(?:uare)?|S)\s*(?={MIXED})")
    if head is None:
        return None
    square = head.group("name").lower() != "s"
    prefix = "Sq " if square else "S"
    start = reader.at
    major = reader.number("diameter", f"write it after {prefix}: {prefix}24x5")
    if reader.take(r"\s*(?:mm)?\s*x\s*") is None:
        if square and reader.look(r"\s*[-\"]|\s*in\b"):
            return None
        raise reader.fault("the pitch is missing", f"write it after x: {prefix}24x5", start, reader.at)
    pitch, starts = lead_and_pitch(reader, f"{prefix}48x16(P8)")
    hand = "right"
    reader.skip()
    while not reader.done:
        match = reader.take(r"(LH|RH)\b|(?:mm|thread)\b")
        if match is None:
            word, _ = reader.word()
            raise reader.fault(
                f"{word[:20]!r} means nothing after the pitch",
                "after the pitch only LH for left hand: no classes are known here for this form",
            )
        hand = "left" if (match.group(1) or "").upper() == "LH" else hand
        reader.skip()
    shape = form("square" if square else "buttress 3/30")
    if 2 * shape.design_depth(pitch) >= major:
        raise reader.fault(
            f"a pitch of {size_text(pitch)} mm leaves no core in this diameter", "check the pitch and the diameter", start, reader.at
        )
    lead = f"{size_text(starts * pitch)}(P{size_text(pitch)})" if starts > 1 else size_text(pitch)
    return basic_thread(
        shape,
        major,
        pitch,
        starts,
        hand,
        designation=f"{prefix}{size_text(major)}x{lead}" + ("LH" if hand == "left" else ""),
        family="square" if square else "buttress",
        series="square" if square else "DIN 513",
        system="metric",
        reason=_REASONS["square"] if square else "tolerances of DIN 513 are not held here",
    )
