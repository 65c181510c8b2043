"""Is there metal to cut, and is nothing cut away that is finished?"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Value, length_text
from benchleaf.operations.work import Made
from benchleaf.workshop.values import Measure

__all__ = ["hole_to", "metal_there", "not_parted", "spares_finished", "wall_left", "within_length"]


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


def metal_there(side: str, start: Fraction, end: Fraction, diameter: Fraction, at: Value, context: Context) -> bool:
    """Whether a surface of ``diameter`` mm can be cut there: the outside must be larger now, the bore smaller; False after an error."""
    inside = side == "inside"
    there = context.work.largest(side, start, end) if inside else context.work.smallest(side, start, end)
    now = None if there is None else there.largest if inside else there.smallest
    if there is None or not now or (now <= diameter if inside else now >= diameter):
        return True
    off = length_text(abs(now - diameter), context.system)
    context.faults.error(
        "route/no-metal",
        f"the bore is already {off} larger than this" if inside else f"the work is already {off} smaller than this",
        at,
        f"it is {length_text(now, context.system)} there by then",
        hint="start from a tube with a smaller bore, or correct the size" if inside else "start from a larger blank, or correct the size",
        related=((there.at, "made so here"),),
    )
    return False


def spares_finished(side: str, start: Fraction, end: Fraction, at: Made, context: Context) -> bool:
    """Whether nothing that is finished (a thread, a knurl, a taper, a fit) lies where this step cuts; False after an error."""
    done = context.work.finished(side, start, end)
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


def wall_left(start: Fraction, end: Fraction, bore: Fraction, at: Value, context: Context) -> bool:
    """Whether a bore of that diameter leaves a wall; False after an error."""
    around = context.work.smallest("outside", start, end)
    if around is None or around.smallest is None or around.smallest > bore:
        return True
    context.faults.error(
        "route/no-wall",
        f"a bore of {length_text(bore, context.system)} leaves no wall: the outside is {length_text(around.smallest, context.system)} there",
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
