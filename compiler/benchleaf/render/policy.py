"""What a page may do: show the styles and run the script that came with it, and nothing else whatever."""

from __future__ import annotations

import base64
import hashlib

from markupsafe import Markup

__all__ = ["policy", "script_element", "style_element"]


def style_element(css: str) -> Markup:
    """The styles of a page.  They are ours, and so not escaped."""
    return Markup(f"<style>{css}</style>")


def script_element(javascript: str) -> Markup:
    """The script of a page.  It is ours, and so not escaped."""
    return Markup(f"<script>{javascript}</script>")


def policy(css: str, javascript: str) -> str:
    """The content security policy of a page with these styles and this script, by their hashes (CSP level 2)."""
    allowed = f"script-src '{_hash(javascript)}'; style-src '{_hash(css)}'; img-src data:"
    return f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'"


def _hash(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode('utf-8')).digest()).decode('ascii')}"
