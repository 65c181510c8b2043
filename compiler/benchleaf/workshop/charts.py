"""From the paths that a chart is asked for to machines and lists of threads, and all faults of their files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from benchleaf.diagnostics import Diagnostic, has_errors, ordered
from benchleaf.record import record
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.links import Root, find_root, follow
from benchleaf.workshop.load import _Loader
from benchleaf.workshop.threads import ThreadList

__all__ = ["LoadedCharts", "MachineFile", "load_charts"]


@record
class MachineFile:
    """A lathe that was asked for; ``inputs`` is None when faults in its files would mislead.  Paths as in
    :class:`~benchleaf.workshop.load.JobFile`."""

    path: Path
    shown: str
    key: str
    folder: Path
    inputs: LatheInputs | None
    files: Mapping[str, str]


@record
class LoadedCharts:
    """Lathes in the order met, lists in the order asked for (sound ones), every fault in order of place, and the text of every file."""

    machines: tuple[MachineFile, ...]
    lists: tuple[ThreadList, ...]
    diagnostics: tuple[Diagnostic, ...]
    lines: Mapping[str, Sequence[str]]


def load_charts(lathe: Path, lists: Sequence[Path], cwd: Path, *, own: bool = False) -> LoadedCharts:
    """Load a lathe, or all lathes of a workshop, and lists of threads (``own``: those of the workshop file too).

    ``cwd`` is where the user stands.
    """
    loader = _ChartLoader(cwd.resolve())
    loader.named(lathe)
    machines = loader.machine_files()
    if not machines and not has_errors(loader.faults):
        hint = "name a lathe's file, or a workshop that lists its machines"
        loader.faults.append(Diagnostic("path/not-a-lathe", f"`{lathe}` is no lathe and names none", hints=(hint,)))
    found: dict[str, str] = {}
    for path in (*lists, *(loader.workshop_lists() if own else ())):
        found |= loader.thread_list(path)
    machines = tuple(MachineFile(m.path, m.shown, m.key, m.folder, m.inputs, {**m.files, **found}) for m in machines)
    return LoadedCharts(machines, tuple(loader.lists), ordered(loader.faults), loader.library.lines())


class _ChartLoader(_Loader):
    """The loader of jobs, which keeps the machines that it meets; jobs are left alone."""

    def __init__(self, cwd: Path) -> None:
        super().__init__(cwd)
        self.lists: list[ThreadList] = []
        self._own_lists: list[Path] = []

    def _job(self, path: Path, root: Root, trail: tuple[Path, ...]) -> None:
        """A chart asks for no job."""

    def _workshop(self, path: Path, root: Root) -> None:
        super()._workshop(path, root)
        for link in self._links(path, "threads", root):
            target = follow(link, path.parent, root)
            if isinstance(target, Path):
                self._own_lists.append(target)

    def workshop_lists(self) -> tuple[Path, ...]:
        """The lists that workshop files name."""
        return tuple(dict.fromkeys(self._own_lists))

    def machine_files(self) -> tuple[MachineFile, ...]:
        """Every lathe met so far."""
        found = []
        for path, (inputs, part) in self._machines.items():
            root = Root(find_root(path.parent), self.cwd)
            sound = None if has_errors(part.faults) else inputs
            files = {root.shown(name): _inside(name, root.folder) for name in part.files}
            found.append(MachineFile(path, root.shown(path), _inside(path, root.folder), root.folder, sound, files))
        return tuple(found)

    def thread_list(self, path: Path) -> Mapping[str, str]:
        """Read a list.  Returns its shown path with the path inside its workshop folder; nothing when it is not there."""
        before = len(self.faults)
        self.named(path)
        if len(self.faults) > before:
            return {}
        real = (self.cwd / path).resolve()
        root = Root(find_root(real.parent), self.cwd)
        file = self.library.read(real, root)
        model = file.value(ThreadList)
        if model is None:
            words = f"`{path}` is a {file.kind} file, a list of threads belongs here"
            self.faults.append(Diagnostic("path/not-a-thread-list", words, hints=("start it with `kind: thread-list`",)))
            return {}
        self.lists.append(model)
        return {root.shown(real): _inside(real, root.folder)}


def _inside(path: Path, folder: Path) -> str:
    return path.relative_to(folder).as_posix()

