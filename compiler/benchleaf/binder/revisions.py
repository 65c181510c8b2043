"""A workshop as git keeps it: the folder at a revision, unpacked somewhere else.  The only module that runs a command, and only git."""

from __future__ import annotations

import io
import subprocess
import tarfile
from pathlib import Path

from benchleaf.diagnostics import Diagnostic

__all__ = ["unpacked"]

_SECONDS = 120


def unpacked(workshop: Path, revision: str, into: Path) -> Diagnostic | None:
    """Put the workshop folder as it stood at a revision into the empty folder ``into``; what kept it from it otherwise."""
    named = revision[:60]
    if not revision or revision.startswith("-"):
        return Diagnostic("path/revision", f"`{named}` is not the name of a revision", hints=("name a commit, a tag or a branch",))
    inside = _git(workshop, "rev-parse", "--is-inside-work-tree")
    if inside is None:
        return Diagnostic("path/no-git", "the command `git` is not there", hints=("install git",))
    if inside.returncode:
        return Diagnostic("path/no-repository", f"`{workshop}` is not under version control by git", hints=("`git init` starts it",))
    found = _git(workshop, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    if found is None or found.returncode:
        shallow = _git(workshop, "rev-parse", "--is-shallow-repository")
        cut = shallow is not None and shallow.stdout.strip() == b"true"
        notes = ("this copy holds only the latest part of the history",) if cut else ()
        hints = ("`git fetch --unshallow` brings the rest",) if cut else ("`git log --oneline` lists them",)
        return Diagnostic("path/revision", f"git knows no revision `{named}`", notes=notes, hints=hints)
    tree = _git(workshop, "archive", "--format=tar", found.stdout.decode("ascii").strip())  # of the folder that git stands in
    if tree is None or tree.returncode:
        return Diagnostic("path/not-in-revision", f"the folder `{workshop}` is not in the revision `{named}`")
    with tarfile.open(fileobj=io.BytesIO(tree.stdout)) as archive:
        for member in archive:
            # Links that lead out of the folder are nothing that a sheet could be made from.
            if member.isfile() or member.isdir():
                archive.extract(member, into, filter="data")
    return None


def _git(folder: Path, *arguments: str) -> subprocess.CompletedProcess[bytes] | None:
    try:
        return subprocess.run(["git", "-C", str(folder), *arguments], capture_output=True, timeout=_SECONDS, check=False)
    except FileNotFoundError:
        return None
