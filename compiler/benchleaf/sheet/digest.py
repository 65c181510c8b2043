"""What identifies the content of a sheet, so that paper in a drawer can be told from a newer one."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from typing import Any

from benchleaf.sheet.model import Sheet
from benchleaf.sheet.plain import to_data

__all__ = ["digest", "sealed"]

# Where a value was written, and by which version of the program: neither changes what the sheet says.
_PLACES = frozenset({"file", "line", "column"})
_OUTSIDE = frozenset({"files", "program", "digest"})


def _without_places(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _without_places(value) for key, value in data.items() if key not in _PLACES}
    if isinstance(data, list):
        return [_without_places(item) for item in data]
    return data


def digest(sheet: Sheet) -> str:
    """SHA-256 (64 hex digits) of everything the sheet says: figures, words, formulas, inputs as written, sources.

    Not of where the files lie or on which line a value stands: a comment added to a profile must not make printed paper look old.
    """
    data = {key: value for key, value in to_data(sheet).items() if key not in _OUTSIDE}
    text = json.dumps(_without_places(data), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def sealed(sheet: Sheet) -> Sheet:
    """The sheet with its digest, worked out where it has none yet."""
    return sheet if sheet.digest else dataclasses.replace(sheet, digest=digest(sheet))
