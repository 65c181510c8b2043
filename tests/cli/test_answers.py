"""``explain``: figures, codes, and sheets that are broken or a stranger's."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from small_shop import write

from benchleaf.cli import main
from benchleaf.report.codes import codes


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("built")
    (folder / "shop").mkdir()
    write(folder / "shop")
    assert main(["build", str(folder / "shop"), "--out", str(folder / "out"), "--format", "json", "--quiet"]) == 0
    return folder


@pytest.fixture
def here(built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(built, tmp_path / "here")
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "here"


def test_all_figures_are_listed(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "out/job.json"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) > 20
    assert all(line.startswith("screwcut.") for line in lines)


@pytest.mark.parametrize(("name", "words"), [("lead_eror", "screwcut.lead_error"), ("nonsense", "screwcut.train")])
def test_a_figure_that_is_not_there(name: str, words: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "out/job.json", name]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert name in told.err
    assert words in told.err


def test_lines_are_found_where_the_workshop_is_now(here: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    assert main(["explain", "out/job.json", "lead_error"]) == 0
    assert "   shop/lathe.yaml:" in capsys.readouterr().out
    monkeypatch.chdir(here / "shop")
    assert main(["explain", "../out/job.json", "lead_error"]) == 0
    assert "   lathe.yaml:" in capsys.readouterr().out
    (here / "elsewhere").mkdir()
    monkeypatch.chdir(here / "elsewhere")
    assert main(["explain", str(here / "out" / "job.json"), "lead_error", "--workshop", str(here / "shop")]) == 0
    assert f"   {(here / 'shop').as_posix()}/lathe.yaml:" in capsys.readouterr().out
    shutil.rmtree(here / "shop")
    assert main(["explain", str(here / "out" / "job.json"), "lead_error"]) == 0
    assert "not here any more" in capsys.readouterr().out


def test_of_two_copies_the_one_with_the_words_of_the_sheet_is_taken(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "another").mkdir()
    write(here / "another", ("lathe.yaml", "lead: 3 mm", "lead: 6 mm"))
    assert main(["explain", "out/job.json", "lead_error"]) == 0
    told = capsys.readouterr().out
    assert "   shop/lathe.yaml:" in told
    assert "another" not in told


@pytest.mark.parametrize(
    "text",
    ["", "not json", "[]", "{}", '{"kind": "sheet"}', '{"schema": 1, "kind": "sheet"}', '{"schema": 99, "kind": "sheet"}', "[" * 100_000, "1e999", "\x00"],
    ids=lambda text: text[:20] or "empty",
)
def test_a_file_that_is_no_sheet(text: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "broken.json").write_text(text)
    assert main(["explain", "broken.json", "error"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert "broken.json" in told.err
    assert "Traceback" not in told.err


def test_a_sheet_of_a_stranger_cannot_drive_the_terminal_or_read_elsewhere(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (here / "secret.yaml").write_text("\n".join(["3 mm top secret"] * 100))
    data = json.loads((here / "out" / "job.json").read_text())
    data["title"] = "\x1b]0;owned\x07"
    for figure in data["sections"][0]["figures"]:
        figure["label"] = "\x1b[2J" + figure["label"]
        for reason in figure["basis"]["inputs"]:
            if "file" in reason:
                reason["file"] = "../secret.yaml"
    (here / "out" / "job.json").write_text(json.dumps(data))
    for arguments in (["explain", "out/job.json"], ["explain", "out/job.json", "lead_error"]):
        assert main(arguments) == 0
        told = capsys.readouterr().out
        assert "\x1b" not in told
        assert "top secret" not in told


@pytest.mark.parametrize("code", list(codes()))
def test_every_code_has_an_answer(code: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", code]) == 0
    told = capsys.readouterr().out
    assert told.startswith(f"{code}: ")
    assert all(len(line) <= 140 for line in told.splitlines())
