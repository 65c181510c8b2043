"""Printed sheets against the workshop as it is: what makes one stale, and what does not."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from benchleaf.cli import main

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
WHEELS = "gears/long-lathe-wheels.yaml"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo workshop with every sheet built and recorded as printed."""
    shutil.copytree(PROFILES / "osier-lane", tmp_path / "shop")
    monkeypatch.chdir(tmp_path)
    assert main(["build", "shop", "--format", "json", "-q"]) == 0
    assert main(["printed", *(str(path) for path in sorted(Path("out").glob("*.json"))), "--on", "2026-03-01", "--workshop", "shop"]) == 0
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
