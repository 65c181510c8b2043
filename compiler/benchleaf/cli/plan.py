"""``plan``: which wheels to put up, and in which order, for the threads of some lists."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from benchleaf.cli.chart import list_names, list_options
from benchleaf.cli.papers import on_paper

__all__ = ["plan_command"]

_EXAMPLES = """\b
Examples:
  benchleaf plan lathe.yaml --threads "metric coarse" UNC
  benchleaf plan lathe.yaml --threads BA --add 2
  benchleaf plan lathe.yaml --threads UNC --without 45 --stuck range=A"""


def _stuck(_: click.Context, __: click.Parameter, values: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    found = []
    for words in values:
        name, equals, at = (part.strip() for part in words.partition("="))
        if not (name and equals and at):
            raise click.BadParameter(f"{words[:60]!r} is not a lever and its position; write it as `range=A`")
        found.append((name, at))
    return tuple(found)


def plan_command(common: Callable[[Callable[..., Any]], Callable[..., Any]]) -> click.Command:
    """The command; ``common`` adds the options that every command has."""

    def plan(lathe: Path, sets: tuple[str, ...], more: tuple[str, ...], **wishes: Any) -> int:
        """Plan the wheels of a LATHE for a list of threads: the fewest set-ups, with levers alone in between, in the order that moves the
        fewest wheels from what is mounted; what is not cut, and why; what is proved.

        LATHE is the file of a lathe, or a workshop: then every lathe of it gets a plan.
        """
        from benchleaf.cli.lathes import make_plans

        on = on_paper(wishes)
        return make_plans(lathe, list_names((*sets, *more)), on=on, **wishes)

    command = list_options(common, plan)
    for option in (
        click.option("--stuck", metavar="LEVER=POSITION", multiple=True, callback=_stuck, help="A lever that does not move."),
        click.option("--without", metavar="TEETH", type=click.IntRange(1), multiple=True, help="A wheel that is lost or chipped."),
        click.option("--add", type=click.IntRange(1, 3), default=None, help="Which wheels, at most so many, would mend what is not cut."),
    ):
        command = option(command)
    return click.command("plan", short_help="Plan the fewest set-ups of wheels for a list of threads.", epilog=_EXAMPLES)(command)
