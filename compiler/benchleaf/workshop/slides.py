"""Slides and their graduated collars: what a turn of a handle moves, and what the collar reads."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.workshop.values import Distance, Length, Origin, PositiveAngle, Text

__all__ = ["Dial", "Slide", "Slides", "TailstockSlide", "TopSlide"]


@record
class Dial:
    """A graduated collar: what one division and one turn stand for as it is marked, and what it counts: 'diameter' (twice the travel),
    or 'depth' / 'travel' (the slide's own travel)."""

    origin: Origin
    division: Length
    turn: Length
    reads: Text


@record
class Slide:
    """A slide with its screw's dial."""

    origin: Origin
    travel: Length
    dial: Dial
    backlash: Distance


@record
class TopSlide:
    """The top slide (US: compound rest): as a slide, plus its swivel.  ``scale_zero`` says where the swivel scale reads 0: the slide
    'along the bed' or 'across the bed'."""

    origin: Origin
    travel: Length
    dial: Dial
    backlash: Distance
    scale_zero: Text
    scale_division: PositiveAngle


@record
class TailstockSlide:
    """The tailstock: barrel travel, taper by name, dial if graduated."""

    origin: Origin
    travel: Length
    set_over: Length | None
    taper: Text | None
    dial: Dial | None


@record
class Slides:
    """The slides and their dials."""

    origin: Origin
    cross_slide: Slide
    top_slide: TopSlide | None
    saddle: Slide | None
    tailstock: TailstockSlide | None
