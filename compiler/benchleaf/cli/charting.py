"""What ``chart`` does: load lathes and lists, plan, write, report."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from benchleaf.cli import work
from benchleaf.cli.terminal import Progress
from benchleaf.compile import Checked, PlannedJob, Stages
from benchleaf.diagnostics import Diagnostic, close_matches, has_errors, ordered
from benchleaf.operations.chart import Asked, Wish, chart, named_set, own_list, set_named
from benchleaf.operations.desk import Faults
from benchleaf.sheet.model import Sheet
from benchleaf.standards.threads import known_sets
from benchleaf.workshop.charts import LoadedCharts, load_charts
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.links import is_yaml
from benchleaf.workshop.load import JobFile
from benchleaf.workshop.threads import ThreadList

__all__ = ["for_each_lathe", "make_charts"]

Make = Callable[[LatheInputs, tuple[Wish, ...], str], tuple[Sheet | None, list[Diagnostic]]]
"""The sheet of a lathe for some threads, with its name; None with the faults that leave nothing to make."""


def make_charts(
    lathe: Path, sets: Sequence[str], out: Path, formats: Sequence[str], limit: Fraction, material: str, tool: str, **options: Any
) -> int:
    """Load, plan and write the charts; report every fault.  Returns the exit code."""

    def make(machine: LatheInputs, threads: tuple[Wish, ...], name: str) -> tuple[Sheet | None, list[Diagnostic]]:
        return chart(Asked(machine, threads, limit, material, tool, name)), []

    return for_each_lathe(lathe, sets, out, formats, "threads", make, **options)


def for_each_lathe(
    lathe: Path,
    sets: Sequence[str],
    out: Path,
    formats: Sequence[str],
    ending: str,
    make: Make,
    on: work.Paper = work.A4,
    **options: bool | str,
) -> int:
    """Load a lathe, or those of a workshop, and lists of threads; write the sheet that is made of each; report every fault.

    ``ending`` is what the files' names end in.  Returns the exit code.
    """
    wishes = work.Wishes(**options)  # type: ignore[arg-type]
    if out.exists() and not out.is_dir():
        raise click.UsageError(f"--out {out} is a file; name a folder")
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    with stages.stage("load"):
        loaded = load_charts(lathe, [Path(name) for name in sets if is_list_file(name)], Path.cwd(), own=not sets)
        threads, faults = threads_named(sets, loaded)
    written = work.Written()
    ready = [machine for machine in loaded.machines if machine.inputs is not None] if threads else []
    names = sheet_names([machine.path for machine in ready], ending)
    for number, (machine, name) in enumerate(zip(ready, names, strict=True), 1):
        progress("sheet", number, len(ready), machine.shown)
        assert machine.inputs is not None, "looked at above"
        with stages.stage("plan"):
            sheet, found = make(machine.inputs, threads, name)
        faults += found
        if sheet is not None:
            job = JobFile(machine.path, machine.shown, machine.key, machine.folder, None, (), machine.files)
            work._build(PlannedJob(job, sheet), name, out, formats, stages, written, on)
    progress.clear()
    diagnostics = ordered([*loaded.diagnostics, *faults, *written.faults])
    work._report(wishes, Checked((), diagnostics, loaded.lines, ()), diagnostics, written.files)
    if not wishes.quiet and wishes.diagnostics == "text":
        for file in written.files:
            click.echo(file)
    work._timings(wishes, stages)
    return work._exit(diagnostics, strict=wishes.strict)


def is_list_file(name: str) -> bool:
    """Is a file meant, and not the name of a list?"""
    return is_yaml(name) or "/" in name or Path(name).is_file()


def threads_named(sets: Sequence[str], loaded: LoadedCharts) -> tuple[tuple[Wish, ...], list[Diagnostic]]:
    """The threads of all lists in the order asked for, each once; none when a list is at fault."""
    if not sets and not loaded.lists:
        if has_errors(loaded.diagnostics):
            return (), []
        hint = f"add `--threads NAME`: {', '.join(known_sets())}; or list files under `threads` in the workshop file"
        return (), [Diagnostic("path/thread-set", "no list of threads is named, and the workshop has none", hints=(hint,))]
    faults = Faults([])
    own = iter(loaded.lists)
    found: dict[str, Wish] = {}
    lists = [_list(name, own, faults) for name in sets] or [own_list(model, faults) for model in own]
    for wish in (wish for wishes in lists for wish in wishes):
        found.setdefault(wish.thread.designation, wish)
    complete = not has_errors(faults.found) and len(loaded.lists) >= sum(is_list_file(name) for name in sets)
    return tuple(found.values()) if complete else (), faults.found


def _list(name: str, own: Iterator[ThreadList], faults: Faults) -> tuple[Wish, ...]:
    if is_list_file(name):
        model = next(own, None)
        return own_list(model, faults) if model is not None else ()
    known = set_named(name)
    if known is not None:
        return named_set(known)
    names = tuple(known_sets())
    close = close_matches(name, names)
    meant = "did you mean " + " or ".join(f"`{word}`" for word in close) + "?"
    hint = meant if close else f"there are {', '.join(names)}; or name a file of kind `thread-list`"
    faults.found.append(Diagnostic("path/thread-set", f"there is no list of threads called `{name[:60]}`", hints=(hint,)))
    return ()


def sheet_names(lathes: Sequence[Path], ending: str) -> list[str]:
    """For each lathe the name that its files in the output folder have, after its own file."""
    often = Counter(path.stem.casefold() for path in lathes)
    return [f"{path.stem if often[path.stem.casefold()] == 1 else f'{path.parent.name}-{path.stem}'}-{ending}" for path in lathes]
