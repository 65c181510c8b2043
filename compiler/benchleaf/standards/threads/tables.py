"""The data files of this room, read once when first wanted.

Numbers in them are whole numbers or quoted text ('0.25', '5/8', '1 1/8'), never floats.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml

__all__ = ["number", "numbers", "table"]


@lru_cache(maxsize=32)
def table(name: str) -> Mapping[str, Any]:
    """The data file ``name``.yaml of standards/data/threads."""
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    text = files("benchleaf.standards").joinpath("data", "threads", f"{name}.yaml").read_text(encoding="utf-8")
    content: Mapping[str, Any] = yaml.load(text, Loader=loader)
    return content


@lru_cache(maxsize=4096)
def _from_text(text: str) -> Fraction:
    whole, _, part = text.strip().rpartition(" ")
    return Fraction(part) + (Fraction(whole) if whole else 0)


def number(value: object) -> Fraction:
    """A number of a data file: whole, decimal text, fraction text or mixed text.  Raises TypeError for a float."""
    if isinstance(value, bool) or not isinstance(value, int | str):
        raise TypeError(f"a number in a thread table must be whole or quoted: {value!r}")
    return Fraction(value) if isinstance(value, int) else _from_text(value)


def numbers(values: Sequence[object]) -> tuple[Fraction, ...]:
    """Several numbers of a data file."""
    return tuple(number(value) for value in values)
