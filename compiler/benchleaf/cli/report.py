"""Where reports go: text to the error stream, with colour for those who want it; JSON to the output stream."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Mapping, Sequence

import click

from benchleaf.cli.terminal import wants_colour
from benchleaf.diagnostics import Diagnostic
from benchleaf.report import json_, text

__all__ = ["print_faults", "print_json"]


def print_faults(faults: Sequence[Diagnostic], lines: Mapping[str, Sequence[str]]) -> None:
    """Every fault with its line and a summary; nothing when there is none."""
    if faults:
        colour = wants_colour(sys.stderr, os.environ)
        click.echo(text.render(faults, lines, colour=colour, files=len(lines) or None), err=True, nl=False, color=colour)


def print_json(faults: Iterable[Diagnostic], written: Sequence[str] | None) -> None:
    """Every fault for a program, and the files that were written where writing was the task."""
    if written is None:
        click.echo(json_.to_json(faults), nl=False)
    else:
        data = {"schema": json_.VERSION, "diagnostics": [json_.as_data(fault) for fault in faults], "written": list(written)}
        click.echo(json.dumps(data, ensure_ascii=True, indent=2))
