"""What ``chart`` does: load lathes and lists, plan, write, report."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import click

from benchleaf.binder.build import MACHINE
from benchleaf.binder.folder import Folder, not_written, opened
from benchleaf.binder.keys import Paper
from benchleaf.cli.report import Wishes, exit_code, report, timings
from benchleaf.cli.terminal import Progress
from benchleaf.cli.work import folder_for_output, waiting_for
from benchleaf.compile import PlannedJob, Stages, finished, render_sheet
from benchleaf.diagnostics import Diagnostic, Severity, close_matches, has_errors, ordered
from benchleaf.operations.chart import Asked, Wish, chart, named_set, own_list, set_named
from benchleaf.operations.desk import Faults
from benchleaf.render import FORMATS
from benchleaf.sheet.model import Sheet
from benchleaf.standards.threads import known_sets
from benchleaf.workshop.charts import LoadedCharts, MachineFile, load_charts
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
    on: Paper,
    **options: bool | str,
) -> int:
    """Load a lathe, or those of a workshop, and lists of threads; write the sheet that is made of each; report every fault.

    ``ending`` is what the files' names end in.  Returns the exit code.
    """
    wishes = Wishes(**options)  # type: ignore[arg-type]
    folder_for_output(out)
    progress = Progress(sys.stderr, quiet=wishes.quiet)
    stages = Stages(progress=progress)
    with stages.stage("load"):
        loaded = load_charts(lathe, [Path(name) for name in sets if is_list_file(name)], Path.cwd(), own=not sets)
        threads, faults = threads_named(sets, loaded)
    ready = [machine for machine in loaded.machines if machine.inputs is not None] if threads else []
    names = sheet_names([machine.path for machine in ready], ending)
    made: list[tuple[MachineFile, str, Sheet]] = []
    for number, (machine, name) in enumerate(zip(ready, names, strict=True), 1):
        progress("sheet", number, len(ready), machine.shown)
        assert machine.inputs is not None, "looked at above"
        with stages.stage("plan"):
            sheet, found = make(machine.inputs, threads, name)
        faults += found
        if sheet is not None:
            made.append((machine, name, sheet))
    written: Sequence[Path] = ()
    try:
        with opened(out, waiting=waiting_for(out, wishes)) as folder:
            for machine, name, sheet in made:
                faults += _put(folder, machine, name, sheet, ending, formats, stages, on)
            folder.go_live(folder.known.last)
            written = folder.written
    except OSError as fault:
        faults.append(not_written(out, fault))
    progress.clear()
    diagnostics = ordered([*loaded.diagnostics, *faults])
    report(wishes, diagnostics, loaded.lines, written)
    if not wishes.quiet and wishes.diagnostics == "text":
        for file in written:
            click.echo(str(file))
    timings(wishes, stages)
    return exit_code(diagnostics, strict=wishes.strict)


def _put(
    folder: Folder, machine: MachineFile, name: str, sheet: Sheet, ending: str, formats: Sequence[str], stages: Stages, on: Paper
) -> list[Diagnostic]:
    """Make the files of a sheet; its faults.  Raises OSError."""
    job = JobFile(machine.path, machine.shown, machine.key, machine.folder, None, (), machine.files)
    whole = finished(PlannedJob(job, sheet))
    assert whole is not None, "it has a sheet"
    contents, faults = render_sheet(whole, formats, stages, on)
    if all(fault.severity is not Severity.ERROR or fault.code in MACHINE for fault in faults):
        folder.put((*job.place, ending), "", name, contents, whole, (), [FORMATS[form][0] for form in formats])
    return faults


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
