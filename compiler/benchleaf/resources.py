"""Where the schemas, templates and demo profiles are: in the checkout, or inside the installed package."""

from __future__ import annotations

from pathlib import Path

__all__ = ["data_folder"]

_PACKAGE = Path(__file__).parent


def data_folder(name: str) -> Path:
    """The folder 'schemas', 'templates' or 'profiles'.  Raises FileNotFoundError when the installation is broken."""
    for folder in (_PACKAGE / "_data" / name, _PACKAGE.parent.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"the {name} folder of this installation is missing")
