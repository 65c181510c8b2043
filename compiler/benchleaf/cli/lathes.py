"""What ``chart`` and ``plan`` do: make, write, report."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from benchleaf.api import LatheSheets, ListOfThreads, Paper, Stages, WhatIf, charts, plans, write_charts
from benchleaf.cli.report import Wishes, exit_code, report, timings
from benchleaf.cli.terminal import Progress
from benchleaf.cli.work import folder_for_output, tell_written, waiting_for

__all__ = ["make_charts", "make_plans"]


def make_charts(
    lathe: Path, sets: Sequence[str], out: Path, formats: Sequence[str], limit: Fraction, material: str, tool: str, **options: Any
) -> int:
    """Make and write charts; report every fault.  Returns the exit code."""
    asked = ListOfThreads(lathe, tuple(sets), limit, material, tool, Path.cwd())
    return _written("threads", lambda stages: charts(asked, stages), out, formats, **options)


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
    """Make and write plans; report every fault.  Returns the exit code."""
    asked = ListOfThreads(lathe, tuple(sets), limit, material, tool, Path.cwd())
    return _written("plan", lambda stages: plans(asked, WhatIf(without, stuck), add or 0, stages), out, formats, **options)


def _written(
    kind: str, make: Callable[[Stages], LatheSheets], out: Path, formats: Sequence[str], on: Paper, **options: bool | str
) -> int:
    wishes = Wishes(**options)  # type: ignore[arg-type]
    folder_for_output(out)
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    built = write_charts(make(stages), kind, out, formats, on, stages, waiting_for(out, wishes))
    progress.clear()
    report(wishes, built.faults, built.lines, built.written)
    tell_written(wishes, built)
    timings(wishes, stages)
    return exit_code(built.faults, strict=wishes.strict)
