"""How long the search for many leads takes beside plain nested loops and beside brute force with numpy, in one run.

Run from the checkout: ``python tests/bench/train_search_many.py``.  The search keeps the five nearest leads that go on the banjo, each with its best
train, and is made ready afresh for every run.  Loops and numpy look for the nearest ratio only, without a banjo:

- loops: one ``for`` for each wheel of a train and one for the levers, floats, a running minimum;
- numpy, ordered trains: an array with the ratio of every ordered choice of different wheels, from which each lead under each setting of the levers is
  subtracted, and the least absolute value taken; in blocks that stay in the cache;
- numpy, sets of wheels: the same with every set of drivers over every set of driven wheels once (order does not change a ratio) and settings with
  the same ratio merged: a cleverer brute force, and the harder one to beat.

Where a baseline would take too long a part of the leads, or a slice of one, is timed and multiplied, which is said.  Seconds are processor time,
the best of five runs.  The least exact error found must be that of numpy (same machine, banjo left out).
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import prod
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(CHECKOUT / "compiler"), str(CHECKOUT / "tests")]

from kinematics.machines import problem  # noqa: E402

from benchleaf.kinematics.dress import fitter_for  # noqa: E402
from benchleaf.kinematics.levers import allowed_drives  # noqa: E402
from benchleaf.kinematics.many import ManyLeads  # noqa: E402
from benchleaf.kinematics.model import Gearbox, Problem, Wheel  # noqa: E402

try:
    import numpy as np
except ImportError:
    np = None  # type: ignore[assignment]

F = Fraction
BLOCK = 2**16  # ratios in one go: two arrays of them stay in the cache
RUNS = 5
TEETH = (24, 28, 36, 40, 45, 50, 57, 60, 66, 72, 30, 48, 54, 63, 75, 32, 44, 52, 65, 70, 20, 35, 42, 55, 25, 38, 46, 68, 33, 27, 21, 22, 23, 26, 29, 31, 34, 37, 39, 41)


def with_wheels(machine: Problem, number: int) -> Problem:
    """The machine with so many different wheels of its own module."""
    return replace(machine, wheels=tuple(Wheel(z, machine.wheels[0].module) for z in TEETH[:number]))


def threads(number: int) -> list[Fraction]:
    """Leads from a quarter to six millimetres, hardly any of them exact."""
    return [F(1, 4) + F(23 * n, 4 * number) + F(1, 977) for n in range(number)]


def by_loops(machine: Problem, wanted: Fraction, pairs: int, whole: bool) -> tuple[float, float]:
    """Seconds for one lead by nested loops over wheels one by one, levers outermost, and which share of it was run to tell."""
    teeth = [wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)]
    drives = [float(drive.ratio) for drive in allowed_drives(machine)]
    firsts = range(len(teeth)) if whole else range(1)
    best = 1e9
    start = time.process_time()
    for drive in drives[:1]:
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
    share = len(firsts) / len(teeth) / len(drives)
    return (time.process_time() - start) / share, share


def ordered_trains(machine: Problem, pairs: int) -> Iterator[Any]:
    """Ratios of all ordered choices of different wheels, by the first wheel; simple trains among them where the machine has them."""
    teeth = np.array([wheel.teeth for wheel in machine.wheels for _ in range(wheel.copies)])
    number = len(teeth)
    for first in range(number):
        rows = np.array([[first]], dtype=np.int8)
        parts = []
        for _ in range(2 * pairs - 1):
            wheels = np.tile(np.arange(number, dtype=np.int8), len(rows))
            longer = np.column_stack((np.repeat(rows, number, axis=0), wheels))
            rows = longer[(longer[:, :-1] != longer[:, -1:]).all(axis=1)]
            if rows.shape[1] == 2 and "simple" in machine.arrangements:
                parts.append(teeth[rows[:, 0]] / teeth[rows[:, 1]])
        parts.append(teeth[rows[:, ::2]].prod(axis=1) / teeth[rows[:, 1::2]].prod(axis=1))
        yield np.concatenate(parts)


def by_ordered_trains(machine: Problem, wanted: list[Fraction], pairs: int, number: int) -> tuple[float, list[float]]:
    """Seconds for all leads by every ordered train under every setting of the levers, and the |error| of the first ``number`` leads."""
    drives = [drive.ratio for drive in allowed_drives(machine)]
    targets = [[float(lead / machine.leadscrew_lead / drive) for drive in drives] for lead in wanted[:number]]
    errors = [1e9] * number
    start = time.process_time()
    chunks = list(ordered_trains(machine, pairs))
    made = time.process_time() - start
    room = np.empty(BLOCK)
    start = time.process_time()
    for ratios in chunks:
        for block in (ratios[at : at + BLOCK] for at in range(0, len(ratios), BLOCK)):
            out = room[: len(block)]
            for at, of_lead in enumerate(targets):
                for target in of_lead:
                    np.subtract(block, target, out=out)
                    np.abs(out, out=out)
                    errors[at] = min(errors[at], out.min() / target)
    return made + (time.process_time() - start) * len(wanted) / number, errors


def by_sets(machine: Problem, wanted: list[Fraction], pairs: int, number: int) -> tuple[float, list[Fraction]]:
    """Seconds for all leads by every set of drivers over every set of driven wheels under every lever ratio, and the exact |error| of the
    first ``number`` leads."""
    start = time.process_time()
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
    blocks = [(at, ratios[at : at + BLOCK]) for at in range(0, len(ratios), BLOCK)]
    drives = list(dict.fromkeys(drive.ratio for drive in allowed_drives(machine)))
    targets = [[float(lead / machine.leadscrew_lead / drive) for drive in drives] for lead in wanted[:number]]
    room = np.empty(BLOCK)
    made = time.process_time() - start
    least = [[[] for _ in drives] for _ in targets]
    start = time.process_time()
    for _, block in blocks:
        out = room[: len(block)]
        for here, of_lead in zip(least, targets, strict=True):
            for found, target in zip(here, of_lead, strict=True):
                np.subtract(block, target, out=out)
                np.abs(out, out=out)
                found.append(out.min())
    seconds = made + (time.process_time() - start) * len(wanted) / number
    errors = []
    for lead, here, of_lead in zip(wanted, least, targets, strict=False):  # exactly, and not counted: blocks and ratios that are as near but for rounding
        near = min(min(found) / target for found, target in zip(here, of_lead, strict=True)) + 1e-13
        exact = [
            abs(machine.leadscrew_lead * drive * F(int(tops[i]), int(bottoms[i])) / lead - 1)
            for drive, found, target in zip(drives, here, of_lead, strict=True)
            for (at, block), away in zip(blocks, found, strict=True)
            if away / target <= near
            for i in at + np.flatnonzero(np.abs(block - target) <= near * target)
        ]
        errors.append(min(exact))
    return seconds, errors


def by_search(machine: Problem, wanted: list[Fraction], keep: int = 5) -> tuple[float, list[Fraction]]:
    """Seconds for all leads, with everything made ready, and the least |error| of each."""
    fitter_for.cache_clear()
    start = time.process_time()
    many = ManyLeads(machine, len(wanted))
    found = [many.nearest(lead, keep) for lead in wanted]
    seconds = time.process_time() - start
    assert all(len(leads) == keep for leads in found), "there are not so many leads that go on"
    return seconds, [abs(leads[0].error) for leads in found]


def measure(name: str, machine: Problem, number: int, pairs: int, checked: int) -> None:
    wanted = threads(number)
    seconds = min(by_search(machine, wanted)[0] for _ in range(RUNS))
    loops, share = min(by_loops(machine, wanted[0], pairs, pairs == 2) for _ in range(RUNS))
    loops *= number
    said = f"extrapolated from {share:.2%} of one lead" if share < 1 else "extrapolated from one lead"
    print(f"{name}\n  search                {seconds:9.4f} s\n  loops                 {loops:9.2f} s ({said}): {loops / seconds:.0f} times", flush=True)
    if np is None:
        print("  numpy is missing: no brute force, answers not compared")
        return
    nearest = by_search(replace(machine, banjo=None), wanted, 1)[1][:checked]
    said = "" if checked == number else f" (extrapolated from {checked} leads)"
    brute, floats = min((by_ordered_trains(machine, wanted, pairs, checked) for _ in range(RUNS if pairs == 2 else 1)), key=lambda run: run[0])
    assert all(abs(float(exact) - about) <= 1e-12 for exact, about in zip(nearest, floats, strict=True))
    print(f"  numpy, ordered trains {brute:9.3f} s{said}: {brute / seconds:.1f} times", flush=True)
    brute, errors = min((by_sets(machine, wanted, pairs, checked) for _ in range(RUNS)), key=lambda run: run[0])
    assert nearest == errors
    print(f"  numpy, sets of wheels {brute:9.3f} s{said}: {brute / seconds:.1f} times; exact errors identical on {checked} leads", flush=True)


def main() -> None:
    plover, heron = problem("plover-4"), problem("heron-6")
    one, two = replace(problem("dunlin-3"), gearbox=Gearbox()), replace(plover, arrangements=("double compound",))
    measure("1: 16 wheels, 60 leads, one stud", with_wheels(one, 16), 60, 2, 60)
    measure("2: 24 wheels, 90 lever combinations, 600 leads, one stud", with_wheels(replace(heron, headstock=()), 24), 600, 2, 10)
    measure("3: 20 wheels, 600 leads, two studs", with_wheels(two, 20), 600, 3, 10)
    for name, machine in (("one stud", one), ("two studs", two)):
        machines = [with_wheels(machine, number) for number in (10, 15, 20, 30, 40)]
        times = [min(by_search(each, threads(100))[0] for _ in range(RUNS)) for each in machines]
        shown = "  ".join(f"{t * 1e3:.0f}" for t in times)
        print(f"100 leads, {name}, 10/15/20/30/40 wheels: {shown} ms, growth {times[-1] / times[0]:.1f}", flush=True)


if __name__ == "__main__":
    main()
