"""``python -m benchleaf`` and the installed command."""

from __future__ import annotations

import atexit
import contextlib
import gc
import os
import sys
from typing import NoReturn

__all__ = ["run"]

_SELDOM = 50_000  # new objects between two looks for cycles: nearly all objects of a run are kept to its end, so looking is in vain


def run() -> None:
    """Run the command line and leave with its exit code."""
    gc.set_threshold(_SELDOM)
    try:
        from benchleaf.cli import main  # inside the guard: Ctrl-C during start-up ends quietly too

        code = main(sys.argv[1:])
    except KeyboardInterrupt:
        code = 130
    _leave(code)


def _leave(code: int) -> NoReturn:
    """End the process without taking every object apart, which takes longer than a check of a small file."""
    with contextlib.suppress(Exception):
        atexit._run_exitfuncs()
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(Exception):
            stream.flush()
    os._exit(code)


if __name__ == "__main__":
    run()
