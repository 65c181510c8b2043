"""Is there metal to cut, and is nothing cut away that is finished?"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Value, length_text
from benchleaf.operations.work import FINISHED, Made, Stretch
from benchleaf.workshop.values import Measure

__all__ = ["cut_to", "hole_to", "metal_there", "not_parted", "open_to", "spares_finished", "wall_left", "within_length"]


def not_parted(at: Made, context: Context) -> bool:
    """Whether the work is still in one piece with what holds it; False after an error."""
    off = context.work.parted
    if off is None:
        return True
    context.faults.error(
        "route/after-parting",
        "the part is already parted off when this step comes",
        at,
        hint="put the step before `part-off`, or hold the part anew (`hold`)",
        related=((off, "parted off here"),),
    )
    return False


def within_length(end: Fraction, at: Made, context: Context) -> bool:
    """Whether a cut that ends ``end`` mm from the front face is still on the work; False after an error."""
    length = context.work.overall
    if length is None or end <= length.value:
        return True
    over = length_text(end - length.value, context.system, "rule")
    context.faults.error(
        "route/beyond-end",
        f"the cut ends {over} beyond the other end of the work",
        at,
        f"the work is {length_text(length.value, context.system, 'rule')} long by then",
        hint="shorten the cut, or take a longer blank",
        related=((length, "its length"),),
    )
    return False


_CUT_IN = ("chamfer", "groove")  # surfaces that lie lower by design: a later cut passes over them


def _passed_over(stretch: Stretch, side: str, diameter: Fraction) -> bool:
    """Whether a cut to ``diameter`` mm would pass clear of a chamfer or groove."""
    edge = stretch.largest if side == "inside" else stretch.smallest
    return stretch.kind in _CUT_IN and edge is not None and (edge > diameter if side == "inside" else edge < diameter)


def metal_there(side: str, start: Fraction, end: Fraction, diameter: Fraction, at: Value, context: Context) -> bool:
    """Whether a surface of ``diameter`` mm can be cut there: the outside must be larger now, the bore smaller; False after an error."""
    inside = side == "inside"
    for there in context.work.over(side, start, end):
        now = there.largest if inside else there.smallest
        if not now or (now <= diameter if inside else now >= diameter) or _passed_over(there, side, diameter):
            continue
        off = length_text(abs(now - diameter), context.system)
        context.faults.error(
            "route/no-metal",
            f"the bore is already {off} larger than this" if inside else f"the work is already {off} smaller than this",
            at,
            f"it is {length_text(now, context.system)} there by then",
            hint="start from a tube with a smaller bore, or correct the size"
            if inside
            else "start from a larger blank, or correct the size",
            related=((there.at, "made so here"),),
        )
        return False
    return True


def cut_to(side: str, start: Fraction, end: Fraction, diameter: Fraction, kind: str, at: Made, context: Context) -> None:
    """Tell the work of a plain cut to ``diameter`` mm, which leaves chamfers and grooves that it passes over as they are."""
    for item in context.work.over(side, start, end):
        if not _passed_over(item, side, diameter):
            context.work.cut(side, item.start, item.end, diameter, kind, at)


def open_to(end: Fraction, diameter: Fraction, kind: str, at: Made, context: Context, *, up_to: Fraction | None = None) -> None:
    """Tell the work of a hole that a tool of one diameter makes from the front face to ``end`` mm.  It passes through what is wider there
    than ``diameter``, or ``up_to``."""
    for item in context.work.over("inside", Fraction(0), end):
        if item.largest is None or item.largest < (diameter if up_to is None else up_to):
            context.work.cut("inside", item.start, item.end, diameter, kind, at)


def spares_finished(side: str, start: Fraction, end: Fraction, at: Made, context: Context, *, to: Fraction | None = None) -> bool:
    """Whether nothing that is finished (a thread, a knurl, a taper, a fit) is spoilt by this step; False after an error.

    ``to``: the diameter, mm, that is cut to; a wider bore, or a thinner stretch of the outside, is passed over untouched.  Of a plain fit a
    part may go, for a step, a groove, a counterbore; all of it may not.
    """
    work = context.work
    made = [
        item
        for item in work.over(side, start, end)
        if item.kind in FINISHED
        and not (to is not None and _untouched(item, side, to))
        and not (item.kind == "fit" and any(one.at is item.at and (one.start < start or one.end > end) for one in work.surface(side)))
    ]
    done = next(iter((*made, *work.shaped_over(side, start, end))), None)
    if done is None:
        return True
    context.faults.error(
        "route/cuts-away",
        f"this step cuts into the {done.kind} that an earlier step has made",
        at,
        hint="put it before that step, or keep clear of it with `from` and `length`",
        related=((done.at, f"the {done.kind}"),),
    )
    return False


def _untouched(done: Stretch, side: str, to: Fraction) -> bool:
    edge = done.smallest if side == "inside" else done.largest
    return edge is not None and (edge > to if side == "inside" else edge < to)


def wall_left(start: Fraction, end: Fraction, bore: Fraction, at: Value, context: Context) -> bool:
    """Whether a bore of that diameter leaves a wall; False after an error."""
    around = context.work.smallest("outside", start, end)
    if around is None or around.smallest is None or around.smallest > bore:
        return True
    context.faults.error(
        "route/no-wall",
        f"a bore of {length_text(bore, context.system)} leaves no wall: the outside is "
        f"{length_text(around.smallest, context.system)} there",
        at,
        hint="correct the size or the place",
        related=((around.at, "the outside"),),
    )
    return False


def hole_to(start: Fraction, end: Fraction, at: Made, context: Context, why: str, hint: str) -> Measure | None:
    """The bore that an inside cut enters, smallest first; None after an error when there is none all the way."""
    bore = context.work.hole(start, end)
    if bore is not None:
        return bore
    context.faults.error("route/no-hole", why, at, hint=hint, note="or `missing-steps: plan` has it planned")
    return None
