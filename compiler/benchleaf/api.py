"""Benchleaf from Python: what the commands are made of, and all that they use.

A workshop is loaded, its jobs compiled to sheets, sheets rendered::

    from pathlib import Path
    from benchleaf import api

    loaded, faults = api.load([Path("profiles/osier-lane")], Path.cwd())
    for job in loaded.jobs:
        sheet, found = api.sheet_of(job)
        if sheet is not None:
            files, _ = api.render(sheet, ["html"])

Whatever is wrong with a user's file comes back as :class:`Diagnostic`; nothing here prints, and nothing writes but :func:`build` and
:func:`write_charts`.  Names are looked up when they are asked for, so that ``import benchleaf.api`` costs nothing: a check does not load
what only printing needs.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from benchleaf.binder.build import MACHINE, Asked, Built, build
    from benchleaf.binder.changes import as_data as change_as_data
    from benchleaf.binder.changes import as_fault as change_as_fault
    from benchleaf.binder.changes import told as change_in_words
    from benchleaf.binder.charts import write_charts
    from benchleaf.binder.keys import Paper
    from benchleaf.binder.register import REGISTER_FILE, with_printed
    from benchleaf.binder.register import read as read_register
    from benchleaf.binder.revisions import unpacked
    from benchleaf.binder.state import Stale, State
    from benchleaf.binder.state import between as sheets_between
    from benchleaf.binder.state import entry as register_entry
    from benchleaf.binder.state import stale as stale_sheets
    from benchleaf.binder.swap import locked
    from benchleaf.compile import Checked, Stages, finished, load, render, sheet_of
    from benchleaf.compile import check_paths as check
    from benchleaf.compile.lathes import LatheSheets, ListOfThreads, WhatIf, charts, close_materials, limit_in, material_row, plans
    from benchleaf.describe import Dialog, document, shown_file
    from benchleaf.describe import filled as gaps_filled
    from benchleaf.describe.reading import plain
    from benchleaf.diagnostics import Diagnostic, Severity, Span
    from benchleaf.explain import Library as ExplainLibrary
    from benchleaf.explain import UnknownFigure, explain
    from benchleaf.explain import entries as explained_entries
    from benchleaf.explain import find as find_figure
    from benchleaf.explain import listing as list_figures
    from benchleaf.preview import Preview, serve
    from benchleaf.preview.server import Built as Previewed
    from benchleaf.preview.server import run as run_preview
    from benchleaf.render.own import filled
    from benchleaf.report.codes import codes
    from benchleaf.sheet.from_json import from_json
    from benchleaf.sheet.model import Given, Sheet
    from benchleaf.source.layout import laid_out, layout_refused
    from benchleaf.source.migrations import migrated
    from benchleaf.source.shapes import names as schema_names
    from benchleaf.source.shapes import schema_text
    from benchleaf.source.text import read_text
    from benchleaf.source.yaml_ import load as read_yaml
    from benchleaf.workshop.links import is_ours, shown
    from benchleaf.workshop.names import sheet_names

__all__ = [
    "Asked", "Built", "Checked", "Diagnostic", "Dialog", "ExplainLibrary", "Given", "LatheSheets", "ListOfThreads", "MACHINE", "Paper",
    "Preview", "Previewed", "REGISTER_FILE", "Severity", "Sheet", "Span", "Stages", "Stale", "State", "UnknownFigure", "WhatIf", "build",
    "change_as_data", "change_as_fault", "change_in_words", "charts", "check", "close_materials", "codes", "document", "explain",
    "explained_entries", "filled", "find_figure", "finished", "from_json", "gaps_filled", "is_ours", "laid_out", "layout_refused",
    "limit_in", "list_figures", "load", "locked", "material_row", "migrated", "plain", "plans", "read_register", "read_text",
    "read_yaml", "register_entry", "render", "run_preview", "schema_names", "schema_text", "serve", "sheet_names", "sheet_of",
    "sheets_between", "shown", "shown_file", "stale_sheets", "unpacked", "with_printed", "write_charts",
]  # fmt: skip

# Where each name is; the imports above say the same to type checkers.
_PLACES = {
    "benchleaf.binder.build": ("MACHINE", "Asked", "Built", "build"),
    "benchleaf.binder.changes": ("change_as_data=as_data", "change_as_fault=as_fault", "change_in_words=told"),
    "benchleaf.binder.charts": ("write_charts",),
    "benchleaf.binder.keys": ("Paper",),
    "benchleaf.binder.register": ("REGISTER_FILE", "read_register=read", "with_printed"),
    "benchleaf.binder.revisions": ("unpacked",),
    "benchleaf.binder.state": ("Stale", "State", "register_entry=entry", "sheets_between=between", "stale_sheets=stale"),
    "benchleaf.binder.swap": ("locked",),
    "benchleaf.compile": ("Checked", "Stages", "check=check_paths", "finished", "load", "render", "sheet_of"),
    "benchleaf.compile.lathes": (
        "LatheSheets", "ListOfThreads", "WhatIf", "charts", "close_materials", "limit_in", "material_row", "plans",
    ),
    "benchleaf.describe": ("Dialog", "document", "gaps_filled=filled", "shown_file"),
    "benchleaf.describe.reading": ("plain",),
    "benchleaf.diagnostics": ("Diagnostic", "Severity", "Span"),
    "benchleaf.explain": (
        "ExplainLibrary=Library", "UnknownFigure", "explain", "explained_entries=entries", "find_figure=find", "list_figures=listing",
    ),
    "benchleaf.preview": ("Preview", "serve"),
    "benchleaf.preview.server": ("Previewed=Built", "run_preview=run"),
    "benchleaf.render.own": ("filled",),
    "benchleaf.report.codes": ("codes",),
    "benchleaf.sheet.from_json": ("from_json",),
    "benchleaf.sheet.model": ("Given", "Sheet"),
    "benchleaf.source.layout": ("laid_out", "layout_refused"),
    "benchleaf.source.migrations": ("migrated",),
    "benchleaf.source.shapes": ("schema_names=names", "schema_text"),
    "benchleaf.source.text": ("read_text",),
    "benchleaf.source.yaml_": ("read_yaml=load",),
    "benchleaf.workshop.links": ("is_ours", "shown"),
    "benchleaf.workshop.names": ("sheet_names",),
}  # fmt: skip
_NAMES = {entry.partition("=")[0]: (module, entry.partition("=")[2] or entry) for module, entries in _PLACES.items() for entry in entries}


def __getattr__(name: str) -> Any:
    """Import what is asked for."""
    if name not in _NAMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, inner = _NAMES[name]
    value = globals()[name] = getattr(import_module(module), inner)
    return value


def __dir__() -> list[str]:
    """The names that there are."""
    return sorted(__all__)
