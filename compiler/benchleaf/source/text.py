"""Files read safely: regular, small, UTF-8 and free of control characters, or a fault in words."""

from __future__ import annotations

import errno
import re
import stat
from dataclasses import dataclass
from pathlib import Path

from benchleaf.diagnostics import Diagnostic, Span

__all__ = ["LARGEST", "SourceText", "read_text"]

LARGEST = 1024 * 1024  # bytes; a profile is a few kilobytes
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x84\x86-\x9f\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class SourceText:
    """A file's words: ``shown`` is the path as the user would type it."""

    shown: str
    path: Path
    text: str

    @property
    def lines(self) -> list[str]:
        """The lines, without their ends."""
        return self.text.split("\n")


def read_text(path: Path, shown: str) -> tuple[SourceText | None, list[Diagnostic]]:
    """Read a file, or say in words why it cannot be read."""
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            return None, [_fault("source/not-a-file", "this is a folder, not a file" if path.is_dir() else "this is not an ordinary file", shown)]
        if found.st_size > LARGEST:
            return None, [_fault("source/too-large", f"this file is larger than {LARGEST // 1024} KiB", shown, "a profile is a few kilobytes: is this the right file?")]
        raw = path.read_bytes()
    except OSError as error:
        return None, [_fault("source/unreadable", _reason(error), shown)]
    return _decode(raw, path, shown)


def _decode(raw: bytes, path: Path, shown: str) -> tuple[SourceText | None, list[Diagnostic]]:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in raw[:64]:
        return None, [_fault("source/encoding", "this file is not UTF-8 text (it looks like UTF-16)", shown, "save it as UTF-8")]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        return None, [_fault("source/encoding", "this file is not UTF-8 text", shown, "save it as UTF-8", line)]
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    bad = _CONTROL.search(text)
    if bad:
        line = text.count("\n", 0, bad.start()) + 1
        column = bad.start() - (text.rfind("\n", 0, bad.start()) + 1) + 1
        name = f"U+{ord(bad[0]):04X}"
        span = Span(shown, line, column, line, column + 1)
        return None, [Diagnostic("source/control-character", f"a control character, {name}, in the text", span, hints=("delete it",))]
    return SourceText(shown, path, text), []


def _reason(error: OSError) -> str:
    words = {
        errno.ENOENT: "there is no such file",
        errno.EACCES: "this file may not be read",
        errno.ELOOP: "a loop of symbolic links leads nowhere",
        errno.ENAMETOOLONG: "this file name is too long",
        errno.ENOTDIR: "there is no such file",
    }
    return words.get(error.errno or 0, "this file cannot be read")


def _fault(code: str, message: str, shown: str, hint: str = "", line: int = 1) -> Diagnostic:
    return Diagnostic(code, message, Span(shown, line, 1, line, 1), hints=(hint,) if hint else ())
