"""Golden files: what the back ends made of the sample when someone last looked at it and found it good."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent / "golden"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--bless", action="store_true", help="Write the golden files anew; look at the difference before it is committed.")


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Compare text with the golden file of that name."""

    def compare(name: str, text: str) -> None:
        path = GOLDEN / name
        if request.config.getoption("--bless", default=False):
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        assert path.read_text(encoding="utf-8") == text, f"{name} has changed: if for the better, run pytest tests/render --bless"

    return compare
