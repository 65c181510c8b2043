"""Values with their origin: what was written, where, and what it means exactly."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from benchleaf.diagnostics import Span

__all__ = [
    "Angle", "Count", "CuttingSpeed", "Distance", "Flag", "Lead", "Length", "Link", "Measure", "Number", "Origin", "Position",
    "PositiveAngle", "Power", "Ratio", "Share", "Speed", "StrokeRate", "Taper", "Text", "Time", "ToothSize", "Word",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value was written: the dotted path of keys and the place; ``default`` when it is the schema that states it.

    ``words`` are what stands there when the value is not written but worked out from them; '' for a value as written.
    """

    path: str
    span: Span
    default: bool = False
    words: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity: ``value`` is exact in ``unit`` (the canonical unit of its kind), ``text`` the words as written.

    ``system`` is 'metric' or 'inch' where the words decide it, else ''.
    """

    value: Fraction
    unit: str
    text: str
    origin: Origin
    system: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """Text from a file: a name, a choice or a note."""

    value: str
    origin: Origin

    @property
    def text(self) -> str:
        """The words as written."""
        return self.value


@dataclass(frozen=True, slots=True)
class Number:
    """A whole number such as a count of teeth."""

    value: int
    origin: Origin

    @property
    def text(self) -> str:
        """The number as written."""
        return str(self.value)


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no: ``true`` or ``false`` in the file."""

    value: bool
    origin: Origin

    @property
    def text(self) -> str:
        """The word as written."""
        return "true" if self.value else "false"


# Field types of the models: the annotation names the format of the quantity, which the schema names too.
Length = Annotated[Measure, "length"]  # mm, more than nothing
Distance = Annotated[Measure, "distance"]  # mm, zero allowed
Position = Annotated[Measure, "position"]  # mm, either sign
Lead = Annotated[Measure, "lead"]  # mm/turn
ToothSize = Annotated[Measure, "tooth-size"]  # module, mm
Angle = Annotated[Measure, "angle"]  # deg, either sign
PositiveAngle = Annotated[Measure, "positive-angle"]  # deg, more than nothing
Speed = Annotated[Measure, "speed"]  # turn/min
StrokeRate = Annotated[Measure, "stroke-rate"]  # double strokes a minute
CuttingSpeed = Annotated[Measure, "cutting-speed"]  # m/min
Time = Annotated[Measure, "time"]  # s
Ratio = Annotated[Measure, "ratio"]
Taper = Annotated[Measure, "taper"]
Share = Annotated[Measure, "share"]
Power = Annotated[Measure, "power"]  # kW
Text = Annotated[Word, "text"]
Link = Annotated[Word, "link"]  # a path, relative to the file that names it
Count = Annotated[Number, "count"]
