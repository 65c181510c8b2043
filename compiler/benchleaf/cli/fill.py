"""``fill``: a template of the user's own, filled from sheets."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

__all__ = ["fill_command"]

_EXAMPLES = """\b
Examples:
  benchleaf fill card.txt.j2 out/gland-nut.json
  benchleaf fill traveller.html.j2 out/*.json --out cards"""
_SUFFIX = ".j2"


def fill_command(common: Callable[[Callable[..., Any]], Callable[..., Any]]) -> click.Command:
    """The command; ``common`` adds the options that every command has."""

    @click.command("fill", short_help="Fill a template of your own from sheets.", epilog=_EXAMPLES)
    @click.option("--out", type=click.Path(path_type=Path), help="Folder for the files; that of each sheet when not said.")
    @click.argument("template", metavar="TEMPLATE.j2", type=click.Path(path_type=Path))
    @click.argument("sheets", metavar="SHEET.json...", nargs=-1, required=True, type=click.Path(path_type=Path))
    @common
    def fill(template: Path, sheets: tuple[Path, ...], out: Path | None, quiet: bool, **_: Any) -> int:
        """Fill a TEMPLATE (Jinja, for a job card or a list of your own) from each SHEET that `build` wrote.

        The entries of the sheet's JSON are its variables. It can read nothing else and call nothing, so a stranger's template does no harm.
        `card.txt.j2` and gland-nut.json make gland-nut.card.txt; where the name ends in .html.j2 what is filled in is escaped.
        """
        if template.suffix != _SUFFIX or not template.is_file():
            raise click.UsageError(f"`{template}` is not a template: a file whose name ends in {_SUFFIX}")
        return _fill(template, sheets, out, quiet=quiet)

    return fill


def _fill(path: Path, sheets: tuple[Path, ...], out: Path | None, *, quiet: bool) -> int:
    from benchleaf.api import filled, read_text
    from benchleaf.cli.answers import read_sheet
    from benchleaf.cli.output import write_file
    from benchleaf.cli.report import print_faults

    source, faults = read_text(path, str(path))
    if source is None:
        print_faults(faults, {})
        return 1
    for name in sheets:
        sheet = read_sheet(name)
        if sheet is None:
            return 1
        text, faults = filled(source.text, str(path), sheet)
        if text is None:
            print_faults(faults, {str(path): source.text.splitlines()})
            return 1
        target = (out or name.parent) / f"{name.stem}.{path.stem}"
        write_file(target, text.encode("utf-8"))
        if not quiet:
            click.echo(str(target))
    return 0
