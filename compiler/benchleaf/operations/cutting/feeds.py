"""Feed a turn: from practice, and from what the machine's feed plate offers."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, basis, length_text, source
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.speeds import feed as practice
from benchleaf.workshop.values import Text

__all__ = ["feed"]


def feed(
    desk: Desk, context: Context, operation: str, cuts_with: Text, cut: str, *, across: bool = False, prefix: str = ""
) -> Fraction | None:
    """Write down the feed of a 'roughing' or 'finishing' cut and return it, mm a turn; None where practice says nothing.

    Where the machine has power feeds, the one nearest to the middle of the range and not above it is taken; else it is fed by hand.
    """
    found = practice(operation, cuts_with.value, cut) or practice(operation, cuts_with.value, "all")
    if found is None:
        return None
    label = "Feed, roughing" if cut == "roughing" else "Feed, finishing" if cut == "finishing" else "Feed"
    middle = (found.low + found.high) / 2
    rows = [(row.across if across else row.along, row) for row in context.lathe.feeds]
    there = [(value.value, value, row) for value, row in rows if value is not None and value.value <= found.high]
    span = f"{length_text(found.low, context.system, 'caliper')} to {length_text(found.high, context.system, 'caliper')}"
    inputs: tuple[Value | str, ...] = (context.material.group, cuts_with)
    if not there:
        why = basis(f"range of practice, {span} a turn: the middle of it, by hand", inputs, source(found.source, found.status))
        _write(desk, f"{prefix}feed", label, middle, why, "by hand, evenly")
        return middle
    value, words, row = min(there, key=lambda item: (abs(item[0] - middle), item[0]))
    setting = ", ".join(f"{name} {position.value}" for name, position in row.set.items())
    why = basis(f"the power feed nearest to the middle of {span} a turn", (*inputs, words), source(found.source, found.status))
    _write(desk, f"{prefix}feed", label, value, why, setting or "power feed")
    return value


def _write(desk: Desk, name: str, label: str, value: Fraction, why: object, also: str) -> None:
    metric = desk.unit == "mm"
    amount = value if metric else value / Fraction(127, 5)
    desk.number(name, label, amount, f"{desk.unit}/turn", fixed(amount, 2 if metric else 4), why, also=also)  # type: ignore[arg-type]
