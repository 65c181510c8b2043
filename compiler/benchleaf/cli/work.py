"""What ``check`` and ``build`` do: compile, report, write."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import click

from benchleaf.cli.commands import Exit
from benchleaf.cli.output import sheet_names, write_all
from benchleaf.cli.report import print_faults, print_for_machines
from benchleaf.cli.terminal import Progress
from benchleaf.compile import Checked, PlannedJob, Stages, check_paths, render
from benchleaf.diagnostics import Diagnostic, Severity, has_errors, ordered

__all__ = ["build_sheets", "check_files"]

Paper = tuple[str, str, float]  # name, side of the holes, bleed in mm
A4: Paper = ("A4", "side", 0.0)


@dataclass(slots=True)
class Wishes:
    """The options that both commands share."""

    diagnostics: str
    strict: bool
    quiet: bool
    verbose: bool
    traceback: bool  # looked at where the program itself fails


@dataclass(slots=True)
class Written:
    """What a build has done so far."""

    files: list[str] = field(default_factory=list)
    faults: list[Diagnostic] = field(default_factory=list)
    stale: list[str] = field(default_factory=list)  # files of an earlier build that this one could not replace


def check_files(paths: Sequence[Path], **options: bool | str) -> int:
    """Load and plan; report every fault; write nothing."""
    wishes = Wishes(**options)  # type: ignore[arg-type]
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    checked = check_paths(paths, Path.cwd(), stages)
    progress.clear()
    _report(wishes, checked, checked.diagnostics, None)
    if checked.lines and not wishes.quiet and wishes.diagnostics == "text":
        click.echo(_summary(checked))
    _timings(wishes, stages)
    return _exit(checked.diagnostics, strict=wishes.strict)


def build_sheets(paths: Sequence[Path], out: Path, formats: Sequence[str], on: Paper = A4, **options: bool | str) -> int:
    """Load and plan; write the sheets of all jobs without faults; report the rest."""
    wishes = Wishes(**options)  # type: ignore[arg-type]
    if out.exists() and not out.is_dir():
        raise click.UsageError(f"--out {out} is a file; name a folder")
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    checked = check_paths(paths, Path.cwd(), stages)
    written = Written()
    names = sheet_names([planned.job.place for planned in checked.jobs], checked.siblings)
    ready = [planned for planned in checked.jobs if planned.sheet is not None]
    for number, planned in enumerate(ready, 1):
        progress("sheet", number, len(ready), planned.job.shown)
        _build(planned, names[planned.job.place], out, formats, stages, written, on)
    progress.clear()
    diagnostics = ordered([*checked.diagnostics, *written.faults])
    _report(wishes, checked, diagnostics, written.files)
    if not wishes.quiet and wishes.diagnostics == "text":
        for name in written.files:
            click.echo(name)
        if written.stale:
            click.echo(f"still there from an earlier build, and not up to date: {', '.join(written.stale)}", err=True)
        if len(ready) < len(checked.jobs):
            click.echo(f"{len(checked.jobs) - len(ready)} of {len(checked.jobs)} jobs have faults and were not built", err=True)
        elif not checked.jobs and not has_errors(diagnostics):
            click.echo("there is no job to build in what was named", err=True)
    _timings(wishes, stages)
    return _exit(diagnostics, strict=wishes.strict)


def _build(
    planned: PlannedJob, name: str, out: Path, formats: Sequence[str], stages: Stages, written: Written, on: Paper = A4
) -> None:
    """Make one sheet in all formats, then put them in place together."""
    contents, faults = render(planned, formats, stages, on)
    written.faults += faults
    if any(fault.severity is Severity.ERROR and _exit_of(fault) is not Exit.MACHINE for fault in faults):
        return  # a sheet that could not be laid out: what was there before stays
    files = {f"{name}{suffix}": content for suffix, content in contents.items()}
    try:
        with stages.stage("write"):
            write_all(out, files)
    except OSError as fault:
        where = fault.filename or out
        message = f"`{where}` cannot be written: {(fault.strerror or str(fault)).lower()}"
        hints = ("choose another folder with --out, or make this one writable",)
        written.faults.append(Diagnostic("output/not-written", message, hints=hints))
        return
    written.files += [str(out / file) for file in files]
    old = out / f"{name}.pdf"  # the one format that a computer may not be able to make
    if "pdf" in formats and ".pdf" not in contents and old.exists():
        written.stale.append(str(old))


def _exit(diagnostics: Iterable[Diagnostic], *, strict: bool) -> Exit:
    """The exit code of a run: the command's own mistakes first, then faults in the files, then what this computer lacks."""
    counted = [fault for fault in diagnostics if fault.severity is Severity.ERROR or (strict and fault.severity is Severity.WARNING)]
    found = {_exit_of(fault) for fault in counted}
    return next((code for code in (Exit.USAGE, Exit.FAULTS, Exit.MACHINE) if code in found), Exit.CLEAN)


def _exit_of(fault: Diagnostic) -> Exit:
    if fault.code in ("pdf/library-missing", "pdf/font-missing", "output/not-written"):
        return Exit.MACHINE
    return Exit.USAGE if fault.code.startswith("path/") else Exit.FAULTS


def _report(wishes: Wishes, checked: Checked, faults: Sequence[Diagnostic], written: Sequence[str] | None) -> None:
    if wishes.diagnostics != "text":
        print_for_machines(wishes.diagnostics, faults, written)
    else:
        told = [fault for fault in faults if fault.severity is not Severity.NOTE] if wishes.quiet else faults
        print_faults(told, checked.lines)


def _summary(checked: Checked) -> str:
    jobs, sound, files = len(checked.jobs), sum(planned.sheet is not None for planned in checked.jobs), len(checked.lines)
    ready = f", {sound} of {jobs} {'job' if jobs == 1 else 'jobs'} can be built" if jobs else ""
    return f"{files} {'file' if files == 1 else 'files'} read{ready}"


def _timings(wishes: Wishes, stages: Stages) -> None:
    if wishes.verbose:
        for name, seconds in stages.seconds.items():
            click.echo(f"{name:<12} {seconds * 1000:8.1f} ms", err=True)
