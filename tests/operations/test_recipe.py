"""The operation that DEVELOPERS.md builds as its example is built from that page and compiled: one module, one fragment, one template block."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from operations.small_shop import FILES

CHECKOUT = Path(__file__).resolve().parents[2]
PAGE = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECIPE = dict(re.findall(r"^```(?:json|python|jinja) (\w+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL))
JOB = """\
schema: 1
kind: job
name: Handle
machine: lathe.yaml
material: steel.yaml
blank: {outside: 20 mm, length: 80 mm}
held: {by: chuck, stands-out: 50 mm}
steps:
  - polish: {from: 5 mm, length: 30 mm}
"""


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A copy of the program with the operation of the recipe in it, and a small workshop beside."""
    for folder in ("compiler", "schemas", "templates"):
        shutil.copytree(CHECKOUT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    jobs = tmp_path / "schemas" / "job.schema.json"
    jobs.write_text(jobs.read_text(encoding="utf-8").replace('"hold": {', f"{RECIPE['step'].strip()},\n          \"hold\": {{"), encoding="utf-8")
    (tmp_path / "schemas" / "steps" / "polish.schema.json").write_text(RECIPE["schema"], encoding="utf-8")
    (tmp_path / "compiler" / "benchleaf" / "operations" / "polish.py").write_text(RECIPE["operation"], encoding="utf-8")
    (tmp_path / "templates" / "operations").mkdir(exist_ok=True)
    (tmp_path / "templates" / "operations" / "polish.html.j2").write_text(RECIPE["block"], encoding="utf-8")
    shop = tmp_path / "shop"
    shop.mkdir()
    for name, text in FILES.items():
        (shop / name).write_text(text, encoding="utf-8")
    return tmp_path


def _run(checkout: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(checkout / "compiler")}
    command = [sys.executable, "-m", "benchleaf", *arguments]
    return subprocess.run(command, cwd=checkout / "shop", env=environment, capture_output=True, text=True, timeout=120, check=False)


def test_the_recipe_for_an_operation_works_as_written(checkout: Path) -> None:
    (checkout / "shop" / "job.yaml").write_text(JOB, encoding="utf-8")
    done = _run(checkout, "build", "job.yaml", "--out", "out", "--format", "html,text,pdf")
    assert (done.returncode, done.stderr) == (0, "")
    text = (checkout / "shop" / "out" / "job.txt").read_text(encoding="utf-8")
    assert "Polish" in text
    assert "30.00\N{NO-BREAK SPACE}mm" in text
    html = (checkout / "shop" / "out" / "job.html").read_text(encoding="utf-8")
    assert "Grain: 240, then 400, over 30.00 mm." in html


def test_its_faults_are_told_like_all_others(checkout: Path) -> None:
    (checkout / "shop" / "job.yaml").write_text(JOB.replace("length: 30 mm", "length: 60 mm"), encoding="utf-8")
    done = _run(checkout, "check", "job.yaml")
    assert done.returncode == 1
    assert "error[holding/in-the-jaws]" in done.stderr
    assert "job.yaml:9:" in done.stderr
    (checkout / "shop" / "job.yaml").write_text(JOB.replace("from: 5 mm", "form: 5 mm"), encoding="utf-8")
    done = _run(checkout, "check", "job.yaml")
    assert done.returncode == 1
    assert "did you mean `from`?" in done.stderr
