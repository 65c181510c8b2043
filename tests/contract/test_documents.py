"""What the README shows is true: its YAML compiles, and its examples print what it says (tests/end_to_end runs its commands)."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from benchleaf.cli import main

CHECKOUT = Path(__file__).resolve().parents[2]
README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
JOB = re.findall(r"^```yaml\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
CONSOLE = re.findall(r"^```console\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The starter workshop as the current folder, with the README's job in it."""
    for path in (CHECKOUT / "profiles" / "starter").iterdir():
        if path.is_file():
            shutil.copy(path, tmp_path)
    (tmp_path / "gland-nut.yaml").write_text(JOB[0], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_job_compiles_in_the_starter_workshop(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert len(JOB) == 1
    code = main(["build", "gland-nut.yaml", "--format", "html,json,text"])
    assert (code, capsys.readouterr().err) == (0, "")


def _printed(command: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, list[str]]:
    code = main(command.split(" #")[0].split()[1:])
    told = capsys.readouterr()
    return code, [line.rstrip() for line in (told.err + told.out).splitlines()]


def test_the_fault_is_told_as_shown(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command, *shown = CONSOLE[1].splitlines()
    (shop / "gland-nut.yaml").write_text(JOB[0].replace("bore: 28.5 mm", "bore: 28.07 mm"), encoding="utf-8")
    code, printed = _printed(command.removeprefix("$ "), capsys)
    assert code == 1
    assert printed[: len(shown)] == shown


def test_the_figure_is_explained_as_shown(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(CHECKOUT / "profiles", tmp_path / "profiles")
    monkeypatch.chdir(tmp_path)
    assert main(["build", "profiles/osier-lane/jobs/packing-tube.yaml", "--quiet", "--format", "json"]) == 0
    capsys.readouterr()
    command, *shown = CONSOLE[2].splitlines()
    code, printed = _printed(command.removeprefix("$ "), capsys)
    assert code == 0
    assert printed[: len(shown) - 1] == shown[:-1], "\n".join(printed)
    assert shown[-1] == "..." or printed == shown


def test_everything_linked_is_there() -> None:
    for document in ("README.md", "DEVELOPERS.md"):
        for target in re.findall(r"\]\(([^)#]+)\)", (CHECKOUT / document).read_text(encoding="utf-8")):
            assert (CHECKOUT / target).exists(), target
