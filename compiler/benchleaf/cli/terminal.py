"""The terminal: colour when it is wanted, progress when somebody watches, and a short report when the program itself is at fault."""

from __future__ import annotations

import os
import platform
import sys
import traceback
from collections.abc import Mapping
from pathlib import Path
from typing import TextIO

from benchleaf import __version__

__all__ = ["FORMS", "Progress", "crash_report", "wants_colour"]

FORMS = ("text", "json", "sarif", "annotations")  # of a report of faults


def wants_colour(stream: TextIO, environment: Mapping[str, str]) -> bool:
    """NO_COLOR and FORCE_COLOR count only when they hold something; without them a terminal decides."""
    if environment.get("NO_COLOR"):
        return False
    if environment.get("FORCE_COLOR"):
        return True
    return stream.isatty() and environment.get("TERM") != "dumb"


class Progress:
    """One line that tells how far long work has come; silent where nobody watches."""

    def __init__(self, stream: TextIO, *, quiet: bool) -> None:
        self._stream = stream
        self._on = stream.isatty() and not quiet
        self._width = 0

    def __call__(self, stage: str, number: int, total: int, name: str) -> None:
        """Show the state of the work, in place of what was shown before."""
        if self._on and total > 1:
            words = f"{stage} {number}/{total} {name}"[:78]
            self._stream.write(f"\r{words.ljust(self._width)}")
            self._stream.flush()
            self._width = len(words)

    def clear(self) -> None:
        """Wipe the line, so that lasting output starts on a clean one."""
        if self._width:
            self._stream.write(f"\r{' ' * self._width}\r")
            self._stream.flush()
            self._width = 0


def crash_report(fault: BaseException, *, whole: bool) -> str:
    """What to send when the program fails: what, where, versions; the traceback only when asked for."""
    if whole:
        return "".join(traceback.format_exception(fault))
    package = Path(__file__).parents[1]
    frames = traceback.extract_tb(fault.__traceback__)
    ours = [frame for frame in frames if Path(frame.filename).is_relative_to(package)]
    last = (ours or frames)[-1:]
    where = "".join(f"{os.path.relpath(frame.filename, package.parent)}:{frame.lineno} in {frame.name}" for frame in last)
    words = " ".join(str(fault).split())
    return "\n".join(
        [
            "benchleaf: this is a fault of the program, not of your files; files already in the output folder are whole",
            f"  what: {type(fault).__name__}: {words[:200]}",
            f"  where: {where or 'unknown'}",
            f"  versions: benchleaf {__version__}, Python {platform.python_version()}, {sys.platform}",
            "  next: run the same command with --traceback, and send what it prints to whoever looks after the program",
            "",
        ]
    )
