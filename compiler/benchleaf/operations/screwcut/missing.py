"""What a thread needs before it: a bore, a relief, a chamfer; and the relief that an earlier step has cut."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from benchleaf.operations.bore import Bore
from benchleaf.operations.chamfer import Chamfer
from benchleaf.operations.context import Context
from benchleaf.operations.desk import length_text, stands_for
from benchleaf.operations.groove import Groove
from benchleaf.operations.screwcut.model import Ending, Relief, Screwcut
from benchleaf.operations.work import Stretch
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.reliefs import groove_diameter_limit, thread_undercut
from benchleaf.standards.threads import DesignationError, Thread, parse_designation
from benchleaf.workshop.values import Measure, Origin, Word

__all__ = ["needs", "with_relief"]

_CLEAR = Fraction(1, 10)  # mm on the radius that a relief should stand clear of the root; common practice
_BAND = Fraction(1, 5)  # mm: tolerance of a relief that is planned, away from the thread
_SPARE = Fraction(5, 4)  # a fifth of the room to stop in is kept in hand when the speed is chosen


def with_relief(step: Screwcut, context: Context) -> Screwcut | None:
    """The step with the groove that an earlier step has cut for it as its relief; None after an error when there is none."""
    if isinstance(step.ends_in, Ending) or step.ends_in.value != "relief":
        return step
    end = step.from_.value + step.length.value
    found = _groove(step, context)
    if found is None:
        context.faults.error(
            "route/no-relief",
            "the thread is to end in a relief, and no step before has cut a groove there",
            step.ends_in,
            f"none at {length_text(end, context.system, 'caliper')} from the face",
            hint="put a `groove` step before it, or set `missing-steps: plan`",
        )
        return None
    at = Origin("relief", found.at.origin.span, words=found.at.origin.words or found.at.text)
    width = Measure(found.end - end, "mm", length_text(found.end - end, context.system, "caliper"), at)
    depth = Measure(found.near or Fraction(0), "mm", length_text(found.near or Fraction(0), context.system), at)
    return replace(step, ends_in=Ending(step.ends_in.origin, Relief(at, width, depth), None))


def _groove(step: Screwcut, context: Context) -> Stretch | None:
    end = step.from_.value + step.length.value
    there = context.work.over(step.where.value, end, end + Fraction(1, 1000))
    whole = (item for item in context.work.surface(step.where.value) if item.kind == "groove" and item.start <= end < item.end)
    return next(whole, None) if there else None


def needs(step: Screwcut, context: Context) -> list[tuple[str, Any]]:
    """The steps that must go before and are missing: bore, relief, chamfer, in that order."""
    try:
        thread = parse_designation(step.thread.value) if isinstance(step.thread, Word) else None
    except DesignationError:
        return []
    if thread is None or thread.taper:
        return []
    start, end = step.from_.value, step.from_.value + step.length.value
    inside = step.where.value == "inside"
    found: list[tuple[str, Any]] = []
    if inside and context.work.hole(start, end) is None:
        found.append(("bore", _bore(step, thread, context)))
    if not isinstance(step.ends_in, Ending) and step.ends_in.value == "relief" and _groove(step, context) is None:
        found.append(("groove", _relief(step, thread, context)))
    if start == 0 and not inside and not any(item.kind == "chamfer" for item in context.work.over("outside", start, end)):
        deep = (thread.major - thread.minor_diameter) / 2
        at = _at(step)
        angle = Measure(Fraction(45), "deg", "45 deg", at)
        found.append(("chamfer", Chamfer(step.origin, step.where, step.from_, _mm(deep, at, context), angle, None)))
    return found


def _at(step: Screwcut) -> Origin:
    return stands_for(step.thread) if isinstance(step.thread, Word) else step.thread.origin


def _mm(value: Fraction, at: Origin, context: Context) -> Measure:
    """A length to the digits of a caliper: what is planned is written as it will be set."""
    text = length_text(value, context.system, "caliper")
    return Measure(value, "mm", text, at)


def _bore(step: Screwcut, thread: Thread, context: Context) -> Bore:
    limits, at = thread.limits(True, step.length.value).minor, _at(step)
    lower, upper = limits.lower or thread.minor_diameter, limits.upper or limits.lower or thread.minor_diameter
    words = f"{fixed(lower, 3)} to {fixed(upper, 3)} mm" if upper > lower else f"{fixed(lower, 3)} mm"
    width = Fraction(0)
    if not isinstance(step.ends_in, Ending) and step.ends_in.value == "relief":
        width = _width(step, thread, context)
    length = _mm(step.length.value + width, stands_for(step.length), context)
    return Bore(step.origin, Word(words, at), step.from_, length, None, None, None)


def _width(step: Screwcut, thread: Thread, context: Context) -> Fraction:
    """Width of a relief: the standard undercut, and room to stop in at the slowest speed with what the tool stands beyond its tip."""
    slowest = min(row.speed.value for row in context.lathe.spindle.speeds)
    tool = next((item for item in context.inputs.threading_tools() if item.name.value == step.tool.value), None)
    beyond = tool.beyond_tip.value if tool is not None else Fraction(0)
    stop = slowest * thread.lead * context.lathe.stop_time.value / 60 * _SPARE + beyond
    least = thread_undercut(thread.pitch, thread.major, inside=step.where.value == "inside").least
    half = Fraction(1, 2)
    return -(-max(stop, least) // half) * half  # to the next half millimetre, which a grooving tool can be set to


def _relief(step: Screwcut, thread: Thread, context: Context) -> Groove:
    inside, at = step.where.value == "inside", _at(step)
    limits = thread.limits(inside, step.length.value)
    ends = (limits.minor.lower, limits.minor.upper, thread.root_diameter)
    bound = (
        limits.major.upper or limits.major.lower or thread.major
        if inside
        else min(end for end in (*ends, thread.minor_diameter) if end is not None)
    )
    # A tip finer than the standard's leaves a deeper root: a twentieth of the pitch more on the radius covers it.
    spare = _CLEAR + thread.pitch / 20
    size = groove_diameter_limit(bound, spare, inside=inside)
    tenth = Fraction(1, 10)
    near = -(-size // tenth) * tenth if inside else size // tenth * tenth  # as shown, rounded away from the thread
    low, high = (near, near + _BAND) if inside else (near - _BAND, near)
    words = f"{fixed(low, 1)} to {fixed(high, 1)} mm"
    width = _width(step, thread, context)
    end = step.from_.value + step.length.value
    return Groove(step.origin, step.where, Word(words, at), _mm(end, stands_for(step.length), context), _mm(width, at, context), None, None)
