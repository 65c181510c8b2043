"""Multi-start threads: how the spindle or the tool gets from one start to the next."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import PRACTICE, Desk, basis, length_text
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.workshop.job import Screwcut

__all__ = ["index"]
