"""Whether work that stands out so far wants a centre or a steady."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import length_text
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.workholding import support
from benchleaf.workshop.values import Measure

__all__ = ["held_firmly"]


def held_firmly(context: Context) -> bool:
    """Check how far the work stands out against its diameter, and that a centre in the tailstock has its centre hole; False after an
    error."""
    held, work, holder = context.held, context.work, context.holding
    between = holder is not None and holder.kind.value == "centres"
    tailed = between or held.supported_by.value == "tailstock"
    if tailed and work.has("centre") is None and not _hollow(context):
        context.faults.error(
            "route/no-centre",
            "a centre is to hold the free end, and no step has made a centre hole in it",
            held.by if between else held.supported_by,
            hint="put a `centre-drill` step before, with the end free, then bring the tailstock up with `hold`",
        )
        return False
    length = work.overall if between else held.stands_out
    if length is None or "steady" in held.supported_by.value:
        return True
    slender = _slenderest(length.value, tailed, context)
    if slender is None:
        return True
    stands, diameter = slender
    found = support(stands, diameter, "between centres" if between else "chuck and centre" if tailed else "chuck")
    if found.wants:
        _warn(length, diameter, found.wants, found.ratio, found.limit, f"{found.source} ({found.status})", context)
    return True


def _slenderest(length: Fraction, tailed: bool, context: Context) -> tuple[Fraction, Fraction] | None:
    """Length and diameter that decide how far the work springs: in a chuck the stretch that stands out farthest for its diameter, counted
    from its own root; with both ends held the thinnest in the middle half, where it springs most.  None when no diameter is known."""
    work = context.work
    end = min(length, work.end)
    if tailed:
        thin = work.smallest("outside", end / 4, end * 3 / 4)
        return (length, thin.smallest) if thin is not None and thin.smallest else None
    known = [(item.end, item.smallest) for item in work.over("outside", Fraction(0), end) if item.smallest]
    return max(known, key=lambda pair: pair[0] / pair[1], default=None)


def _hollow(context: Context) -> bool:
    """A bored end takes a pipe centre."""
    return context.work.measure("inside", Fraction(0), Fraction(1, 1000)) is not None


def _warn(length: Measure, diameter: Fraction, wants: str, ratio: Fraction, limit: Fraction, by: str, context: Context) -> None:
    context.faults.warning(
        "holding/overhang",
        f"the work stands out {fixed(ratio, 1)} of its diameters of "
        f"{length_text(diameter, context.system, 'caliper')}: it springs and chatters",
        length,
        f"up to {fixed(limit, 0)} without a {wants}",
        hint="a centre in the tailstock (`supported-by: tailstock`)"
        if wants == "centre"
        else "a steady (`supported-by: fixed steady` or `travelling steady`)",
        note=by,
    )
