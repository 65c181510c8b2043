"""Where reports go: text to the error stream, with colour for those who want it; what programs read to the output stream."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Mapping, Sequence

import click

from benchleaf import __version__
from benchleaf.cli.terminal import wants_colour
from benchleaf.diagnostics import Diagnostic
from benchleaf.report import json_, text

__all__ = ["print_faults", "print_for_machines"]


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
