"""``chart``: the threads of some lists on one lathe, or on every lathe of a workshop."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from benchleaf.cli.papers import on_paper, paper_options
from benchleaf.cli.terminal import FORMS as REPORTS

__all__ = ["chart_command", "list_names", "list_options"]

FORMATS = ("pdf", "html", "json", "text", "csv")
_EXAMPLES = """\b
Examples:
  benchleaf chart lathe.yaml --threads "metric coarse" UNC BA
  benchleaf chart profiles/osier-lane --format pdf,csv"""
_SETS = (
    'A list by name, such as "metric coarse", UNC, BSW or BA, or a file of kind `thread-list`; several may follow, or stand with commas. '
    "Left out: the lists that the workshop file names."
)
_ALL = ",".join(FORMATS)
TOOLS = ("HSS", "carbide", "carbon steel")
_PATH = click.Path(path_type=Path)


def formats_named(_: click.Context, __: click.Parameter, value: str) -> tuple[str, ...]:
    """The formats in a list with commas."""
    wanted = tuple(dict.fromkeys(name.strip().lower() for name in value.split(",") if name.strip()))
    unknown = [name for name in wanted if name not in FORMATS]
    if unknown or not wanted:
        what = f"{unknown[0]!r} is not a format" if unknown else "name at least one format"
        raise click.BadParameter(f"{what}; choose from {', '.join(FORMATS)}")
    return wanted


def share(_: click.Context, __: click.Parameter, value: str) -> Fraction:
    """A share such as ``200 ppm``."""
    from benchleaf.api import limit_in

    found = limit_in(value)
    if isinstance(found, str):
        raise click.BadParameter(found)
    return found


def material_named(_: click.Context, __: click.Parameter, value: str) -> str:
    """The row of the table of cutting speeds that is meant."""
    from benchleaf.api import close_materials, material_row

    found = material_row(value)
    if found is None:
        close = close_materials(value)
        meant = f"; did you mean {' or '.join(close)}?" if close else ""
        raise click.BadParameter(f"{value[:60]!r} is not in the table of cutting speeds{meant}")
    return found


def list_options(common: Callable[[Callable[..., Any]], Callable[..., Any]], command: Callable[..., Any]) -> Callable[..., Any]:
    """Add what a command about lists of threads takes; ``common`` adds the options that every command has."""
    options = (
        click.option("--threads", "sets", metavar="SET", multiple=True, help=_SETS),
        click.option("--out", type=_PATH, default=Path("out"), show_default=True, help="Folder for the files; made when missing."),
        click.option("--format", "formats", metavar="LIST", default=_ALL, show_default=True, callback=formats_named, help="Files to make."),
        click.option("--limit", metavar="SHARE", default="200 ppm", show_default=True, callback=share, help="Largest lead error allowed."),
        click.option("--material", metavar="NAME", default="mild steel", show_default=True, callback=material_named, help="What is cut."),
        click.option("--tool", type=click.Choice(TOOLS), default="HSS", show_default=True, help="What the tool is made of."),
        click.option("--verbose", "-v", is_flag=True, help="Say how long each stage took."),
        click.option("--strict", is_flag=True, help="Count warnings as faults."),
        click.option("--diagnostics", type=click.Choice(REPORTS), default="text", show_default=True, help="Form of the report."),
        click.argument("lathe", metavar="LATHE", type=_PATH),
        click.argument("more", metavar="[SET]...", nargs=-1),
    )
    command = paper_options(common(command))
    for option in reversed(options):
        command = option(command)
    return command


def list_names(words: Iterable[str]) -> tuple[str, ...]:
    """Names of lists, one by one or with commas between them."""
    return tuple(name.strip() for word in words for name in word.split(",") if name.strip())


def chart_command(common: Callable[[Callable[..., Any]], Callable[..., Any]]) -> click.Command:
    """The command; ``common`` adds the options that every command has."""


    def chart(lathe: Path, sets: tuple[str, ...], more: tuple[str, ...], **wishes: Any) -> int:
        """Make the chart that hangs beside a LATHE: for every thread of the lists the wheels, levers, error, half-nuts and speed, in the
        order that changes the fewest wheels.

        LATHE is the file of a lathe, or a workshop: then every lathe of it gets a chart.
        """
        from benchleaf.cli.lathes import make_charts

        on = on_paper(wishes)
        return make_charts(lathe, list_names((*sets, *more)), on=on, **wishes)

    command = list_options(common, chart)
    return click.command("chart", short_help="Make the chart of threads that hangs beside a lathe.", epilog=_EXAMPLES)(command)
