"""Fits: a hole and a shaft together, and which classes suit a purpose.  Lengths in mm."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.fits.classes import FitError, ToleranceClass, parse_fit
from benchleaf.standards.fits.limits import SizeLimits
from benchleaf.standards.tables import TableError, table

__all__ = ["Fit", "FitAdvice", "advice", "fit", "purposes"]


@record
class Fit:
    """A hole and a shaft together: ``loosest`` and ``tightest`` are hole less shaft, mm, above nought with play and below it without."""

    loosest: Fraction
    tightest: Fraction

    @property
    def kind(self) -> str:
        """'clearance' (never tighter than line to line), 'interference' (never looser) or 'transition' (either)."""
        return "clearance" if self.tightest >= 0 else "interference" if self.loosest <= 0 else "transition"

    @property
    def largest_clearance(self) -> Fraction:
        """Largest hole on smallest shaft, mm; nought where that has no play."""
        return max(self.loosest, Fraction(0))

    @property
    def smallest_clearance(self) -> Fraction:
        """Smallest hole on largest shaft, mm; nought where that has no play."""
        return max(self.tightest, Fraction(0))

    @property
    def largest_interference(self) -> Fraction:
        """Largest shaft in smallest hole, mm; nought where that has play."""
        return max(-self.tightest, Fraction(0))

    @property
    def smallest_interference(self) -> Fraction:
        """Smallest shaft in largest hole, mm; nought where that has play."""
        return max(-self.loosest, Fraction(0))


def fit(hole: SizeLimits, shaft: SizeLimits) -> Fit:
    """The fit of a shaft in a hole.  Source: definitions of ISO 286-1."""
    return Fit(hole.upper - shaft.lower, hole.lower - shaft.upper)


@record
class FitAdvice:
    """A fit for a purpose: the hole-basis pair, the same fit on a shaft h (``hole_on_shaft`` in ``shaft_h``), and what it is used for."""

    purpose: str
    hole: ToleranceClass
    shaft: ToleranceClass
    hole_on_shaft: ToleranceClass
    shaft_h: ToleranceClass
    use: str
    source: str
    status: str


def purposes() -> tuple[str, ...]:
    """What fits are advised for, loosest first."""
    return tuple(row.text("purpose") for row in table("limits/practice", "fits").rows)


def advice(purpose: str) -> FitAdvice:
    """The usual fit for one of :func:`purposes`.  Raises :class:`FitError` ('name') for another.  Source: preferred fits of ISO 286-1."""
    for row in table("limits/practice", "fits").where("purpose", purpose):
        pair, turned = parse_fit(f"{row.text('hole')}/{row.text('shaft')}"), parse_fit(row.text("on_shaft"))
        if pair is None or turned is None:
            raise TableError(f"{purpose}: a fit has a hole and a shaft")
        return FitAdvice(purpose, *pair, *turned, row.text("use"), row.source, row.status)
    raise FitError("name", f"no fit is known for {purpose}", f"purposes: {', '.join(purposes())}")
