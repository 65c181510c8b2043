"""Tapers: what they are called, their sizes, and how a lathe is set to turn them.

Lengths in mm, angles in degrees; the rate of a taper is its change of diameter per length.
"""

from __future__ import annotations

from benchleaf.standards.tapers.names import parse_taper, standard_taper, taper_families, taper_sizes
from benchleaf.standards.tapers.setting import (
    SCALES,
    DivisionWorth,
    SetOver,
    SlideTravel,
    attachment_offset,
    attachment_reading,
    axial_share,
    clock_by_saddle,
    clock_on_master,
    clock_on_parallel_bar,
    contact_error,
    depth_for_diameter,
    division_worth,
    half_angle_from_clock,
    indicator_worth,
    off_centre_error,
    set_over,
    set_over_check,
    set_over_exact,
    sine_bar_height,
    slide_travel_check,
    top_slide_travel,
)
from benchleaf.standards.tapers.taper import Taper, half_angle, taper_from_ends, taper_from_half_angle, taper_from_rate, taper_rule

__all__ = [
    "SCALES", "DivisionWorth", "SetOver", "SlideTravel", "Taper", "attachment_offset", "attachment_reading", "axial_share",
    "clock_by_saddle", "clock_on_master", "clock_on_parallel_bar", "contact_error", "depth_for_diameter", "division_worth", "half_angle",
    "half_angle_from_clock", "indicator_worth", "off_centre_error", "parse_taper", "set_over", "set_over_check", "set_over_exact",
    "sine_bar_height", "slide_travel_check", "standard_taper", "taper_families", "taper_from_ends", "taper_from_half_angle",
    "taper_from_rate", "taper_rule", "taper_sizes", "top_slide_travel",
]  # fmt: skip
