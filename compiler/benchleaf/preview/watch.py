"""Which files of a folder have changed: by time and size of each, a few times a second."""

from __future__ import annotations

import os
from pathlib import Path

__all__ = ["Mark", "mark"]

Mark = frozenset[tuple[str, int, int]]
_MOST = 20_000  # files looked at; more than that is no workshop


def mark(folder: Path) -> Mark:
    """Name, time and size of every YAML file below a folder; hidden folders are left alone, and no symbolic link is followed."""
    found: set[tuple[str, int, int]] = set()
    for here, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in files:
            if len(found) >= _MOST:
                return frozenset(found)
            if name.lower().endswith((".yaml", ".yml")):
                path = f"{here}/{name}"
                try:
                    state = os.lstat(path)
                except OSError:
                    continue
                found.add((path, state.st_mtime_ns, state.st_size))
    return frozenset(found)
