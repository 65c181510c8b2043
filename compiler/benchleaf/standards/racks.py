"""Racks as they are cut with a form tool: how deep a tip of its width goes, and what is measured over the teeth.

Lengths in mm, angles in degrees.  Basic racks come from ``data/racks.yaml`` with source and status; the rest is plane geometry.  The pitch
line lies one addendum below the tops, and a tooth and a space are measured there.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import PI, cos_degrees, sin_degrees, tan_degrees
from benchleaf.record import record
from benchleaf.standards.tables import Rule, table

__all__ = [
    "DEPTH", "PIN", "PITCH", "TIP", "BasicRack", "basic_rack", "best_pin", "depth_for", "pin_above", "pin_fits", "pitch_of", "tip_for",
]  # fmt: skip

PITCH = Rule("pi x module", "ISO 54; definition of the module", "standard")
DEPTH = Rule("addendum + (pitch - tooth - tip of the tool) / (2 tan(pressure angle))", "plane geometry", "derived")
TIP = Rule("pitch - tooth - 2 x dedendum x tan(pressure angle)", "plane geometry", "derived")
PIN = Rule(
    "pin / 2 x (1 + 1 / sin(pressure angle)) - space / (2 tan(pressure angle)) - addendum",
    "plane geometry of a pin in a straight-sided vee",
    "derived",
)


@record
class BasicRack:
    """A basic rack, in modules: ``addendum``, ``dedendum``, and the ``clearance`` at the bottom that may be left, from least to most."""

    angle: Fraction
    addendum: Fraction
    dedendum: Fraction
    clearance: tuple[Fraction, Fraction]
    source: str
    status: str


def basic_rack(angle: Fraction) -> BasicRack | None:
    """The basic rack of a pressure angle; None where the table has none."""
    for row in table("racks", "profiles").where("angle", angle):
        return BasicRack(angle, row.number("addendum"), row.number("dedendum"), row.span("clearance"), row.source, row.status)
    return None


def pitch_of(module: Fraction) -> Fraction:
    """From tooth to tooth along the pitch line, mm: pi m.  Source: :data:`PITCH`."""
    return PI * module


def depth_for(pitch: Fraction, tooth: Fraction, addendum: Fraction, tip: Fraction, angle: Fraction) -> Fraction:
    """How deep a tip of that width goes until the teeth are as thick as wanted at the pitch line, mm.  Source: :data:`DEPTH`."""
    return addendum + (pitch - tooth - tip) / (2 * tan_degrees(angle))


def tip_for(pitch: Fraction, tooth: Fraction, dedendum: Fraction, angle: Fraction) -> Fraction:
    """The tip that comes to the full depth just when the teeth are as thick as wanted, mm.  Source: :data:`TIP`."""
    return pitch - tooth - 2 * dedendum * tan_degrees(angle)


def best_pin(space: Fraction, angle: Fraction) -> Fraction:
    """The pin that touches both flanks at the pitch line, mm: space / cos(pressure angle)."""
    return space / cos_degrees(angle)


def pin_above(pin: Fraction, space: Fraction, addendum: Fraction, angle: Fraction) -> Fraction:
    """How far a pin in a space stands above the tops of the teeth, mm.  Source: :data:`PIN`."""
    return pin / 2 * (1 + 1 / sin_degrees(angle)) - space / (2 * tan_degrees(angle)) - addendum


def pin_fits(pin: Fraction, space: Fraction, addendum: Fraction, depth: Fraction, angle: Fraction) -> bool:
    """Whether a pin touches both flanks between top and bottom, hangs free of the bottom, and stands out above the tops."""
    foot = space / (2 * tan_degrees(angle))  # from the pitch line down to where the flanks would meet
    sine = sin_degrees(angle)
    touches = pin / 2 * (1 / sine - sine) - foot
    hangs = pin / 2 * (1 / sine - 1) - foot
    below = addendum - depth
    return below < touches < addendum and below < hangs and pin_above(pin, space, addendum, angle) > 0
