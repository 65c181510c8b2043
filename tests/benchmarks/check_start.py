"""How long ``benchleaf check`` takes beside merely importing PyYAML, click and jsonschema: start-up, and with the planning of eight jobs.

Run from the checkout: ``python tests/benchmarks/check_start.py [repeats]``.  Fresh processes, taken in turn; the best of each counts.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
COMMANDS = {
    "bare interpreter": ["-c", "pass"],
    "import yaml, click, jsonschema": ["-c", "import yaml, click, jsonschema"],
    "benchleaf --version": ["-m", "benchleaf", "--version"],
    "benchleaf check a lathe with its wheels and tools": ["-m", "benchleaf", "check", "profiles/osier-lane/lathes/long-lathe.yaml"],
    "benchleaf check profiles/osier-lane": ["-m", "benchleaf", "check", "profiles/osier-lane"],
}


def main(repeats: int) -> int:
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
    best = dict.fromkeys(COMMANDS, float("inf"))
    for _ in range(repeats):
        for name, arguments in COMMANDS.items():
            start = time.perf_counter()
            done = subprocess.run([sys.executable, *arguments], cwd=CHECKOUT, env=environment, capture_output=True, check=False)
            best[name] = min(best[name], time.perf_counter() - start)
            if done.returncode != 0:
                sys.stderr.buffer.write(done.stdout + done.stderr)
                return done.returncode
    for name, seconds in best.items():
        print(f"{seconds * 1000:7.0f} ms  {name}")
    imports = best["import yaml, click, jsonschema"]
    for name in list(COMMANDS)[-2:]:
        print(f"{name}: {best[name] / imports:.2f} times the imports, {(best[name] - imports) * 1000:+.0f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 15))
