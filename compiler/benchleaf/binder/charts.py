"""Charts and plans put into the folder of sheets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from benchleaf.binder.build import MACHINE, Built
from benchleaf.binder.folder import not_written, opened
from benchleaf.binder.keys import Paper
from benchleaf.compile import Stages, render
from benchleaf.compile.lathes import LatheSheets
from benchleaf.diagnostics import Diagnostic, Severity, ordered
from benchleaf.render import FORMATS

__all__ = ["write_charts"]


def write_charts(
    made: LatheSheets, kind: str, out: Path, formats: Sequence[str], on: Paper, stages: Stages, waiting: Callable[[], None] = lambda: None
) -> Built:
    """Write the sheets of lathes in each format; they are made anew every time.  ``kind`` tells a chart from a plan of the same lathe;
    the rest as for :func:`benchleaf.binder.build.build`."""
    faults: list[Diagnostic] = []
    built = Built(lines=made.lines)
    try:
        with opened(out, waiting=waiting) as folder:
            for number, (machine, name, sheet) in enumerate(made.sheets, 1):
                stages.progress("sheet", number, len(made.sheets), machine.shown)
                contents, found = render(sheet, formats, stages, on)
                faults += found
                if all(fault.severity is not Severity.ERROR or fault.code in MACHINE for fault in found):
                    place = (machine.folder.as_posix(), machine.key, kind)
                    folder.put(place, "", name, contents, sheet, (), [FORMATS[form][0] for form in formats])
            folder.go_live(folder.known.last)
            built.written, built.left = folder.written, folder.left
    except OSError as fault:
        faults.append(not_written(out, fault))
    built.faults = ordered([*made.diagnostics, *faults])
    return built
