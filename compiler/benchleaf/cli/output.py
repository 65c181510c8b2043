"""Files written so that nothing is ever half-written."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

__all__ = ["write_all", "write_file"]


def write_all(folder: Path, contents: Mapping[str, bytes]) -> None:
    """Write files of one sheet into ``folder`` (made when missing): all are complete on disk before the first takes its place.

    File names may not contain a folder.  A symbolic link in the way is replaced, never written through.  Raises OSError.
    """
    folder.mkdir(parents=True, exist_ok=True)
    ready: list[tuple[Path, Path]] = []
    try:
        for name, content in contents.items():
            if not name or name != Path(name).name:
                raise ValueError(f"{name!r} is not a plain file name")
            target = folder / name
            if target.is_dir() and not target.is_symlink():
                raise IsADirectoryError(21, "a folder of that name is in the way", str(target))
            handle, made = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=folder)
            temporary = Path(made)
            ready.append((temporary, target))
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            temporary.chmod(0o666 & ~_umask())
        for temporary, target in ready:
            temporary.replace(target)
    finally:
        for temporary, _ in ready:
            with contextlib.suppress(OSError):
                temporary.unlink()


def write_file(path: Path, content: bytes) -> None:
    """Write one file whole or not at all."""
    write_all(path.parent, {path.name: content})


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
