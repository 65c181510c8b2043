"""From the paths that the user names to jobs with everything they name, and all faults of all files on the way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from benchleaf.diagnostics import Diagnostic, Span, close_matches, has_errors, ordered
from benchleaf.workshop import checks
from benchleaf.workshop.files import AnyModel, Library, Model
from benchleaf.workshop.gears import GearSet
from benchleaf.workshop.inputs import JobInputs, LatheInputs, Machine, ShaperInputs
from benchleaf.workshop.job import Job
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.links import WORKSHOP_FILE, Root, find_root, follow, shown, yaml_files
from benchleaf.workshop.material import Material
from benchleaf.workshop.names import sheet_names
from benchleaf.workshop.shaper import Shaper
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.tooling import Tooling
from benchleaf.workshop.values import Origin, Word

__all__ = ["JobFile", "Loaded", "load_path", "load_paths"]


@dataclass(frozen=True, slots=True)
class JobFile:
    """A job that was asked for.  ``inputs`` is None when faults in its files would make a plan mislead.

    ``key`` is its path inside the workshop ``folder``; ``files`` are all files it was read from: shown path to path inside that folder;
    ``name`` is what its sheet is called, which no other job of the workshop is.
    """

    path: Path
    shown: str
    key: str
    folder: Path
    inputs: JobInputs | None
    diagnostics: tuple[Diagnostic, ...]
    files: Mapping[str, str]
    name: str = ""

    @property
    def place(self) -> tuple[str, str]:
        """The workshop folder and the path inside it: what tells one job from all others."""
        return self.folder.as_posix(), self.key


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was found under the named paths: jobs in the order met, every fault in order of place, and the text of every file read by
    its shown path, for excerpts.  ``siblings`` are the places of all jobs that the workshop files know of; ``models`` what every sound
    file holds, used by a job or not; ``paths`` where each file is."""

    jobs: tuple[JobFile, ...]
    diagnostics: tuple[Diagnostic, ...]
    lines: Mapping[str, Sequence[str]]
    siblings: tuple[tuple[str, str], ...]
    models: tuple[AnyModel, ...]
    paths: Mapping[str, Path]

    @property
    def files(self) -> tuple[str, ...]:
        """Every file that was read, as the user would type it."""
        return tuple(sorted(self.lines))


@dataclass(slots=True)
class _Part:
    """Faults and files gathered while one thing and all it names are put together."""

    faults: list[Diagnostic] = field(default_factory=list)
    files: dict[Path, None] = field(default_factory=dict)

    def take(self, other: _Part) -> None:
        self.faults += other.faults
        self.files.update(other.files)


def load_path(path: Path, cwd: Path) -> Loaded:
    """Load what one path names; see :func:`load_paths`."""
    return load_paths([path], cwd)


def load_paths(paths: Iterable[Path], cwd: Path) -> Loaded:
    """Load jobs, machines, gear sets, drawers, materials, workshop files and workshop folders, each file once.

    ``cwd`` is where the user stands: relative paths start there and faults are shown from there.
    """
    loader = _Loader(cwd.resolve())
    for path in paths:
        loader.named(path)
    faults = (*loader.faults, *(fault for job in loader.jobs.values() for fault in job.diagnostics))
    siblings = tuple(dict.fromkeys(loader.siblings))
    library, jobs = loader.library, tuple(_named(list(loader.jobs.values()), siblings))
    return Loaded(jobs, ordered(faults), library.lines(), siblings, library.models(), library.paths())


def _named(jobs: Sequence[JobFile], siblings: Sequence[tuple[str, str]]) -> Iterator[JobFile]:
    """The jobs with the names of their sheets, which tell them apart within each workshop."""
    places = dict.fromkeys((*siblings, *(job.place for job in jobs)))
    names: dict[tuple[str, str], str] = {}
    for folder in {job.place[0] for job in jobs}:
        names |= sheet_names([place for place in places if place[0] == folder])
    for job in jobs:
        yield replace(job, name=names[job.place])


class _Loader:
    """One run: the files read so far and what came of them."""

    def __init__(self, cwd: Path) -> None:
        self.cwd = cwd
        self.library = Library()
        self.jobs: dict[Path, JobFile] = {}
        self.faults: list[Diagnostic] = []
        self.siblings: list[tuple[str, str]] = []
        self._shops: dict[Path, _Part] = {}
        self._machines: dict[Path, tuple[LatheInputs | None, _Part]] = {}
        self._shapers: dict[Path, tuple[ShaperInputs | None, _Part]] = {}

    # What the user named

    def named(self, path: Path) -> None:
        """Load one path of the command line."""
        whole = self.cwd / path
        try:
            real = whole.resolve(strict=True)
        except (OSError, RuntimeError, ValueError):  # Python 3.11 raises RuntimeError for a loop of symbolic links
            self.faults.append(_not_there(path, whole))
            return
        if real.is_dir():
            self._folder(real)
            return
        root = Root(find_root(real.parent), self.cwd)
        if not real.is_file():
            self.faults.append(Diagnostic("path/not-a-file", f"`{path}` is not an ordinary file"))
            return
        match self.library.read(real, root).kind:
            case "workshop":
                self._workshop(real, root)
            case "job":
                self._job(real, root, ())
            case "lathe":
                self.faults += self._machine(real, root, ())[1].faults
            case "shaper":
                self.faults += self._shaper(real, root, ())[1].faults
            case _:
                self.faults += self.library.read(real, root).diagnostics

    def _folder(self, folder: Path) -> None:
        where = shown(folder, self.cwd)
        if WORKSHOP_FILE not in yaml_files(folder):
            self.faults.append(_no_workshop(folder, where))
            return
        root = Root(folder, self.cwd)
        file = follow(Word(WORKSHOP_FILE, Origin("", Span(root.shown(folder / WORKSHOP_FILE)))), folder, root)
        if isinstance(file, Diagnostic):
            self.faults.append(file)
        else:
            self._workshop(file, root)

    # Files and what they name

    def _linked(
        self, link: Word, by: Path, kind: str, root: Root, trail: tuple[Path, ...], part: _Part, or_kind: str | None = None
    ) -> Path | None:
        """The file that ``link`` in the file ``by`` means, when it is of the wanted kind (or of ``or_kind``); faults go into ``part``."""
        target = follow(link, self.library.folder_of(link) or by.parent, root)
        if isinstance(target, Diagnostic):
            part.faults.append(target)
            return None
        chain = (*trail, by)
        if target in chain:
            names = " -> ".join(root.shown(path) for path in (*chain[chain.index(target) :], target))
            part.faults.append(Diagnostic("link/cycle", "files that name one another in a circle", link.origin.span, notes=(names,)))
            return None
        file = self.library.read(target, root)
        part.files.update(dict.fromkeys((target, *file.bases)))
        if file.kind not in (kind, or_kind, None):
            part.faults.append(
                Diagnostic(
                    "link/kind",
                    f"`{link.value}` is a {file.kind} file, a {kind if or_kind is None else f'{kind} or {or_kind}'} file belongs here",
                    link.origin.span,
                    related=((Span(root.shown(target)), "the file it names"),),
                )
            )
            return None
        part.faults += file.diagnostics
        return target

    def _models(self, model: type[Model], key: str, by: Path, root: Root, trail: tuple[Path, ...], part: _Part) -> dict[Path, Model]:
        """The sound ones of the files that the file ``by`` names under ``key``, each once."""
        found: dict[Path, Model] = {}
        for link in self._links(by, key, root):
            path = self._linked(link, by, _KINDS[model], root, trail, part)
            value = None if path is None else self.library.read(path, root).value(model)
            if path is not None and value is not None:
                found[path] = value
        return found

    def _links(self, path: Path, key: str, root: Root) -> tuple[Word, ...]:
        return self.library.read(path, root).links.get(key, ())

    def _machine(self, path: Path, root: Root, trail: tuple[Path, ...]) -> tuple[LatheInputs | None, _Part]:
        if path in self._machines:
            return self._machines[path]
        file = self.library.read(path, root)
        part = _Part(list(file.diagnostics), dict.fromkeys((path, *file.bases)))
        lathe, machine = file.value(Lathe), None
        gear_sets = tuple(self._models(GearSet, "gears", path, root, trail, part).values())
        toolings = tuple(self._models(Tooling, "tooling", path, root, trail, part).values())
        if lathe is not None and not has_errors(part.faults):
            part.faults += [*checks.check_mounted(lathe, gear_sets), *checks.check_drawers(toolings)]
            if not has_errors(part.faults):
                machine = LatheInputs(lathe, gear_sets, toolings)
        self._machines[path] = machine, part
        return machine, part

    def _shaper(self, path: Path, root: Root, trail: tuple[Path, ...]) -> tuple[ShaperInputs | None, _Part]:
        if path in self._shapers:
            return self._shapers[path]
        file = self.library.read(path, root)
        part = _Part(list(file.diagnostics), dict.fromkeys((path, *file.bases)))
        shaper = file.value(Shaper)
        toolings = tuple(self._models(Tooling, "tooling", path, root, trail, part).values())
        part.faults += checks.check_drawers(toolings)
        machine = ShaperInputs(shaper, toolings) if shaper is not None and not has_errors(part.faults) else None
        self._shapers[path] = machine, part
        return machine, part

    def _any_machine(self, link: Word, by: Path, root: Root, trail: tuple[Path, ...], part: _Part) -> Machine | None:
        """The lathe or shaper that a link means; its faults go into ``part``."""
        path = self._linked(link, by, "lathe", root, trail, part, "shaper")
        if path is None:
            return None
        shaper = self.library.read(path, root).kind == "shaper"
        machine, inner = self._shaper(path, root, (*trail, by)) if shaper else self._machine(path, root, (*trail, by))
        part.take(inner)
        return machine

    def _shop(self, path: Path, root: Root) -> _Part:
        """The workshop file on its own: what it names is read by those who want it."""
        if path not in self._shops:
            file = self.library.read(path, root)
            self._shops[path] = _Part(list(file.diagnostics), {path: None})
            for link in self._links(path, "jobs", root):
                target = follow(link, path.parent, root)
                if isinstance(target, Path):
                    self.siblings.append((root.folder.as_posix(), target.relative_to(root.folder).as_posix()))
        return self._shops[path]

    def _shop_drawers(self, root: Root) -> tuple[dict[Path, Tooling], _Part]:
        """The drawers that the workshop file gives to every machine."""
        part = _Part()
        path = follow(Word(WORKSHOP_FILE, Origin("", Span(WORKSHOP_FILE))), root.folder, root)
        if isinstance(path, Diagnostic) or self.library.read(path, root).kind not in ("workshop", None):
            return {}, part
        part.take(self._shop(path, root))
        return self._models(Tooling, "tooling", path, root, (), part), part

    def _workshop(self, path: Path, root: Root) -> None:
        part = _Part()
        part.take(self._shop(path, root))
        for link in self._links(path, "machines", root):
            self._any_machine(link, path, root, (), part)
        self._models(Tooling, "tooling", path, root, (), part)
        self._models(Material, "materials", path, root, (), part)
        self._models(ThreadList, "threads", path, root, (), part)
        for link in self._links(path, "jobs", root):
            job = self._linked(link, path, "job", root, (), part)
            if job is not None:
                self._job(job, root, (path,))
        self.faults += part.faults

    def _job(self, path: Path, root: Root, trail: tuple[Path, ...]) -> None:
        if path in self.jobs:
            return
        file = self.library.read(path, root)
        part = _Part(list(file.diagnostics), {path: None})
        inputs = self._job_inputs(file.value(Job), path, root, trail, part)
        files = {root.shown(name): name.relative_to(root.folder).as_posix() for name in part.files}
        key = path.relative_to(root.folder).as_posix()
        self.jobs[path] = JobFile(path, root.shown(path), key, root.folder, inputs, ordered(part.faults), files)

    def _job_inputs(self, job: Job | None, path: Path, root: Root, trail: tuple[Path, ...], part: _Part) -> JobInputs | None:
        """Read everything that a job names, even where the job itself has faults; put it together when all of it is sound."""
        drawers, shop = self._shop_drawers(root)
        part.take(shop)
        machine: Machine | None = None
        for link in self._links(path, "machine", root):
            machine = self._any_machine(link, path, root, trail, part)
        elsewhere: dict[str, Machine] = {}
        for link in self._links(path, "elsewhere", root):
            other = self._any_machine(link, path, root, trail, part)
            if other is not None:
                elsewhere[link.value] = other
        material = next(iter(self._models(Material, "material", path, root, trail, part).values()), None)
        own = self._models(Tooling, "tooling", path, root, trail, part)
        if job is None or machine is None or material is None:
            return None
        of_machines = [drawer for each in (machine, *elsewhere.values()) for drawer in each.toolings]
        toolings = tuple({id(drawer): drawer for drawer in (*of_machines, *own.values(), *drawers.values())}.values())
        part.faults += checks.check_drawers(toolings)
        sound = not has_errors(part.faults)
        return JobInputs(job, machine, elsewhere, material, toolings) if sound else None


_KINDS: Mapping[type, str] = {GearSet: "gear-set", Tooling: "tooling", Material: "material", ThreadList: "thread-list"}


def _not_there(path: Path, whole: Path) -> Diagnostic:
    if whole.is_symlink():
        return Diagnostic("path/missing", f"`{path}` is a symbolic link that leads nowhere or back to itself")
    folder = whole.parent
    try:
        names = sorted(entry.name for entry in folder.iterdir() if not entry.name.startswith("."))
    except OSError:
        return Diagnostic("path/missing", f"there is no `{path}`", hints=("check the spelling of the folder",))
    close = [str(path.parent / name) for name in close_matches(whole.name, names)]
    if close:
        hint = "did you mean " + " or ".join(f"`{name}`" for name in close) + "?"
    else:
        listed = [name for name in names if name in yaml_files(folder) or (folder / name).is_dir()][:8]
        hint = f"in that folder: {', '.join(listed)}" if listed else "nothing there looks like a file of a workshop"
    return Diagnostic("path/missing", f"there is no `{path}`", hints=(hint,))


def _no_workshop(folder: Path, where: str) -> Diagnostic:
    """A folder was named that holds no workshop file: say what could be named instead."""
    names = yaml_files(folder)
    shops = [inner.parent for depth in ("*", "*/*") for inner in folder.glob(f"{depth}/{WORKSHOP_FILE}")]
    below = sorted(shop.relative_to(folder).as_posix() for shop in shops)
    prefix = "" if where == "." else f"{where}/"
    hints = [f"did you mean `{prefix}{name}`?" for name in below[:3]]
    if names:
        listed = ", ".join(f"`{prefix}{name}`" for name in names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
        hints.append(f"name one of its files: {listed}")
    if not hints:
        hints.append("name a job, or the folder of a workshop")
    lacks = f"no {WORKSHOP_FILE}" if names else "no YAML files" if any(folder.iterdir()) else "nothing"
    return Diagnostic("path/no-workshop", f"the folder `{where}` holds {lacks}", hints=tuple(hints))
