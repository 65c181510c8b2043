"""Turning or boring a taper: the setting, how it is clocked, the cuts, and how it is proved."""

from __future__ import annotations

from benchleaf.operations.registry import Operation
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.steps import needs, plan

__all__ = ["OPERATION", "TaperStep", "needs", "plan"]

OPERATION = Operation(TaperStep, plan, needs)
