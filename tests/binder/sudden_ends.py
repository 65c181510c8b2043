"""A program on its own: builds that are killed at chosen moments, and what the folder holds after each.

``sudden_ends.py SHOP OLD OUT how-many seed [piecewise]`` prints one JSON object.  A moment is an event that Python tells its audit hooks
of (a file opened, renamed, linked, removed, a folder made, a call into the system's library): whatever a build does to the disk passes
there.  When there are fewer of them than moments wanted, the rest are by the clock.  ``piecewise`` takes away the exchange of whole
folders, as on a system that has none.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

import benchleaf.binder.swap
from benchleaf.cli import main

WATCHED = ("open", "os.", "shutil.", "tempfile.", "ctypes.", "fcntl.")


def state(folder: Path) -> dict[str, str]:
    return {path.name: path.read_bytes().hex() for path in sorted(folder.iterdir())}


def child(work: Callable[[], object]) -> int:
    """Run in a process of its own; its exit status."""
    process = os.fork()
    if process == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        work()
        os._exit(0)
    return os.waitpid(process, 0)[1]


def build(shop: str, out: Path) -> int:
    return main(["build", shop, "--out", str(out), "--format", "json,text", "-q"])


def killed_at(moment: int, shop: str, out: Path) -> None:
    """Build, and die when the ``moment``-th event comes."""
    count = 0

    def hook(event: str, _: object) -> None:
        nonlocal count
        if event.startswith(WATCHED):
            count += 1
            if count == moment:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hook)
    build(shop, out)


def killed_after(seconds: float, shop: str, out: Path) -> None:
    """Build, and die when that time has passed."""
    signal.signal(signal.SIGALRM, lambda *_: os.kill(os.getpid(), signal.SIGKILL))
    signal.setitimer(signal.ITIMER_REAL, seconds)
    build(shop, out)
    signal.pause()  # it was faster than that


def events(shop: str, out: Path) -> int:
    """How many there are in a whole build."""
    reading, writing = os.pipe()

    def counted() -> None:
        count = 0

        def hook(event: str, _: object) -> None:
            nonlocal count
            count += event.startswith(WATCHED)

        sys.addaudithook(hook)
        build(shop, out)
        os.write(writing, str(count).encode())

    child(counted)
    return int(os.read(reading, 20))


def run(shop: str, old: Path, out: Path, many: int, seed: int) -> dict[str, object]:
    def restore() -> None:
        for left in (out, *out.parent.glob(f".{out.name}.*")):
            shutil.rmtree(left, ignore_errors=True)
        shutil.copytree(old, out)

    restore()
    build(shop, out)  # in this process, so that no child has to import
    new = state(out)
    restore()
    begun = time.perf_counter()
    last = events(shop, out)
    whole = time.perf_counter() - begun
    chance = random.Random(seed)
    moments: list[int | float] = sorted(chance.sample(range(1, last + 1), min(many, last)))
    moments += [chance.uniform(0, whole) for _ in range(many - last)]
    ends = []
    for moment in moments:
        restore()
        kill = killed_at if isinstance(moment, int) else killed_after
        status = child(lambda kill=kill, moment=moment: kill(moment, shop, out))  # type: ignore[misc]
        assert os.WIFSIGNALED(status), "it ended before the moment came"
        ends.append(state(out))
        child(lambda: build(shop, out))  # whoever comes next
        assert state(out) == new, f"not brought up to date after {moment}"
        assert not list(out.parent.glob(f".{out.name}.*")), f"left behind after {moment}"
    return {"old": state(old), "new": new, "ends": ends}


if __name__ == "__main__":
    if sys.argv[6:] == ["piecewise"]:
        benchleaf.binder.swap._exchange = lambda *_: False
    print(json.dumps(run(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]), int(sys.argv[4]), int(sys.argv[5]))))
