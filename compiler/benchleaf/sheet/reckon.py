"""What a reading calls for: the arithmetic of a :class:`Sum`, exact.  The page does the same; tests hold the two together."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.sheet.model import Sum

__all__ = ["Outcome", "reckon"]


@record
class Outcome:
    """``kind`` is 'cut', or 'done', 'fine', 'spoilt', 'odd' as in :class:`SumWords`.

    For a cut: the ``amount`` in the sum's unit, the reading ``after`` it in the unit of the box, and where a collar sets it the
    ``divisions`` in all and what the collar then ``shows``, which wants to be told what it shows ``now``.
    """

    kind: str
    amount: Fraction = Fraction(0)
    after: Fraction | None = None
    divisions: int | None = None
    shows: Fraction | None = None


def reckon(rule: Sum, reading: Fraction, now: Fraction | None = None) -> Outcome:
    """What to do after ``reading``, in the unit of the box; ``now`` is what the collar shows, in the unit of the amount."""
    way = 1 if rule.grows else -1
    left = (rule.target - reading) * way
    if rule.start is not None and left > (rule.target - rule.start) * way:
        return Outcome("odd")
    short, beyond = _allowed(rule)
    if rule.collar is None:
        if left > 0:
            return Outcome("cut", left * rule.factor, rule.target)
        return Outcome("spoilt" if left < -(beyond or 0) else "done")
    worth = rule.collar.division / rule.factor  # of one division, in the unit of the box
    if left < -(worth / 2 if beyond is None else beyond):
        return Outcome("spoilt")
    count = _whole(left / worth, rule.rounding)
    if beyond is not None:
        count = min(count, (left + beyond) // worth)
    if count <= 0:
        return Outcome("done" if left <= (worth / 2 if short is None else short) else "fine")
    amount = count * rule.collar.division
    shows = None if now is None else (now + (-amount if rule.collar.counts_down else amount)) % rule.collar.turn
    return Outcome("cut", amount, reading + way * count * worth, count, shows)


def _allowed(rule: Sum) -> tuple[Fraction | None, Fraction | None]:
    """How far the reading may stay short of the target, and how far beyond it may go; None where no limit says."""
    if rule.limits is None:
        return None, None
    near, far = (rule.limits.lower, rule.limits.upper) if rule.grows else (rule.limits.upper, rule.limits.lower)
    return None if near is None else abs(rule.target - near), None if far is None else abs(rule.target - far)


def _whole(value: Fraction, how: str) -> int:
    if how == "nearest":
        return (value + Fraction(1, 2)).__floor__()
    return value.__ceil__() if how == "up" else value.__floor__()
