"""A folder changed all at once: whoever looks, and whoever comes after a sudden end, finds it as it was or as it is to be.

What is new is made in a folder beside it, joined there by links to all that stays, and the two change places in one step of the system
(``renameat2`` of Linux).  Where that cannot be had (another system, a folder that holds folders, the folder one stands in), files are
replaced one by one, each whole.  One run at a time: a lock on the folder above.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

__all__ = ["Staging", "clear_away", "locked", "staging"]

_AT_FDCWD, _EXCHANGE = -100, 2  # linux/fcntl.h, linux/fs.h
_MARK = ".making-"


class Staging:
    """The folder in which a run makes its files, one of these for each run."""

    def __init__(self, out: Path, folder: Path, *, whole: bool) -> None:
        self.out, self._folder, self._whole = out, folder, whole
        self._made: set[str] = set()

    def write(self, files: Mapping[str, bytes]) -> None:
        """Make files; their names hold no folder.  Raises OSError."""
        for name, content in files.items():
            if not name or name != Path(name).name:
                raise ValueError(f"{name!r} is not a plain file name")
            if (self.out / name).is_dir() and not (self.out / name).is_symlink():
                raise IsADirectoryError(21, "a folder of that name is in the way", str(self.out / name))
            (self._folder / name).write_bytes(content)
            self._made.add(name)

    def take_place(self, gone: frozenset[str]) -> None:
        """Put what was made in place, and leave out the files in ``gone``.  Raises OSError; then nothing has changed, or (where files are
        replaced one by one) those that are in place are whole."""
        if self._whole and self._exchanged(gone):
            return
        self.out.mkdir(parents=True, exist_ok=True)
        for name in gone - self._made:
            with contextlib.suppress(FileNotFoundError):
                (self.out / name).unlink()
        for name in sorted(self._made, key=lambda name: (name.startswith("."), name)):  # what is known of them comes last
            _moved(self._folder / name, self.out / name)

    def _exchanged(self, gone: frozenset[str]) -> bool:
        if not self.out.exists():
            self._folder.rename(self.out)
            return True
        try:
            for entry in os.scandir(self.out):
                if entry.name in self._made or entry.name in gone:
                    continue
                if entry.is_symlink():
                    (self._folder / entry.name).symlink_to(Path(entry.path).readlink())
                else:
                    os.link(entry.path, self._folder / entry.name)
            shutil.copymode(self.out, self._folder)
            return _exchange(self._folder, self.out)
        except OSError:
            return False


@contextlib.contextmanager
def staging(out: Path) -> Iterator[Staging]:
    """A place to make files for ``out``, which is made when missing.  Raises OSError.  To be used while :func:`locked`."""
    whole = _whole(out)
    home = out.parent if whole else out
    home.mkdir(parents=True, exist_ok=True)
    folder = Path(tempfile.mkdtemp(prefix=_mark(out), dir=home))
    folder.chmod(0o777 & ~_umask())
    try:
        yield Staging(out, folder, whole=whole)
    finally:
        shutil.rmtree(folder, ignore_errors=True)  # the new files, or, after they have taken their place, the old ones


def clear_away(out: Path) -> None:
    """Remove what a run that ended suddenly left behind.  To be used while :func:`locked`."""
    for folder in (out.parent, out):
        with contextlib.suppress(OSError):
            for name in [name for name in os.listdir(folder) if name.startswith(_mark(out))]:  # noqa: PTH208  # names are all it takes
                shutil.rmtree(folder / name, ignore_errors=True)


def _mark(out: Path) -> str:
    return f".{out.name}{_MARK}"


def _whole(out: Path) -> bool:
    """May the folder itself be exchanged?  Not when we stand in it, nor when it is another's or holds folders: not ours alone."""
    above = next(path for path in out.parents if path.exists())
    if not sys.platform.startswith("linux") or not os.access(above, os.W_OK | os.X_OK):
        return False
    if not out.exists():
        return True
    state = out.stat()
    if Path.cwd().is_relative_to(out) or state.st_uid != os.geteuid() or state.st_dev != above.stat().st_dev:
        return False
    with os.scandir(out) as entries:
        return not any(entry.is_dir(follow_symlinks=False) and _MARK not in entry.name for entry in entries)


def _moved(made: Path, target: Path) -> None:
    try:
        made.replace(target)
    except OSError as fault:
        if fault.errno != errno.EXDEV:
            raise
        near = target.with_name(f".{target.name}.part")  # the folder is mounted there from elsewhere
        shutil.copyfile(made, near)
        near.replace(target)


def _exchange(one: Path, other: Path) -> bool:
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    done: int = call(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _EXCHANGE)
    return done == 0


@contextlib.contextmanager
def locked(out: Path, waiting: Callable[[], None]) -> Iterator[None]:
    """No other run writes to ``out`` while the block runs; ``waiting`` is called when one does, before it is waited for."""
    try:
        import fcntl
    except ImportError:  # a system without it: files are still whole, the last run wins
        yield
        return
    above = out.parent
    while not above.is_dir():
        above = above.parent
    try:
        handle = os.open(above, os.O_RDONLY)
    except OSError:
        yield
        return
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            waiting()
            fcntl.flock(handle, fcntl.LOCK_EX)
        except OSError:
            pass  # a file system without locks
        yield
    finally:
        os.close(handle)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
