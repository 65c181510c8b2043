"""Does it work with the oldest versions that pyproject.toml allows?  Needs the network; run it when a bound or an import changes.

    .venv/bin/python tests/packaging/lowest.py tests/cli tests/render

Makes a virtual environment of its own, installs each dependency at its lower bound (what those depend on is the newest that they take), and
runs the tests named (all, when none is).  Exit code of the tests.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import tomllib
import venv
from pathlib import Path

from packaging.requirements import Requirement

CHECKOUT = Path(__file__).resolve().parents[2]


def lowest(requirement: str) -> str:
    """The requirement at its lower bound: 'click>=8.1' becomes 'click==8.1'."""
    wanted = Requirement(requirement)
    bounds = [each.version for each in wanted.specifier if each.operator in (">=", "==")]
    return f"{wanted.name}=={bounds[0]}" if bounds else wanted.name


def main(tests: list[str]) -> int:
    """Run the command line."""
    project = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    pins = [lowest(each) for each in project["dependencies"]]
    print("\n".join(pins), flush=True)
    with tempfile.TemporaryDirectory() as folder:
        venv.create(folder, with_pip=True)
        python = str(Path(folder) / "bin" / "python")
        install = [python, "-m", "pip", "install", "--quiet", *pins, *project["optional-dependencies"]["test"], "-e", str(CHECKOUT)]
        if subprocess.run(install, check=False).returncode:
            return 2
        return subprocess.run([python, "-m", "pytest", "-p", "no:cacheprovider", *tests], cwd=CHECKOUT, check=False).returncode


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
