"""What ``explain`` answers: the reasons of a figure, or the meaning of a code."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from textwrap import fill, indent

import click

from benchleaf import api
from benchleaf.cli.report import print_faults
from benchleaf.diagnostics import close_matches

__all__ = ["explain_code", "explain_figure", "find_workshop", "read_sheet"]

_LEVELS = 3  # how deep below the current folder a workshop is looked for
_MOST_FOLDERS = 2000


def explain_code(name: str) -> int:
    """Print what a fault's code means.  Returns 0; 2 when there is no such code."""
    known = api.codes()
    if name not in known:
        close = close_matches(name, list(known))
        hint = f"did you mean `{close[0]}`?" if close else "name a sheet's .json file, or a code as a fault shows it"
        raise click.UsageError(f"there is no code `{name[:80]}`; {hint}")
    code = known[name]
    click.echo(f"{code.code}: {code.title}\n\n{fill(code.explanation, 100)}")
    for words, snippet in (("With the fault", code.bad), ("Without it", code.good)):
        if snippet:
            click.echo(f"\n{words}:\n{indent(snippet.rstrip(), '    ')}")
    return 0


def explain_figure(path: Path, name: str | None, workshop: Path | None) -> int:
    """Explain one figure of a sheet's JSON file, or list them all.

    Returns 0; 2 when the file or the figure is not there; 1 for a broken file.
    """
    sheet = read_sheet(path)
    if sheet is None:
        return 1
    if name is None:
        click.echo(api.list_figures(sheet))
        return 0
    entry = api.find_figure(sheet, name)
    if isinstance(entry, api.UnknownFigure):
        listed = "\n  ".join(entry.names)
        click.echo(f"benchleaf: {entry.message}; figures that may be meant:\n  {listed}", err=True)
        return 2
    cwd = Path.cwd()
    folders = [workshop.resolve()] if workshop is not None else find_workshop(sheet, path.resolve().parent, cwd)
    click.echo(api.explain(sheet, entry, api.ExplainLibrary(folders, cwd)))
    return 0


def read_sheet(path: Path) -> api.Sheet | None:
    """The sheet in a JSON file; None when it is broken, which is told.  Raises click.UsageError when there is no such file."""
    if not path.is_file():
        near = sorted(item.name for item in path.parent.glob("*.json")) if path.parent.is_dir() else []
        close = close_matches(path.name, near) or near[:5]
        hint = "did you mean " + " or ".join(f"`{path.parent / item}`" for item in close) + "?"
        hint = hint if close else "`benchleaf build` writes them"
        raise click.UsageError(f"there is no `{path}`; {hint}")
    source, faults = api.read_text(path, str(path))
    sheet, found = api.from_json(source.text, str(path)) if source is not None else (None, [])
    if sheet is None:
        print_faults([*faults, *found], {})
    return sheet


def find_workshop(sheet: api.Sheet, beside: Path, cwd: Path) -> list[Path]:
    """Folders that may be the workshop of a sheet, the likeliest first: those where most of its files lie, with the words that it
    was made from.  Looked at are the current folder and the sheet's, those above them, and some levels below the current one."""
    scored = [(-_score(sheet, folder), number, folder) for number, folder in enumerate(dict.fromkeys(_candidates(beside, cwd)))]
    return [folder for score, _, folder in sorted(scored) if score < 0]


def _score(sheet: api.Sheet, folder: Path) -> int:
    there = [name for name in sheet.files if (folder / name).is_file()]
    library = api.ExplainLibrary([folder], folder)
    if not there:
        return 0
    kept = {item for item in _givens(sheet) if not library.line(item)[1].startswith("(")}
    return len(there) + len(kept)


def _givens(sheet: api.Sheet) -> Iterator[api.Given]:
    for entry in api.explained_entries(sheet):
        yield from (item for item in entry.item.basis.inputs if isinstance(item, api.Given) and not item.default)


def _candidates(beside: Path, cwd: Path) -> Iterator[Path]:
    yield from (cwd, *cwd.parents, beside, *beside.parents)
    level, seen = [cwd], 0
    for _ in range(_LEVELS):
        below = [inner for folder in level for inner in _folders(folder)]
        seen += len(below)
        if seen > _MOST_FOLDERS:
            return
        yield from below
        level = below


def _folders(folder: Path) -> Sequence[Path]:
    try:
        with os.scandir(folder) as entries:
            names = sorted(entry.name for entry in entries if not entry.name.startswith((".", "_")) and entry.is_dir(follow_symlinks=False))
    except OSError:
        return ()
    return [folder / name for name in names]


def print_schema(kind: str) -> int:
    """The schema file of a kind, as it is; a usage error names those that there are."""
    names = api.schema_names()
    if kind not in names:
        close = close_matches(kind, names)
        meant = "did you mean " + " or ".join(close) + "?" if close else f"there are {', '.join(names)}"
        raise click.UsageError(f"there is no kind of file called {kind[:60]!r}; {meant}")
    click.echo(api.schema_text(kind), nl=False)
    return 0


def show_file(path: Path, *, origins: bool) -> int:
    """A file as the compiler sees it; its faults when it has any that keep it from being read."""
    try:
        real = path.resolve(strict=True)
    except (OSError, RuntimeError, ValueError) as fault:
        raise click.UsageError(f"there is no file {str(path)!r}") from fault
    if not real.is_file():
        raise click.UsageError(f"{str(path)!r} is not a file")
    text, faults, lines = api.shown_file(real, Path.cwd().resolve(), origins=origins)
    if text is None:
        print_faults(faults, lines)
        return 1
    click.echo(text, nl=False)
    return 0
