"""Foreign text made safe to show: nothing in a name may steer a terminal or turn figures round."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["clean", "columns"]

# Control characters (C0, C1), lone surrogates, and marks that reverse the order of what follows (U+202A-202E, U+2066-2069).
_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\u202a-\u202e\u2066-\u2069\ufffe\uffff]")
_BREAKS = re.compile(r"[\t\n\r\u2028\u2029]+")


def clean(text: str) -> str:
    """``text`` on one line, with every character that is not meant to be read replaced by U+FFFD."""
    return _UNSAFE.sub("\ufffd", _BREAKS.sub(" ", text))


def columns(text: str) -> int:
    """How many columns of a terminal ``text`` takes."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
