"""Cautions of the published practice table as blocks of a sheet."""

from __future__ import annotations

from benchleaf.operations.desk import source
from benchleaf.sheet.model import Caution, Say
from benchleaf.standards.cautions import caution as published

__all__ = ["caution", "closing"]


def caution(caution_id: str) -> Caution:
    """The caution with this id.  Raises KeyError when the table has none: a fault of ours."""
    row = published(caution_id)
    return Caution(row.severity, Say(row.words), source(row.source, row.status))


def closing() -> Caution:
    """The line that ends every sheet: local rules and the machine's own instructions come first."""
    return caution("closing")
