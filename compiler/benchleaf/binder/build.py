"""A folder of sheets brought up to date: only what was made from something else is made again, and all of it goes live at once."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.binder import keys, ledger
from benchleaf.binder.folder import Folder, not_written, opened
from benchleaf.binder.ledger import Entry, Run
from benchleaf.compile import Stages, load, sheet_of
from benchleaf.compile.many import render_many
from benchleaf.diagnostics import Diagnostic, Severity, Span, has_errors, ordered
from benchleaf.source.text import read_text
from benchleaf.workshop.links import WORKSHOP_FILE, shown
from benchleaf.workshop.load import JobFile, Loaded
from benchleaf.workshop.names import sheet_names

if TYPE_CHECKING:
    from benchleaf.sheet.model import Sheet

__all__ = ["MACHINE", "Asked", "Built", "build"]

MACHINE = frozenset({"pdf/library-missing", "pdf/font-missing", "output/not-written"})
"""Faults of this computer: the other formats are still made."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be built: ``paths`` as the user typed them from ``cwd``, into ``out``; ``on`` names the paper, the side of its holes and
    its bleed; ``fresh`` takes nothing from an earlier build."""

    paths: tuple[Path, ...]
    cwd: Path
    out: Path
    formats: tuple[str, ...]
    on: keys.Paper
    fresh: bool = False

    def words(self) -> str:
        """All of it, and the program, in one text: the same for the same question asked of another copy of everything."""
        paths = [os.path.relpath(self.cwd / path, self.out.resolve()) for path in self.paths]
        return json.dumps([paths, sorted(self.formats), list(self.on), keys.program_digest()])


@dataclass(slots=True)
class Built:
    """What came of it: faults in order of place, the text of the files they stand in, how many jobs there are and how many are sound; the
    files written and how many sheets were up to date; files of an earlier build that could not be replaced (``left``)."""

    faults: tuple[Diagnostic, ...] = ()
    lines: Mapping[str, Sequence[str]] = field(default_factory=dict)
    jobs: int = 0
    sound: int = 0
    kept: int = 0
    written: Sequence[Path] = ()
    left: Sequence[Path] = ()


def build(asked: Asked, stages: Stages, waiting: Callable[[], None] = lambda: None) -> Built:
    """Bring the folder up to date.  ``waiting`` is called when another run has to be waited for."""
    with opened(asked.out, fresh=asked.fresh, waiting=waiting) as folder:
        return _unchanged(asked, folder) or _anew(asked, folder, stages)


def _unchanged(asked: Asked, folder: Folder) -> Built | None:
    """The same again, from the same files: what the last run told, without reading more than it takes to see that."""
    last = folder.known.last
    if folder.fresh or last is None or last.asked != asked.words():
        return None
    if any(keys.digest_of(Path(path)) != digest for path, digest in last.read.items()):
        return None
    entries = [folder.known.entries.get(place) for place in last.jobs]
    if not ledger.there(folder.out, folder.known.about) or not all(entry and ledger.there(folder.out, entry.files) for entry in entries):
        return None
    told = {span.file for fault in last.faults for span in _spans(fault)}
    names = {path: shown(Path(path), asked.cwd.resolve()) for path, digest in last.read.items() if digest}
    texts = {path: read_text(Path(path), name)[0] if path in told else None for path, name in names.items()}
    lines = {names[path]: () if text is None else text.lines for path, text in texts.items()}
    faults = tuple(_seen_from(fault, names) for fault in last.faults)
    return Built(ordered(faults), lines, len(last.jobs), len(last.jobs), len(last.jobs))


@dataclass(frozen=True, slots=True)
class _Task:
    """A sheet to be made: its job and key, what its files are called, and the faults of its plan."""

    job: JobFile
    sheet: Sheet
    name: str
    key: str
    said: tuple[Diagnostic, ...]


def _anew(asked: Asked, folder: Folder, stages: Stages) -> Built:
    """A run that has something to do, or cannot tell."""
    loaded, found = load(asked.paths, asked.cwd, stages)
    faults = list(found)
    todo, kept = _sorted_out(asked, folder, loaded, stages, faults)
    folder.forget_the_gone()
    built = Built(lines=loaded.lines, jobs=len(loaded.jobs), sound=kept + len(todo), kept=kept)
    try:
        rendered = render_many([task.sheet for task in todo], asked.formats, stages, asked.on)
        for number, (task, (contents, found)) in enumerate(zip(todo, rendered, strict=True), 1):
            stages.progress("sheet", number, len(todo), task.job.shown)
            faults += found
            _put(task, contents, found, asked, folder, stages)
        with stages.stage("write"):
            folder.go_live(_run(asked, folder, loaded, faults))
        built.written, built.left = folder.written, folder.left
    except OSError as fault:
        faults.append(not_written(asked.out, fault))
    built.faults = ordered(faults)
    return built


def _sorted_out(asked: Asked, folder: Folder, loaded: Loaded, stages: Stages, faults: list[Diagnostic]) -> tuple[list[_Task], int]:
    """The sheets to be made, planned, and how many are up to date; faults of both kinds are added."""
    names = sheet_names([job.place for job in loaded.jobs], loaded.siblings)
    key_of = keys.Keys(asked.on)
    todo: list[_Task] = []
    kept = 0
    for number, job in enumerate(loaded.jobs, 1):
        name = names[job.place]
        key = "" if job.inputs is None else key_of.of(job, name)
        entry = folder.holds((*job.place, ""), key, asked.formats)
        if entry is not None:
            faults += _shown_again(entry, job)
            kept += 1
            continue
        stages.progress("plan", number, len(loaded.jobs), job.shown)
        sheet, said = sheet_of(job, stages)
        faults += said
        if sheet is not None:
            todo.append(_Task(job, sheet, name, key, tuple(said)))
    return todo, kept


def _put(task: _Task, contents: Mapping[str, bytes], found: Sequence[Diagnostic], asked: Asked, folder: Folder, stages: Stages) -> None:
    """Put a sheet that was rendered into the folder.  Raises OSError."""
    from benchleaf.render import FORMATS  # not where all is up to date

    if any(fault.severity is Severity.ERROR and fault.code not in MACHINE for fault in found):
        return  # a sheet that could not be laid out: what was there before stays
    faults = [_seen_from(fault, task.job.files) for fault in (*task.said, *found)]
    with stages.stage("write"):
        suffixes = [FORMATS[name][0] for name in asked.formats]
        folder.put((*task.job.place, ""), task.key, task.name, contents, task.sheet, faults, suffixes)


def _run(asked: Asked, folder: Folder, loaded: Loaded, faults: Sequence[Diagnostic]) -> Run | None:
    """The run to be told again, where there is nothing that a second run could do better."""
    jobs = [(*job.place, "") for job in loaded.jobs]
    if has_errors(faults) or not all(folder.has(place) for place in jobs):
        return None
    read = {path.as_posix(): keys.digest_of(path) for path in loaded.paths.values()}
    read |= {other.as_posix(): "" for path in loaded.paths.values() for other in _no_workshop_yet(path)}
    paths = {name: path.as_posix() for name, path in loaded.paths.items()}
    return Run(asked.words(), read, tuple(jobs), tuple(_seen_from(fault, paths) for fault in ordered(faults)))


def _no_workshop_yet(path: Path) -> Iterator[Path]:
    """Workshop files that are not there, and would change what the file means if they were."""
    for above in path.parents:
        if (above / WORKSHOP_FILE).exists():
            return
        yield above / WORKSHOP_FILE


def _spans(fault: Diagnostic) -> list[Span]:
    return [span for span in (fault.span, *(place for place, _ in fault.related)) if span is not None]


def _seen_from(fault: Diagnostic, names: Mapping[str, str]) -> Diagnostic:
    """The same fault, its files called as ``names`` says."""
    return ledger.moved(fault, lambda file: names.get(file, file))


def _shown_again(entry: Entry, job: JobFile) -> list[Diagnostic]:
    names = {inside: shown for shown, inside in job.files.items()}
    return [_seen_from(fault, names) for fault in entry.faults]
