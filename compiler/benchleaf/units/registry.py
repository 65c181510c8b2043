"""The one pint registry: exact Fractions, our own small set of definitions.

pint decides what a unit is, yet takes as long to import as all else: the sizes of plain units are kept here as well, so that it is only
imported for what they do not cover.  The tests hold every size against the registry.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

__all__ = ["SIZES", "convert", "quantity", "registry"]

# Units that measure the same thing, by how many of the first of them each is.
SIZES: tuple[Mapping[str, Fraction], ...] = (
    {
        "mm": Fraction(1), "um": Fraction(1, 1000), "cm": Fraction(10), "m": Fraction(1000),
        "in": Fraction(127, 5), "thou": Fraction(127, 5000), "ft": Fraction(1524, 5),
    },
    {"m/min": Fraction(1), "ft/min": Fraction(381, 1250)},
    {"1/mm": Fraction(1), "1/in": Fraction(5, 127)},
    {"s": Fraction(1), "min": Fraction(60)},
    {"kW": Fraction(1), "W": Fraction(1, 1000)},
)  # fmt: skip


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
    for sizes in SIZES:
        if unit in sizes and to in sizes:
            return sizes[unit] / sizes[to]
    return Fraction(quantity(Fraction(1), unit).to(to).magnitude)


def convert(value: Fraction, unit: str, to: str) -> Fraction:
    """``value`` in ``unit`` expressed in ``to``, exactly.

    Raises pint.DimensionalityError when the two do not measure the same thing: that is a fault of ours, since
    the user's units are checked by the grammar.
    """
    return value if unit == to else value * _factor(unit, to)
