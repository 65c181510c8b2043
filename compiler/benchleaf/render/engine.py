"""The page engine, imported late and kept for the whole process: one stylesheet, one set of fonts, no way to fetch anything."""

from __future__ import annotations

import atexit
import contextlib
import ctypes.util
import io
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from benchleaf.render.templates import TEMPLATES, stylesheet
from benchleaf.resources import data_folder

__all__ = ["Engine", "engine", "font_files"]

SCHEME = "sheet:"
_FONTS = {"regular": "DejaVuSansCondensed.ttf", "bold": "DejaVuSansCondensed-Bold.ttf"}


@dataclass(frozen=True, slots=True)
class Engine:
    """What is the same for every sheet.

    ``assets`` are what a page may ask for, by URL; the pictures of the sheet in hand are put in and taken out.
    """

    html: Any
    styles: tuple[Any, ...]
    style: Callable[[str], Any]  # further rules, read once for the same words
    fonts: Any
    fetcher: Any
    refused: type[BaseException]  # raised where a page asks for anything that is not ours
    assets: dict[str, tuple[bytes, str]]

    @contextlib.contextmanager
    def holding(self, pictures: Mapping[str, bytes]) -> Iterator[None]:
        """Serve these SVG pictures under ``sheet:name`` while the block runs."""
        ours = {f"{SCHEME}{name}": (content, "image/svg+xml") for name, content in pictures.items()}
        self.assets.update(ours)
        try:
            yield
        finally:
            for name in ours:
                del self.assets[name]


def font_files() -> dict[str, bytes]:
    """The bundled typeface: 'regular' and 'bold'.  Raises OSError when a file is missing."""
    folder = data_folder(TEMPLATES) / "fonts"
    return {name: (folder / file).read_bytes() for name, file in _FONTS.items()}


@contextlib.contextmanager
def _no_library_search() -> Iterator[None]:
    """On Linux the loader finds shared libraries by name; the search by child processes that comes first only costs time."""
    search = ctypes.util.find_library
    if sys.platform.startswith("linux"):
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = search


def _import() -> Any:
    quiet = io.StringIO()  # where libraries are missing a banner goes to stdout, which may be JSON
    with contextlib.redirect_stdout(quiet):
        try:
            with _no_library_search():
                import weasyprint
        except OSError:
            import weasyprint
    return weasyprint


def _reader(weasyprint: Any, fonts: Any, fetcher: Any) -> Callable[[str], Any]:
    @cache
    def read(rules: str) -> Any:
        return weasyprint.CSS(string=rules, font_config=fonts, url_fetcher=fetcher)

    return read


@cache
def engine() -> Engine:
    """The engine of this process.  Raises OSError where shared libraries or the bundled fonts are missing."""
    assets = {f"{SCHEME}{name}": (content, "font/ttf") for name, content in font_files().items()}
    weasyprint = _import()
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class OnlyOurs(URLFetcher):  # type: ignore[misc]
        """Answers from memory and refuses the rest: no file, no network, no data: URL."""

        def __init__(self) -> None:
            super().__init__(allowed_protocols=(), allow_redirects=False, fail_on_errors=True)

        def fetch(self, url: str, headers: Any = None) -> Any:
            if url not in assets:
                raise FatalURLFetchingError(f"a page asked for {url[:80]}")
            content, kind = assets[url]
            return URLFetcherResponse(url, content, {"Content-Type": kind})

    fonts, fetcher = FontConfiguration(), OnlyOurs()
    styles = tuple(
        weasyprint.CSS(string=stylesheet(name), font_config=fonts, url_fetcher=fetcher) for name in ("fonts", "sheet", "print")
    )
    atexit.register(engine.cache_clear)  # else the fonts are taken down after the modules that they need
    return Engine(weasyprint.HTML, styles, _reader(weasyprint, fonts, fetcher), fonts, fetcher, FatalURLFetchingError, assets)
