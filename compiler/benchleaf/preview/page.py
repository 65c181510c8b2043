"""The pages of the preview that are not sheets: what there is, what is wrong, and the few lines that reload a page."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping
from html import escape

__all__ = ["POLICY", "RELOAD", "index", "with_reload"]

RELOAD = 'new EventSource("/changes").onmessage = () => location.reload();'
_HASH = base64.b64encode(hashlib.sha256(RELOAD.encode()).digest()).decode()
POLICY = f"default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src 'sha256-{_HASH}'; connect-src 'self'; base-uri 'none'"
_STYLE = (
    "body{font:16px/1.4 sans-serif;max-width:60em;margin:1em auto;padding:0 1em}"
    "pre{white-space:pre-wrap;border:2px solid;padding:.6em}li{margin:.3em 0}"
)


def index(title: str, sheets: Mapping[str, str], faults: str) -> bytes:
    """What there is: sheets by name and title, and the faults as the terminal would tell them."""
    listed = "".join(f'<li><a href="/{escape(name, quote=True)}.html">{escape(words)}</a></li>' for name, words in sheets.items())
    told = f"<h2>Faults</h2><pre>{escape(faults)}</pre>" if faults else ""
    page = (
        f'<!doctype html><html lang="en-GB"><head><meta charset="utf-8"><title>{escape(title)}</title><style>{_STYLE}</style></head>'
        f"<body><h1>{escape(title)}</h1>{told}<h2>Sheets</h2><ul>{listed or '<li>none can be made</li>'}</ul>"
        f"<script>{RELOAD}</script></body></html>"
    )
    return page.encode("utf-8")


def with_reload(sheet: bytes) -> bytes:
    """A sheet that reloads itself when it has been made anew.  Its own policy, which allows no such script, gives way to the header's."""
    text = sheet.decode("utf-8")
    start = text.find('<meta http-equiv="Content-Security-Policy"')
    if start >= 0:
        text = text[:start] + text[text.index(">", start) + 1 :]
    return text.replace("</body>", f"<script>{RELOAD}</script></body>").encode("utf-8")
