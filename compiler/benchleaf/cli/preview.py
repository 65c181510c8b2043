"""`benchleaf preview`: the sheets of a workshop in the browser, made anew on every save."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

__all__ = ["preview_command"]

_EXAMPLES = """\b
Example:
  benchleaf preview profiles/osier-lane"""


def preview_command(common: Callable[..., Any]) -> click.Command:
    """The command, with the options that every command has."""

    @click.command("preview", short_help="Show sheets in the browser, made anew on every save.", epilog=_EXAMPLES)
    @click.option("--port", type=click.IntRange(0, 65535), default=8350, show_default=True, help="Port on 127.0.0.1; 0 takes any.")
    @click.argument("workshop", type=click.Path(path_type=Path, exists=True))
    @common
    def preview(workshop: Path, port: int, quiet: bool, **_: Any) -> int:
        """Watch a WORKSHOP (or one job) and show its sheets at an address of this computer alone, faults included, until interrupted."""
        return _preview(workshop, port, quiet=quiet)

    return preview


def _preview(workshop: Path, port: int, *, quiet: bool) -> int:
    from benchleaf.api import Preview, run_preview, serve

    folder = workshop.resolve() if workshop.is_dir() else workshop.resolve().parent
    watched = Preview(folder, f"Preview of {workshop.name or folder.name}", lambda: _build(workshop))
    try:
        server = serve(watched, port)
    except OSError as fault:
        raise click.UsageError(f"port {port} is taken or not allowed; choose another with --port") from fault
    if not quiet:
        click.echo(f"http://127.0.0.1:{server.server_port}/   (stop with Ctrl-C)")
    try:
        run_preview(watched, server)
    except KeyboardInterrupt:
        return 0
    return 0


def _build(workshop: Path) -> Any:
    from benchleaf.api import Previewed, check, finished, render, sheet_names
    from benchleaf.report import text

    checked = check([workshop], Path.cwd())
    names = sheet_names([planned.job.place for planned in checked.jobs], checked.siblings)
    pages: dict[str, bytes] = {}
    titles: dict[str, str] = {}
    for planned in checked.jobs:
        sheet = finished(planned)
        contents = render(sheet, ("html",))[0] if sheet is not None else {}
        if sheet is not None and ".html" in contents:
            name = names[planned.job.place]
            pages[name], titles[name] = contents[".html"], sheet.title
    faults = text.render(checked.diagnostics, checked.lines, colour=False, files=len(checked.lines) or None) if checked.diagnostics else ""
    return Previewed(pages, titles, faults)
