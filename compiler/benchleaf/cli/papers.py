"""Options that choose the paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

__all__ = ["on_paper", "paper_options"]

PAPERS = ("A4", "A5", "A6", "letter", "half-letter")  # as templates/papers.yaml has them; a test compares the two
HOLES = ("side", "top", "none")


def paper_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add ``--paper``, ``--holes`` and ``--bleed``."""
    for option in (
        click.option(
            "--bleed", type=click.FloatRange(0, 10), default=0.0, show_default=True, help="mm trimmed off all round, for a pouch."
        ),
        click.option("--holes", type=click.Choice(HOLES), default="side", show_default=True, help="Side that is punched."),
        click.option("--paper", type=click.Choice(PAPERS, case_sensitive=False), default="A4", show_default=True, help="To print on."),
    ):
        command = option(command)
    return command


def on_paper(options: dict[str, Any]) -> tuple[str, str, float]:
    """The paper that the options choose; they are taken out of ``options``."""
    return options.pop("paper"), options.pop("holes"), options.pop("bleed")
