"""Spoil the demo's files one at a time and see that the compiler answers each with faults, never with a crash, a hang or a stray file.

    .venv/bin/python tests/fuzz/run.py --mutants 20000

Prints mutants, faults by code and the slowest; exit code 1 when a mutant crashed, hung for more than five seconds, or wrote anything.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "compiler"))

from fuzz.mutants import mutant

from benchleaf.compile import check_paths, finished, render
from benchleaf.resources import data_folder

__all__ = ["LIMIT", "Tally", "attack", "shop_copy"]

LIMIT = 5.0  # seconds of computing for one mutant
_RENDER = 8  # every so many mutants that still compile are also rendered


class _TooLongError(BaseException):
    """Not an Exception, so that nothing on the way takes it for a fault of its own."""


@dataclass
class Tally:
    """What has come of the mutants so far."""

    mutants: int = 0
    sound: int = 0
    codes: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    failures: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Take in what another worker found."""
        self.mutants += other.mutants
        self.sound += other.sound
        self.codes += other.codes
        self.slowest = max(self.slowest, other.slowest)
        self.failures += other.failures


def shop_copy(folder: Path) -> Path:
    """The demo workshop, to be spoilt."""
    shop = folder / "shop"
    shutil.copytree(data_folder("profiles") / "osier-lane", shop)
    return shop


def _alarm(_: int, __: FrameType | None) -> None:
    raise _TooLongError


def _snapshot(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*")}


def _victims(shop: Path) -> list[tuple[Path, Path]]:
    """Each file with a job that reads it (itself when it is one)."""
    jobs = sorted((shop / "jobs").glob("*.yaml"))
    found = [(job, job) for job in jobs]
    for job in jobs:
        text = job.read_text(encoding="utf-8")
        found += [(path, job) for path in sorted(shop.rglob("*.yaml")) if path.parent.name != "jobs" and f"{path.parent.name}/{path.name}" in text]
    return found + [(path, jobs[0]) for path in sorted((shop / "gears").glob("*.yaml")) + sorted((shop / "tooling").glob("*.yaml")) + [shop / "workshop.yaml"]]


def attack(shop: Path, seeds: range) -> Tally:
    """Check one mutant for each seed."""
    tally = Tally()
    victims, before = _victims(shop), _snapshot(shop)
    whole = {path: path.read_bytes() for path, _ in victims}
    signal.signal(signal.SIGPROF, _alarm)
    for seed in seeds:
        victim, job = random.Random(seed ^ 0x5EED).choice(victims)
        way, content = mutant(whole[victim], seed)
        name = f"seed {seed} ({way}, {victim.relative_to(shop)})"
        victim.write_bytes(content)
        began = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, LIMIT)
        try:
            checked = check_paths([job], shop)
            tally.codes.update(fault.code for fault in checked.diagnostics)
            tally.sound += any(planned.sheet is not None for planned in checked.jobs)
            if seed % _RENDER == 0:
                for sheet in filter(None, map(finished, checked.jobs)):
                    render(sheet, ("html", "json", "text"))
        except _TooLongError:
            tally.failures.append(f"{name}: more than {LIMIT:g} s")
        except BaseException:
            tally.failures.append(f"{name}: {''.join(traceback.format_exc(limit=-4))}")
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            victim.write_bytes(whole[victim])
        tally.mutants += 1
        tally.slowest = max(tally.slowest, (time.process_time() - began, name))
    stray = _snapshot(shop) - before
    if stray:
        tally.failures.append(f"files were written: {sorted(stray)[:5]}")
    return tally


def _work(seeds: range) -> Tally:
    with tempfile.TemporaryDirectory() as folder:
        return attack(shop_copy(Path(folder)), seeds)


def main() -> int:
    """Run the command line."""
    parser = argparse.ArgumentParser(description="Spoil the demo and see that nothing crashes.")
    parser.add_argument("--mutants", type=int, default=20_000)
    parser.add_argument("--first", type=int, default=0, help="first seed")
    parser.add_argument("--workers", type=int, default=2)
    wishes: Any = parser.parse_args()
    step = 250
    parts = [range(start, min(start + step, wishes.first + wishes.mutants)) for start in range(wishes.first, wishes.first + wishes.mutants, step)]
    whole = Tally()
    began = time.monotonic()
    with multiprocessing.Pool(wishes.workers) as pool:
        for tally in pool.imap_unordered(_work, parts):
            whole.add(tally)
            print(f"\r{whole.mutants} mutants, {len(whole.failures)} failures", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    print(f"{whole.mutants} mutants in {time.monotonic() - began:.0f} s, {whole.sound} still compile, {len(whole.codes)} codes")
    for code, count in whole.codes.most_common(25):
        print(f"{count:8} {code}")
    print(f"slowest: {whole.slowest[0]:.2f} s, {whole.slowest[1]}")
    for failure in whole.failures[:20]:
        print(f"FAILURE {failure}")
    return 1 if whole.failures else 0


if __name__ == "__main__":
    raise SystemExit(main())
