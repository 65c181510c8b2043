"""What ``check`` and ``build`` do: compile, write, report."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from pathlib import Path

import click

from benchleaf.api import Asked, Built, Checked, Paper, Stages, build, check, is_ours
from benchleaf.cli.report import Wishes, exit_code, report, timings
from benchleaf.cli.terminal import Progress
from benchleaf.diagnostics import has_errors

__all__ = ["build_sheets", "check_files", "folder_for_output", "tell_written", "waiting_for"]


def check_files(paths: Sequence[Path], *, ours: bool = False, **options: bool | str) -> int:
    """Load and plan; report every fault; write nothing.  ``ours`` passes over files that are not a workshop's."""
    paths = [path for path in paths if not ours or not path.is_file() or is_ours(path)]
    wishes = Wishes(**options)  # type: ignore[arg-type]
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    checked = check(paths, Path.cwd(), stages)
    progress.clear()
    report(wishes, checked.diagnostics, checked.lines)
    if checked.lines and not wishes.quiet and wishes.diagnostics == "text":
        click.echo(_summary(checked))
    timings(wishes, stages)
    return exit_code(checked.diagnostics, strict=wishes.strict)


def build_sheets(paths: Sequence[Path], out: Path, formats: Sequence[str], on: Paper, *, fresh: bool, **options: bool | str) -> int:
    """Load and plan; write the sheets of all jobs without faults that are not up to date; report the rest."""
    wishes = Wishes(**options)  # type: ignore[arg-type]
    folder_for_output(out)
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    built = build(Asked(tuple(paths), Path.cwd(), out, tuple(formats), on, fresh), stages, waiting_for(out, wishes))
    progress.clear()
    report(wishes, built.faults, built.lines, built.written)
    tell_written(wishes, built)
    if not wishes.quiet and wishes.diagnostics == "text":
        _tell(built)
    timings(wishes, stages)
    return exit_code(built.faults, strict=wishes.strict)


def folder_for_output(out: Path) -> None:
    """A usage error when ``out`` can be no folder."""
    if out.exists() and not out.is_dir():
        raise click.UsageError(f"--out {out} is a file; name a folder")


def waiting_for(out: Path, wishes: Wishes) -> Callable[[], None]:
    """What to say while another run has the folder."""

    def tell() -> None:
        if not wishes.quiet:
            click.echo(f"another run is writing to {out}; waiting for it to end (Ctrl-C stops)", err=True)

    return tell


def tell_written(wishes: Wishes, built: Built) -> None:
    """The files that were written, one a line, and those that could not be renewed."""
    if wishes.quiet or wishes.diagnostics != "text":
        return
    for path in built.written:
        click.echo(str(path))
    if built.left:
        click.echo(f"still there from an earlier build, and not up to date: {', '.join(map(str, built.left))}", err=True)


def _tell(built: Built) -> None:
    if built.kept:
        click.echo("1 sheet is up to date" if built.kept == 1 else f"{built.kept} sheets are up to date", err=True)
    if built.sound < built.jobs:
        click.echo(f"{built.jobs - built.sound} of {built.jobs} jobs have faults and were not built", err=True)
    elif not built.jobs and not has_errors(built.faults):
        click.echo("there is no job to build in what was named", err=True)


def _summary(checked: Checked) -> str:
    jobs, sound, files = len(checked.jobs), sum(planned.sheet is not None for planned in checked.jobs), len(checked.lines)
    ready = f", {sound} of {jobs} {'job' if jobs == 1 else 'jobs'} can be built" if jobs else ""
    return f"{files} {'file' if files == 1 else 'files'} read{ready}"
