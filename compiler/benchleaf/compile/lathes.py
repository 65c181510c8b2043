"""Lists of threads on lathes: from the paths that are named to charts and plans, as sheets."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from benchleaf.compile import Stages, settled
from benchleaf.diagnostics import Diagnostic, close_matches, has_errors, ordered
from benchleaf.operations.chart import Asked, Wish, chart, named_set, own_list, set_named
from benchleaf.operations.desk import Faults
from benchleaf.operations.planning import Asked as AskedOfPlan
from benchleaf.operations.planning import WhatIf, faults_of, problem_of, work_out
from benchleaf.record import record
from benchleaf.sheet.model import Sheet
from benchleaf.standards.speeds import material_group, material_names
from benchleaf.standards.threads import known_sets
from benchleaf.units import Parsed, parse
from benchleaf.workshop.charts import LoadedCharts, MachineFile, load_charts
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.links import is_yaml
from benchleaf.workshop.threads import ThreadList

__all__ = ["LatheSheets", "ListOfThreads", "WhatIf", "charts", "close_materials", "limit_in", "material_row", "plans"]

Make = Callable[[LatheInputs, tuple[Wish, ...], str], tuple[Sheet | None, list[Diagnostic]]]
"""The sheet of a lathe for some threads, with its name; None with the faults that leave nothing to make."""


@record
class ListOfThreads:
    """A lathe's file (or a workshop, for all of its lathes), and threads by the names of lists or files of kind `thread-list`: those of
    the workshop when none is named.  ``limit`` is the largest lead error allowed, a ratio; ``material`` a row of the table of cutting
    speeds, ``tool`` what the tool is made of.  ``cwd`` is where the user stands."""

    lathe: Path
    sets: tuple[str, ...]
    limit: Fraction
    material: str
    tool: str
    cwd: Path


@record
class LatheSheets:
    """Sheets with the lathe's file and the name that their files have; faults in order of place; the text of every file read."""

    sheets: tuple[tuple[MachineFile, str, Sheet], ...]
    diagnostics: tuple[Diagnostic, ...]
    lines: Mapping[str, Sequence[str]]


def charts(asked: ListOfThreads, stages: Stages | None = None) -> LatheSheets:
    """For each lathe what hangs beside it: for every thread wheels, levers, error, half-nuts and speed."""

    def make(machine: LatheInputs, threads: tuple[Wish, ...], name: str) -> tuple[Sheet | None, list[Diagnostic]]:
        return chart(Asked(machine, threads, asked.limit, asked.material, asked.tool, name)), []

    return _for_each_lathe(asked, "threads", make, stages or Stages())


def plans(asked: ListOfThreads, what_if: WhatIf, add: int, stages: Stages | None = None) -> LatheSheets:
    """For each lathe the fewest set-ups of wheels with what is left after ``what_if``, and up to ``add`` wheels that would mend more."""

    def make(machine: LatheInputs, threads: tuple[Wish, ...], name: str) -> tuple[Sheet | None, list[Diagnostic]]:
        faults: list[Diagnostic] = faults_of(problem_of(machine), what_if)
        of = AskedOfPlan(machine, threads, asked.limit, asked.material, asked.tool, name)
        return (None, faults) if faults else (work_out(of, what_if, add), [])

    return _for_each_lathe(asked, "plan", make, stages or Stages())


def limit_in(words: str) -> Fraction | str:
    """A share such as ``200 ppm`` as a ratio; or what is wrong with it."""
    found = parse("share", words)
    return found.value if isinstance(found, Parsed) else f"{found.message}; write it as `200 ppm` or `0.02 %`"


def material_row(words: str) -> str | None:
    """The row of the table of cutting speeds that is meant; None when there is none (:func:`close_materials` has the next)."""
    group = material_group(words)
    return None if group is None else group.name


def close_materials(words: str) -> tuple[str, ...]:
    """Names in the table of cutting speeds that look like these words."""
    return close_matches(words, list(material_names(aliases=True)))


def _for_each_lathe(asked: ListOfThreads, ending: str, make: Make, stages: Stages) -> LatheSheets:
    with stages.stage("load"):
        lists = [Path(name) for name in asked.sets if _is_list_file(name)]
        loaded = load_charts(asked.lathe, lists, asked.cwd, own=not asked.sets)
        threads, faults = _threads_named(asked.sets, loaded)
    ready = [machine for machine in loaded.machines if machine.inputs is not None] if threads else []
    made: list[tuple[MachineFile, str, Sheet]] = []
    for number, (machine, name) in enumerate(zip(ready, _names([machine.path for machine in ready], ending), strict=True), 1):
        stages.progress("plan", number, len(ready), machine.shown)
        assert machine.inputs is not None, "looked at above"
        with stages.stage("plan"):
            sheet, found = make(machine.inputs, threads, name)
        faults += found
        if sheet is not None:
            made.append((machine, name, settled(sheet, machine.files, name)))
    return LatheSheets(tuple(made), ordered([*loaded.diagnostics, *faults]), loaded.lines)


def _is_list_file(name: str) -> bool:
    """Is a file meant, and not the name of a list?"""
    return is_yaml(name) or "/" in name or Path(name).is_file()


def _threads_named(sets: Sequence[str], loaded: LoadedCharts) -> tuple[tuple[Wish, ...], list[Diagnostic]]:
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
    complete = not has_errors(faults.found) and len(loaded.lists) >= sum(_is_list_file(name) for name in sets)
    return tuple(found.values()) if complete else (), faults.found


def _list(name: str, own: Iterator[ThreadList], faults: Faults) -> tuple[Wish, ...]:
    if _is_list_file(name):
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


def _names(lathes: Sequence[Path], ending: str) -> list[str]:
    """For each lathe the name that its files in the output folder have, after its own file."""
    often = Counter(path.stem.casefold() for path in lathes)
    return [f"{path.stem if often[path.stem.casefold()] == 1 else f'{path.parent.name}-{path.stem}'}-{ending}" for path in lathes]
