"""Drills and taps of the drawers, by size."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapping import Drill, letter_drill, number_drill
from benchleaf.units import convert
from benchleaf.workshop.tooling import Drills
from benchleaf.workshop.values import Text

__all__ = ["cuts_with_of", "drill_of", "drills_of", "largest_up_to", "set_names"]


def set_names(context: Context) -> tuple[Text, ...]:
    """The names of all drill sets owned: what a choice of drill rests on."""
    return tuple(drills.name for drills in _sets(context))


def drills_of(context: Context) -> list[Drill]:
    """Every drill owned, smallest first, each size once."""
    found: dict[Fraction, Drill] = {}
    for drills in _sets(context):
        for drill in _of_set(drills):
            found.setdefault(drill.size, drill)
    return [found[size] for size in sorted(found)]


def cuts_with_of(drill: Drill, context: Context) -> Text:
    """What a drill of the drawers is made of.  Raises LookupError for one that is not in them."""
    for drills in _sets(context):
        if any(item.size == drill.size for item in _of_set(drills)):
            return drills.cuts_with
    raise LookupError(drill.name)


def _sets(context: Context) -> Iterator[Drills]:
    return (drills for tooling in context.inputs.toolings for drills in tooling.drills)


def drill_of(size: Fraction, context: Context) -> Drill | None:
    """The drill of exactly that size; None when it is not owned."""
    return next((drill for drill in drills_of(context) if drill.size == size), None)


def largest_up_to(size: Fraction, context: Context, least: Fraction = Fraction(0)) -> Drill | None:
    """The largest drill owned that is not above ``size`` and not under ``least``, mm; None when there is none."""
    return max((drill for drill in drills_of(context) if least <= drill.size <= size), key=lambda drill: drill.size, default=None)


def _of_set(drills: Drills) -> Iterator[Drill]:
    """Every drill of a set, by the words its owner would use for it."""
    yield from (Drill(size.text, size.value) for size in drills.sizes)
    run = drills.run
    if run is not None:
        count = int((run.largest.value - run.smallest.value) / run.step.value) + 1
        for place in range(count):
            size = run.smallest.value + place * run.step.value
            yield Drill(_called(size, run.step.system), size)
    if drills.numbers is not None:
        yield from (number_drill(number) for number in range(drills.numbers.largest.value, drills.numbers.smallest.value + 1))
    if drills.letters.value:
        yield from (letter_drill(letter) for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")


def _called(size: Fraction, system: str) -> str:
    if system == "inch":
        inches = convert(size, "mm", "in")
        whole, rest = divmod(inches, 1)
        return f"{whole} {rest} in".removeprefix("0 ") if rest else f"{whole} in"
    text = fixed(size, 3).rstrip("0").rstrip(".")
    return f"{text} mm"
