"""How many cuts are laid out at most: more come from a wrong unit or a wrong blank, and no table of them would be read."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from benchleaf.operations.desk import length_text

if TYPE_CHECKING:
    from benchleaf.operations.context import Context
    from benchleaf.operations.desk import Value

__all__ = ["MOST_CUTS", "few_enough"]

MOST_CUTS = 400


def few_enough(count: int, total: Fraction, at: Value, context: Context) -> bool:
    """Whether so many cuts, for ``total`` mm of depth or width, can be laid out; an error where not."""
    if count <= MOST_CUTS:
        return True
    context.faults.error(
        "cuts/too-many",
        f"{length_text(total, context.system, 'caliper')} to take off would be {count} cuts",
        at,
        f"up to {MOST_CUTS} are laid out",
        hint="see whether a unit or a size is wrong; else start from stock nearer to size",
    )
    return False
