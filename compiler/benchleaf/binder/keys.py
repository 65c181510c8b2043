"""What a sheet was made from, as a digest: files, program, standards, templates, libraries, paper.  Equal keys, equal bytes."""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from benchleaf import __version__
from benchleaf.resources import data_folder
from benchleaf.workshop.links import WORKSHOP_FILE
from benchleaf.workshop.load import JobFile

__all__ = ["Keys", "Paper", "digest_of", "digest_of_bytes", "program_digest"]

Paper = tuple[str, str, float]  # name, side of the holes, bleed in mm
_LIBRARIES = ("jinja2", "weasyprint", "pydyf", "fonttools", "tinycss2", "segno", "pyyaml", "markupsafe", "pillow")
_LISTS = ("jobs", "machines", "materials", "threads", "note")  # of a workshop file: which files there are decides no sheet


def digest_of_bytes(content: bytes) -> str:
    """Its digest in hex."""
    return hashlib.sha256(content).hexdigest()


def digest_of(path: Path) -> str:
    """A digest of the file's bytes; '' when it cannot be read."""
    try:
        return digest_of_bytes(path.read_bytes())
    except OSError:
        return ""


def _gathered(parts: Iterable[tuple[str, str]]) -> str:
    return digest_of_bytes(json.dumps(sorted(parts)).encode())


@cache
def program_digest() -> str:
    """The program itself: every file that decides what a sheet says or looks like, and the libraries that draw it."""
    libraries = [(name, _version(name)) for name in (*_LIBRARIES, "benchleaf")]
    return _gathered([*_program_files(), *libraries, ("release", __version__), ("python", sys.version)])


def _program_files() -> Iterator[tuple[str, str]]:
    package = Path(__file__).parents[1]
    for folder in (package, data_folder("schemas"), data_folder("templates")):
        for path in folder.rglob("*"):
            inside = path.relative_to(folder)
            if path.suffix not in (".pyc", "") and (folder != package or inside.parts[0] != "_data") and path.is_file():
                yield f"{folder.name}/{inside.as_posix()}", digest_of(path)


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


class Keys:
    """The keys of one run, for sheets on one paper; every file is read once."""

    def __init__(self, on: Paper) -> None:
        self._on = on
        self._states: dict[Path, str] = {}

    def of(self, job: JobFile, name: str) -> str:
        """The key of a job's sheet whose files are called ``name``."""
        parts = [(inside, self._state(job.folder / inside)) for inside in job.files.values()]
        return _gathered([*parts, ("", json.dumps([program_digest(), job.key, job.name, name, list(self._on)]))])

    def _state(self, path: Path) -> str:
        if path not in self._states:
            self._states[path] = _words_of_workshop(path) if path.name == WORKSHOP_FILE else digest_of(path)
        return self._states[path]


def _words_of_workshop(path: Path) -> str:
    """Of the workshop file only what can decide a sheet, with its lines: a job more is no reason to make all anew."""
    from benchleaf.binder.leaves import leaves  # not where nothing has changed

    told = {key: [leaf.line, leaf.words] for key, leaf in leaves(path).items() if not key.startswith(_LISTS)}
    return json.dumps(told)
