"""What holds the free end: a centre that it has a hole for, a steady that takes it, or nothing, and whether that is in the tool's way."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Value, length_text
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.workholding import support
from benchleaf.workshop.values import Measure

__all__ = ["clear_of_carrier", "end_free", "held_firmly"]


def end_free(what: str, at: Value, context: Context) -> bool:
    """Whether the free end can be reached: no centre in it; False after an error.  ``what`` says what is done: 'the hole is bored'."""
    held, between = context.held, _between_centres(context)
    if held.supported_by.value != "tailstock" and not between:
        return True
    context.faults.error(
        "route/centre-in-the-way",
        f"{what} while a centre is in the end",
        at,
        hint="hold the work in a chuck with its end free, or the free end in a fixed steady (`hold`), before this step",
        related=((held.by if between else held.supported_by, "said here"),),
    )
    return False


def clear_of_carrier(end: Fraction, at: Value, context: Context) -> bool:
    """Between centres: whether a cut that ends ``end`` mm from the front face leaves room for the carrier; False after an error."""
    length = context.work.length
    if not _between_centres(context) or length is None or end < length:
        return True
    context.faults.error(
        "holding/carrier",
        "the cut runs to the end of the work that the carrier is on",
        at,
        hint="end the cut short of the carrier, then turn the work end for end (`hold: {by: centres, end-for-end: true}`) for the rest",
        related=((context.held.by, "held by"),),
    )
    return False


def held_firmly(context: Context) -> bool:
    """Check how far the work stands out against its diameter, that every centre has its centre hole, that it goes between the centres,
    and that a steady takes it; False after an error."""
    held, work, between = context.held, context.work, _between_centres(context)
    tailed = between or held.supported_by.value == "tailstock"
    if not (_centred(between, tailed, context) and _goes_between(between, tailed, context) and _in_steady(context)):
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
        return (length, thin.smallest) if thin is not None and thin.smallest and thin.smallest > 0 else None
    known = [(item.end, item.smallest) for item in work.over("outside", Fraction(0), end) if item.smallest and item.smallest > 0]
    return max(known, key=lambda pair: pair[0] / pair[1], default=None)


def _between_centres(context: Context) -> bool:
    return context.holding is not None and context.holding.kind.value == "centres"


def _centred(between: bool, tailed: bool, context: Context) -> bool:
    """Whether each end that a centre holds has its hole; a bored end takes a pipe centre."""
    held, work = context.held, context.work
    ends = [("free end", Fraction(0))] if tailed else []
    if between and work.length is not None:
        ends.append(("end at the headstock", work.length))
    for name, place in ends:
        inside = min(place, work.end - Fraction(1, 1000))
        if work.has("centre", place) is None and work.measure("inside", inside, inside + Fraction(1, 1000)) is None:
            context.faults.error(
                "route/no-centre",
                f"a centre is to hold the {name}, and no step has made a centre hole in it",
                held.by if between else held.supported_by,
                hint="put a `centre-drill` step before, with that end free and at the front, then hold it by the centre (`hold`)",
            )
            return False
    return True


def _goes_between(between: bool, tailed: bool, context: Context) -> bool:
    """Whether the lathe is long enough for what it holds by both ends."""
    between_centres = context.lathe.centres
    length = context.work.overall if between else context.held.stands_out
    if not tailed or length is None or length.value <= between_centres.value:
        return True
    context.faults.error(
        "holding/too-long",
        f"the work is {length_text(length.value - between_centres.value, context.system, 'rule')} longer than the "
        f"lathe takes between centres",
        length,
        f"this lathe takes {between_centres.text}",
        hint="take a shorter blank or another lathe, or pass the bar through the spindle and hold it in a chuck",
        related=((between_centres, "between centres"),),
    )
    return False


def _in_steady(context: Context) -> bool:
    """Whether the steady that the job names is owned, and takes the work; not judged where the profile lists none."""
    wanted = context.held.supported_by
    if "steady" not in wanted.value or not context.lathe.steadies:
        return True
    kind = wanted.value.split()[0]
    owned = [item for item in context.lathe.steadies if item.kind.value == kind]
    out = context.held.stands_out
    end = min(out.value, context.work.end) if out is not None else context.work.end
    around = context.work.measure("outside", Fraction(0), end)
    if any(
        around is None or ((item.holds_from is None or item.holds_from.value <= around.value) and around.value <= item.holds_to.value)
        for item in owned
    ):
        return True
    size = "" if around is None else f" of {around.text}"
    context.faults.error(
        "holding/steady",
        f"no {wanted.value} of this lathe takes work{size}" if owned else f"this lathe has no {wanted.value}",
        wanted,
        hint="; ".join(f"the {item.name.value} holds {_span(item.holds_from, item.holds_to)}" for item in owned)
        or "use the tailstock, or let less stand out",
    )
    return False


def _span(lower: Measure | None, upper: Measure) -> str:
    return f"{lower.text} to {upper.text}" if lower is not None else f"up to {upper.text}"


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
