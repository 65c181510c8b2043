"""The one pint registry: exact Fractions, our own small set of definitions.

pint is imported on first use: commands that only print help never pay for it.
"""

from __future__ import annotations

import sys
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

__all__ = ["convert", "quantity", "registry"]


@lru_cache(maxsize=1)
def registry() -> Any:
    """The registry, built once a process."""
    # pint looks for numpy as it is imported and loads it when found: 60 ms that nothing here uses.
    hide = "numpy" not in sys.modules
    if hide:
        sys.modules["numpy"] = None  # type: ignore[assignment]
    try:
        import pint
    finally:
        if hide:
            del sys.modules["numpy"]
    return pint.UnitRegistry(
        str(Path(__file__).with_name("definitions.txt")),
        non_int_type=Fraction,
        on_redefinition="raise",
        autoconvert_offset_to_baseunit=False,
        cache_folder=None,
    )


def quantity(value: Fraction, unit: str) -> Any:
    """A pint quantity with an exact magnitude; ``unit`` such as 'mm/turn' or 'turn/min'."""
    return registry().Quantity(Fraction(value), unit)


@lru_cache(maxsize=256)
def _factor(unit: str, to: str) -> Fraction:
    return Fraction(quantity(Fraction(1), unit).to(to).magnitude)


def convert(value: Fraction, unit: str, to: str) -> Fraction:
    """``value`` in ``unit`` expressed in ``to``, exactly.

    Raises pint.DimensionalityError when the two do not measure the same thing: that is a fault of ours, since
    the user's units are checked by the grammar.
    """
    return value if unit == to else value * _factor(unit, to)
