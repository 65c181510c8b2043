"""A gearbox told by its own plate, or by measuring: from rows of leads to ratios."""

from __future__ import annotations

from benchleaf.workshop.plate.entries import DerivedRow
from benchleaf.workshop.plate.reading import with_plate
from benchleaf.workshop.plate.words import factors, worked_out

__all__ = ["DerivedRow", "factors", "with_plate", "worked_out"]
