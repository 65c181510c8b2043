"""`benchleaf describe`: a profile written by answering questions in the terminal, or from a pipe."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

__all__ = ["describe_command"]

_KINDS = ("lathe", "shaper", "gear-set", "tooling", "material")
_EXAMPLES = """\b
Examples:
  benchleaf describe gear-set wheels.yaml
  benchleaf describe lathe lathe.yaml
  benchleaf describe lathe lathe.yaml --all"""


def describe_command(common: Callable[..., Any]) -> click.Command:
    """The command, with the options that every command has."""

    @click.command("describe", short_help="Write a profile by answering questions.", epilog=_EXAMPLES)
    @click.option("--all", "everything", is_flag=True, help="Ask for what may be left out as well.")
    @click.argument("kind", type=click.Choice(_KINDS), metavar="|".join(_KINDS))
    @click.argument("file", required=False, type=click.Path(path_type=Path))
    @common
    def describe(kind: str, file: Path | None, everything: bool, quiet: bool, **_: Any) -> int:
        """Ask for what a lathe, shaper, gear set, drawer or material needs, and write its file.

        An empty answer skips a question, ? tells more, a full stop ends. A file that is there already is kept: only its gaps are asked for.
        """
        return _describe(kind, file or Path(f"{kind}.yaml"), everything=everything, quiet=quiet)

    return describe


def _describe(kind: str, file: Path, *, everything: bool, quiet: bool) -> int:
    from benchleaf.api import Dialog, document, gaps_filled, plain, read_yaml
    from benchleaf.cli.output import write_file
    from benchleaf.cli.work import check_files
    from benchleaf.resources import data_folder

    node = None
    if file.exists():
        node, _, faults = read_yaml(file, str(file))
        found = node.get("kind") if node is not None and node.kind == "map" else None
        if node is None or faults or found is None or found.text != kind:
            click.echo(f"benchleaf: `{file}` is there already and is no {kind} file that can be added to", err=True)
            click.echo("  give another name, or mend it first: `benchleaf check` says what is wrong", err=True)
            return 2
    dialog = Dialog(kind, _Terminal(quiet=quiet).ask, everything=everything)
    data = dialog.run(plain(node) if node is not None else None)
    if node is not None:
        text = gaps_filled(file.read_text(encoding="utf-8"), node, data)
    else:
        schemas = os.path.relpath(data_folder("schemas"), file.resolve().parent).replace(os.sep, "/")
        text = document(kind, data, schemas, dialog.missing)
    write_file(file, text.encode("utf-8"))
    if not quiet:
        click.echo(f"{file} is written", err=True)
        if dialog.missing:
            click.echo(f"  still missing: {', '.join(dialog.missing)}; run the same command again to fill them in", err=True)
    return check_files((file,), quiet=quiet, verbose=False, strict=False, diagnostics="text", traceback=False)


class _Terminal:
    """Questions on the error stream, answers from the input: so that it works in a pipe."""

    def __init__(self, *, quiet: bool) -> None:
        self.quiet = quiet
        self.last = ""

    def ask(self, question: Any, why: str) -> str | None:
        """One line of input; None at its end."""
        if why:
            click.echo(f"  {why}", err=True)
        elif not self.quiet:
            self._head(question)
        must = "" if not question.required else " (needed)"
        default = f" [{question.default}]" if question.default else ""
        click.echo(f"{question.path}{must}{default}> ", nl=False, err=True)
        line = sys.stdin.readline()
        if not line:
            click.echo("", err=True)
            return None
        if not sys.stdin.isatty():
            click.echo(line.rstrip("\n"), err=True)  # what a pipe answers is shown, as the terminal would
        return line

    def _head(self, question: Any) -> None:
        click.echo(f"\n{question.title[:1].upper()}{question.title[1:]}", err=True)
        if question.form != "yes or no" and question.short:
            click.echo(f"  {question.short}", err=True)
        if question.choices and question.form == "value":
            click.echo(f"  one of: {', '.join(question.choices)}", err=True)
        elif question.examples:
            how = {"list": ", apart by commas", "names": ", name = value"}.get(question.form, "")
            click.echo(f"  such as: {' or '.join(question.examples)}{how}", err=True)
