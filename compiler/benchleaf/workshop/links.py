"""From a link in a file to the file it means, never looking outside the workshop folder.

A link is walked name by name from the folder of the file that says it.  Every symbolic link on the way is read and judged before it is
followed, so that nothing outside the folder is opened, listed or even asked whether it exists.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Sequence
from pathlib import Path, PurePosixPath

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.source.shapes import kinds
from benchleaf.workshop.values import Word

__all__ = ["Root", "WORKSHOP_FILE", "find_root", "follow", "is_ours", "is_yaml", "shown", "yaml_files"]

WORKSHOP_FILE = "workshop.yaml"
_SUFFIXES = (".yaml", ".yml")
_LOOKED_AT = 65_536  # bytes
_MOST_LINKS = 40  # as many symbolic links as an operating system commonly follows


class Root:
    """The workshop folder: files may be linked inside ``folder`` (a path without symbolic links) and nowhere else.

    ``cwd`` is where the user stands; paths are shown from there.
    """

    __slots__ = ("cwd", "folder")

    def __init__(self, folder: Path, cwd: Path) -> None:
        self.folder = folder
        self.cwd = cwd

    def shown(self, path: Path) -> str:
        """The path as the user would type it."""
        return shown(path, self.cwd)


def shown(path: Path, cwd: Path) -> str:
    """A path as the user would type it: from where they stand when it lies below, else in full.  Forward slashes."""
    try:
        return path.relative_to(cwd).as_posix()
    except ValueError:
        return path.as_posix()


def is_yaml(name: str) -> bool:
    """Whether a file name says that it is YAML."""
    return name.lower().endswith(_SUFFIXES)


def is_ours(path: Path) -> bool:
    """Whether a file looks like one of a workshop: it says a version of the language, or to be of a kind that there is."""
    try:
        text = path.read_bytes()[:_LOOKED_AT].decode("utf-8", "replace")
    except OSError:
        return True  # whoever reads it will say what is wrong
    said = re.search(r"^kind *: *([a-z-]+)", text, re.MULTILINE)
    return (said is not None and said[1] in kinds()) or re.search(r"^schema *: *\d+ *(#|$)", text, re.MULTILINE) is not None


def yaml_files(folder: Path) -> list[str]:
    """Names of the YAML files of a folder in order; empty when it cannot be listed."""
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if is_yaml(entry.name))
    except OSError:
        return []


def find_root(start: Path) -> Path:
    """The workshop folder of a file in ``start``: the nearest folder, from there upwards, with a workshop file, else with a
    version-control folder, else ``start`` itself."""
    above = (start, *start.parents)
    for mark in (WORKSHOP_FILE, ".git"):
        for folder in above:
            if os.path.lexists(folder / mark):
                return folder
    return start


def follow(link: Word, base: Path, root: Root) -> Path | Diagnostic:
    """The file that ``link`` means, said by a file in the folder ``base`` (inside the root, free of symbolic links).

    Returns its path without symbolic links, or the fault: ``link/outside``, ``link/loop``, ``link/missing``, ``link/not-a-file``.
    """
    span, words = link.origin.span, link.value
    if "\\" in words:
        better = words.replace("\\", "/")
        return Diagnostic("link/backslash", "a path is written with forward slashes", span, hints=(f"write `{better}`",))
    reached = _walk(words, base, root, span)
    if isinstance(reached, Diagnostic):
        return reached
    try:
        mode = reached.lstat().st_mode
    except (OSError, ValueError):
        return _missing(words, reached, span)
    if stat.S_ISDIR(mode):
        inside = ", ".join(yaml_files(reached)[:6])
        hints = (f"name one of its files: {inside}",) if inside else ()
        return Diagnostic("link/not-a-file", f"`{words}` is a folder, not a file", span, hints=hints)
    if not stat.S_ISREG(mode):
        return Diagnostic("link/not-a-file", f"`{words}` is not an ordinary file", span)
    return reached


def _outside(words: str, span: Span) -> Diagnostic:
    return Diagnostic(
        "link/outside",
        f"`{words}` leaves the workshop folder",
        span,
        notes=("a workshop reads only files of its own folder, so that one from a stranger can do no harm",),
        hints=("copy the file into the workshop folder and name it there",),
    )


def _walk(words: str, base: Path, root: Root, span: Span) -> Path | Diagnostic:
    """Take one name after the other; symbolic links put their own names in front of what is left."""
    if words.startswith(("/", "~")) or words[1:2] == ":":
        return _outside(words, span)
    pending = list(reversed(PurePosixPath(words).parts))
    current = base
    hops: list[Path] = []
    while pending:
        name = pending.pop()
        if name == "..":
            if current == root.folder:
                return _outside(words, span)
            current = current.parent
            continue
        candidate = current / name
        try:
            target = str(candidate.readlink())
        except (OSError, ValueError):  # not a symbolic link, or not there
            current = candidate
            continue
        if candidate in hops or len(hops) == _MOST_LINKS:
            return _loop(words, [*hops[hops.index(candidate) if candidate in hops else 0 :], candidate], root, span)
        hops.append(candidate)
        parts = PurePosixPath(target).parts
        if target.startswith("/"):
            if not Path(target).is_relative_to(root.folder):
                return _outside(words, span)
            parts, current = Path(target).relative_to(root.folder).parts, root.folder
        pending.extend(reversed(parts))
    return current


def _loop(words: str, chain: Sequence[Path], root: Root, span: Span) -> Diagnostic:
    names = " -> ".join(root.shown(path) for path in chain)
    hints = ("replace one of them by the file it stands for",)
    return Diagnostic("link/loop", f"`{words}` is a symbolic link that leads back to itself", span, notes=(names,), hints=hints)


def _missing(words: str, wanted: Path, span: Span) -> Diagnostic:
    names = yaml_files(wanted.parent)
    stems = {name.rsplit(".", 1)[0]: name for name in names}  # without the suffix, which makes all names alike
    close = [stems[stem] for stem in close_matches(wanted.name.rsplit(".", 1)[0], list(stems))]
    parent = words[: -len(wanted.name)] if words.endswith(wanted.name) else ""
    if close:
        hints: tuple[str, ...] = ("did you mean " + " or ".join(f"`{parent}{name}`" for name in close) + "?",)
    elif names:
        hints = (f"YAML files there: {', '.join(names[:8])}" + (f" and {len(names) - 8} more" if len(names) > 8 else ""),)
    else:
        hints = ("paths are taken from the folder of the file that names them",)
    return Diagnostic("link/missing", f"there is no file `{words}`", span, hints=hints)
