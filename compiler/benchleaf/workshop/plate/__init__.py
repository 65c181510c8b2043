"""A gearbox told by its own plate, or by measuring: from rows of leads to ratios."""

from __future__ import annotations

from benchleaf.workshop.plate.entries import DerivedRow
from benchleaf.workshop.plate.reading import with_plate

__all__ = ["DerivedRow", "with_plate"]
