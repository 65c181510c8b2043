"""What ``plan`` does: load lathes and lists, work out, write, report."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import click

from benchleaf.cli import work
from benchleaf.cli.charting import is_list_file, sheet_names, threads_named
from benchleaf.cli.terminal import Progress
from benchleaf.compile import Checked, PlannedJob, Stages
from benchleaf.diagnostics import Diagnostic, ordered
from benchleaf.operations.planning import Asked, WhatIf, faults_of, problem_of, work_out
from benchleaf.workshop.charts import load_charts
from benchleaf.workshop.load import JobFile

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
    on: work.Paper = work.A4,
    **options: bool | str,
) -> int:
    """Load, plan and write; report every fault.  Returns the exit code."""
    wishes = work.Wishes(**options)  # type: ignore[arg-type]
    if out.exists() and not out.is_dir():
        raise click.UsageError(f"--out {out} is a file; name a folder")
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    with stages.stage("load"):
        loaded = load_charts(lathe, [Path(name) for name in sets if is_list_file(name)], Path.cwd(), own=not sets)
        threads, faults = threads_named(sets, loaded)
    written = work.Written()
    what_if = WhatIf(without, stuck)
    ready = [machine for machine in loaded.machines if machine.inputs is not None] if threads else []
    names = sheet_names([machine.path for machine in ready], "plan")
    for number, (machine, name) in enumerate(zip(ready, names, strict=True), 1):
        progress("plan", number, len(ready), machine.shown)
        assert machine.inputs is not None, "looked at above"
        unsound: list[Diagnostic] = faults_of(problem_of(machine.inputs), what_if)
        faults += unsound
        if unsound:
            continue
        with stages.stage("plan"):
            sheet = work_out(Asked(machine.inputs, threads, limit, material, tool, name), what_if, add or 0)
        job = JobFile(machine.path, machine.shown, machine.key, machine.folder, None, (), machine.files)
        work._build(PlannedJob(job, sheet), name, out, formats, stages, written, on)
    progress.clear()
    diagnostics = ordered([*loaded.diagnostics, *faults, *written.faults])
    work._report(wishes, Checked((), diagnostics, loaded.lines, ()), diagnostics, written.files)
    if not wishes.quiet and wishes.diagnostics == "text":
        for file in written.files:
            click.echo(file)
    work._timings(wishes, stages)
    return work._exit(diagnostics, strict=wishes.strict)
