"""One job through all stages: load, plan, render.  Every stage returns its value and the faults it found; none prints or stops early."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, fields, is_dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf import __version__
from benchleaf.diagnostics import Diagnostic, has_errors, ordered
from benchleaf.workshop.load import JobFile, Loaded, load_paths
from benchleaf.workshop.material import Material
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.tooling import Tooling

if TYPE_CHECKING:
    from benchleaf.sheet.model import Sheet  # a check of machines alone has no sheets

__all__ = [
    "Checked", "PlannedJob", "Stages", "check_paths", "finished", "load", "plan_job", "render", "settled", "sheet_of",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class PlannedJob:
    """A job and its sheet; None when faults of the job, or of files it needs, leave nothing true to print."""

    job: JobFile
    sheet: Sheet | None


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of the named paths: jobs in the order met, all faults in order of place, the text of every file read (for excerpts),
    and the jobs that the workshop files know of."""

    jobs: tuple[PlannedJob, ...]
    diagnostics: tuple[Diagnostic, ...]
    lines: Mapping[str, Sequence[str]]
    siblings: tuple[tuple[str, str], ...]


@dataclass(slots=True)
class Stages:
    """Seconds spent in each stage, and whom to tell how far the work has come (stage, number, of how many, name)."""

    seconds: dict[str, float] = field(default_factory=dict)
    progress: Callable[[str, int, int, str], None] = lambda *_: None

    @contextmanager
    def stage(self, name: str) -> Iterator[None]:
        """Count the time inside towards a stage."""
        start = time.perf_counter()
        try:
            yield
        finally:
            self.seconds[name] = self.seconds.get(name, 0.0) + time.perf_counter() - start


def check_paths(paths: Iterable[Path], cwd: Path, stages: Stages | None = None) -> Checked:
    """Load everything that the paths name and plan every job whose files are sound.  ``cwd`` is where the user stands."""
    stages = stages or Stages()
    loaded, faults = load(paths, cwd, stages)
    planned = []
    for number, job in enumerate(loaded.jobs, 1):
        stages.progress("plan", number, len(loaded.jobs), job.shown)
        done, found = plan_job(job, stages)
        planned.append(done)
        faults += found
    return Checked(tuple(planned), ordered(faults), loaded.lines, loaded.siblings)


def load(paths: Iterable[Path], cwd: Path, stages: Stages | None = None) -> tuple[Loaded, list[Diagnostic]]:
    """Everything that the paths name, and the faults of the files: the first half of :func:`check_paths`."""
    stages = stages or Stages()
    with stages.stage("load"):
        loaded = load_paths(paths, cwd)
    with stages.stage("plan"):
        return loaded, [*loaded.diagnostics, *_spelled(loaded)]


def plan_job(job: JobFile, stages: Stages) -> tuple[PlannedJob, list[Diagnostic]]:
    """One job that was loaded, planned, with the faults of its plan: the second half of :func:`check_paths`."""
    with stages.stage("plan"):
        sheet, found = _plan(job)
    return PlannedJob(job, sheet), found


def _spelled(loaded: Loaded) -> list[Diagnostic]:
    if not any(isinstance(model, (Material, ThreadList, Tooling)) for model in loaded.models):
        return []
    from benchleaf.operations.spellings import check_spellings  # only those who have such a file pay for it

    return check_spellings(loaded.models)


def _plan(job: JobFile) -> tuple[Sheet | None, list[Diagnostic]]:
    if job.inputs is None:
        return None, []
    from benchleaf.operations.route import plan  # only sound jobs pay for it

    sheet, found = plan(job.inputs)
    return (None if has_errors([*job.diagnostics, *found]) else sheet), found


def settled(sheet: Sheet, files: Mapping[str, str], name: str) -> Sheet:
    """The sheet as it is printed: its name, what it was made from (``files``: shown path to path inside the workshop), paths seen from the
    workshop folder (the same bytes wherever the command was typed), and its digest."""
    from benchleaf.sheet.digest import sealed

    moved: Sheet = _inside(sheet, files)
    return sealed(replace(moved, id=name, files=tuple(sorted(files.values())), program=f"benchleaf {__version__}"))


def _inside(value: Any, files: Mapping[str, str]) -> Any:
    """The same frozen data with the files of all its givens renamed."""
    from benchleaf.sheet.model import Given

    if isinstance(value, Given):
        return replace(value, file=files.get(value.file, value.file))
    if isinstance(value, tuple):
        return tuple(_inside(item, files) for item in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{part.name: _inside(getattr(value, part.name), files) for part in fields(value)})
    return value


def finished(planned: PlannedJob) -> Sheet | None:
    """The sheet of a planned job as it is printed; None when the job has faults."""
    return None if planned.sheet is None else settled(planned.sheet, planned.job.files, planned.job.name)


def sheet_of(job: JobFile, stages: Stages | None = None) -> tuple[Sheet | None, list[Diagnostic]]:
    """A job that was loaded as a sheet, as it is printed, and the faults of its plan; None when they, or those of its files, leave nothing
    true to print."""
    planned, faults = plan_job(job, stages or Stages())
    return finished(planned), faults


def render(
    sheet: Sheet, formats: Sequence[str], stages: Stages | None = None, on: tuple[str, str, float] = ("A4", "side", 0.0)
) -> tuple[dict[str, bytes], list[Diagnostic]]:
    """A sheet in each format, by file suffix.  A format that cannot be made is left out and its fault returned.

    ``on`` names the paper, the side of its holes, and its bleed in mm; see :func:`benchleaf.render.paper.paper`.
    """
    from benchleaf.render import FORMATS, paper  # heavy: not for checks

    contents: dict[str, bytes] = {}
    faults: list[Diagnostic] = []
    for name in formats:
        suffix, back_end = FORMATS[name]
        with (stages or Stages()).stage(f"render {name}"):
            content, found = back_end(sheet, paper(*on))
        faults += found
        if content is not None:
            contents[suffix] = content
    return contents, faults
