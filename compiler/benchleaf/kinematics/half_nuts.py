"""When the half-nuts may be opened: from the lead that the train really cuts.

The carriage may drop back only where its travel is a whole number of leadscrew leads and of work leads.  With
lead / leadscrew lead = a / b in lowest terms that is every ``a`` leadscrew leads (arithmetic; common practice for the dial).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.record import record

__all__ = ["DialWheel", "HalfNutRule", "half_nut_rule"]


@record
class DialWheel:
    """A wheel of the thread dial: ``teeth`` (one turn of the dial passes as many leadscrew leads) and ``marks`` on its face."""

    teeth: int
    marks: int


@record
class HalfNutRule:
    """``rule``: 'any' (close anywhere), 'marks' (close on the marks listed), 'never' (keep closed for the whole thread).

    ``marks`` count from 0 at the mark the first cut was started on; ``every`` is how many marks lie from one that qualifies to the
    next; ``travel`` is the carriage's way between them (mm); ``common_multiple`` = a leadscrew leads (mm).  ``stops_per_turn``
    counts the places in one turn of the dial where the nuts would be in step, on a mark or not.
    """

    rule: str
    a: int
    b: int
    dial: DialWheel | None
    marks: tuple[int, ...]
    every: int
    travel: Fraction | None
    common_multiple: Fraction
    stops_per_turn: int


def half_nut_rule(lead: Fraction, leadscrew_lead: Fraction, dials: Sequence[DialWheel] = ()) -> HalfNutRule:
    """The rule for a thread of ``lead`` (what the train really cuts) on this leadscrew, with the best of the dial wheels owned.

    A dial vouches for a mark only when ``a`` divides its teeth: otherwise the same mark comes round out of step.  Of several
    wheels the one that offers a mark again after the shortest travel is chosen, then the one with more marks, then
    the first.  Raises ValueError for leads that are not positive.
    """
    if lead <= 0 or leadscrew_lead <= 0:
        raise ValueError("a lead must be more than nothing")
    ratio = lead / leadscrew_lead
    a, b = ratio.numerator, ratio.denominator
    multiple = a * leadscrew_lead
    best: HalfNutRule | None = None
    for dial in dials:
        if dial.teeth < 1 or dial.marks < 1 or dial.teeth % a:
            continue
        between = Fraction(dial.teeth, dial.marks)
        marks = tuple(mark for mark in range(dial.marks) if (mark * between) % a == 0)
        every = marks[1] if len(marks) > 1 else dial.marks
        travel = multiple if a == 1 else every * between * leadscrew_lead
        rule = HalfNutRule("any" if a == 1 else "marks", a, b, dial, marks, every, travel, multiple, dial.teeth // a)
        if best is None or best.travel is None or (travel, -len(marks)) < (best.travel, -len(best.marks)):
            best = rule
    if best is not None:
        return best
    if a == 1:
        return HalfNutRule("any", a, b, None, (), 1, multiple, multiple, 0)
    return HalfNutRule("never", a, b, None, (), 0, None, multiple, 0)
