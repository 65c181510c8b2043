"""What an indicator read when the shaper was proved, carried over to the cut, with its date."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, basis, length_text, source
from benchleaf.standards.shaping import fact
from benchleaf.workshop.shaper import ShaperReading

__all__ = ["dated"]


def dated(
    desk: Desk, context: Context, what: str, over: Fraction, label: str, *, of: str | None = None, allowed: Fraction | None = None
) -> None:
    """Write down as a figure how far the reading of that name puts the cut out over ``over`` mm.

    A warning where that is more than ``allowed`` mm, or than the charts allow when nothing is given.  Nothing where it was never read.
    """
    found = next((item for item in context.shaper.readings if item.what.value == what and _of(item, of, context)), None)
    if found is None or found.over is None or not found.reads.value:
        return
    out = abs(found.reads.value) * over / found.over.value
    by = source(f"the shaper's profile, read {found.date.value}", "owner")
    why = basis("reading x length of the cut / length it was read over", (found.reads, found.over, found.date), by)
    name = what.replace(" ", "_")
    desk.length(name, f"{label}, by the reading of {found.date.value}", out, why, rational=False)
    limit = fact("jaw_parallel").use if allowed is None else allowed
    if out > limit:
        by_much = f"{length_text(out, context.system)}, more than the {length_text(limit, context.system)} allowed"
        context.faults.warning(
            "shaping/out-of-square",
            f"the {what} puts the cut out by {by_much}",
            found.reads,
            f"{found.reads.text} over {found.over.text}, read {found.date.value}",
            hint="clock it again and put it right, or shim the work; then write the new reading into the profile",
        )


def _of(item: ShaperReading, of: str | None, context: Context) -> bool:
    if of is None or item.of is not None:
        return of is None or (item.of is not None and item.of.value == of)
    return [vice.name.value for vice in context.shaper.vices] == [of]
