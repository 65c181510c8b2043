"""The doors of this room: a thread from its designation, or spelled out by hand, and the series that are known."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from benchleaf.standards.threads.byhand import read_by_hand, thread_by_hand
from benchleaf.standards.threads.inch import read_inch_words
from benchleaf.standards.threads.metric import metric_sets, read_metric
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.reading import LONGEST, Reader
from benchleaf.standards.threads.unified import unified_from_words, unified_sets

__all__ = ["known_sets", "parse_designation", "thread_by_hand"]

_READERS: tuple[Callable[[Reader], Thread | None], ...] = (read_by_hand, read_metric)
_HINT = "write it as its standard does: M10x1.5-6g, 1/4-20 UNC-2A, 1 1/8-16 UN-2B; or spell it out by form, major diameter and lead"


@lru_cache(maxsize=256)
def parse_designation(text: str) -> Thread:
    """A thread from its designation.

    Raises DesignationError, with the place in ``text`` of the words at fault, when it cannot be read.
    """
    if not text.strip():
        raise DesignationError("the thread is not named", _HINT)
    if len(text) > LONGEST:
        raise DesignationError(f"a thread designation has at most {LONGEST} characters, this one has {len(text)}", _HINT, 0, len(text))
    for read in _READERS:
        thread = read(Reader(text))
        if thread is not None:
            return thread
    return _inch(Reader(text))


def _inch(reader: Reader) -> Thread:
    words = read_inch_words(reader)
    if words is None:
        raise DesignationError(f"{text_start(reader)!r} is not a thread designation that is known", _HINT, 0, len(reader.written))
    return unified_from_words(reader, words)


def text_start(reader: Reader) -> str:
    """The designation for a message, cut to a decent length."""
    return reader.written.strip()[:40]


@lru_cache(maxsize=1)
def known_sets() -> Mapping[str, tuple[str, ...]]:
    """Named series, each a tuple of designations that :func:`parse_designation` reads."""
    return {**metric_sets(), **unified_sets()}
