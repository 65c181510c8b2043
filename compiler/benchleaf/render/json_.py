"""A sheet as JSON: everything that is printed, exact, with every reason."""

from __future__ import annotations

import json

from benchleaf.sheet.digest import sealed
from benchleaf.sheet.model import Sheet
from benchleaf.sheet.plain import to_data

__all__ = ["to_json"]


def to_json(sheet: Sheet) -> str:
    """The sheet as described by ``schemas/sheet.schema.json``; same sheet, same text."""
    data = to_data(sealed(sheet))
    text = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:  # lone surrogates in a name
        return json.dumps(data, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    return text
