"""Where reports go: text to the error stream, with colour for those who want it; what programs read to the output stream."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from benchleaf import __version__
from benchleaf.api import MACHINE, Stages
from benchleaf.cli.commands import Exit
from benchleaf.cli.terminal import wants_colour
from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.report import json_, text

__all__ = ["Wishes", "exit_code", "print_faults", "print_for_machines", "report", "timings"]


@dataclass(slots=True)
class Wishes:
    """The options of every command that reads YAML and reports."""

    diagnostics: str
    strict: bool
    quiet: bool
    verbose: bool
    traceback: bool  # looked at where the program itself fails


def report(wishes: Wishes, faults: Sequence[Diagnostic], lines: Mapping[str, Sequence[str]], written: Sequence[Path] | None = None) -> None:
    """Every fault in the form that is wished for; ``written`` where writing was the task."""
    if wishes.diagnostics != "text":
        print_for_machines(wishes.diagnostics, faults, None if written is None else [str(path) for path in written])
    else:
        told = [fault for fault in faults if fault.severity is not Severity.NOTE] if wishes.quiet else faults
        print_faults(told, lines)


def exit_code(diagnostics: Iterable[Diagnostic], *, strict: bool) -> Exit:
    """The exit code of a run: the command's own mistakes first, then faults in the files, then what this computer lacks."""
    counted = [fault for fault in diagnostics if fault.severity is Severity.ERROR or (strict and fault.severity is Severity.WARNING)]
    found = {_exit_of(fault) for fault in counted}
    return next((code for code in (Exit.USAGE, Exit.FAULTS, Exit.MACHINE) if code in found), Exit.CLEAN)


def _exit_of(fault: Diagnostic) -> Exit:
    if fault.code in MACHINE:
        return Exit.MACHINE
    return Exit.USAGE if fault.code.startswith("path/") else Exit.FAULTS


def timings(wishes: Wishes, stages: Stages) -> None:
    """How long each stage took, where that is wished for."""
    if wishes.verbose:
        for name, seconds in stages.seconds.items():
            click.echo(f"{name:<12} {seconds * 1000:8.1f} ms", err=True)


def print_faults(faults: Sequence[Diagnostic], lines: Mapping[str, Sequence[str]]) -> None:
    """Every fault with its line and a summary; nothing when there is none."""
    if faults:
        colour = wants_colour(sys.stderr, os.environ)
        click.echo(text.render(faults, lines, colour=colour, files=len(lines) or None), err=True, nl=False, color=colour)


def print_for_machines(form: str, faults: Iterable[Diagnostic], written: Sequence[str] | None) -> None:
    """Every fault for a program, in one of the forms other than text; JSON names the files written too."""
    if form == "json":
        _print_json(faults, written)
        return
    from benchleaf.report import annotations, sarif

    click.echo(sarif.to_sarif(faults, __version__) if form == "sarif" else annotations.to_annotations(faults), nl=False)


def _print_json(faults: Iterable[Diagnostic], written: Sequence[str] | None) -> None:
    """Every fault for a program, and the files that were written where writing was the task."""
    if written is None:
        click.echo(json_.to_json(faults), nl=False)
    else:
        data = {"schema": json_.VERSION, "diagnostics": [json_.as_data(fault) for fault in faults], "written": list(written)}
        click.echo(json.dumps(data, ensure_ascii=True, indent=2))
