"""The template environment: sandboxed, strict, and closed to anything that is not text."""

from __future__ import annotations

from functools import cache
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined, Template
from jinja2.sandbox import ImmutableSandboxedEnvironment

from benchleaf.resources import data_folder

__all__ = ["TEMPLATES", "block_template", "script", "stylesheet", "template"]

TEMPLATES = "templates"


def _only_text(value: Any) -> Any:
    """Refuse what would print as 'None', 'True' or 0.30000000000000004: a sheet shows ready text."""
    if value is None or isinstance(value, (bool, float)):
        raise TypeError(f"a template printed {value!r}")
    return value


@cache
def template(name: str = "sheet.html.j2") -> Template:
    """A template of ours, that of the sheet unless named.  Raises FileNotFoundError when the installation is broken."""
    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(data_folder(TEMPLATES)),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_only_text,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    for unsafe in ("safe", "default", "d"):  # each would let something through unescaped or hide a missing figure
        del environment.filters[unsafe]
    environment.globals.clear()
    return environment.get_template(name)


@cache
def block_template(kind: str) -> str:
    """The template that sections of a kind have of their own, below their heading; '' for none.  Names are ours, never a user's."""
    name = f"operations/{kind}.html.j2"
    return name if (data_folder(TEMPLATES) / name).is_file() else ""


@cache
def stylesheet(name: str) -> str:
    """A stylesheet of ours, such as 'sheet', 'screen', 'print' or 'fonts'."""
    return (data_folder(TEMPLATES) / f"{name}.css").read_text(encoding="utf-8")


@cache
def script(name: str) -> str:
    """A script of ours, 'sheet' or 'index'."""
    return (data_folder(TEMPLATES) / f"{name}.js").read_text(encoding="utf-8")
