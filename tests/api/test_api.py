"""Benchleaf from Python: the example in the manual, what the names stand for, and that looking at them loads nothing."""

from __future__ import annotations

import ast
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchleaf import api
from benchleaf.cli import main

CHECKOUT = Path(__file__).resolve().parents[2]


def test_the_example_of_the_manual_does_what_build_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copytree(CHECKOUT / "profiles", tmp_path / "profiles")
    monkeypatch.chdir(tmp_path)
    examples = re.findall(r"```python\n(from pathlib import Path\nfrom benchleaf import api\n.*?)```", (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8"), re.DOTALL)
    assert len(examples) == 1
    exec(examples[0], {})
    said = capsys.readouterr().out
    assert main(["build", "profiles/osier-lane", "--format", "json", "--out", "out", "-q"]) == 0
    made = {path.name: path.read_bytes() for path in tmp_path.glob("*.json")}
    assert len(made) > 20
    assert made == {path.name: path.read_bytes() for path in (tmp_path / "out").glob("*.json")}
    told = json.loads((capsys.readouterr(), main(["check", "profiles/osier-lane", "--diagnostics", "json"]), capsys.readouterr().out)[2])
    for fault in told["diagnostics"]:
        assert fault["message"] in said


def test_a_job_with_faults_has_no_sheet_and_says_why(tmp_path: Path) -> None:
    shutil.copytree(CHECKOUT / "profiles", tmp_path / "profiles")
    path = tmp_path / "profiles/osier-lane/jobs/gland-nut.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("length:", "lenght:", 1), encoding="utf-8")
    loaded, _ = api.load([path], tmp_path)
    (job,) = loaded.jobs
    assert api.sheet_of(job) == (None, [])
    assert next((fault.code, fault.severity) for fault in job.diagnostics if fault.severity is api.Severity.ERROR) == ("schema/unknown-key", api.Severity.ERROR)


def test_every_name_is_there_and_type_checkers_see_the_same() -> None:
    tree = ast.parse(Path(api.__file__).read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    seen = {(alias.asname or alias.name): (node.module, alias.name) for node in block.body if isinstance(node, ast.ImportFrom) for alias in node.names}
    assert seen == api._NAMES
    assert sorted(seen) == sorted(api.__all__) == dir(api)
    assert all(getattr(api, name) is not None for name in api.__all__)
    with pytest.raises(AttributeError, match="nothing"):
        _ = api.nothing


def test_importing_it_loads_nothing_else() -> None:
    code = "import sys; from benchleaf import api; print(*sorted(name for name in sys.modules if name.startswith('benchleaf')))"
    done = subprocess.run([sys.executable, "-c", code], cwd=CHECKOUT / "compiler", capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["benchleaf", "benchleaf.api"]
