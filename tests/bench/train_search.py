"""How long the train search takes beside plain nested loops, in one run.

Run from the checkout: ``python tests/bench/train_search.py``.  The loops multiply floats and look for the nearest ratio only: no banjo, no order
of merit, no exact error.  The search answers in full: the five nearest leads, each with the best train that goes on the banjo.  The machine is made
ready afresh for every thread, as for a sheet of its own; the loops are timed on the first threads of each list.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, permutations
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(CHECKOUT / "compiler"), str(CHECKOUT / "tests")]

from kinematics.machines import problem  # noqa: E402

from benchleaf.kinematics import dress  # noqa: E402
from benchleaf.kinematics import search as searching  # noqa: E402
from benchleaf.kinematics.levers import allowed_drives  # noqa: E402
from benchleaf.kinematics.model import Problem, Wheel  # noqa: E402

F = Fraction


def threads(number: int) -> list[Fraction]:
    """Metric pitches, threads per inch, and module worms."""
    metric = [F(n, 20) for n in range(5, 125)]
    inch = [F(127, 5) / n for n in range(3, 64)]
    worms = [F(314159265358979, 10**14) * F(n, 8) for n in range(2, 40)]
    mixed = [lead for three in zip(metric, inch, worms, strict=False) for lead in three]
    return mixed[:number]


def one_stud_by_loops(machine: Problem, wanted: Fraction) -> float:
    """Nearest ratio of A/B x C/D under every lever ratio, by four loops (simple trains among them as A/D)."""
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    best = 1e9
    for drive in {float(drive.ratio) for drive in allowed_drives(machine)}:
        target = float(wanted) / float(machine.leadscrew_lead) / drive
        for i, a in enumerate(teeth):
            for j, b in enumerate(teeth):
                if i == j:
                    continue
                ab = a / b / target
                error = abs(ab - 1)
                if error < best:
                    best = error
                for k, c in enumerate(teeth):
                    if k in (i, j):
                        continue
                    abc = ab * c
                    for m, d in enumerate(teeth):
                        if m in (i, j, k):
                            continue
                        error = abs(abc / d - 1)
                        if error < best:
                            best = error
    return best


def two_studs_by_loops(machine: Problem, wanted: Fraction) -> float:
    """Nearest ratio of three drivers to three driven wheels, by loops over sets of three."""
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    target = float(wanted) / float(machine.leadscrew_lead)
    best = 1e9
    for i, j, k in combinations(range(len(teeth)), 3):
        drivers = teeth[i] * teeth[j] * teeth[k] / target
        for m, n, o in combinations(range(len(teeth)), 3):
            if {m, n, o} & {i, j, k}:
                continue
            error = abs(drivers / (teeth[m] * teeth[n] * teeth[o]) - 1)
            if error < best:
                best = error
    return best


def two_studs_by_permutations(machine: Problem, wanted: Fraction) -> float:
    """The same by six nested loops, as it is usually written."""
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    target = float(wanted) / float(machine.leadscrew_lead)
    return min(abs(a * c * e / (b * d * f) / target - 1) for a, b, c, d, e, f in permutations(teeth, 6))


def measure(name: str, machine: Problem, number: int, loops: Callable[[Problem, Fraction], float], loop_threads: int) -> None:
    """Time both and print; the search must come as near as the loops do, since both see the same arithmetic."""
    wanted = threads(number)
    times = []
    for lead in wanted:
        searching._searcher.cache_clear()
        dress.fitter_for.cache_clear()
        start = time.perf_counter()
        result = searching.search(machine, lead)
        times.append(time.perf_counter() - start)
        assert result.proved
    mean, worst = sum(times) / len(times), max(times)
    start = time.perf_counter()
    nearest = [loops(machine, lead) for lead in wanted[:loop_threads]]
    by_loops = (time.perf_counter() - start) / loop_threads
    for lead, error in zip(wanted, nearest, strict=False):
        found = searching.search(replace(machine, banjo=None), lead).nearest
        assert found is not None
        assert abs(abs(float(found.error)) - error) < 1e-9 * (1 + error)
    print(f"{name}")
    print(f"  search  {mean * 1e3:9.2f} ms a thread, at worst {worst * 1e3:.1f} ms ({number} threads, banjo and merit included)")
    print(f"  loops   {by_loops * 1e3:9.2f} ms a thread ({loops.__name__}, {loop_threads} threads, nearest ratio only)")
    print(f"  the loops take {by_loops / mean:.0f} times as long", flush=True)


def main() -> None:
    """All tasks."""
    sixteen = replace(problem("dunlin-3"), gearbox=type(problem("dunlin-3").gearbox)())
    measure("16 wheels, no gearbox, one stud", sixteen, 60, one_stud_by_loops, 10)
    heron = problem("heron-6")
    forty = replace(heron, headstock=(), gearbox=replace(heron.gearbox, levers=heron.gearbox.levers[:2], forbidden=()))
    measure("20 wheels, 45 lever combinations, one stud", forty, 60, one_stud_by_loops, 2)
    plover = problem("plover-4")
    fourteen = replace(plover, arrangements=("double compound",))
    measure("14 wheels, two studs", fourteen, 20, two_studs_by_permutations, 1)
    twenty = replace(fourteen, wheels=plover.wheels + tuple(Wheel(z, F(1)) for z in (32, 42, 44, 52, 54, 57)))
    measure("20 wheels, two studs", twenty, 20, two_studs_by_loops, 2)


if __name__ == "__main__":
    main()
