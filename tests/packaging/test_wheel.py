"""The built packages: complete, and working away from the checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]


def run(*command: str, cwd: Path, python_path: str = "") -> subprocess.CompletedProcess[str]:
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"} | ({"PYTHONPATH": python_path} if python_path else {})
    done = subprocess.run([sys.executable, *command], cwd=cwd, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done


@pytest.fixture(scope="module")
def packages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Sdist, and the wheel built from that sdist (so that the sdist is complete); needs no network."""
    folder = tmp_path_factory.mktemp("packages")
    run("-m", "build", "--no-isolation", "--outdir", str(folder), str(CHECKOUT), cwd=folder)
    return folder


@pytest.fixture(scope="module")
def installed(packages: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    wheel = next(packages.glob("*.whl"))
    run("-m", "pip", "install", "--quiet", "--no-deps", "--no-index", "--target", str(folder), str(wheel), cwd=folder)
    return folder


def test_data_files_are_in_both(packages: Path) -> None:
    wanted = {
        f"{room}/{path.relative_to(CHECKOUT / room).as_posix()}"
        for room in ("schemas", "templates", "profiles")
        for path in (CHECKOUT / room).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    beside = {path.relative_to(CHECKOUT / "compiler").as_posix() for path in (CHECKOUT / "compiler" / "benchleaf").rglob("*.*") if path.suffix in (".py", ".yaml", ".txt")}
    with zipfile.ZipFile(next(packages.glob("*.whl"))) as wheel:
        names = set(wheel.namelist())
    assert {f"benchleaf/_data/{name}" for name in wanted} | beside <= names
    assert not [name for name in names if name.endswith(".pyc")]
    with tarfile.open(next(packages.glob("*.tar.gz"))) as sdist:
        inside = {name.split("/", 1)[1] for name in sdist.getnames() if "/" in name}
    assert wanted | {f"compiler/{name}" for name in beside} | {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"} <= inside


def test_the_wheel_builds_the_same_sheets_from_anywhere(installed: Path, tmp_path: Path) -> None:
    demo = installed / "benchleaf" / "_data" / "profiles" / "osier-lane"
    done = run("-m", "benchleaf", "build", str(demo), "--out", "out", "--format", "html,json,text", cwd=tmp_path, python_path=str(installed))
    assert "Traceback" not in done.stderr
    there = run("-c", "import benchleaf; print(benchleaf.__file__)", cwd=tmp_path, python_path=str(installed)).stdout
    assert Path(there.strip()).is_relative_to(installed)
    run("-m", "benchleaf", "build", "profiles/osier-lane", "--out", str(tmp_path / "checkout"), "--format", "html,json,text", cwd=CHECKOUT,
        python_path=str(CHECKOUT / "compiler"))  # fmt: skip
    ours, theirs = ({path.name: path.read_bytes() for path in (tmp_path / name).glob("[!.]*")} for name in ("out", "checkout"))
    assert ours
    assert ours == theirs


def test_the_installed_command_runs(installed: Path, tmp_path: Path) -> None:
    command = next(path for path in (installed / "bin").iterdir() if path.name.startswith("benchleaf"))
    done = run(str(command), "--version", cwd=tmp_path, python_path=str(installed))
    assert done.stdout.startswith("benchleaf, version ")
