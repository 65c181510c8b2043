"""A folder of sheets brought up to date: with nothing changed, and with one sheet of many, against making all of them.

Run from the checkout: ``python tests/bench/binder.py [sheets]`` (200 when left out; about three minutes).  The workshop is the demo with
its jobs copied under new names until there are enough.  Every run is a process of its own; ratios are of the clock on the wall in this
one run, the baseline is the build of everything.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

CHECKOUT = Path(__file__).resolve().parents[2]
DEMO = CHECKOUT / "profiles" / "osier-lane"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
SEEN = "import sys; from benchleaf.cli import main; code = main(sys.argv[1:]); print('weasyprint' in sys.modules); sys.exit(code)"


def workshop(folder: Path, sheets: int) -> list[Path]:
    """The demo with that many jobs; their files."""
    shutil.copytree(DEMO, folder)
    jobs = sorted((folder / "jobs").glob("*.yaml"))
    made: list[Path] = []
    while len(made) < sheets:
        for job in jobs[: sheets - len(made)]:
            path = job.with_name(f"{job.stem}-{len(made)}.yaml")
            path.write_text(job.read_text(encoding="utf-8"), encoding="utf-8")
            made.append(path)
    for job in jobs:
        job.unlink()
    file = folder / "workshop.yaml"
    lines = file.read_text(encoding="utf-8").splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("jobs:"))
    after = next((number for number, line in enumerate(lines[at + 1 :], at + 1) if line and not line.startswith((" ", "#", "-"))), len(lines))
    lines[at:after] = ["jobs:", *(f"  - jobs/{path.name}" for path in made)]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return made


def built(folder: Path, out: Path) -> tuple[float, int, bool]:
    """Seconds, files written, and whether WeasyPrint was imported.  Raises CalledProcessError when the build fails."""
    start = time.perf_counter()
    ask = [sys.executable, "-c", SEEN, "build", str(folder), "--out", str(out)]
    done = subprocess.run(ask, env=ENVIRONMENT, capture_output=True, text=True, check=True)
    *written, imported = done.stdout.split()
    return time.perf_counter() - start, len(written), imported == "True"


def main(sheets: int) -> int:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as scratch:
        folder, out = Path(scratch) / "shop", Path(scratch) / "out"
        jobs = workshop(folder, sheets)
        whole, files, _ = built(folder, out)
        nothing = [built(folder, out) for _ in range(5)]
        one = []
        for number in range(3):
            text = jobs[0].read_text(encoding="utf-8")
            jobs[0].write_text(text.replace("\nname: ", f"\nname: {number} ", 1), encoding="utf-8")
            one.append(built(folder, out))
    print(f"{sheets} sheets, {files} files, {os.cpu_count()} cores; seconds, and against everything")
    print(f"{whole:8.2f}             everything (baseline)")
    for name, runs in (("nothing changed", nothing), ("one job changed", one)):
        seconds = median(run[0] for run in runs)
        imported = "imported" if any(run[2] for run in runs) else "not imported"
        print(f"{seconds:8.3f}   1/{whole / seconds:5.0f}   {name}: {runs[0][1]} files written, WeasyPrint {imported}")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 200))
