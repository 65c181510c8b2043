"""A train or levers that the job states: do they exist, stand together, fit, and cut what is wanted?"""

from __future__ import annotations

from benchleaf.kinematics.levers import check_levers
from benchleaf.kinematics.model import Problem, Setting, Train
from benchleaf.operations.context import Context
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.workshop.job import Screwcut

__all__ = ["check", "levers_blocked"]
