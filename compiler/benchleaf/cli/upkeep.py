"""``format`` and ``migrate``: files rewritten where they stand, never in what they say."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import click

__all__ = ["upkeep_commands"]

_FORMAT = """\b
Examples:
  benchleaf format profiles/osier-lane
  benchleaf format --diff lathe.yaml"""
_MIGRATE = """\b
Examples:
  benchleaf migrate profiles/osier-lane
  benchleaf migrate --write lathe.yaml"""
_PATH = click.Path(path_type=Path)


def upkeep_commands(common: Callable[..., Any]) -> tuple[click.Command, ...]:
    """The commands, with the options that every command has."""

    @click.command("format", short_help="Make the layout of files even.", epilog=_FORMAT)
    @click.option("--ours", is_flag=True, help="Pass over YAML files that are not a workshop's; in folders they always are.")
    @click.option("--check", is_flag=True, help="Write nothing; name the files that would change, and leave with 1 when there are any.")
    @click.option("--diff", is_flag=True, help="Write nothing; show what would change.")
    @click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=_PATH)
    @common
    def format_(paths: tuple[Path, ...], ours: bool, check: bool, diff: bool, quiet: bool, **_: Any) -> int:
        """Make the layout of YAML files even: indents, blanks, empty lines, line ends. Words and comments stay as they are.

        A PATH is a file, or a folder with all files in it.
        """
        from benchleaf.api import laid_out, layout_refused

        def change(text: str, name: str) -> tuple[str | None, list[Any]]:
            made = laid_out(text)
            return made, [] if made is not None else [layout_refused(name)]

        return _rewrite(_files(paths, ours=ours), change, write=not (check or diff), show=diff, fails=check or diff, quiet=quiet)

    @click.command("migrate", short_help="Bring files in an older version of the language up to date.", epilog=_MIGRATE)
    @click.option("--write", is_flag=True, help="Write the files; else only what would change is shown.")
    @click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=_PATH)
    @common
    def migrate(paths: tuple[Path, ...], write: bool, quiet: bool, **_: Any) -> int:
        """Show what today's version of the language makes of files in an older one, and write it with --write. Comments are kept.

        A PATH is a file, or a folder with all files in it.
        """
        from benchleaf.api import migrated

        def change(text: str, name: str) -> tuple[str | None, list[Any]]:
            made, faults = migrated(text, name)
            return (text if made is None and not faults else made), faults

        return _rewrite(_files(paths, ours=False), change, write=write, show=True, fails=False, quiet=quiet)

    return format_, migrate


def _rewrite(
    paths: Iterable[Path], change: Callable[[str, str], tuple[str | None, list[Any]]], *, write: bool, show: bool, fails: bool, quiet: bool
) -> int:
    """Change files; the exit code.  ``fails``: leave with 1 when one would change."""
    from benchleaf.api import read_yaml, shown
    from benchleaf.cli.output import write_file
    from benchleaf.cli.report import print_faults

    faults: list[Any] = []
    lines: dict[str, Sequence[str]] = {}
    changed = 0
    for path in paths:
        name = shown(path, Path.cwd())
        node, source, found = read_yaml(path, name)
        lines[name] = source.lines if source is not None else ()
        if node is None or source is None or found:
            faults += found
            continue
        made, found = change(source.text, name)
        faults += found
        if made is None or made.encode("utf-8") == path.read_bytes():
            continue
        changed += 1
        if show:
            click.echo("\n".join(difflib.unified_diff(source.text.splitlines(), made.splitlines(), name, name, lineterm="")))
        if write:
            write_file(path, made.encode("utf-8"))
        if not show or write:
            click.echo(name)
    print_faults(faults, lines)
    if not quiet:
        many = "1 file" if changed == 1 else f"{changed} files"
        click.echo(f"{many} {'changed' if write else 'would change'}", err=True)
    return 1 if faults or (fails and changed) else 0


def _files(paths: Iterable[Path], *, ours: bool) -> Iterator[Path]:
    """The files named (of a workshop only where that is wished for), and the workshop's files below the folders named; a usage error for a
    path that is not there."""
    from benchleaf.api import REGISTER_FILE, is_ours

    for path in paths:
        if path.is_dir():
            for inner in sorted(path.resolve().rglob("*.y*ml")):
                hidden = any(part.startswith(".") for part in inner.relative_to(path.resolve()).parts)
                if inner.suffix in (".yaml", ".yml") and inner.is_file() and not hidden and inner.name != REGISTER_FILE and is_ours(inner):
                    yield inner
        elif path.exists():
            if not ours or is_ours(path):
                yield path.resolve()
        else:
            raise click.UsageError(f"there is no `{path}`")
