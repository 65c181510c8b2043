"""Names of the files in the output folder."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from pathlib import PurePosixPath

__all__ = ["Job", "sheet_names"]

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
    taken = {"index"}  # the contents of the folder
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
