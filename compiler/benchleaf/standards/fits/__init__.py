"""Limits and fits: tolerance classes, sizes as drawings state them, fits of a hole and a shaft, and what to aim at.

Lengths in mm.  Tables in ``data/limits`` with their source and status.
"""

from __future__ import annotations

from benchleaf.standards.fits.aiming import Aim, Attainable, aim, attainable, grade_within, processes
from benchleaf.standards.fits.classes import GRADES, HOLES, SHAFTS, FitError, ToleranceClass, parse_fit, parse_tolerance
from benchleaf.standards.fits.fitting import Fit, FitAdvice, advice, fit, purposes
from benchleaf.standards.fits.limits import SizeLimits, general_limits, grade_width, limits
from benchleaf.standards.fits.sizes import Sized, SizeFault, sized

__all__ = [
    "GRADES", "HOLES", "SHAFTS", "Aim", "Attainable", "Fit", "FitAdvice", "FitError", "SizeFault", "SizeLimits", "Sized",
    "ToleranceClass", "advice", "aim", "attainable", "fit", "general_limits", "grade_width", "grade_within", "limits", "parse_fit",
    "parse_tolerance", "processes", "purposes", "sized",
]  # fmt: skip
