"""`format` and `migrate` on files, and the hooks that run before a commit."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml
from small_shop import FILES, write

from benchleaf.cli import main

CHECKOUT = Path(__file__).resolve().parents[2]
OLD = Path(__file__).parent / "version-0"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "shop").mkdir()
    write(tmp_path / "shop")
    monkeypatch.chdir(tmp_path)
    return tmp_path / "shop"


def test_the_demo_needs_no_formatting(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(CHECKOUT)
    assert main(["format", "--check", "profiles"]) == 0
    assert capsys.readouterr() == ("", "0 files would change\n")


def test_format_writes_what_it_shows_and_once_is_enough(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = shop / "steel.yaml"
    path.write_bytes(b"\xef\xbb\xbfschema:   1\r\nkind: material #odd\r\n\r\n\r\n\r\nname: Mild steel   \r\ngroup: mild steel")
    before = path.read_bytes()
    assert main(["format", "--diff", "shop/steel.yaml"]) == 1
    told = capsys.readouterr()
    assert "-schema:   1\n" in told.out
    assert "+schema: 1\n" in told.out
    assert main(["format", "--check", "shop"]) == 1
    assert capsys.readouterr().out == "shop/steel.yaml\n"
    assert path.read_bytes() == before
    assert main(["format", "shop"]) == 0
    assert capsys.readouterr() == ("shop/steel.yaml\n", "1 file changed\n")
    assert path.read_bytes() == b"schema: 1\nkind: material # odd\n\nname: Mild steel\ngroup: mild steel\n"
    assert main(["format", "shop"]) == 0
    assert capsys.readouterr() == ("", "0 files changed\n")


def test_a_file_with_faults_is_left_as_it_is(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = shop / "steel.yaml"
    path.write_text("schema: 1\nkind: material\nname: [x\n")
    assert main(["format", "shop"]) == 1
    assert "shop/steel.yaml:" in capsys.readouterr().err
    assert path.read_text() == "schema: 1\nkind: material\nname: [x\n"
    assert main(["format", "shop/nowhere.yaml"]) == 2
    assert "there is no" in capsys.readouterr().err


def test_files_of_others_are_passed_over(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    others = {"ci.yml": "on:   [push]\n", "cluster.yaml": "apiVersion:  v1\nkind: Pod\n", "api.yaml": "paths:\n    a:\n        schema: {type:  x}\n"}
    for name, text in others.items():
        (shop / name).write_text(text)
    named = [f"shop/{name}" for name in others]
    assert main(["format", "shop", "-q"]) == 0
    assert main(["format", "--ours", *named]) == 0
    assert main(["check", "--ours", "--quiet", *named, "shop/steel.yaml"]) == 0
    assert {name: (shop / name).read_text() for name in others} == others
    assert main(["check", *named]) == 1, "said without the option they are looked at"


# From one version of the language to the next


def test_files_of_version_0_are_brought_up_to_date_with_their_comments(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copytree(OLD, tmp_path / "shop")
    monkeypatch.chdir(tmp_path)
    before = {path.name: path.read_text(encoding="utf-8") for path in sorted(Path("shop").iterdir())}
    assert main(["check", *(f"shop/{name}" for name in before)]) == 1
    told = capsys.readouterr().err
    assert told.count("error[schema/version]: the file is in version 0 of the language") == len(before)
    assert "`benchleaf migrate` brings it up to date" in told
    assert main(["migrate", "shop"]) == 0
    told = capsys.readouterr()
    assert told.out.count("\n-schema: 0\n+schema: 1\n") == len(before)
    assert "-teeth: [20, 25" in told.out
    assert "+wheels: [20, 25" in told.out
    assert {path.name: path.read_text(encoding="utf-8") for path in Path("shop").iterdir()} == before, "shown, not written"
    assert main(["migrate", "--write", "shop", "-q"]) == 0
    after = {path.name: path.read_text(encoding="utf-8") for path in sorted(Path("shop").iterdir())}
    for name, text in before.items():
        assert re.findall("#.*", text) == re.findall("#.*", after[name])
    capsys.readouterr()
    assert main(["check", "shop"]) == 0
    assert "1 of 1 job can be built" in capsys.readouterr().out
    assert main(["migrate", "--write", "shop"]) == 0
    assert capsys.readouterr() == ("", "0 files changed\n")


def test_what_is_newer_or_broken_is_left_alone(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "steel.yaml").write_text(FILES["steel.yaml"].replace("schema: 1", "schema: 7"))
    (shop / "gears.yaml").write_text("schema: 0\nkind: gear-set\nteeth: [20\n")
    assert main(["migrate", "--write", "shop"]) == 1
    assert "shop/gears.yaml" in capsys.readouterr().err
    assert (shop / "steel.yaml").read_text().startswith("schema: 7")
    assert (shop / "gears.yaml").read_text().startswith("schema: 0")
    assert main(["check", "shop/steel.yaml"]) == 1
    assert "a later program may know it" in capsys.readouterr().err


# Before a commit


def test_the_hooks_work_from_a_tag(tmp_path: Path, shop: Path) -> None:
    git = ["git", "-c", "user.name=t", "-c", "user.email=t@example.org"]
    origin = tmp_path / "origin"
    origin.mkdir()
    for name in (".pre-commit-hooks.yaml", "pyproject.toml", "README.md"):
        shutil.copy(CHECKOUT / name, origin)
    shutil.copytree(CHECKOUT / "compiler", origin / "compiler", ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("schemas", "templates", "profiles"):
        shutil.copytree(CHECKOUT / name, origin / name)
    for arguments in (["init", "-q"], ["add", "."], ["commit", "-qm", "all"], ["tag", "v0"]):
        subprocess.run([*git, *arguments], cwd=origin, check=True, capture_output=True)
    subprocess.run(["git", "clone", "-q", "--branch", "v0", origin.as_uri(), str(tmp_path / "hook")], check=True, capture_output=True)
    hooks = yaml.safe_load((tmp_path / "hook/.pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    scripts = tomllib.loads((tmp_path / "hook/pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert [hook["id"] for hook in hooks] == ["benchleaf-check", "benchleaf-format"]
    (shop / "ci.yml").write_text("on:   [push]\n")
    staged = [f"shop/{path.name}" for path in sorted(shop.iterdir())]

    def run(hook: dict[str, object]) -> int:
        assert {"id", "name", "entry", "language"} <= hook.keys()  # what pre-commit asks for; languages and types as it documents them
        assert (hook["language"], hook["types"]) == ("python", ["yaml"])
        command, *arguments = shlex.split(str(hook["entry"]))
        assert command in scripts
        code = f"import sys; sys.path.insert(0, {str(tmp_path / 'hook/compiler')!r}); from benchleaf.__main__ import run; sys.exit(run())"
        return subprocess.run([sys.executable, "-c", code, *arguments, *staged], cwd=tmp_path, capture_output=True, check=False).returncode

    assert [run(hook) for hook in hooks] == [0, 0]
    (shop / "steel.yaml").write_text(FILES["steel.yaml"].replace("group:", "gruop:").replace("kind: ", "kind:   "))
    assert [run(hook) for hook in hooks] == [1, 0]
    assert "kind: material" in (shop / "steel.yaml").read_text(), "formatted where it stands: the commit is stopped by that"
    assert (shop / "ci.yml").read_text() == "on:   [push]\n"
