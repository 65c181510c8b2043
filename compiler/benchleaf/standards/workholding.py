"""Holding work: how far it may stand out, how it bends, and how fast what holds it may turn.

Lengths in mm, forces in N, spindle speeds in turns a minute.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import PI
from benchleaf.record import record
from benchleaf.standards.speeds import limit, material_group, rim_limit
from benchleaf.standards.tables import Row, Rule, table

__all__ = ["BENDING", "HELD", "SpeedLimit", "Support", "holder_speed_limit", "longest_stick_out", "support", "work_deflection"]

BENDING = Rule("force x length^3 / (k x modulus x pi diameter^4 / 64)", "beam theory", "derived")
# How the work is held, and k of the beam: bent at the free end, or at mid length.
HELD = ("chuck", "chuck and centre", "between centres")
_BEAM = {"chuck": Fraction(3), "chuck and centre": Fraction(768, 7), "between centres": Fraction(48)}


@record
class Support:
    """Whether work wants more support: ``ratio`` of its stick-out to its diameter against ``limit`` (``low`` to ``high`` in practice).

    ``wants`` is '' or what to add: 'centre' or 'steady'; ``certain``: the ratio is beyond the whole range of practice.
    """

    ratio: Fraction
    limit: Fraction
    low: Fraction
    high: Fraction
    wants: str
    certain: bool
    words: str
    source: str
    status: str


@record
class SpeedLimit:
    """The fastest that a chuck or faceplate may turn; ``marked``: it is what the holder says, not a cautious rule."""

    turns: Fraction
    marked: bool
    source: str
    status: str


def support(stick_out: Fraction, diameter: Fraction, held: str = "chuck") -> Support:
    """Whether work of a diameter that stands out (or spans) so far wants a centre or a steady; ``held`` is one of :data:`HELD`.

    A hollow or slender end wants it sooner.  Raises LookupError for another way of holding, ValueError without a diameter.
    Source: common practice.
    """
    if diameter <= 0 or stick_out < 0:
        raise ValueError("work has a diameter and stands out")
    row = _held(held)
    low, high = row.span("range")
    ratio, bound = stick_out / diameter, row.number("use")
    wants = row.text("then") if ratio > bound else ""
    return Support(ratio, bound, low, high, wants, ratio > high, row.text("words"), row.source, row.status)


def longest_stick_out(diameter: Fraction, held: str = "chuck") -> Fraction:
    """How far work of a diameter may stand out before it wants more support, mm.  Source: common practice."""
    return _held(held).number("use") * diameter


def work_deflection(
    force: Fraction, length: Fraction, diameter: Fraction, held: str = "chuck", *, material: str | None = None, bore: Fraction = Fraction(0)
) -> Fraction:
    """How far the work bends away from the tool, mm: at its end in a chuck, at mid length otherwise; steel when no material is given.

    The diameter comes out larger by twice this.  ``force`` is that across the work.  Raises LookupError for another way of holding or a
    material that is not known.  Source: beam theory (an end in the chuck taken as built in).
    """
    if held not in HELD:
        raise LookupError(f"no way of holding {held}: {', '.join(HELD)}")
    if diameter <= bore:
        raise ValueError("the work is larger than its bore")
    second = PI * (diameter**4 - bore**4) / 64
    return force * length**3 / (_BEAM[held] * _modulus(material) * second)


def holder_speed_limit(diameter: Fraction, marked: Fraction | None = None) -> SpeedLimit:
    """The fastest that a chuck or faceplate of a diameter may turn: what is marked on it, or a cautious rim speed of grey iron.

    Source: the holder's own marking; else common practice.
    """
    if marked is not None:
        return SpeedLimit(marked, True, "marked on the holder", "published")
    rim = limit("grey_iron_rim")
    return SpeedLimit(rim_limit(diameter), False, rim.source, rim.status)


def _held(held: str) -> Row:
    for row in table("turning", "support").where("held", held):
        return row
    raise LookupError(f"no way of holding {held}: {', '.join(HELD)}")


def _modulus(material: str | None) -> Fraction:
    group = None if material is None else material_group(material)
    if material is not None and group is None:
        raise LookupError(f"{material} is not in the table of materials")
    return table("turning", "moduli").where("family", "steel" if group is None else group.family)[0].number("value")
