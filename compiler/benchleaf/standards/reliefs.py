"""Grooves that threads end in, run-outs, turned reliefs of shafts, and centre holes.

Lengths in mm.  Sizes come from the tables in ``data/undercuts.yaml`` with source and status; for a pitch between two rows they are
taken in proportion and say so.
"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.tables import Row, Table, table

__all__ = [
    "CentreHole", "RunOut", "ShaftRelief", "Undercut", "centre_hole_for_shaft", "groove_diameter_limit", "groove_width_needed",
    "run_out", "shaft_reliefs", "thread_undercut",
]  # fmt: skip


@record
class Undercut:
    """A thread undercut: ``diameter`` of its bottom, ``least`` width of the parallel part, ``widest`` over all, corner ``radius``.

    ``tabled`` is False when the pitch stands between or beyond the table's rows; ``diameter_status`` and ``width_status`` say how far
    either can be trusted.
    """

    form: str
    diameter: Fraction
    least: Fraction
    widest: Fraction
    radius: Fraction
    tabled: bool
    source: str
    diameter_status: str
    width_status: str


def thread_undercut(pitch: Fraction, nominal: Fraction, *, inside: bool = False, short: bool = False) -> Undercut:
    """The groove for a thread of a pitch and nominal diameter: form A or (short) B outside, C or D inside.

    Outside dg = d - x, inside dg = d + x, with x, g1 and g2 by pitch (the pitch, not the lead).  Source: DIN 76-1; between rows in
    proportion, beyond them in proportion to the pitch (derived).
    """
    form = ("CD" if inside else "AB")[short]
    found = table("undercuts", "thread_undercut_inside" if inside else "thread_undercut_outside")
    sideways = "above" if inside else "below"
    low, high, exact = _around(found, pitch)
    step, least, widest = (_between(low, high, pitch, name) for name in (sideways, f"g1_{form}", f"g2_{form}"))
    if exact:
        statuses = tuple("from memory" if low.flag("remembered") else low.status_of(name) for name in (sideways, f"g1_{form}"))
    else:
        statuses = ("derived", "derived")
    return Undercut(
        form, nominal + step if inside else nominal - step, least, widest, low.number("r"), exact, low.source, statuses[0], statuses[1]
    )


@record
class RunOut:
    """Largest run-out of an outside thread (``normal``, ``short``) and distance of its last full turn from a shoulder."""

    normal: Fraction
    short: Fraction
    to_shoulder: Fraction
    to_shoulder_short: Fraction
    to_shoulder_long: Fraction
    tabled: bool
    source: str
    status: str


def run_out(pitch: Fraction) -> RunOut:
    """Run-out of an outside thread by pitch: x about 2.5 P, short 1.25 P; to a shoulder 3 P, 2 P, 4 P.  Source: ISO 3508."""
    low, high, exact = _around(table("undercuts", "run_out"), pitch)
    x, x_short, a, a_short, a_long = (_between(low, high, pitch, name) for name in ("x", "x_short", "a", "a_short", "a_long"))
    return RunOut(x, x_short, a, a_short, a_long, exact, low.source, low.status if exact else "derived")


def groove_diameter_limit(thread: Fraction, clearance: Fraction, *, inside: bool = False) -> Fraction:
    """The limit of a groove's diameter so that the tool runs out into air, mm: root - 2 x clearance outside, + 2 x clearance inside.

    At most that outside, at least that inside.  ``thread`` is the diameter that the tip reaches: the root; inside, the largest major
    diameter.  Source: plane geometry.
    """
    return thread + 2 * clearance if inside else thread - 2 * clearance


def groove_width_needed(run_on: Fraction, beyond_tip: Fraction = Fraction(0), tip_width: Fraction = Fraction(0)) -> Fraction:
    """Width the groove must have, mm: what the tool runs on while it is stopped, what it stands past its tip, and the tip itself.

    Source: kinematics (see :func:`benchleaf.standards.speeds.run_on`).
    """
    return run_on + beyond_tip + tip_width


@record
class ShaftRelief:
    """A turned relief: radius, depth in the cylinder and in the face, width.  ``designation`` as it is written on a drawing."""

    designation: str
    radius: Fraction
    depth: Fraction
    face_depth: Fraction
    width: Fraction
    loading: str
    source: str
    status: str


def shaft_reliefs(diameter: Fraction, form: str = "F") -> tuple[ShaftRelief, ...]:
    """The reliefs of form E (cylinder) or F (cylinder and face) for a shaft: ranges are 'over, up to and including'.

    Raises ValueError for another form.  Source: DIN 509:1998-06.
    """
    if form not in ("E", "F"):
        raise ValueError("form E or F")
    return tuple(_relief(row, form) for row in table("undercuts", "shaft_relief").rows if _covers(row, diameter))


def _relief(row: Row, form: str) -> ShaftRelief:
    radius, depth, face, width = (row.number(name) for name in ("r", "t1", "t2", "f"))
    designation = f"DIN 509-{form} {_plain(radius)}x{_plain(depth)}"
    return ShaftRelief(designation, radius, depth, face, width, row.text("loading"), row.source, row.status)


@record
class CentreHole:
    """A centre hole of form A: ``pilot`` and ``cone`` diameters, least ``depth``; ``protecting`` is form B's outer cone, None where there
    is none."""

    pilot: Fraction
    cone: Fraction
    depth: Fraction
    protecting: Fraction | None
    source: str
    status: str


def centre_hole_for_shaft(diameter: Fraction) -> CentreHole:
    """The centre hole that suits a shaft.  Raises ValueError for a diameter of nought or less.

    Source: sizes ISO 866 and ISO 2540; the choice by diameter is published guidance, not a standard.
    """
    for row in table("undercuts", "centre_hole_by_shaft").rows:
        if _covers(row, diameter):
            hole = table("undercuts", "centre_holes").where("d1", row.number("d1"))[0]
            return CentreHole(hole.number("d1"), hole.number("d2"), hole.number("t_A"), hole.maybe("d3"), hole.source, hole.status)
    raise ValueError("a shaft has a diameter")


def _covers(row: Row, diameter: Fraction) -> bool:
    to = row.maybe("to")
    return row.number("over") < diameter and (to is None or diameter <= to)


def _around(found: Table, pitch: Fraction) -> tuple[Row, Row, bool]:
    """The rows on either side of a pitch (one row twice at and beyond the ends), and whether the pitch is in the table."""
    if pitch <= 0:
        raise ValueError("a pitch is above nought")
    below = [row for row in found.rows if row.number("pitch") <= pitch]
    above = [row for row in found.rows if row.number("pitch") >= pitch]
    low, high = below[-1] if below else above[0], above[0] if above else below[-1]
    return low, high, low.number("pitch") == pitch


def _between(low: Row, high: Row, pitch: Fraction, name: str) -> Fraction:
    """A column in proportion between two rows, or in proportion to the pitch beyond the table."""
    start, end = low.number("pitch"), high.number("pitch")
    if start == end:
        return low.number(name) * pitch / start
    return low.number(name) + (high.number(name) - low.number(name)) * (pitch - start) / (end - start)


def _plain(value: Fraction) -> str:
    """A size of at most two decimals as drawings write it."""
    text = f"{value.numerator * 100 // value.denominator:03d}"
    return f"{text[:-2]}.{text[-2:]}".rstrip("0").rstrip(".")
