"""The commands.  Exit codes are a promise: see :class:`Exit`."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Sequence
from enum import IntEnum
from pathlib import Path
from typing import Any

import click

from benchleaf import __version__
from benchleaf.cli.chart import chart_command
from benchleaf.cli.describe import describe_command
from benchleaf.cli.fill import fill_command
from benchleaf.cli.papers import on_paper, paper_options
from benchleaf.cli.plan import plan_command
from benchleaf.cli.preview import preview_command
from benchleaf.cli.printed import printed_commands
from benchleaf.cli.terminal import FORMS, Progress, crash_report
from benchleaf.cli.upkeep import upkeep_commands

__all__ = ["Exit", "main"]

FORMATS = ("pdf", "html", "json", "text")


class Exit(IntEnum):
    """What the exit code says."""

    CLEAN = 0
    FAULTS = 1  # faults in the files (with --strict, warnings too)
    USAGE = 2  # the command itself was wrong: a path that is not there, an unknown option or figure
    BUG = 3  # a fault of the program
    MACHINE = 4  # this computer could not do it: a library is missing, the output folder cannot be written
    INTERRUPTED = 130
    PIPE_CLOSED = 141  # whoever read the output stopped reading


def _examples(*lines: str) -> str:
    """Examples as click prints them word for word."""
    return "\b\n" + "\n".join([f"Example{'s' if len(lines) > 1 else ''}:", *(f"  benchleaf {line}" for line in lines)])


_ALL = _examples(
    "check profiles/osier-lane",
    "build profiles/osier-lane --out out",
    "build jobs/nut.yaml --out out --format pdf",
    "explain out/nut.json screwcut.infeed",
    "explain thread/bore-small",
)
_CHECK = _examples("check profiles/osier-lane jobs/nut.yaml")
_BUILD = _examples("build profiles/osier-lane jobs/nut.yaml --out sheets --format pdf,json")
_EXPLAIN = _examples("explain out/nut.json screwcut.infeed", "explain out/nut.json", "explain tool/bore")


class _Path(click.Path):
    """A path that says something: an empty one would quietly mean the current folder."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path; a usage error when it is empty."""
        if value == "":
            self.fail("the path is empty", param, ctx)
        return super().convert(value, param, ctx)


_PATH = _Path(path_type=Path)


def _common(command: Callable[..., Any]) -> Callable[..., Any]:
    """Options that every command has."""
    for option in (
        click.option("--traceback", is_flag=True, help="When the program itself fails, show everything it knows."),
        click.option("--quiet", "-q", is_flag=True, help="Say nothing but faults."),
    ):
        command = option(command)
    return command


def _checking(command: Callable[..., Any]) -> Callable[..., Any]:
    """Options of the commands that read YAML."""
    for option in (
        click.option("--verbose", "-v", is_flag=True, help="Say how long each stage took."),
        click.option("--strict", is_flag=True, help="Count warnings as faults."),
        click.option("--diagnostics", type=click.Choice(FORMS), default="text", show_default=True, help="Form of the report."),
        click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=_PATH),
    ):
        command = option(command)
    return _common(command)


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}, epilog=_ALL)
@click.version_option(__version__, prog_name="benchleaf")
@click.pass_context
def commands(context: click.Context) -> None:
    """Set-up sheets for manual machine tools, from descriptions written in YAML.

    A PATH is a job, a machine, a gear set, a drawer of tools, a material, or the folder of a workshop.
    """
    if context.invoked_subcommand is None:
        click.echo(context.get_help(), err=True)
        context.exit(Exit.USAGE)


@commands.command(short_help="Look for faults without writing anything.", epilog=_CHECK)
@click.option("--ours", is_flag=True, help="Pass over YAML files that are not a workshop's.")
@_checking
def check(paths: tuple[Path, ...], ours: bool, **options: Any) -> int:
    """Look for faults without writing anything: spelling, sizes, and whether each job can be done."""
    from benchleaf.cli.work import check_files

    return check_files(paths, ours=ours, **options)


def _formats(_: click.Context, __: click.Parameter, value: str) -> tuple[str, ...]:
    wanted = tuple(dict.fromkeys(name.strip().lower() for name in value.split(",") if name.strip()))
    unknown = [name for name in wanted if name not in FORMATS]
    if unknown:
        raise click.BadParameter(f"{unknown[0]!r} is not a format; choose from {', '.join(FORMATS)}")
    if not wanted:
        raise click.BadParameter("name at least one format")
    return wanted


@commands.command(epilog=_BUILD)
@click.option("--out", type=_PATH, default=Path("out"), show_default=True, help="Folder for the sheets; made when missing.")
@click.option("--format", "formats", metavar="LIST", default=",".join(FORMATS), show_default=True, callback=_formats, help="Files to make.")
@click.option("--fresh", is_flag=True, help="Make every sheet anew, also those that are up to date.")
@paper_options
@_checking
def build(paths: tuple[Path, ...], **options: Any) -> int:
    """Check, then write the sheet of every job that has no faults and is not up to date, and contents that list them all."""
    from benchleaf.cli.work import build_sheets

    on = on_paper(options)
    return build_sheets(paths, on=on, **options)


@commands.command(short_help="Say why a figure is what it is, or what a code means.", epilog=_EXPLAIN)
@click.option("--workshop", type=_PATH, help="Folder of the workshop that the sheet was made from; looked for when not said.")
@click.argument("subject", metavar="SHEET.json | CODE")
@click.argument("figure", required=False)
@_common
def explain(subject: str, figure: str | None, workshop: Path | None, **_: Any) -> int:
    """Say why: the reasons of a FIGURE of a sheet (all figures are listed without one), or what a fault's CODE means."""
    from benchleaf.cli.answers import explain_code, explain_figure

    if figure is None and not subject.endswith(".json"):
        return explain_code(subject)
    return explain_figure(Path(subject), figure, workshop)


@commands.command("schema", short_help="Print the schema of a kind of file.")
@click.argument("kind")
@_common
def schema(kind: str, **_: Any) -> int:
    """Print the schema of a KIND of file (lathe, job, tooling ...) or of one step of a job (steps/turn): every key, with what it means."""
    from benchleaf.cli.answers import print_schema

    return print_schema(kind)


@commands.command("show", short_help="Print a file as the compiler sees it.")
@click.option("--origins", is_flag=True, help="Say beside each value which file and line it comes from.")
@click.argument("file", type=_PATH)
@_common
def show(file: Path, origins: bool, **_: Any) -> int:
    """Print a FILE as the compiler sees it: what it extends merged in, every default filled in."""
    from benchleaf.cli.answers import show_file

    return show_file(file, origins=origins)


commands.add_command(chart_command(_common))
commands.add_command(describe_command(_common))
commands.add_command(fill_command(_common))
commands.add_command(plan_command(_common))
commands.add_command(preview_command(_common))
for _command in (*printed_commands(_common), *upkeep_commands(_common)):
    commands.add_command(_command)


def main(arguments: Sequence[str]) -> int:
    """Run a command line (without the program's name) and return the exit code.  Prints; raises nothing."""
    try:
        code = int(commands.main(list(arguments), prog_name="benchleaf", standalone_mode=False) or Exit.CLEAN)
        sys.stdout.flush()
        return code
    except click.UsageError as fault:
        hint = f"try `{fault.ctx.command_path} --help`" if fault.ctx is not None else "try `benchleaf --help`"
        click.echo(f"benchleaf: {fault.format_message()}\n  {hint}", err=True)
        return Exit.USAGE
    except (KeyboardInterrupt, click.Abort):
        Progress(sys.stderr, quiet=False).clear()
        click.echo("benchleaf: interrupted; files in the output folder are whole", err=True)
        return Exit.INTERRUPTED
    except SystemExit:  # click's own answer to a closed pipe
        return Exit.PIPE_CLOSED
    except Exception as fault:
        if isinstance(fault, OSError) and fault.errno == errno.EPIPE:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())  # so that the interpreter does not try once more on leaving
            return Exit.PIPE_CLOSED
        click.echo(crash_report(fault, whole="--traceback" in arguments), err=True, nl=False)
        return Exit.BUG
