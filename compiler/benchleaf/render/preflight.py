"""Whether this computer can make PDFs, found out before anything heavy is imported."""

from __future__ import annotations

import ctypes
import sys

from benchleaf.diagnostics import Diagnostic

__all__ = ["PACKAGES", "missing_libraries", "without_libraries"]

# The shared libraries by the names that Linux loads them under, and the Debian packages that bring them.
_LIBRARIES = (
    "libgobject-2.0.so.0",
    "libpango-1.0.so.0",
    "libpangoft2-1.0.so.0",
    "libharfbuzz.so.0",
    "libharfbuzz-subset.so.0",
    "libfontconfig.so.1",
)
PACKAGES = "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"


def missing_libraries() -> tuple[str, ...]:
    """Names of shared libraries that do not load.  Only asked on Linux, where the names are known; elsewhere the import itself tells."""
    if not sys.platform.startswith("linux"):
        return ()
    missing = []
    for name in _LIBRARIES:
        try:
            ctypes.CDLL(name)
        except OSError:
            missing.append(name)
    return tuple(missing)


def without_libraries(names: str) -> Diagnostic:
    """The fault to report when they are missing; the other formats do not need them."""
    return Diagnostic(
        "pdf/library-missing",
        f"no PDF can be made on this computer: {names} is missing",
        hints=(f"on Debian or Ubuntu: sudo apt-get install {PACKAGES}", "html, json and text need none of it: --format html"),
    )
