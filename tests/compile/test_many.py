"""Sheets rendered by several processes are those that one makes, in the same order, whatever happens to a worker."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
# In a process of its own: workers are copied only where nothing else runs.
PROGRAM = """
import hashlib, json, os, signal, sys
from pathlib import Path
import benchleaf.compile.many as many
from benchleaf.compile import Stages, load, sheet_of

loaded, _ = load([Path(name) for name in sys.argv[2:]], Path.cwd())
sheets = [sheet_of(job)[0] for job in loaded.jobs]
seen = Path(sys.argv[1])
one = many._one

def noted(number):
    (seen / f"{number} {os.getpid()}").touch()
    if WHEN == number:
        os.kill(os.getpid(), signal.SIGKILL)
    return one(number)

WHEN = int(os.environ["DIES_AT"])
many._one = noted
made = [(hashlib.sha256(contents[".pdf"]).hexdigest(), hashlib.sha256(contents[".html"]).hexdigest(), len(faults))
        for contents, faults in many.render_many(sheets, ("pdf", "html"), Stages(), ("A5", "side", 0.0), int(os.environ["PROCESSORS"]))]
print(json.dumps({"made": made, "here": os.getpid()}))
"""
JOBS = [f"profiles/osier-lane/jobs/{name}.yaml" for name in ("gland", "cap-nut", "oil-cup", "handle-screw")]


def made(folder: Path, processors: int, dies_at: int = -1) -> tuple[list[list[object]], set[str]]:
    """Digests of what is rendered, and the processes that took part."""
    folder.mkdir()
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler"), "PROCESSORS": str(processors), "DIES_AT": str(dies_at)}
    done = subprocess.run([sys.executable, "-c", PROGRAM, str(folder), *JOBS], cwd=CHECKOUT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    hands = {path.name.split()[1] for path in folder.iterdir()}
    assert str(told["here"]) not in hands
    return told["made"], hands


def test_two_processes_make_what_one_makes_and_a_worker_that_dies_is_no_loss(tmp_path: Path) -> None:
    alone, nobody = made(tmp_path / "alone", 1)
    assert nobody == set()
    assert len(alone) == len(JOBS)
    shared, hands = made(tmp_path / "shared", 2)
    assert len(hands) == (2 if sys.platform.startswith("linux") else 0)  # elsewhere one process does it all
    assert shared == alone
    rest, _ = made(tmp_path / "rest", 2, dies_at=2)
    assert rest == alone
