"""``python -m benchleaf`` and the installed command."""

from __future__ import annotations

import sys

__all__ = ["run"]


def run() -> None:
    """Run the command line and leave with its exit code."""
    try:
        from benchleaf.cli import main  # inside the guard: Ctrl-C during start-up ends quietly too

        code = main(sys.argv[1:])
    except KeyboardInterrupt:
        code = 130
    sys.exit(code)


if __name__ == "__main__":
    run()
