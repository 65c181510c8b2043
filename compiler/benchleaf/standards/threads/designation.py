"""The doors of this room: a thread from its designation, or spelled out by hand, and the series that are known."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import lru_cache

from benchleaf.standards.threads.acme import acme_from_words, acme_sets
from benchleaf.standards.threads.ba import ba_sets, read_ba
from benchleaf.standards.threads.byhand import read_by_hand, thread_by_hand
from benchleaf.standards.threads.inch import InchWords, read_inch_words
from benchleaf.standards.threads.metric import metric_sets, read_metric
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.pipe import pipe_from_words, pipe_sets, read_parallel_pipe
from benchleaf.standards.threads.plain import cycle_pairs, cycle_sets, plain_from_words, read_plain_metric
from benchleaf.standards.threads.reading import LONGEST, Reader
from benchleaf.standards.threads.rounding import size_text
from benchleaf.standards.threads.taperpipe import bspt_from_words, npt_from_words, read_taper_pipe, taper_sets
from benchleaf.standards.threads.trapezoidal import read_trapezoidal, trapezoidal_sets
from benchleaf.standards.threads.unified import series_of, unified_from_words, unified_sets
from benchleaf.standards.threads.whitworth import whitworth_from_words, whitworth_pairs, whitworth_sets
from benchleaf.standards.threads.worm import read_worm

__all__ = ["known_sets", "parse_designation", "thread_by_hand"]

_READERS: tuple[Callable[[Reader], Thread | None], ...] = (
    read_worm,
    read_by_hand,
    read_metric,
    read_trapezoidal,
    read_plain_metric,
    read_taper_pipe,
    read_parallel_pipe,
    read_ba,
)
_BY_SERIES: Mapping[str, Callable[[Reader, InchWords], Thread]] = {
    **dict.fromkeys(("BSW", "BSF", "BSB", "BRASS", "ME", "MODEL ENGINEER", "MODEL ENGINEERS", "WHIT", "WHITWORTH"), whitworth_from_words),
    **dict.fromkeys(("BSC", "CEI", "SQUARE", "SQ", "BUTT", "BUTTRESS"), plain_from_words),
    **dict.fromkeys(("BSP", "BSPP"), pipe_from_words),
    "BSPT": bspt_from_words,
    "NPT": npt_from_words,
    "ACME": acme_from_words,
}
_HINT = "write it as its standard does: M10x1.5-6g, 1 1/8-16 UN-2B, 1/2 BSW, G 1/2, ...; or spell it out by form, major diameter and lead"


@lru_cache(maxsize=256)
def parse_designation(text: str) -> Thread:
    """A thread from its designation.

    Raises DesignationError, with the place in ``text`` of the words at fault, when it cannot be read.
    """
    if not text.strip():
        raise DesignationError("the thread is not named", _HINT)
    if len(text) > LONGEST:
        raise DesignationError(f"a thread designation has at most {LONGEST} characters, this one has {len(text)}", _HINT, 0, len(text))
    comma = re.search(r"\d,\d", text)
    if comma:
        pointed = re.sub(r"(?<=\d),(?=\d)", ".", text.strip())
        raise DesignationError("a comma stands where a decimal point belongs", f"write {pointed}", comma.start(), comma.end())
    for read in _READERS:
        thread = read(Reader(text))
        if thread is not None:
            return thread
    return _inch(Reader(text))


def _inch(reader: Reader) -> Thread:
    words = read_inch_words(reader)
    if words is None:
        raise DesignationError(f"{reader.written.strip()[:40]!r} is not a thread designation that is known", _HINT, 0, len(reader.written))
    if not words.series:
        _settle_series(reader, words)
    return _BY_SERIES.get(words.series, unified_from_words)(reader, words)


def _settle_series(reader: Reader, words: InchWords) -> None:
    """A size and threads per inch without a series: several series may have the pair, and forms of thread do not mix."""
    if words.tpi is None or words.tolerance is not None:
        return
    pair = (words.size, words.tpi)
    others = [name for name, pairs in whitworth_pairs().items() if pair in pairs] + (
        ["BSC"] if words.tpi in cycle_pairs().get(words.size, ()) else []
    )
    if not others:
        if words.crossed and series_of(*pair) == "UNS" and words.tpi < words.size:
            shown = f"{size_text(words.size)}x{size_text(words.tpi)}"
            place = (words.spans["size"][0], words.spans["tpi"][1])
            raise reader.fault(
                f"{shown} does not say what kind of thread it is", f"in millimetres write M{shown}; in inches name the series", *place
            )
        return
    shown = reader.text[: max(place[1] for place in words.spans.values())].strip()
    if series_of(*pair) == "UNS":
        start, end = words.spans["size"][0], max(place[1] for place in words.spans.values())
        names = " or ".join(f"{shown} {name}" for name in others)
        raise reader.fault(
            f"{shown} does not say which series it is of", f"write {names}, or {shown} UNS if it is a 60 degree special", start, end
        )
    same = " and ".join(others)
    words.notes.append(f"{shown} without a series is read as {series_of(*pair)}; {same} has the same numbers but another form")


@lru_cache(maxsize=1)
def known_sets() -> Mapping[str, tuple[str, ...]]:
    """Named series, each a tuple of designations that :func:`parse_designation` reads."""
    return {
        **metric_sets(),
        **unified_sets(),
        **whitworth_sets(),
        **ba_sets(),
        **pipe_sets(),
        **taper_sets(),
        **cycle_sets(),
        **trapezoidal_sets(),
        **acme_sets(),
    }
