"""`benchleaf printed`, `stale` and `compare`: what hangs on the wall, and which of it no longer holds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from benchleaf.cli.terminal import FORMS

__all__ = ["printed_commands"]

_PRINTED = """\b
Examples:
  benchleaf printed out/packing-tube.json
  benchleaf printed out/*.json --on 2026-03-01"""
_STALE = """\b
Example:
  benchleaf stale profiles/osier-lane"""
_COMPARE = """\b
Examples:
  benchleaf compare HEAD~1
  benchleaf compare v1 v2 --workshop profiles/osier-lane"""


def printed_commands(common: Callable[..., Any]) -> tuple[click.Command, ...]:
    """The commands, with the options that every command has."""
    form = click.option("--diagnostics", "form", type=click.Choice(FORMS), default="text", show_default=True, help="Form of the report.")
    folder = click.Path(path_type=Path, exists=True, file_okay=False)

    @click.command("printed", short_help="Record which sheets were printed.", epilog=_PRINTED)
    @click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day of printing; today when not said.")
    @click.option("--workshop", type=folder, help="Folder of the workshop; looked for when not said.")
    @click.argument("sheets", metavar="SHEET.json...", nargs=-1, required=True, type=click.Path(path_type=Path))
    @common
    def printed(sheets: tuple[Path, ...], on: datetime | None, workshop: Path | None, quiet: bool, **_: Any) -> int:
        """Write what each SHEET says into printed.yaml of its workshop, so that `stale` can tell when it no longer holds."""
        from benchleaf.cli.registering import record_printed

        return record_printed(sheets, (on or datetime.now()).strftime("%Y-%m-%d"), workshop, quiet=quiet)

    @click.command("stale", short_help="List printed sheets whose figures have changed since.", epilog=_STALE)
    @form
    @click.argument("workshop", default=".", type=folder)
    @common
    def stale(workshop: Path, form: str, quiet: bool, **_: Any) -> int:
        """List the printed sheets of a WORKSHOP whose figures have changed: which, from what to what, and the line that did it.

        Exit code 1 when there is one.
        """
        from benchleaf.cli.registering import tell_stale

        return tell_stale(workshop, form, quiet=quiet)

    @click.command("compare", short_help="List sheets whose figures differ between two revisions in git.", epilog=_COMPARE)
    @form
    @click.option("--workshop", default=".", type=folder, help="Folder of the workshop.")
    @click.argument("old")
    @click.argument("new", required=False)
    @common
    def compare(old: str, new: str | None, workshop: Path, form: str, quiet: bool, **_: Any) -> int:
        """List the sheets whose figures differ between the revisions OLD and NEW of a workshop (between OLD and the files as they are).

        Exit code 1 when there is one.
        """
        from benchleaf.cli.registering import tell_between

        return tell_between(workshop, old, new, form, quiet=quiet)

    return printed, stale, compare
