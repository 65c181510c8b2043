"""A small server for one browser on the same computer."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from benchleaf.preview.page import POLICY, index, with_reload
from benchleaf.preview.watch import mark

__all__ = ["Built", "Preview", "serve"]

_EVERY = 0.3  # seconds between two looks at the files
_PING = 10.0  # seconds after which a silent stream says that it is still there


@dataclass(frozen=True, slots=True)
class Built:
    """What a build gave: pages by name, titles by name, and the faults as text."""

    pages: Mapping[str, bytes]
    titles: Mapping[str, str]
    faults: str


@dataclass(slots=True)
class Preview:
    """The state that watcher and requests share.  ``build`` makes everything anew; what it raises is shown in the page."""

    folder: Path
    title: str
    build: Callable[[], Built]
    built: Built = Built({}, {}, "")
    version: int = 0
    changed: threading.Condition = field(default_factory=threading.Condition)
    stopped: threading.Event = field(default_factory=threading.Event)

    def refresh(self) -> None:
        """Build, and tell every page that waits."""
        try:
            built = self.build()
        except Exception as fault:  # a fault of ours must not end the watching
            built = Built(self.built.pages, self.built.titles, f"this is a fault of the program: {type(fault).__name__}: {fault}")
        with self.changed:
            self.built = built
            self.version += 1
            self.changed.notify_all()

    def watch(self) -> None:
        """Build whenever a file has changed, until stopped.  A change is waited out: editors save in several strokes."""
        seen = mark(self.folder)
        while not self.stopped.wait(_EVERY):
            now = mark(self.folder)
            if now != seen:
                seen = now
                self.refresh()

    def stop(self) -> None:
        """End watching and let waiting pages go."""
        self.stopped.set()
        with self.changed:
            self.changed.notify_all()


def serve(preview: Preview, port: int = 0) -> ThreadingHTTPServer:
    """A server on the loopback address, not yet running; its port is ``server_port``."""

    class Handler(BaseHTTPRequestHandler):
        server_version = "benchleaf"
        sys_version = ""

        def do_GET(self) -> None:  # the name is the library's
            # A page from elsewhere that has its name point here must learn nothing.
            host = (self.headers.get("Host") or "").rsplit(":", 1)[0]
            if host not in ("127.0.0.1", "localhost"):
                self._send(421, b"not here", "text/plain")
                return
            path = self.path.split("?", 1)[0]
            if path == "/changes":
                self._changes()
                return
            built = preview.built
            if path == "/":
                self._send(200, index(preview.title, built.titles, built.faults), "text/html; charset=utf-8")
                return
            page = built.pages.get(path.removeprefix("/").removesuffix(".html"))
            if page is None:
                self._send(404, b"there is no such sheet (any more)", "text/plain")
            else:
                self._send(200, with_reload(page), "text/html; charset=utf-8")

        def _send(self, code: int, content: bytes, kind: str) -> None:
            self.send_response(code)
            for name, value in (
                ("Content-Type", kind), ("Content-Length", str(len(content))), ("Cache-Control", "no-store"),
                ("Content-Security-Policy", POLICY), ("X-Content-Type-Options", "nosniff"),
            ):  # fmt: skip
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(content)

        def _changes(self) -> None:
            """Server-sent events (WHATWG HTML, section 9.2): one for each build."""
            self.send_response(200)
            self.send_header("Content-Type", "text/event-stream")
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            known = preview.version
            try:
                while not preview.stopped.is_set():
                    with preview.changed:
                        preview.changed.wait_for(lambda: preview.version != known or preview.stopped.is_set(), timeout=_PING)  # noqa: B023
                        now = preview.version
                    self.wfile.write(b": still here\n\n" if now == known else f"data: {now}\n\n".encode())
                    self.wfile.flush()
                    known = now
            except OSError:
                return  # the page was closed

        def log_message(self, format: str, *args: object) -> None:
            """Nobody reads a log of loopback requests."""

    server = ThreadingHTTPServer(("127.0.0.1", port), Handler)
    server.daemon_threads = False  # closing waits for the pages that are being sent; streams end when the preview stops
    return server


def run(preview: Preview, server: ThreadingHTTPServer) -> None:
    """Build, watch and serve until interrupted."""
    preview.refresh()
    threading.Thread(target=preview.watch, daemon=True).start()
    serving = threading.Thread(target=server.serve_forever, daemon=True)
    serving.start()
    try:
        while serving.is_alive():
            time.sleep(_EVERY)
    finally:
        preview.stop()
        server.shutdown()
        server.server_close()
