"""The sheets of a workshop as its files make them now, without rendering any."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from benchleaf.binder.changes import Change, changes
from benchleaf.binder.figures import shown_figures
from benchleaf.binder.leaves import Edit, Leaf, edits, leaves, words_of
from benchleaf.binder.register import Printed, Register, state_key
from benchleaf.compile import Checked, check_paths, finished
from benchleaf.sheet.model import Sheet

__all__ = ["State", "Stale", "between", "entry", "stale"]


@dataclass(frozen=True, slots=True)
class State:
    """Sheets by id with their jobs' files, and whatever ``checked`` found; ``folder`` is the workshop's."""

    folder: Path
    checked: Checked
    sheets: Mapping[str, tuple[str, Sheet]]
    _leaves: dict[str, dict[str, Leaf]] = field(default_factory=dict)

    @classmethod
    def of(cls, folder: Path, cwd: Path) -> State:
        """Compile a workshop folder, seen from ``cwd``."""
        checked = check_paths([folder], cwd)
        made = [(planned.job.key, finished(planned)) for planned in checked.jobs]
        return cls(folder.resolve(), checked, {sheet.id: (key, sheet) for key, sheet in made if sheet is not None})

    def made_by(self, job: str) -> Sheet | None:
        """The sheet that a job makes."""
        return next((sheet for key, sheet in self.sheets.values() if key == job), None)

    def leaves(self, file: str) -> dict[str, Leaf]:
        """The values of a file of the workshop; nothing when it is not there."""
        if file not in self._leaves:
            path = self.folder / file
            inside = path.resolve().is_relative_to(self.folder) and path.is_file()
            self._leaves[file] = leaves(path) if inside else {}
        return self._leaves[file]


@dataclass(frozen=True, slots=True)
class Stale:
    """A sheet that says something else now.  ``gone`` when no job makes it any more; ``broken`` when its job has faults; ``new`` when there
    was none before."""

    sheet: str
    since: str
    changes: tuple[Change, ...]
    gone: bool = False
    broken: bool = False
    new: bool = False


def entry(sheet: Sheet, on: str, state: State) -> tuple[Printed, dict[str, dict[str, str]]]:
    """What the register keeps of a sheet, and the values of its files by 'file@state'.  Files are kept only when they still make this
    very sheet: later ones would be taken for those that it was printed from."""
    job, now = state.sheets.get(sheet.id, ("", None))
    read: dict[str, str] = {}
    kept: dict[str, dict[str, str]] = {}
    if now is not None and now.digest == sheet.digest:
        for file in sheet.files:
            words = words_of(state.leaves(file))
            read[file], key = state_key(file, words)
            kept[key] = words
    return Printed(sheet.id, job, on, sheet.digest, sheet.program, shown_figures(sheet), read), kept


def stale(register: Register, state: State) -> list[Stale]:
    """Printed sheets whose figures have changed, in order of their ids."""
    found = []
    jobs = {planned.job.key for planned in state.checked.jobs}
    for printed in register.printed.values():
        sheet = state.sheets.get(printed.sheet, ("", state.made_by(printed.job)))[1]  # it may be called otherwise now
        if sheet is None:
            broken = printed.job in jobs
            found.append(Stale(printed.sheet, printed.day, (), gone=not broken, broken=broken))
        elif sheet.digest != printed.digest:
            edited = _since(printed, register, sheet, state)
            found += _stale(printed.sheet, printed.day, changes(printed.figures, shown_figures(sheet), edited))
    return sorted(found, key=lambda item: item.sheet)


def _stale(sheet: str, since: str, changed: tuple[Change, ...]) -> list[Stale]:
    return [Stale(sheet, since, changed)] if changed else []


def _since(printed: Printed, register: Register, sheet: Sheet, state: State) -> list[Edit]:
    """What has been edited since a sheet was printed; from the lines of its figures alone where the files were not kept."""
    found: list[Edit] = []
    for file in sorted({*printed.read, *(sheet.files if printed.read else ())}):
        old = register.files.get(f"{file}@{printed.read[file]}", {}) if file in printed.read else {}
        found += edits(file, old, state.leaves(file))
    if not printed.read:
        for origin in dict.fromkeys(origin for figure in printed.figures for origin in figure.origins):
            now = state.leaves(origin.file).get(origin.path)
            if now is not None and now.words != " ".join(origin.words.split()):
                found.append(Edit(origin.file, origin.path, now.line, origin.words, now.words))
    return found


def between(old: State, new: State) -> list[Stale]:
    """Sheets that say something else in ``new``, or are in one of them only, in order of their ids."""
    found = [Stale(name, "", (), new=True) for name in new.sheets.keys() - old.sheets.keys()]
    for name, (_, before) in sorted(old.sheets.items()):
        _, after = new.sheets.get(name, ("", None))
        if after is None:
            broken = any(planned.job.key == old.sheets[name][0] for planned in new.checked.jobs)
            found.append(Stale(name, "", (), gone=not broken, broken=broken))
        elif after.digest != before.digest:
            files = sorted({*before.files, *after.files})
            edited = [edit for file in files for edit in edits(file, words_of(old.leaves(file)), new.leaves(file))]
            found += _stale(name, "", changes(shown_figures(before), shown_figures(after), edited))
    return sorted(found, key=lambda item: item.sheet)
