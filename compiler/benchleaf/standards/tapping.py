"""Drills for tapped holes, and holes that a bolt passes through.  Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.tables import Rule, table

__all__ = ["SHARE", "Drill", "choose_drill", "clearance_hole", "hole_for_share", "letter_drill", "number_drill", "share_of_thread"]

_INCH = Fraction(127, 5)
SHARE = Rule(
    "(basic major diameter - hole) / (2 x basic depth of thread)", "plane geometry; the depth that of the form's basic profile", "derived"
)


@record
class Drill:
    """A drill: what it is called and its diameter, mm."""

    name: str
    size: Fraction
    status: str = ""


def number_drill(number: int) -> Drill:
    """A number drill, 1 to 80.  Raises LookupError for others.  Source: ASME B94.11M."""
    return _listed("number_drills", Fraction(number), f"No. {number}")


def letter_drill(letter: str) -> Drill:
    """A letter drill, 'A' to 'Z'.  Raises LookupError for others.  Source: ASME B94.11M."""
    return _listed("letter_drills", letter, letter)


def _listed(name: str, key: Fraction | str, called: str) -> Drill:
    rows = table("drills", name).where("drill", key)
    if not rows:
        raise LookupError(f"no drill is called {called}")
    return Drill(called, rows[0].number("size") * _INCH, rows[0].status)


def share_of_thread(major: Fraction, depth: Fraction, hole: Fraction) -> Fraction:
    """How much of the basic depth a hole leaves: (d - hole) / (2 depth).

    ``depth`` is that of the basic profile (5/8 H for 60 degree threads, 0.640327 P Whitworth, 0.6 P BA, as the standard rounds it): a
    share of another depth is another figure.  Source: plane geometry.
    """
    return (major - hole) / (2 * depth)


def hole_for_share(major: Fraction, depth: Fraction, share: Fraction) -> Fraction:
    """The hole that leaves a share of the basic depth: :func:`share_of_thread` turned round."""
    return major - 2 * depth * share


def choose_drill(owned: Sequence[Drill], aim: Fraction, lower: Fraction | None = None, upper: Fraction | None = None) -> Drill | None:
    """The owned drill nearest to ``aim`` within the limits; of two equally near the larger, which spares the tap.  None when none fits.

    Drills cut a little over size, so the middle of the limits is a fair aim.  Source: common practice.
    """
    fitting = [drill for drill in owned if (lower is None or drill.size >= lower) and (upper is None or drill.size <= upper)]
    return min(fitting, key=lambda drill: (abs(drill.size - aim), -drill.size), default=None)


def clearance_hole(major: Fraction, fit: str = "medium") -> Fraction | None:
    """The hole that a bolt of a nominal diameter passes through, ``fit`` 'fine', 'medium' or 'coarse'; None for a size not in the table.

    Source: ISO 273 (H12, H13, H14).
    """
    rows = table("drills", "clearance").where("thread", major)
    return rows[0].number(fit) if rows else None
