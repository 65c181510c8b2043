"""Printed sheets against the workshop as it is: what makes one stale, and what does not."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchleaf.cli import main

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
WHEELS = "gears/long-lathe-wheels.yaml"


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo workshop (`shop`) with every sheet built (`out`) and recorded as printed."""
    folder = tmp_path_factory.mktemp("recorded")
    shutil.copytree(PROFILES / "osier-lane", folder / "shop")
    with contextlib.chdir(folder):
        assert main(["build", "shop", "--format", "json", "-q"]) == 0
        assert main(["printed", *(str(path) for path in sorted(Path("out").glob("*.json"))), "--on", "2026-03-01", "--workshop", "shop"]) == 0
    return folder


@pytest.fixture
def shop(recorded: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of it to be spoilt."""
    for name in ("shop", "out"):
        shutil.copytree(recorded / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path / "shop"


def _edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def _stale(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, dict[str, object]]]:
    capsys.readouterr()
    code = main([*arguments, "--diagnostics", "json"])
    return code, {item["sheet"]: item for item in json.loads(capsys.readouterr().out)["stale"]}


def _figures(folder: Path) -> dict[str, dict[str, object]]:
    """What each sheet shows, from its JSON: the check of `stale` by other means."""
    found: dict[str, dict[str, object]] = {}
    for path in folder.glob("*.json"):
        data = json.loads(path.read_text(encoding="utf-8"))
        found[data["id"]] = {f"{part['id']}.{figure['id']}": (figure["shown"], figure["unit"]) for part in data["sections"] for figure in part["figures"]}
    return found


def test_one_wheel_makes_exactly_the_sheets_stale_that_it_drives(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _stale(capsys, "stale", "shop") == (0, {})
    _edit(shop / WHEELS, "60, 63, 66", "60, 64, 66")
    code, stale = _stale(capsys, "stale", "shop")
    main(["build", "shop", "--out", "new", "--format", "json", "-q"])
    old, new = _figures(Path("out")), _figures(Path("new"))
    assert code == 1
    assert set(stale) == {name for name in old if old[name] != new.get(name)}
    assert 0 < len(stale) < len(old)
    line = next(number for number, words in enumerate((shop / WHEELS).read_text().splitlines(), 1) if words.startswith("wheels"))
    for name, item in stale.items():
        if item["broken"]:
            continue
        changes = {change["figure"]: change for change in item["changes"]}  # type: ignore[attr-defined]
        assert {figure for figure in old[name] if old[name][figure] != new[name].get(figure)} <= set(changes)
        wheels = [change for figure, change in changes.items() if ".wheel_" in figure]
        assert wheels
        for change in wheels:
            edit = {"file": WHEELS, "line": line, "path": "wheels[11]", "old": "63", "new": "64"}
            assert change["lines"] == [edit]


def test_what_alters_no_figure_makes_nothing_stale(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wheels = shop / WHEELS
    wheels.write_text("# Counted again.\n\n" + wheels.read_text(encoding="utf-8"), encoding="utf-8")
    _edit(wheels, "The 57 and the second 40", "The 57 and one of the 40s")
    assert _stale(capsys, "stale", "shop") == (0, {})


def test_the_register_keeps_comments_and_order_and_is_the_same_twice(shop: Path) -> None:
    register = shop / "printed.yaml"
    first = register.read_bytes()
    _edit(register, '  - sheet: "packing-tube"', '  # laminated, left of the lathe\n  - sheet: "packing-tube"')
    commented = register.read_bytes()
    assert main(["printed", "out/packing-tube.json", "out/gland.json", "--on", "2026-03-01", "--workshop", "shop", "-q"]) == 0
    assert register.read_bytes() == commented != first


def test_revisions_are_compared_as_the_register_is(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    git = ["git", "-c", "user.name=t", "-c", "user.email=t@example.org"]
    for arguments in (["init", "-q"], ["add", "shop"], ["commit", "-qm", "first"]):
        subprocess.run([*git, *arguments], check=True)
    _edit(shop / WHEELS, "60, 63, 66", "60, 64, 66")
    _, by_register = _stale(capsys, "stale", "shop")
    code, by_git = _stale(capsys, "compare", "HEAD", "--workshop", "shop")
    assert code == 1
    assert {name: item["changes"] for name, item in by_git.items()} == {name: item["changes"] for name, item in by_register.items()}
    assert _stale(capsys, "compare", "HEAD", "HEAD", "--workshop", "shop") == (0, {})
    assert main(["compare", "nowhere", "--workshop", "shop"]) == 2
    assert "path/revision" in capsys.readouterr().err


def test_a_register_merged_badly_is_a_fault_with_its_place(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _edit(shop / "printed.yaml", "    figures: |2-\n      [", "    figures: |2-\n      <<<< [")
    assert main(["stale", "shop"]) == 1
    assert "register/broken" in capsys.readouterr().err


def _git(*arguments: str) -> None:
    subprocess.run(["git", "-c", "user.name=t", "-c", "user.email=t@example.org", *arguments], check=True, capture_output=True)


def test_a_report_for_programs_stands_at_the_line_that_did_it(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _edit(shop / WHEELS, "60, 63, 66", "60, 64, 66")
    line = next(number for number, words in enumerate((shop / WHEELS).read_text().splitlines(), 1) if words.startswith("wheels"))
    capsys.readouterr()
    assert main(["stale", "shop", "--diagnostics", "annotations"]) == 1
    told = [words for words in capsys.readouterr().out.splitlines() if "register/stale" in words or "no longer holds" in words]
    assert told
    assert any(words.startswith("::warning ") and f"file=shop/{WHEELS},line={line}," in words and "packing-tube" in words for words in told)
    assert main(["stale", "shop", "--diagnostics", "sarif"]) == 1
    results = json.loads(capsys.readouterr().out)["runs"][0]["results"]
    assert {result["ruleId"] for result in results} >= {"register/stale"}


def test_sheets_that_only_one_revision_has(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _git("init", "-q")
    _git("add", "shop")
    _git("commit", "-qm", "first")
    (shop / "jobs/gland.yaml").rename(shop / "jobs/follower.yaml")
    _edit(shop / "workshop.yaml", "jobs/gland.yaml", "jobs/follower.yaml")
    code, found = _stale(capsys, "compare", "HEAD", "--workshop", "shop")
    assert code == 1
    assert {name: (item["gone"], item["new"]) for name, item in found.items()} == {"gland": (True, False), "follower": (False, True)}


@pytest.mark.parametrize(
    ("prepare", "code"),
    [
        (lambda shop, patch: patch.setenv("PATH", "/nowhere"), "path/no-git"),
        (lambda shop, patch: None, "path/no-repository"),
        (lambda shop, patch: (_git("init", "-q"), _git("commit", "-q", "--allow-empty", "-m", "empty")), "path/not-in-revision"),
        (lambda shop, patch: _git("init", "-q"), "path/revision"),
    ],
    ids=["no git", "no repository", "not there yet", "no commit"],
)
def test_what_git_cannot_give_is_said(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], prepare, code: str) -> None:  # type: ignore[no-untyped-def]
    prepare(shop, monkeypatch)
    capsys.readouterr()
    assert main(["compare", "HEAD", "--workshop", "shop"]) == 2
    assert f"error[{code}]" in capsys.readouterr().err


def test_jobs_of_one_name_are_told_apart_on_paper(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "jobs/spare").mkdir()
    text = (shop / "jobs/gland.yaml").read_text(encoding="utf-8").replace("../", "../../").replace("name: Gland", "name: Spare gland")
    (shop / "jobs/spare/gland.yaml").write_text(text, encoding="utf-8")
    _edit(shop / "workshop.yaml", "  - jobs/gland.yaml", "  - jobs/gland.yaml\n  - jobs/spare/gland.yaml")
    assert main(["build", "shop", "--out", "new", "--format", "json", "-q"]) == 0
    ids = {path.name: json.loads(path.read_text())["id"] for path in Path("new").glob("*gland.json")}
    assert ids == {"jobs-gland.json": "jobs-gland", "jobs-spare-gland.json": "jobs-spare-gland"}
    assert main(["printed", "new/jobs-gland.json", "new/jobs-spare-gland.json", "--workshop", "shop", "-q"]) == 0
    _, found = _stale(capsys, "stale", "shop")
    assert found == {}, "the paper called gland still says what its job makes"
    _edit(shop / "jobs/gland.yaml", "length: 5/8 in", "length: 11/16 in")
    _, found = _stale(capsys, "stale", "shop")
    assert found.keys() == {"gland", "jobs-gland"}


def test_two_hands_that_record_at_once_lose_nothing(shop: Path) -> None:
    (shop / "printed.yaml").unlink()
    sheets = sorted(Path("out").glob("*.json"))[:6]
    environment = {**os.environ, "PYTHONPATH": str(PROFILES.parent / "compiler")}
    running = [subprocess.Popen([sys.executable, "-m", "benchleaf", "printed", str(sheet), "--workshop", "shop", "-q"], env=environment) for sheet in sheets]
    assert [process.wait() for process in running] == [0] * 6
    register = (shop / "printed.yaml").read_text(encoding="utf-8")
    assert all(f'- sheet: "{sheet.stem}"' in register for sheet in sheets)
