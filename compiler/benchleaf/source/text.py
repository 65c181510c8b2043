"""Files read safely: ordinary, small, UTF-8 and free of control characters, or the fault in words."""

from __future__ import annotations

import errno
import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from benchleaf.diagnostics import Diagnostic, Span

__all__ = ["LARGEST", "SourceText", "read_text"]

LARGEST = 1024 * 1024  # bytes; a file written by hand has a few thousand
_MOST = 10  # faulty characters reported of one file
# Everything that YAML does not print, the line ends that editors do not count (U+0085, U+2028, U+2029), and the marks that turn
# the direction of text, by which a line can look different from what it says.
_REFUSED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\ufff9-\ufffb\ufffe\uffff\ud800-\udfff]"
)
_REASONS = {
    errno.ENOENT: ("source/missing", "there is no such file"),
    errno.ENOTDIR: ("source/missing", "there is no such file"),
    errno.ENAMETOOLONG: ("source/missing", "a file name that is too long to exist"),
    errno.ELOOP: ("source/loop", "a symbolic link that leads back to itself"),
    errno.EACCES: ("source/unreadable", "this file may not be read by you"),
    errno.EPERM: ("source/unreadable", "this file may not be read by you"),
    errno.EISDIR: ("source/not-a-file", "this is a folder, not a file"),
}


@dataclass(frozen=True, slots=True)
class SourceText:
    """A file's words.

    ``name_shown`` is the path as the user would type it.  ``text`` is free of the byte-order mark and has every line end turned
    into a plain line feed; ``lines`` are the same words line by line.
    """

    name_shown: str
    path: Path
    text: str
    lines: tuple[str, ...]


def read_text(path: Path, shown: str) -> tuple[SourceText | None, list[Diagnostic]]:
    """Read a file.

    The text is given back, for excerpts, even when it holds characters that are refused; it may be used only when there is no
    fault.  Nothing but an ordinary file is ever opened, and no more than LARGEST bytes are read.
    """
    try:
        raw = _read(path)
    except OSError as error:
        code, words = _REASONS.get(error.errno or 0, ("source/unreadable", "this file cannot be read"))
        return None, [Diagnostic(code, words, Span(shown))]
    except ValueError:  # a NUL in the path
        return None, [Diagnostic("source/missing", "a file name that cannot exist", Span(shown))]
    if isinstance(raw, str):
        return None, [Diagnostic("source/not-a-file", raw, Span(shown))]
    if len(raw) > LARGEST:
        message, hint = (
            f"this file is larger than {LARGEST // 1024} KiB",
            "files written by hand have a few kilobytes: is it the right one?",
        )
        return None, [Diagnostic("source/too-large", message, Span(shown), hints=(hint,))]
    text = _decode(raw, shown)
    if isinstance(text, Diagnostic):
        return None, [text]
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return SourceText(shown, path, text, tuple(text.split("\n"))), _odd_characters(text, shown)


def _read(path: Path) -> bytes | str:
    """The bytes (one more than LARGEST at most), or what the path is instead of an ordinary file."""
    refused = _not_ordinary(path.stat().st_mode)  # looked at before it is opened: opening a device or a pipe can have effects
    if refused:
        return refused
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as stream:
        return _not_ordinary(os.fstat(handle).st_mode) or stream.read(LARGEST + 1)


def _not_ordinary(mode: int) -> str:
    if stat.S_ISDIR(mode):
        return "this is a folder, not a file"
    return "" if stat.S_ISREG(mode) else "this is not an ordinary file"


def _decode(raw: bytes, shown: str) -> str | Diagnostic:
    hint = ("save it as UTF-8 in your editor",)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff", b"\x00\x00\xfe\xff")) or raw.count(0) > len(raw) // 4:
        return Diagnostic("source/encoding", "this file is not UTF-8 text but looks like UTF-16 or UTF-32", Span(shown), hints=hint)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # counted from the file's first byte: the codec's own count leaves out the byte-order mark
        body = raw.removeprefix(b"\xef\xbb\xbf")
        before = body[: error.start].decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").split("\n")
        line, column = len(before), len(before[-1]) + 1
        return Diagnostic(
            "source/encoding",
            f"this file is not UTF-8 text: byte {body[error.start]:02X} in line {line}",
            Span(shown, line, column, line, column + 1),
            hints=hint,
        )


def _odd_characters(text: str, shown: str) -> list[Diagnostic]:
    """Control characters and the like, the first few each with its place."""
    faults: list[Diagnostic] = []
    for found in _REFUSED.finditer(text):
        if len(faults) == _MOST:
            break
        line = text.count("\n", 0, found.start()) + 1
        column = found.start() - text.rfind("\n", 0, found.start())
        faults.append(
            Diagnostic(
                "source/control-character",
                f"an invisible control character, U+{ord(found[0]):04X}",
                Span(shown, line, column, line, column + 1),
                hints=("delete it",),
            )
        )
    return faults
