"""Whole jobs on the lathe of the cases, given by their steps alone, and what their sheets say."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import NamedTuple

from benchleaf.compile import check_paths
from benchleaf.diagnostics import Diagnostic
from benchleaf.sheet.model import Figure, Section, Table

__all__ = ["Done", "figure", "job", "table"]

_SHOP = Path(__file__).parent / "cases" / "shop"


class Done(NamedTuple):
    """The sections of the sheet (none after an error) and the faults."""

    sections: list[Section]
    faults: list[Diagnostic]

    @property
    def codes(self) -> list[str]:
        """The codes of the faults."""
        return [fault.code for fault in self.faults]

    def of(self, kind: str) -> Section:
        """The first section of that kind."""
        return next(section for section in self.sections if section.kind == kind)


def job(
    folder: Path, steps: str, *, blank: str = "outside: 40 mm, length: 100 mm", held: str = "by: chuck, stands-out: 60 mm", group: str = "mild steel",
    drawer: str = "", lathe: str = "lathe-route", missing: str = "plan", speeds: str = "",
) -> Done:
    """Plan steps (flow YAML, one a line).  ``drawer`` is more tooling, ``speeds`` the material's own cutting speeds."""
    shop = folder / "shop"
    shutil.copytree(_SHOP, shop, dirs_exist_ok=True)
    (shop / "job-material.yaml").write_text(f"schema: 1\nkind: material\nname: Material\ngroup: {group}\n{speeds}\n", encoding="utf-8")
    (shop / "job-drawer.yaml").write_text(f"schema: 1\nkind: tooling\nname: More\n{drawer}\n", encoding="utf-8")
    lines = "\n".join(f"  - {line}" for line in steps.strip().splitlines())
    (shop / "job.yaml").write_text(
        f"schema: 1\nkind: job\nname: Job\nmachine: {lathe}.yaml\ntooling: [job-drawer.yaml]\nmaterial: job-material.yaml\n"
        f"blank: {{{blank}}}\nheld: {{{held}}}\nmissing-steps: {missing}\nsteps:\n{lines}\n",
        encoding="utf-8",
    )
    checked = check_paths([shop / "job.yaml"], shop)
    sheet = checked.jobs[0].sheet if checked.jobs else None
    return Done(list(sheet.sections) if sheet is not None else [], list(checked.diagnostics))


def figure(section: Section, figure_id: str) -> Figure:
    """A figure of a section by its id."""
    return next(item for item in section.figures() if item.id == figure_id)


def table(section: Section, table_id: str) -> Table:
    """A table of a section by its id."""
    return next(item for item in section.tables() if item.id == table_id)
