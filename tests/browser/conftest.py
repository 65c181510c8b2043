"""One browser for all of these tests, and the demo workshop's sheets in a folder with their contents."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from browser.chromium import Browser, Page

from benchleaf.cli import main
from benchleaf.sheet.from_json import from_json
from benchleaf.sheet.model import Sheet

CHECKOUT = Path(__file__).resolve().parents[2]
DESK, PHONE = {"width": 1000}, {"width": 360, "height": 740, "touch": True}


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    running = Browser(tmp_path_factory.mktemp("profile"))
    yield running
    running.close()


@pytest.fixture
def desk(browser: Browser) -> Iterator[Page]:
    yield from _tab(browser, **DESK)


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    yield from _tab(browser, **PHONE)


def _tab(browser: Browser, **screen: int | bool) -> Iterator[Page]:
    page = browser.page(**screen)
    yield page
    assert page.complaints() == []
    assert [address for address in page.fetched() if not address.startswith("file:")] == []
    page.close()


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Osier Lane as HTML and JSON, with the contents."""
    folder = tmp_path_factory.mktemp("osier lane #1")  # a name that a careless link would break on
    assert main(["build", str(CHECKOUT / "profiles/osier-lane"), "--out", str(folder), "--format", "html,json", "--quiet"]) == 0
    return folder


def sheet_in(file: Path) -> Sheet:
    sheet, faults = from_json(file.read_text(encoding="utf-8"), file.name)
    assert faults == []
    assert sheet is not None
    return sheet
