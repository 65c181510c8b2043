"""Knurling: the blank that a knurl tracks on, how much it raises the work, traverse and practice.

Lengths in mm, angles in degrees, traverse in mm a turn.  Rolling speeds are those of :mod:`benchleaf.standards.speeds`, operation
'knurling', tool 'knurl wheels'.
"""

from __future__ import annotations

import re
from fractions import Fraction

from benchleaf.exact import PI, cos_degrees
from benchleaf.record import record
from benchleaf.standards.speeds import Range
from benchleaf.standards.tables import Rule, table

__all__ = [
    "RISE", "TRACKING", "Knurl", "KnurlBlank", "KnurlProfile", "TrackingBlank", "coarseness", "knurl_blank", "knurl_note", "knurl_pitches",
    "knurl_profile", "knurl_profiles", "knurl_rule", "parse_knurl", "pitch_from_dp", "pitch_from_tpi", "tooth_depth", "tracking_blank",
    "traverse",
]  # fmt: skip

_INCH = Fraction(127, 5)
TRACKING = Rule("blank = teeth x pitch / (pi cos of the teeth's angle)", "geometry: whole teeth round the blank", "derived")
RISE = Rule("finished diameter = blank + share x pitch", "DIN 82", "from memory")


@record
class KnurlProfile:
    """A profile: ``rise`` of the diameter in pitches; ``spiral``, the angle of the wheels' teeth to the axis, degrees."""

    profile: str
    name: str
    rise: Fraction
    spiral: Fraction
    source: str
    status: str


@record
class Knurl:
    """A knurl's pitch, mm, square to its teeth.

    ``transverse`` is the pitch round the work where the words say that instead (diametral pitch); None otherwise.
    """

    name: str
    pitch: Fraction
    transverse: Fraction | None = None


@record
class TrackingBlank:
    """A blank with a whole number of ``teeth`` round it: its diameter, and by how much that is over (or under, negative) what was near."""

    diameter: Fraction
    teeth: int
    off: Fraction


@record
class KnurlBlank:
    """The blank for a finished diameter: ``plain`` is the finished size less the rise, ``blank`` the one that tracks, ``finished`` what
    that comes to when rolled.  ``off`` is how much that differs from what was wanted.
    """

    plain: Fraction
    blank: Fraction
    teeth: int
    rise: Fraction
    finished: Fraction
    off: Fraction
    profile: KnurlProfile


def knurl_profiles() -> tuple[KnurlProfile, ...]:
    """The profiles of DIN 82 with the letters RAA, RBL, RBR, RGE, RGV, RKE, RKV."""
    return tuple(
        KnurlProfile(row.text("profile"), row.text("name"), row.number("rise"), row.number("spiral"), row.source, row.status)
        for row in table("knurling", "profiles").rows
    )


def knurl_profile(name: str) -> KnurlProfile:
    """The profile with DIN 82's letters or a plain name: 'straight', 'diamond', 'cross', 'left-hand spiral'.  Raises LookupError."""
    folded = name.casefold().strip()
    for each in knurl_profiles():
        if folded in (each.profile.casefold(), each.name, each.name.split(",")[0]):
            return each
    raise LookupError(f"no knurl {name}: {', '.join(each.profile for each in knurl_profiles())}")


def knurl_pitches() -> tuple[Fraction, ...]:
    """The preferred pitches, mm.  Source: DIN 82, DIN 403, from memory."""
    return tuple(row.number("pitch") for row in table("knurling", "pitches").rows)


def knurl_rule(name: str) -> Range:
    """A single fact of practice about knurling, by its id in the table ``rules``.  Raises LookupError when there is none."""
    for row in table("knurling", "rules").where("id", name):
        low, high = row.span("range")
        return Range(low, high, row.text("unit"), row.text("about"), row.source, row.status)
    raise LookupError(f"no rule {name}")


def knurl_note(name: str) -> str:
    """What goes with knurling, in words: 'fluid' or 'pincer'.  Raises LookupError."""
    for row in table("knurling", "notes").where("id", name):
        return row.text("words")
    raise LookupError(f"no note {name}")


def pitch_from_tpi(teeth: Fraction) -> Fraction:
    """Pitch, mm, of so many teeth per inch.  Source: division; wheels of 14, 21 and 33 a published guide calls not exactly so."""
    return _INCH / teeth


def pitch_from_dp(diametral: Fraction) -> Fraction:
    """Pitch round the work, mm, of a diametral-pitch knurl: pi in / DP, so that the blank in inches x DP is its teeth.

    Source: ASME B94.6 (definition).
    """
    return PI * _INCH / diametral


def parse_knurl(text: str) -> Knurl | None:
    """The knurl that words mean: '1 mm', '1.2 mm pitch', '21 TPI', '96 DP', 'fine', 'medium', 'coarse'; None for others."""
    words = " ".join(text.casefold().split())
    for row in table("knurling", "classes").where("name", words):
        return Knurl(words, row.span("pitch")[1])
    found = re.fullmatch(r"(\d+(?:\.\d+)?|\d+/\d+)\s*(mm(?: pitch)?|tpi|teeth per inch|dp)", words)
    if not found or not Fraction(found.group(1)):
        return None
    value, unit = Fraction(found.group(1)), found.group(2)
    if unit == "dp":
        return Knurl(f"{found.group(1)} DP", pitch_from_dp(value), pitch_from_dp(value))
    return Knurl(f"{found.group(1)} TPI", pitch_from_tpi(value)) if unit.startswith("t") else Knurl(f"{found.group(1)} mm", value)


def tracking_blank(near: Fraction, pitch: Fraction, *, spiral: Fraction = Fraction(0), not_above: bool = False) -> TrackingBlank:
    """The blank nearest to a diameter on which a whole number of teeth goes: D = z t / (pi cos b); with ``not_above`` none larger.

    ``pitch`` is square to the teeth, ``spiral`` their angle to the axis (30 for diagonal and diamond wheels; 0 for straight wheels, and
    for a pitch that is measured round the work).  Raises ValueError when no tooth goes on.  Source: geometry.
    """
    if near <= 0 or pitch <= 0:
        raise ValueError("a blank and a pitch are above nought")
    step = pitch / (PI * cos_degrees(spiral))
    teeth = int(near // step) if not_above else round(near / step)
    if teeth < 1:
        raise ValueError("the pitch is larger than the blank is round")
    return TrackingBlank(teeth * step, teeth, teeth * step - near)


def knurl_blank(finished: Fraction, knurl: Knurl, profile: str = "RGE", *, not_above: bool = True) -> KnurlBlank:
    """The blank for a finished diameter over the knurl: finished less rise x pitch, then the one that tracks (not above, unless asked).

    Raises LookupError for a profile that is not known, ValueError when nothing of it would be left.  Source: DIN 82; geometry.
    """
    found = knurl_profile(profile)
    rise = found.rise * knurl.pitch
    plain = finished - rise
    spiral = Fraction(0) if knurl.transverse is not None else found.spiral
    blank = tracking_blank(plain, knurl.transverse or knurl.pitch, spiral=spiral, not_above=not_above)
    return KnurlBlank(plain, blank.diameter, blank.teeth, rise, blank.diameter + rise, blank.off, found)


def coarseness(pitch: Fraction) -> str:
    """What a pitch is called: fine, medium or coarse, by the nearest class.  Source: common practice."""
    rows = table("knurling", "classes").rows
    return min(rows, key=lambda row: max(row.span("pitch")[0] - pitch, pitch - row.span("pitch")[1], Fraction(0))).text("name")


def traverse(pitch: Fraction) -> Range:
    """Traverse of form knurling, mm a turn; finer for fine pitches.  Source: common practice."""
    return knurl_rule("traverse_fine" if coarseness(pitch) == "fine" else "traverse")


def tooth_depth(pitch: Fraction) -> Range:
    """Depth of the teeth that are formed, mm.  Source: common practice (0.35 to 0.5 of the pitch)."""
    share = knurl_rule("depth")
    return Range(share.low * pitch, share.high * pitch, "mm", share.about, share.source, share.status)
