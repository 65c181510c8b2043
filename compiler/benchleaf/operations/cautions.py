"""Cautions of the published practice table as blocks of a sheet."""

from __future__ import annotations

from benchleaf.operations.desk import source
from benchleaf.sheet.model import Caution, Say
from benchleaf.standards.cautions import caution as published
from benchleaf.standards.tables import table

__all__ = ["caution", "closing"]


def caution(caution_id: str) -> Caution:
    """The caution with this id.  Raises LookupError when the table has none: a fault of ours."""
    row = published(caution_id)
    return Caution(row.severity, Say(row.words), source(row.source, row.status))


def closing() -> Caution:
    """The line that ends every sheet: local rules and the machine's own instructions come first."""
    row = table("cautions", "closing").rows[0]
    return Caution(3, Say(row.text("words")), source(row.source, row.status))
