"""How long the gear trains of a chart take beside searching one lead after the other, and beside plain nested loops.

Run from the checkout: ``python tests/bench/chart.py``.  The long lathe of the demo; 60 and 600 different leads.  Nested loops are
timed on a slice (one first wheel out of all, one lead) and extrapolated to all first wheels and all leads: they are in floats
and try no banjo, both of which favour them.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(CHECKOUT / "compiler"))

from benchleaf.kinematics.levers import allowed_drives  # noqa: E402
from benchleaf.kinematics.many import ManyLeads  # noqa: E402
from benchleaf.kinematics.model import Problem  # noqa: E402
from benchleaf.kinematics.search import search  # noqa: E402
from benchleaf.operations.chart.grouping import grouped  # noqa: E402
from benchleaf.operations.screwcut.machine import problem_of  # noqa: E402
from benchleaf.workshop.charts import load_charts  # noqa: E402

LIMIT = Fraction(200, 10**6)


def leads(number: int) -> list[Fraction]:
    """Metric and inch leads in turn, all different: multiples of 0.01 mm, and threads per inch in quarters."""
    found: dict[Fraction, None] = {}
    step = 0
    while len(found) < number:
        step += 1
        found[Fraction(20 + step * 2, 100)] = None
        found[Fraction(127, 5) / Fraction(10 + step, 4)] = None
    return list(found)[:number]


def seconds(task: Callable[[], object]) -> float:
    start = time.perf_counter()
    task()
    return time.perf_counter() - start


def loops(problem: Problem, wanted: Fraction) -> float:
    """Seconds for all compound trains with the first wheel of the box and every lever setting, times the number of wheels."""
    teeth = [wheel.teeth for wheel in problem.wheels for _ in range(wheel.copies)]
    drives = [float(problem.leadscrew_lead * drive.ratio / wanted) for drive in allowed_drives(problem)]

    def run() -> None:
        best = None
        for b in range(1, len(teeth)):
            for c in range(1, len(teeth)):
                for d in range(1, len(teeth)):
                    if len({b, c, d}) < 3:
                        continue
                    ratio = teeth[0] * teeth[c] / (teeth[b] * teeth[d])
                    for drive in drives:
                        error = abs(drive * ratio - 1)
                        if best is None or error < best:
                            best = error

    return seconds(run) * len(teeth)


def main() -> int:
    loaded = load_charts(CHECKOUT / "profiles" / "osier-lane" / "lathes" / "long-lathe.yaml", [], CHECKOUT)
    machine = loaded.machines[0].inputs
    assert machine is not None, loaded.diagnostics
    problem = problem_of(machine)
    search(problem, Fraction(1))  # what is kept between searches is there for all
    one = loops(problem, Fraction(3, 2))
    for number in (60, 600):
        wanted = leads(number)
        many = ManyLeads(problem, number)
        together = seconds(lambda many=many, wanted=wanted: [many.nearest(lead, 1) for lead in wanted])  # type: ignore[misc]
        chart = seconds(lambda wanted=wanted: grouped(problem, [(lead, "right") for lead in wanted], LIMIT))  # type: ignore[misc]
        singly = seconds(lambda wanted=wanted: [search(problem, lead, limit=LIMIT, keep=1) for lead in wanted])  # type: ignore[misc]
        print(f"{number} leads: best of each in one pass {together:.2f} s; grouped and put in order {chart:.2f} s; one by one {singly:.2f} s;")
        print(f"  one by one / one pass {singly / together:.1f}; one by one / grouped chart {singly / chart:.2f};")
        print(f"  nested loops (extrapolated from a slice) {one * number:.0f} s, / one pass {one * number / together:.0f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
