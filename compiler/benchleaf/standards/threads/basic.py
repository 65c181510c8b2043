"""Threads for which only basic sizes are known: limits that say so."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.threads.form import Form
from benchleaf.standards.threads.model import SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.rounding import figure

__all__ = ["BasicRule", "basic_thread"]


@record
class BasicRule:
    """No tolerances: every limit is None, with the basic size beside it."""

    reason: str

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits that are all None; the notes say why."""
        form, pitch = thread.form, thread.pitch
        minor = thread.minor_diameter if inside else thread.root_diameter
        major = thread.major + 2 * form.clearance(pitch) if inside else thread.major

        def size(basic: Fraction, what: str) -> SizeLimits:
            return SizeLimits(None, None, f"basic {what} {figure(basic)} mm only: {self.reason}", form.source, form.status, basic)

        return ThreadLimits(
            inside=inside,
            tolerance="",
            major=size(major, "major diameter"),
            pitch=size(thread.pitch_diameter, "pitch diameter"),
            minor=size(minor, "minor diameter"),
            notes=(f"basic sizes only: {self.reason}",),
        )


def basic_thread(
    form: Form,
    major: Fraction,
    pitch: Fraction,
    starts: int,
    hand: str,
    *,
    designation: str,
    family: str,
    system: str,
    reason: str,
    tpi: Fraction | None = None,
    notes: tuple[str, ...] = (),
    lead_rational: bool = True,
    series: str = "",
) -> Thread:
    """A thread by its form's proportions, without tolerances (mm)."""
    return Thread(
        designation=designation,
        family=family,
        series=series,
        form=form,
        major=major,
        pitch=pitch,
        starts=starts,
        hand=hand,
        tolerance="",
        tolerance_given=False,
        system=system,
        pitch_diameter=major - 2 * form.addendum(pitch),
        minor_diameter=major - 2 * form.basic_depth(pitch),
        root_diameter=major - 2 * form.design_depth(pitch),
        rule=BasicRule(reason),
        tpi=tpi,
        lead_rational=lead_rational,
        notes=notes,
    )
