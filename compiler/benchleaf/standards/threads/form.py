"""Forms of thread: one description from which geometry, tool, gauging and drawing follow.

Heights are radial, in mm for a pitch in mm.  The pitch line is where ridge and groove are equally wide, so the sharp
apex of the groove lies half the fundamental triangle below it.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from benchleaf.diagnostics import close_matches
from benchleaf.exact import sin_degrees, tan_degrees
from benchleaf.record import record
from benchleaf.standards.threads.tables import number, table

__all__ = ["Form", "Height", "find_form", "form", "form_names"]


@record
class Height:
    """A share of the triangle's height H and a share of the pitch P, added up."""

    of_triangle: Fraction = Fraction(0)
    of_pitch: Fraction = Fraction(0)


@record
class Form:
    """A form of thread.

    ``included_angle`` in degrees; ``flanks`` are the angles of the load and the following flank to a plane across the
    axis.  ``crest`` and ``root`` say 'flat', 'rounded' or 'flat or rounded', of the outside thread.  ``tool`` names the
    shape of tool.  ``clearances`` are pairs (largest pitch in mm, radial clearance at the root in mm), ascending.
    """

    name: str
    included_angle: Fraction
    flanks: tuple[Fraction, Fraction]
    crest: str
    root: str
    tool: str
    addendum_share: Height
    depth_share: Height
    design_share: Height
    root_limit_share: Height
    least_radius_share: Height | None
    design_radius_share: Height | None
    clearances: tuple[tuple[Fraction, Fraction], ...]
    source: str
    status: str

    @property
    def half_angle(self) -> Fraction:
        """Half the included angle, in degrees."""
        return self.included_angle / 2

    @property
    def symmetrical(self) -> bool:
        """Whether both flanks lean alike."""
        return self.flanks[0] == self.flanks[1]

    def triangle_height(self, pitch: Fraction) -> Fraction | None:
        """H, the height of the sharp triangle; None for a square thread, whose flanks never meet."""
        spread = tan_degrees(self.flanks[0]) + tan_degrees(self.flanks[1])
        return pitch / spread if spread else None

    def clearance(self, pitch: Fraction) -> Fraction:
        """Radial clearance between root and mating crest that the form adds to its basic depth."""
        for largest, gap in self.clearances:
            if pitch <= largest:
                return gap
        return self.clearances[-1][1] if self.clearances else Fraction(0)

    def _height(self, share: Height, pitch: Fraction) -> Fraction:
        return share.of_pitch * pitch + (share.of_triangle * (self.triangle_height(pitch) or 0) if share.of_triangle else 0)

    def addendum(self, pitch: Fraction) -> Fraction:
        """From the basic major diameter in to the pitch line."""
        return self._height(self.addendum_share, pitch)

    def basic_depth(self, pitch: Fraction) -> Fraction:
        """From the basic major diameter in to the basic minor diameter (the bore of the inside thread)."""
        return self._height(self.depth_share, pitch)

    def design_depth(self, pitch: Fraction) -> Fraction:
        """From the basic major diameter in to the design root of the outside thread, clearance included."""
        return self._height(self.design_share, pitch) + self.clearance(pitch)

    def root_limit_depth(self, pitch: Fraction) -> Fraction:
        """From the basic major diameter in to the line that no root of an outside thread may stand above."""
        return self._height(self.root_limit_share, pitch) + self.clearance(pitch)

    def root_truncation(self, pitch: Fraction, inside: bool) -> Fraction | None:
        """From the sharp apex of the groove to the line its root must reach; None for a square thread."""
        triangle = self.triangle_height(pitch)
        if triangle is None:
            return None
        if inside:
            return triangle / 2 - self.addendum(pitch) - self.clearance(pitch)
        return triangle / 2 - (self.root_limit_depth(pitch) - self.addendum(pitch))

    def crest_flat(self, pitch: Fraction) -> Fraction:
        """Width of the outside thread's crest on the basic profile, before any rounding of it, in mm."""
        triangle = self.triangle_height(pitch)
        if triangle is None:
            return pitch / 2
        return (triangle / 2 - self.addendum(pitch)) * (tan_degrees(self.flanks[0]) + tan_degrees(self.flanks[1]))

    def largest_tip_flat(self, pitch: Fraction, inside: bool) -> Fraction:
        """Widest flat tip that still reaches the root line when the flanks are at their basic place, in mm."""
        missing = self.root_truncation(pitch, inside)
        if missing is None:
            return pitch / 2
        return missing * (tan_degrees(self.flanks[0]) + tan_degrees(self.flanks[1]))

    def largest_tip_radius(self, pitch: Fraction, inside: bool) -> Fraction | None:
        """Largest tip radius that still reaches the root line, in mm; None where a radius has no meaning."""
        missing = self.root_truncation(pitch, inside)
        if missing is None or not self.symmetrical:
            return None
        return missing / (1 / sin_degrees(self.half_angle) - 1)

    def least_root_radius(self, pitch: Fraction) -> Fraction | None:
        """Smallest root radius that the standard allows on the outside thread, in mm; None where it sets none."""
        return None if self.least_radius_share is None else self._height(self.least_radius_share, pitch)

    def design_root_radius(self, pitch: Fraction) -> Fraction | None:
        """Root radius of the design form, in mm; None where the root is flat."""
        return None if self.design_radius_share is None else self._height(self.design_radius_share, pitch)


def _share(row: Mapping[str, object] | None) -> Height:
    row = row or {}
    return Height(number(row.get("H", 0)), number(row.get("P", 0)))


def _form(name: str, row: Mapping[str, Any]) -> Form:
    flanks = (number(row["flanks"][0]), number(row["flanks"][1]))
    return Form(
        name=name,
        included_angle=flanks[0] + flanks[1],
        flanks=flanks,
        crest=row["crest"],
        root=row["root"],
        tool=row["tool"],
        addendum_share=_share(row["addendum"]),
        depth_share=_share(row["depth"]),
        design_share=_share(row["design depth"]),
        root_limit_share=_share(row.get("root limit", row["design depth"])),
        least_radius_share=_share(row["least root radius"]) if "least root radius" in row else None,
        design_radius_share=_share(row["design root radius"]) if "design root radius" in row else None,
        clearances=tuple((number(largest), number(gap)) for largest, gap in row.get("clearances", ())),
        source=row["source"],
        status=row["status"],
    )


@lru_cache(maxsize=32)
def form(name: str) -> Form:
    """A form by the name of its row.  Raises KeyError."""
    return _form(name, table("forms")["forms"][name])


def form_names() -> tuple[str, ...]:
    """Names of all forms."""
    return tuple(table("forms")["forms"])


def find_form(words: str) -> tuple[Form | None, tuple[str, ...]]:
    """A form by name or by another name that the trade gives it; else None and the names that may have been meant."""
    wanted = " ".join(words.casefold().replace("-", " ").split())
    for name, row in table("forms")["forms"].items():
        if wanted == name.casefold() or wanted in row["also"]:
            return form(name), ()
    return None, close_matches(wanted, [*form_names(), *(also for row in table("forms")["forms"].values() for also in row["also"])])
