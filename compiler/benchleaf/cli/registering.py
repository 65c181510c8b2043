"""What `printed`, `stale` and `compare` do: read, compare, report."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path

import click

from benchleaf.api import (
    REGISTER_FILE,
    Sheet,
    Stale,
    State,
    change_as_data,
    change_as_fault,
    change_in_words,
    from_json,
    locked,
    read_register,
    read_text,
    register_entry,
    sheets_between,
    shown,
    stale_sheets,
    unpacked,
    with_printed,
)
from benchleaf.cli.answers import find_workshop
from benchleaf.cli.output import write_file
from benchleaf.cli.report import print_faults, print_for_machines
from benchleaf.diagnostics import Diagnostic, Severity, has_errors
from benchleaf.report import json_
from benchleaf.report.excerpt import harmless

__all__ = ["record_printed", "tell_between", "tell_stale"]


def record_printed(paths: Sequence[Path], on: str, workshop: Path | None, *, quiet: bool) -> int:
    """Put sheets into the registers of their workshops.  Returns 0; 1 for a broken file (then nothing is written)."""
    cwd = Path.cwd()
    by_folder: dict[Path, list[Sheet]] = {}
    for path in paths:
        if not path.is_file() or path.suffix != ".json":
            raise click.UsageError(f"`{path}` is not a sheet's .json file; `benchleaf build` writes them beside the PDF")
        source, faults = read_text(path, str(path))
        sheet, found = from_json(source.text, str(path)) if source is not None else (None, [])
        if sheet is None:
            print_faults([*faults, *found], {})
            return 1
        folders = [workshop.resolve()] if workshop is not None else find_workshop(sheet, path.resolve().parent, cwd)
        if not folders:
            raise click.UsageError(f"the workshop of `{path}` is not near; name its folder with --workshop")
        by_folder.setdefault(folders[0], []).append(sheet)
    for folder, sheets in by_folder.items():
        with locked(folder / REGISTER_FILE, lambda: None):  # two at once would each write what it read
            code = _record(folder, sheets, on, cwd, quiet=quiet)
        if code:
            return code
    return 0


def _record(folder: Path, sheets: Sequence[Sheet], on: str, cwd: Path, *, quiet: bool) -> int:
    path = folder / REGISTER_FILE
    name = shown(path, cwd)
    register, faults = read_register(path, name)
    if register is None:
        print_faults(faults, _lines(path, name))
        return 1
    state = State.of(folder, cwd)
    made = [register_entry(sheet, on, state) for sheet in sheets]
    older = [
        Diagnostic(
            "register/older",
            f"the sheet `{printed.sheet}` is not what its files make now, so the lines behind a change are known only in part",
            severity=Severity.WARNING,
            hints=("`benchleaf stale` says what differs; build and print it again where that matters",),
        )
        for printed, kept in made
        if not kept
    ]
    text = path.read_text(encoding="utf-8") if path.exists() else ""
    files = {key: words for _, kept in made for key, words in kept.items()}
    write_file(path, with_printed(text, [printed for printed, _ in made], files).encode("utf-8"))
    print_faults(older, {})
    if not quiet:
        click.echo(f"{name}: {len(made)} {'sheet' if len(made) == 1 else 'sheets'} printed on {on}")
    return 0


def tell_stale(workshop: Path, form: str, *, quiet: bool) -> int:
    """List stale sheets.  Returns 1 when there are any or the register is broken, else 0."""
    path = workshop / REGISTER_FILE
    name = shown(path.resolve(), Path.cwd())
    register, faults = read_register(path, name)
    if register is None:
        return _faulty(faults, path, name, form)
    if not path.exists():
        hints = ("`benchleaf printed` records it",)
        missing = Diagnostic("register/missing", f"nothing is recorded as printed in `{name}`", severity=Severity.NOTE, hints=hints)
        return _tell([], [missing], {}, form, "", "", quiet=quiet)
    state = State.of(workshop, Path.cwd())
    summary = f"stale, {len(register.printed)} printed"
    faults = [fault for fault in state.checked.diagnostics if fault.severity is Severity.ERROR]
    return _tell(stale_sheets(register, state), faults, state.checked.lines, form, _folder(workshop), summary, quiet=quiet)


def tell_between(workshop: Path, old: str, new: str | None, form: str, *, quiet: bool) -> int:
    """List sheets that differ between revisions.  Returns 1 when there are any, 2 when a revision cannot be had, else 0."""
    with ExitStack() as stack:
        states = []
        for revision in (old, new):
            if revision is None:
                states.append(State.of(workshop, Path.cwd()))
                continue
            folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="benchleaf-"))).resolve()
            fault = unpacked(workshop.resolve(), revision, folder)
            if fault is not None:
                _tell([], [fault], {}, form, "", "", quiet=quiet)
                return 2
            states.append(State.of(folder, folder))
        faults = [fault for fault in states[1].checked.diagnostics if fault.severity is Severity.ERROR]
        summary = f"differ, {len(states[0].sheets)} compared"
        return _tell(sheets_between(*states), faults, states[1].checked.lines, form, _folder(workshop), summary, quiet=quiet)


def _folder(workshop: Path) -> str:
    return shown(workshop.resolve(), Path.cwd())


def _lines(path: Path, name: str) -> dict[str, Sequence[str]]:
    source, _ = read_text(path, name)
    return {name: source.lines} if source is not None else {}


def _faulty(faults: Sequence[Diagnostic], path: Path, name: str, form: str) -> int:
    return _tell([], faults, _lines(path, name), form, "", "", quiet=True)


def _tell(
    found: Sequence[Stale],
    faults: Sequence[Diagnostic],
    lines: Mapping[str, Sequence[str]],
    form: str,
    folder: str,
    summary: str,
    *,
    quiet: bool,
) -> int:
    code = 1 if found or has_errors(faults) else 0
    if form == "json":
        stale = [
            {"sheet": item.sheet, "printed": item.since, "gone": item.gone, "broken": item.broken, "new": item.new}
            | {"changes": [change_as_data(each) for each in item.changes]}
            for item in found
        ]
        click.echo(json.dumps({"schema": 1, "diagnostics": [json_.as_data(fault) for fault in faults], "stale": stale}, indent=2))
        return code
    if form != "text":
        print_for_machines(form, [*faults, *(fault for item in found for fault in _as_faults(item, folder))], None)
        return code
    print_faults([fault for fault in faults if not (quiet and fault.severity is Severity.NOTE)], lines)
    for item in found:
        why = _why(item)
        click.echo(harmless(" ".join(words for words in (item.sheet, f"(printed {item.since})" if item.since else "", why) if words)))
        for change in item.changes:
            for line in change_in_words(change):
                click.echo(harmless(f"  {line}"))
    if summary and not quiet:
        click.echo(f"{len(found)} {summary}")
    return code


def _why(item: Stale) -> str:
    return "no job makes it any more" if item.gone else "its job has faults" if item.broken else "there was none before" if item.new else ""


def _as_faults(item: Stale, folder: str) -> list[Diagnostic]:
    if why := _why(item):
        return [Diagnostic("register/stale", f"the sheet `{item.sheet}`: {why}", severity=Severity.WARNING)]
    return [fault for change in item.changes for fault in change_as_fault(item.sheet, change, folder)]
