"""What a thread is, and what its limits are.  Lengths in mm, angles in degrees, all exact."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol

from benchleaf.exact import PI, atan_degrees
from benchleaf.standards.threads.form import Form

__all__ = ["DesignationError", "Quantity", "SizeLimits", "Thread", "ThreadLimits", "ToleranceRule"]


class DesignationError(ValueError):
    """A thread that cannot be read, or limits that its class does not give.

    ``message`` stands alone in shop language; ``hint`` says how to write it.  ``offset`` and ``length`` mark the words at
    fault in the text that was read (0 and 0 when no words are at fault).
    """

    def __init__(self, message: str, hint: str = "", offset: int = 0, length: int = 0) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint
        self.offset = offset
        self.length = length


@dataclass(frozen=True, slots=True)
class Quantity:
    """One number that limits were made from: a tolerance, an allowance, a length of engagement (mm).

    ``status`` is 'standard', 'published', 'derived', 'common practice' or 'from memory'.
    """

    name: str
    value: Fraction
    formula: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class SizeLimits:
    """Limits of one diameter in mm; None where the standard sets none.

    ``basic`` is the basic size that the limits start from.  ``formula`` says in words how they came about, ``source``
    names the standard and its table, ``status`` is one of the words listed at :class:`Quantity`.
    """

    lower: Fraction | None
    upper: Fraction | None
    formula: str
    source: str
    status: str
    basic: Fraction | None = None


@dataclass(frozen=True, slots=True)
class ThreadLimits:
    """Limits of the three diameters of one side of a thread.

    ``tolerance`` is the class that was used, '' when there is none and the limits are therefore None.
    ``pitch_tolerance`` and ``allowance`` are in mm (allowance as a distance from the basic size into the metal's absence,
    never negative).  ``basis`` lists what went in; ``notes`` are sentences for the sheet.
    """

    inside: bool
    tolerance: str
    major: SizeLimits
    pitch: SizeLimits
    minor: SizeLimits
    pitch_tolerance: Fraction | None = None
    allowance: Fraction | None = None
    basis: tuple[Quantity, ...] = ()
    notes: tuple[str, ...] = ()


class ToleranceRule(Protocol):
    """How a family turns a class into limits."""

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side.  Raises DesignationError when the class is of the other side."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """A thread, by its basic sizes.

    ``designation`` is the canonical printed form: reading it again gives an equal thread.  ``major``, ``pitch``,
    ``pitch_diameter``, ``minor_diameter`` (basic, of the inside thread) and ``root_diameter`` (design root of the outside
    thread) are in mm.  ``tolerance`` is the class as written, or the family's usual one when ``tolerance_given`` is False.
    ``taper`` is the change of diameter per unit of length (0 for a parallel thread); diameters then hold at the gauge
    plane.  ``size_is_nominal_bore``: the size in the designation is a pipe bore, not a diameter that can be measured.
    ``lead_rational``: False when pi is in the lead, which is then good to 40 digits only.
    ``figures`` are further figures of the thread, such as the gauge length of a taper thread; ``notes`` are remarks for the
    sheet on how the designation was read.
    """

    designation: str
    family: str
    series: str
    form: Form
    major: Fraction
    pitch: Fraction
    starts: int
    hand: str
    tolerance: str
    tolerance_given: bool
    system: str
    pitch_diameter: Fraction
    minor_diameter: Fraction
    root_diameter: Fraction
    rule: ToleranceRule = field(repr=False)
    tpi: Fraction | None = None
    taper: Fraction = Fraction(0)
    size_is_nominal_bore: bool = False
    lead_rational: bool = True
    figures: tuple[Quantity, ...] = ()
    notes: tuple[str, ...] = field(default=(), compare=False)

    @property
    def lead(self) -> Fraction:
        """Travel of one turn in mm: starts x pitch."""
        return self.starts * self.pitch

    @property
    def lead_angle(self) -> Fraction:
        """Lead angle at the pitch diameter, in degrees, never negative."""
        return atan_degrees(self.lead / (PI * self.pitch_diameter))

    def limits(self, inside: bool, engagement: Fraction | None = None) -> ThreadLimits:
        """Limits of the inside or outside thread, for a length of engagement in mm when it is known.

        Raises DesignationError when the class in the designation belongs to the other side.
        """
        return self.rule.limits(self, inside, engagement)
