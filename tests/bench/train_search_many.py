"""How long the search for many leads takes beside plain nested loops and beside brute force with numpy, in one run.

Run from the checkout: ``python tests/bench/train_search_many.py``.  The search keeps the five nearest leads that go on the banjo, each with its best
train; loops and numpy look for the nearest ratio only, without a banjo.  Where the loops would take too long a slice of one lead is timed and
multiplied, which is said.  The exact error found must be that of brute force with numpy (same machine, banjo left out).
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import prod
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(CHECKOUT / "compiler"), str(CHECKOUT / "tests")]

from kinematics.machines import problem  # noqa: E402

from benchleaf.kinematics.levers import allowed_drives  # noqa: E402
from benchleaf.kinematics.many import ManyLeads  # noqa: E402
from benchleaf.kinematics.model import Gearbox, Problem, Wheel  # noqa: E402

try:
    import numpy as np
except ImportError:
    np = None  # type: ignore[assignment]

F = Fraction
TEETH = (24, 28, 36, 40, 45, 50, 57, 60, 66, 72, 30, 48, 54, 63, 75, 32, 44, 52, 65, 70, 20, 35, 42, 55, 25, 38, 46, 68, 33, 27, 21, 22, 23, 26, 29, 31, 34, 37, 39, 41)


def with_wheels(machine: Problem, number: int) -> Problem:
    """The machine with so many different wheels of its own module."""
    return replace(machine, wheels=tuple(Wheel(z, machine.wheels[0].module) for z in TEETH[:number]))


def threads(number: int) -> list[Fraction]:
    """Leads from a quarter to six millimetres, hardly any of them exact."""
    return [F(1, 4) + F(23 * n, 4 * number) + F(1, 977) for n in range(number)]


def by_loops(machine: Problem, wanted: Fraction, pairs: int, part: int) -> tuple[float, float]:
    """Seconds for one lead by nested loops over wheels one by one, levers outermost, and which share of it was run to tell."""
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    drives = [float(drive.ratio) for drive in allowed_drives(machine)]
    firsts = range(len(teeth)) if part == 1 else range(1)
    tried = drives[:1] if part > 1 else drives
    best = 1e9
    start = time.perf_counter()
    for drive in tried:
        target = float(wanted) / float(machine.leadscrew_lead) / drive
        for i in firsts:
            for j, b in enumerate(teeth):
                if j == i:
                    continue
                ab = teeth[i] / b / target
                for k, c in enumerate(teeth):
                    if k in (i, j):
                        continue
                    abc = ab * c
                    for m, d in enumerate(teeth):
                        if m in (i, j, k):
                            continue
                        if pairs == 2:
                            error = abs(abc / d - 1)
                            if error < best:
                                best = error
                            continue
                        abcd = abc / d
                        for n, e in enumerate(teeth):
                            if n in (i, j, k, m):
                                continue
                            abcde = abcd * e
                            for o, f in enumerate(teeth):
                                if o in (i, j, k, m, n):
                                    continue
                                error = abs(abcde / f - 1)
                                if error < best:
                                    best = error
    share = len(firsts) / len(teeth) * len(tried) / len(drives)
    return (time.perf_counter() - start) / share, share


def by_numpy(machine: Problem, wanted: list[Fraction], pairs: int, number: int) -> tuple[float, list[Fraction]]:
    """Seconds for all leads by looking at every train under every lever ratio, and the exact |error| of the first ``number``."""
    start = time.perf_counter()
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    sets = list(combinations(range(len(teeth)), pairs))
    masks = np.array([sum(1 << i for i in each) for each in sets], dtype=np.int64)
    products = np.array([prod(teeth[i] for i in each) for each in sets], dtype=np.int64)
    apart = (masks[:, None] & masks[None, :]) == 0
    tops, bottoms = (np.broadcast_to(p, apart.shape)[apart] for p in (products[:, None], products[None, :]))
    if "simple" in machine.arrangements:
        simple = [(a, b) for i, a in enumerate(teeth) for j, b in enumerate(teeth) if i != j]
        tops, bottoms = np.append(tops, [a for a, _ in simple]), np.append(bottoms, [b for _, b in simple])
    ratios = tops / bottoms
    drives = list(dict.fromkeys(drive.ratio for drive in allowed_drives(machine)))
    made, errors = time.perf_counter() - start, []
    room = np.empty_like(ratios)
    start = time.perf_counter()
    for lead in wanted[:number]:
        nearest: list[Fraction] = []
        for drive in drives:
            np.multiply(ratios, float(machine.leadscrew_lead * drive / lead), out=room)
            np.subtract(room, 1, out=room)
            np.abs(room, out=room)
            at = np.flatnonzero(room <= room.min() + 1e-13)
            fractions = {F(int(tops[i]), int(bottoms[i])) for i in at}
            nearest.append(min(abs(machine.leadscrew_lead * drive * ratio / lead - 1) for ratio in fractions))
        errors.append(min(nearest))
    return made + (time.perf_counter() - start) * len(wanted) / number, errors


def by_search(machine: Problem, wanted: list[Fraction], keep: int = 5) -> tuple[float, list[Fraction]]:
    start = time.perf_counter()
    many = ManyLeads(machine, len(wanted))
    found = [many.nearest(lead, keep) for lead in wanted]
    seconds = time.perf_counter() - start
    assert all(found), "no train goes on"
    return seconds, [abs(leads[0].error) for leads in found]


def measure(name: str, machine: Problem, number: int, pairs: int, part: int, checked: int) -> None:
    wanted = threads(number)
    seconds = min(by_search(machine, wanted)[0] for _ in range(2))
    loops, share = by_loops(machine, wanted[0], pairs, part)
    loops *= number
    said = f"extrapolated from {share:.3%} of one lead" if share < 1 else "extrapolated from one lead"
    print(f"{name}\n  search {seconds:9.4f} s\n  loops  {loops:9.2f} s ({said}): {loops / seconds:.0f} times", flush=True)
    if np is None:
        print("  numpy is missing: no brute force, answers not compared")
        return
    brute, errors = by_numpy(machine, wanted, pairs, checked)
    assert by_search(replace(machine, banjo=None), wanted, 1)[1][:checked] == errors
    said = "" if checked == number else f" (extrapolated from {checked} leads)"
    print(f"  numpy  {brute:9.3f} s{said}: {brute / seconds:.1f} times; exact errors identical on {checked} leads", flush=True)


def main() -> None:
    plover, heron = problem("plover-4"), problem("heron-6")
    one, two = replace(problem("dunlin-3"), gearbox=Gearbox()), replace(plover, arrangements=("double compound",))
    measure("1: 16 wheels, 60 leads, one stud", with_wheels(one, 16), 60, 2, 1, 60)
    measure("2: 24 wheels, 90 lever combinations, 600 leads, one stud", with_wheels(replace(heron, headstock=()), 24), 600, 2, 2, 20)
    measure("3: 20 wheels, 600 leads, two studs", with_wheels(two, 20), 600, 3, 2, 20)
    for name, machine in (("one stud", one), ("two studs", two)):
        times = [by_search(with_wheels(machine, number), threads(100))[0] for number in (10, 15, 20, 30, 40)]
        print(f"100 leads, {name}, 10/15/20/30/40 wheels: " + "  ".join(f"{t * 1e3:.0f}" for t in times) + f" ms, growth {times[-1] / times[0]:.1f}", flush=True)


if __name__ == "__main__":
    main()
