"""What a build leaves behind about itself, in a hidden file beside the sheets: which job made which files, from what.

It is only ever a saving: where it is missing, damaged, or of another version, everything is made anew.  It knows files by their content
and folders as seen from its own, so that it stays true when all of them are moved together, and is the same for the same input.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from benchleaf.binder.keys import digest_of
from benchleaf.diagnostics import Diagnostic, Severity, Span
from benchleaf.render.entries import IndexEntry

__all__ = ["LEDGER", "Entry", "Ledger", "Place", "Run", "as_plain_entry", "moved", "read", "there", "written"]

LEDGER = ".benchleaf"  # no suffix: what looks for sheets in the folder does not meet it
_VERSION = 1

Place = tuple[str, str, str]
"""The workshop's folder, a file inside it, and what was made of it: '' for a job's own sheet."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A sheet: the key of what it was made from ('' when that is not known), its files by name with the digest of their content, the
    faults of its plan and of its making (files as seen from the workshop's folder), and what the contents say of it."""

    key: str
    files: Mapping[str, str]
    faults: tuple[Diagnostic, ...]
    listed: IndexEntry


@dataclass(frozen=True, slots=True)
class Run:
    """The last run: what was asked for (``asked``), every file that it read, with its digest ('' for a workshop file that was looked for
    and not there), the places of its jobs, and every fault that it told (files by their whole path).  Only runs without errors are
    kept."""

    asked: str
    read: Mapping[str, str]
    jobs: tuple[Place, ...]
    faults: tuple[Diagnostic, ...]


@dataclass(slots=True)
class Ledger:
    """Entries by their place; ``about`` are the files that list them, by name with the digest of their content."""

    entries: dict[Place, Entry] = field(default_factory=dict)
    about: Mapping[str, str] = field(default_factory=dict)
    last: Run | None = None


def there(out: Path, files: Mapping[str, str]) -> bool:
    """Are these files in the folder as they were left?"""
    return all(digest_of(out / name) == digest for name, digest in files.items())


def read(out: Path) -> Ledger:
    """The ledger of a folder; an empty one where it says nothing that can be relied on."""
    try:
        data = json.loads((out / LEDGER).read_text(encoding="utf-8", errors="surrogatepass"))
        if data["version"] != _VERSION:
            return Ledger()
        entries = {_place(row["place"], out): _entry(row) for row in data["entries"]}
        return Ledger(entries, _digests(data["about"]), None if data["last"] is None else _run(data["last"], out))
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return Ledger()


def written(ledger: Ledger, out: Path) -> bytes:
    """The ledger as its file in ``out`` holds it."""
    rows = [
        {
            "place": [_seen_from(out, folder), file, kind],
            "key": entry.key,
            "files": dict(entry.files),
            "faults": [_as_plain(fault) for fault in entry.faults],
            "listed": as_plain_entry(entry.listed),
        }
        for (folder, file, kind), entry in sorted(ledger.entries.items())
    ]
    last = ledger.last
    told = None if last is None else {
        "asked": last.asked,
        "read": {_seen_from(out, path): digest for path, digest in sorted(last.read.items())},
        "jobs": [[_seen_from(out, folder), file, kind] for folder, file, kind in last.jobs],
        "faults": [_as_plain(moved(fault, lambda path: _seen_from(out, path))) for fault in last.faults],
    }  # fmt: skip
    data = {"version": _VERSION, "entries": rows, "about": dict(ledger.about), "last": told}
    return json.dumps(data, ensure_ascii=False).encode("utf-8", "surrogatepass")


def as_plain_entry(entry: IndexEntry) -> dict[str, Any]:
    """An entry of the contents as plain data."""
    return asdict(entry)


def moved(fault: Diagnostic, to: Callable[[str], str]) -> Diagnostic:
    """The same fault, its files called otherwise."""
    span = None if fault.span is None else replace(fault.span, file=to(fault.span.file))
    related = tuple((replace(place, file=to(place.file)), words) for place, words in fault.related)
    return replace(fault, span=span, related=related)


def _as_plain(fault: Diagnostic) -> dict[str, Any]:
    return {**asdict(fault), "severity": fault.severity.value}


def _seen_from(out: Path, path: str) -> str:
    try:
        return Path(os.path.relpath(path, out)).as_posix()
    except ValueError:  # on another drive
        return path


def _place(data: tuple[str, str, str], out: Path) -> Place:
    folder, file, kind = data
    return _found(out, folder), str(file), str(kind)


def _found(out: Path, path: str) -> str:
    return Path(os.path.normpath(out / path)).as_posix()


def _fault(data: Mapping[str, Any]) -> Diagnostic:
    return Diagnostic(
        code=data["code"],
        message=data["message"],
        span=None if data["span"] is None else Span(**data["span"]),
        severity=Severity(data["severity"]),
        label=data["label"],
        notes=tuple(data["notes"]),
        hints=tuple(data["hints"]),
        related=tuple((Span(**place), words) for place, words in data["related"]),
    )


def _entry(data: Mapping[str, Any]) -> Entry:
    listed = dict(data["listed"])
    for name in ("operations", "threads"):
        listed[name] = tuple(listed[name])
    return Entry(data["key"], _digests(data["files"]), tuple(_fault(fault) for fault in data["faults"]), IndexEntry(**listed))


def _digests(data: Mapping[str, Any]) -> dict[str, str]:
    files = {str(name): str(digest) for name, digest in data.items()}
    if any(name != Path(name).name for name in files):
        raise ValueError("a name with a folder in it")
    return files


def _run(data: Mapping[str, Any], out: Path) -> Run:
    seen = {_found(out, path): str(digest) for path, digest in data["read"].items()}
    jobs = tuple(_place(place, out) for place in data["jobs"])
    faults = tuple(moved(_fault(fault), lambda path: _found(out, path)) for fault in data["faults"])
    return Run(data["asked"], seen, jobs, faults)
