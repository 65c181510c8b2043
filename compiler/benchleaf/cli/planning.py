"""What ``plan`` does: for each lathe, what can be planned with what is left, worked out."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from benchleaf.cli.charting import for_each_lathe
from benchleaf.diagnostics import Diagnostic
from benchleaf.operations.chart import Wish
from benchleaf.operations.planning import Asked, WhatIf, faults_of, problem_of, work_out
from benchleaf.sheet.model import Sheet
from benchleaf.workshop.inputs import LatheInputs

__all__ = ["make_plans"]


def make_plans(
    lathe: Path,
    sets: Sequence[str],
    out: Path,
    formats: Sequence[str],
    limit: Fraction,
    material: str,
    tool: str,
    add: int | None,
    without: tuple[int, ...],
    stuck: tuple[tuple[str, str], ...],
    **options: Any,
) -> int:
    """Load, plan and write; report every fault.  Returns the exit code."""
    what_if = WhatIf(without, stuck)

    def make(machine: LatheInputs, threads: tuple[Wish, ...], name: str) -> tuple[Sheet | None, list[Diagnostic]]:
        faults: list[Diagnostic] = faults_of(problem_of(machine), what_if)
        asked = Asked(machine, threads, limit, material, tool, name)
        return (None, faults) if faults else (work_out(asked, what_if, add or 0), [])

    return for_each_lathe(lathe, sets, out, formats, "plan", make, **options)
