"""Sheets in the browser, made anew whenever a file is saved.  Loopback only; nothing is written to disk."""

from __future__ import annotations

from benchleaf.preview.server import Preview, serve

__all__ = ["Preview", "serve"]
