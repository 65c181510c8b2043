"""The second start of a multi-start thread: ways to turn the work by a share of a turn, or to move the tool by a pitch.

All are common practice.  A share of a turn is 1/starts; the lead moves past the tool by lead/starts.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from benchleaf.kinematics.half_nuts import DialWheel
from benchleaf.kinematics.model import PlacedWheel, Train
from benchleaf.record import record

__all__ = ["ByDial", "BySlots", "ByTeeth", "ByTopSlide", "IndexOptions", "index_options"]


@record
class ByTeeth:
    """Take ``driver`` out of mesh with what it drives, turn the spindle until ``teeth`` teeth of it have passed, put it back.

    ``turns``: turns of that wheel, as many as the spindle makes for one start times the ratio to it.
    """

    driver: PlacedWheel
    driven: PlacedWheel
    teeth: int
    turns: Fraction


@record
class ByTopSlide:
    """Set the top slide along the bed and move it ``advance`` mm for each further start, ``travel`` mm in all."""

    advance: Fraction
    travel: Fraction


@record
class BySlots:
    """Move the carrier by ``move`` of the faceplate's ``slots`` for each further start."""

    slots: int
    move: int


@record
class ByDial:
    """Close the half-nuts ``leads`` leadscrew leads farther on for each further start.

    ``marks``: for each start, the marks of the thread dial to close on, counted from the mark of the first cut.
    """

    dial: DialWheel
    leads: int
    marks: tuple[tuple[int, ...], ...]


@record
class IndexOptions:
    """What can be done on this machine with this train, for so many starts.  ``teeth`` is sorted with the first driver in front."""

    starts: int
    pitch: Fraction
    teeth: tuple[ByTeeth, ...]
    top_slide: ByTopSlide | None
    slots: tuple[BySlots, ...]
    dial: tuple[ByDial, ...]


def index_options(
    train: Train,
    starts: int,
    *,
    leadscrew_lead: Fraction | None = None,
    top_slide_travel: Fraction | None = None,
    faceplate_slots: Sequence[int] = (),
    dials: Sequence[DialWheel] = (),
) -> IndexOptions:
    """Every way to index ``starts`` starts.  Lengths mm; what is not given is not offered.  Raises ValueError below one start."""
    if starts < 1:
        raise ValueError("a thread has at least one start")
    pitch = train.lead / starts
    if starts == 1:
        return IndexOptions(1, pitch, (), None, (), ())
    whole = pitch * (starts - 1)
    slide = ByTopSlide(pitch, whole) if top_slide_travel is not None and whole <= top_slide_travel else None
    slots = tuple(BySlots(number, number // starts) for number in faceplate_slots if number >= starts and number % starts == 0)
    dial = tuple(_by_dial(train.lead / leadscrew_lead, starts, wheel) for wheel in dials) if leadscrew_lead else ()
    return IndexOptions(starts, pitch, _by_teeth(train, starts), slide, slots, tuple(option for option in dial if option is not None))


def _by_teeth(train: Train, starts: int) -> tuple[ByTeeth, ...]:
    options = []
    turns = train.headstock_ratio / starts
    for one, two in pairwise(train.axes):
        driver, driven = one[-1], two[0]
        teeth = driver.wheel.teeth * turns
        if teeth.denominator == 1:
            options.append(ByTeeth(driver, driven, teeth.numerator, turns))
        turns *= Fraction(driver.wheel.teeth, driven.wheel.teeth)
    return tuple(options)


def _by_dial(ratio: Fraction, starts: int, dial: DialWheel) -> ByDial | None:
    """With lead / leadscrew lead = a / b: k leadscrew leads are k b / a work leads, and must leave 1/starts over."""
    a, b = ratio.numerator, ratio.denominator
    if a % starts or dial.teeth < 1 or dial.marks < 1 or dial.teeth % a:
        return None
    leads = (a // starts) * pow(b, -1, a) % a
    between = Fraction(dial.teeth, dial.marks)
    marks = tuple(tuple(m for m in range(dial.marks) if (m * between - start * leads) % a == 0) for start in range(starts))
    return ByDial(dial, leads, marks) if all(marks) else None
