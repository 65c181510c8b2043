"""How long ``benchleaf check`` takes beside merely importing PyYAML, click and jsonschema: start-up, and with the planning of a workshop.

Run from the checkout: ``python tests/bench/check_start.py [repeats]``.  Fresh processes with compiled bytecode, taken in turn after
one round that is not counted.  Medians of CPU time (user) and of the clock on the wall, each also against the imports.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from statistics import median

CHECKOUT = Path(__file__).resolve().parents[2]
IMPORTS = "import yaml, click, jsonschema"
COMMANDS = {
    "bare interpreter": ["-c", "pass"],
    IMPORTS: ["-c", IMPORTS],
    "benchleaf --version": ["-m", "benchleaf", "--version"],
    "benchleaf check a lathe with its wheels and tools": ["-m", "benchleaf", "check", "profiles/osier-lane/lathes/long-lathe.yaml"],
    "benchleaf check profiles/osier-lane": ["-m", "benchleaf", "check", "profiles/osier-lane"],
}


def measured(arguments: list[str], environment: dict[str, str]) -> tuple[float, float]:
    """Milliseconds of user CPU and of wall clock for one process.  Raises CalledProcessError when it fails."""
    before, start = getrusage(RUSAGE_CHILDREN).ru_utime, time.perf_counter()
    subprocess.run([sys.executable, *arguments], cwd=CHECKOUT, env=environment, capture_output=True, check=True)
    return (getrusage(RUSAGE_CHILDREN).ru_utime - before) * 1000, (time.perf_counter() - start) * 1000


def main(repeats: int) -> int:
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in COMMANDS}
    with tempfile.TemporaryDirectory() as bytecode:
        environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler"), "PYTHONPYCACHEPREFIX": bytecode}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        for turn in range(repeats + 1):
            for name, arguments in COMMANDS.items():
                try:
                    taken = measured(arguments, environment)
                except subprocess.CalledProcessError as failed:
                    sys.stderr.buffer.write(failed.stdout + failed.stderr)
                    return failed.returncode
                if turn:  # the first writes the bytecode
                    times[name].append(taken)
    cpu, wall = ({name: median(pair[kind] for pair in pairs) for name, pairs in times.items()} for kind in (0, 1))
    print(f"medians of {repeats}, ms, and against `{IMPORTS}`")
    print("  user                    wall")
    for name in COMMANDS:
        columns = (f"{taken[name]:6.0f} {taken[name] / taken[IMPORTS]:5.2f}x {taken[name] - taken[IMPORTS]:+6.0f}" for taken in (cpu, wall))
        print("   ".join(columns), "  ", name)
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 15))
