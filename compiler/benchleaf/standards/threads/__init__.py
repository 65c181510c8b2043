"""Threads: designations, forms, basic sizes and limits, from published standards.  Lengths in mm, exact."""

from __future__ import annotations

from benchleaf.standards.threads.designation import known_sets, parse_designation, thread_by_hand
from benchleaf.standards.threads.form import Form, form_names
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits

__all__ = [
    "DesignationError",
    "Form",
    "Quantity",
    "SizeLimits",
    "Thread",
    "ThreadLimits",
    "form_names",
    "known_sets",
    "parse_designation",
    "thread_by_hand",
]
