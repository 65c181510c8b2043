"""The output folder while one run works on it: what is there, what is made, and the contents that list it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from benchleaf.binder import ledger
from benchleaf.binder.keys import digest_of_bytes
from benchleaf.binder.ledger import LEDGER, Entry, Ledger, Place, Run
from benchleaf.binder.swap import Staging, clear_away, locked, staging
from benchleaf.diagnostics import Diagnostic

if TYPE_CHECKING:
    from benchleaf.render.entries import IndexEntry
    from benchleaf.sheet.model import Sheet

__all__ = ["INDEX", "Folder", "not_written", "opened"]

INDEX = "index.html"


class Folder:
    """See :func:`opened`.  ``written`` are the files of sheets made; ``left`` those of an earlier run that could not be renewed."""

    def __init__(self, out: Path, stack: ExitStack, *, fresh: bool) -> None:
        self.out = out.resolve()
        self.known = ledger.read(self.out)
        self.fresh = fresh
        self.written: list[Path] = []
        self.left: list[Path] = []
        self._shown = out
        self._entries = dict(self.known.entries)
        self._gone: set[str] = set()
        self._stack = stack
        self._staging: Staging | None = None

    def holds(self, place: Place, key: str, formats: Collection[str]) -> Entry | None:
        """The sheet of this place, when it is there in these formats and was made from the same."""
        entry = self._entries.get(place)
        if self.fresh or entry is None or not key or entry.key != key or not set(formats) <= set(entry.listed.files):
            return None
        return entry if ledger.there(self.out, entry.files) else None

    def has(self, place: Place) -> bool:
        """Is there a sheet of this place whose making is known?"""
        return place in self._entries and self._entries[place].key != ""

    def put(
        self,
        place: Place,
        key: str,
        name: str,
        contents: Mapping[str, bytes],
        sheet: Sheet,
        faults: Sequence[Diagnostic],
        wanted: Collection[str],
    ) -> None:
        """Add the files of a sheet, by their suffix; ``wanted`` are the suffixes that were asked for.  Raises OSError.

        Files of an earlier run under the same place or names, which these do not renew, go when all of it goes live.
        """
        from benchleaf.render import FORMATS  # a run that makes nothing asks for no back end
        from benchleaf.render.entries import entry_of

        files = {f"{name}{suffix}": content for suffix, content in contents.items()}
        self._make(files)
        self.written += [self._shown / file for file in files]
        digests = {file: digest_of_bytes(content) for file, content in files.items()}
        missed = {f"{name}{suffix}" for suffix in wanted} - set(files)  # a format that this computer cannot make
        self.left += [self._shown / file for file in sorted(missed) if (self.out / file).exists()]
        before = self._entries.pop(place, None)
        if before is not None and before.key == key != "" and name == self._name(before):
            digests = {**{file: digest for file, digest in before.files.items() if file not in missed}, **digests}  # another format of it
        elif before is not None:
            self._gone |= set(before.files) - set(digests) - missed
        for other in [other for other, entry in self._entries.items() if set(files) & set(entry.files)]:
            self._gone |= set(self._entries.pop(other).files)  # of another workshop, by the same name
        self._gone -= set(digests)
        listed = {way: file for way, (suffix, _) in FORMATS.items() if (file := f"{name}{suffix}") in digests}
        self._entries[place] = Entry(key, digests, tuple(faults), entry_of(sheet, listed))

    @staticmethod
    def _name(entry: Entry) -> str:
        return Path(next(iter(entry.files), "")).stem

    def forget_the_gone(self) -> None:
        """Leave out the sheets whose job is there no more."""
        for place, entry in self.known.entries.items():
            folder, file, _ = place
            if place in self._entries and not (Path(folder) / file).is_file():
                self._gone |= set(entry.files)
                del self._entries[place]

    def go_live(self, last: Run | None) -> None:
        """All that was made takes its place, with contents that list it.  Raises OSError."""
        if not self._entries and not self.known.entries:
            return
        about, files = self.known.about, {}
        if self.fresh or self._entries != self.known.entries or not ledger.there(self.out, about):
            files = _index([entry.listed for entry in self._entries.values()])
            about = {name: digest_of_bytes(content) for name, content in files.items()}
            self._gone |= set(self.known.about) - set(files)
        now = Ledger(self._entries, about, last)
        if now == self.known and not files and self._staging is None:
            return
        self._make({**files, LEDGER: ledger.written(now, self.out)})
        assert self._staging is not None, "something was made"
        self._staging.take_place(frozenset(self._gone))

    def _make(self, files: Mapping[str, bytes]) -> None:
        if self._staging is None:
            self._staging = self._stack.enter_context(staging(self.out))
        self._staging.write(files)


@contextmanager
def opened(out: Path, *, fresh: bool = False, waiting: Callable[[], None] = lambda: None) -> Iterator[Folder]:
    """The folder ``out`` for one run; other runs wait (``waiting`` is called before this one does).  ``fresh`` takes nothing from before.

    At any moment the folder is that of the run before or of this one, as far as the system allows (see :mod:`benchleaf.binder.swap`).
    What is made and does not go live is lost.
    """
    with locked(out.resolve(), waiting), ExitStack() as stack:
        clear_away(out.resolve())
        yield Folder(out, stack, fresh=fresh)


def not_written(out: Path, fault: OSError) -> Diagnostic:
    """The fault that the folder cannot be written."""
    message = f"`{fault.filename or out}` cannot be written: {(fault.strerror or str(fault)).lower()}"
    return Diagnostic("output/not-written", message, hints=("choose another folder with --out, or make this one writable",))


def _index(entries: Sequence[IndexEntry]) -> dict[str, bytes]:
    """The contents of the folder, where there are sheets that a tap can open."""
    listed = sorted(entries, key=lambda entry: (entry.title.casefold(), entry.id, sorted(entry.files.values())))
    if not any({"html", "pdf"} & set(entry.files) for entry in listed):
        return {}
    from benchleaf.render.index import index_html

    return {INDEX: index_html(listed, "Set-up sheets")}
