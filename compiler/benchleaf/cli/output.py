"""Files in the output folder: their names, and writing them so that nothing is ever half-written."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path, PurePosixPath

__all__ = ["Job", "sheet_names", "write_all", "write_file"]

Job = tuple[str, str]  # a workshop's folder, and the path of a job inside it


def _safe(words: str) -> str:
    """A name fit for a file on any system: letters, digits, dot, hyphen and underscore."""
    return re.sub(r"[^\w.-]+", "-", words).strip(".-") or "sheet"


def sheet_names(jobs: Sequence[Job], siblings: Sequence[Job] = ()) -> dict[Job, str]:
    """For each job the name that its files in the output folder have, without a suffix.

    A job is called after its file.  Where names would clash (on any system, so capitals do not tell them apart) its folders inside the
    workshop go in front, then the workshop's own.  ``siblings`` are the other jobs of the workshop: they count for clashes, so that a
    job has the same name whether it is built alone or with the rest.
    """
    everything = sorted({*jobs, *siblings})
    inside = {job: PurePosixPath(job[1]).with_suffix("") for job in everything}
    ways = [
        {job: _safe(path.name) for job, path in inside.items()},
        {job: _safe("-".join(path.parts)) for job, path in inside.items()},
        {job: _safe("-".join((PurePosixPath(job[0]).name, *path.parts))) for job, path in inside.items()},
    ]
    often = [Counter(name.casefold() for name in way.values()) for way in ways]
    names: dict[Job, str] = {}
    taken: set[str] = set()
    for job in everything:
        alone = [way[job] for way, count in zip(ways, often, strict=True) if count[way[job].casefold()] == 1]
        name = base = next((name for name in alone if name.casefold() not in taken), ways[-1][job])
        number = 1
        while name.casefold() in taken:
            number += 1
            name = f"{base}-{number}"
        names[job] = name
        taken.add(name.casefold())
    return {job: names[job] for job in jobs}


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
