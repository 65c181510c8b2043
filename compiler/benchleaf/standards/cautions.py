"""The usual cautions of the workshop, by operation and condition, and the line that ends every sheet.

They are the trade's, in short words; local rules and the machine maker's instructions come first.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.tables import Row, table

__all__ = ["Caution", "caution", "caution_ids", "closing_line", "for_operation"]


@record
class Caution:
    """A caution: ``severity`` 3 may maim or kill, 2 injury or a wrecked machine, 1 spoiled work or tool.

    ``when`` is the condition it holds under ('any' for none); ``always`` marks those that hold whenever the operation is done.
    ``bounds`` is the range in ``unit`` from which on it holds, where practice knows one.
    """

    id: str
    machine: str
    operation: str
    when: str
    severity: int
    always: bool
    words: str
    bounds: tuple[Fraction, Fraction] | None
    unit: str
    source: str
    status: str


@lru_cache(maxsize=1)
def _all() -> dict[str, Caution]:
    return {row.text("id"): _read(row) for row in table("cautions", "cautions").rows}


def _read(row: Row) -> Caution:
    return Caution(
        row.text("id"), row.text("machine"), row.text("operation"), row.text("when"), int(row.number("severity")), row.flag("always"),
        row.text("words"), row.span("range") if row.has("range") else None, row.text("unit", ""), row.source, row.status,
    )  # fmt: skip


def caution_ids() -> tuple[str, ...]:
    """The stable ids of all cautions."""
    return tuple(_all())


def caution(name: str) -> Caution:
    """The caution with an id.  Raises LookupError when there is none."""
    found = _all().get(name)
    if found is None:
        raise LookupError(f"no caution {name}")
    return found


def for_operation(operation: str, machine: str = "lathe", *, always: bool | None = None) -> tuple[Caution, ...]:
    """The cautions of an operation on a machine, gravest first, those of every operation and machine among them.

    ``always`` keeps only those that hold in any case (True) or only those that hang on a condition (False).  Within a severity the
    operation's own come before the general ones.  An operation without cautions of its own gets the general ones.
    """
    chosen = [
        each
        for each in _all().values()
        if each.operation in (operation, "any") and each.machine in (machine, "any") and (always is None or each.always == always)
    ]
    return tuple(sorted(chosen, key=lambda each: (-each.severity, each.operation == "any", each.id)))


def closing_line() -> str:
    """The line that ends every sheet: local rules and the maker's instructions come first."""
    return table("cautions", "closing").rows[0].text("words")
