"""Where the time of a chart goes, beside a few WeasyPrint pages in the same run.

Run from the checkout: ``python tests/bench/chart_breakdown.py``.  The largest lathe of the demo (most ratios: wheels and lever settings) and 600
threads of 600 different leads, as JSON: loading the lathe, reading the designations, the gear trains grouped and put in order, the rows, JSON.
The pages are those of the project's own PDF back end for a chart of the same lathe, without the time of its imports.  Seconds are
processor time, the best of three runs from a cold start.
"""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(CHECKOUT / "compiler"))

from pypdf import PdfReader  # noqa: E402

from benchleaf.kinematics.dress import fitter_for  # noqa: E402
from benchleaf.kinematics.levers import allowed_drives  # noqa: E402
from benchleaf.operations import chart as charts  # noqa: E402
from benchleaf.operations.chart import Asked, Wish, chart  # noqa: E402
from benchleaf.operations.screwcut.machine import problem_of  # noqa: E402
from benchleaf.render.json_ import to_json  # noqa: E402
from benchleaf.render.pdf import to_pdf  # noqa: E402
from benchleaf.standards.threads import parse_designation  # noqa: E402
from benchleaf.workshop.charts import load_charts  # noqa: E402

LATHES = CHECKOUT / "profiles" / "osier-lane" / "lathes"
RUNS, NUMBER, PAGES = 3, 600, 3
LIMIT = Fraction(200, 10**6)


def designations(number: int) -> list[str]:
    """Metric and inch threads in turn with leads that all differ: multiples of 0.02 mm, and threads per inch in quarters."""
    found: dict[Fraction, str] = {}
    step = 0
    while len(found) < number:
        step += 1
        tpi = Fraction(10 + step, 4)
        whole, part = divmod(tpi, 1)
        for words in (f"M40x{0.2 + step * 0.02:.2f}", f"2-{whole}{f' {part}' if part else ''} UNS"):
            found.setdefault(parse_designation(words).lead, words)
    return list(found.values())[:number]


def machine(path: Path) -> Any:
    loaded = load_charts(path, [], CHECKOUT)
    assert loaded.machines[0].inputs is not None, loaded.diagnostics
    return loaded.machines[0].inputs


def size(path: Path) -> int:
    problem = problem_of(machine(path))
    return sum(wheel.copies for wheel in problem.wheels) ** 4 * len(allowed_drives(problem))


class Clock:
    """Seconds by stage."""

    def __init__(self) -> None:
        self.spent: dict[str, float] = {}

    def of(self, stage: str, task: Callable[..., Any], *given: Any) -> Any:
        start = time.process_time()
        found = task(*given)
        self.spent[stage] = self.spent.get(stage, 0.0) + time.process_time() - start
        return found


def one_run(path: Path, words: list[str]) -> tuple[dict[str, float], str]:
    fitter_for.cache_clear()
    clock = Clock()
    loaded = clock.of("load", machine, path)
    threads = clock.of("designations", lambda: tuple(Wish(parse_designation(each), "600 threads") for each in words))
    plain = charts.grouped
    charts.grouped = lambda *given: clock.of("trains", plain, *given)
    try:
        sheet = clock.of("rows", chart, Asked(loaded, threads, LIMIT, "mild steel", "HSS", "chart"))
    finally:
        charts.grouped = plain
    clock.spent["rows"] -= clock.spent["trains"]
    return clock.spent, clock.of("JSON", to_json, sheet)


def pages(path: Path) -> float:
    """Seconds of a page."""
    wishes = tuple(Wish(parse_designation(each), "threads") for each in designations(60))
    sheet = chart(Asked(machine(path), wishes, LIMIT, "mild steel", "HSS", "chart"))
    times = []
    for _ in range(RUNS + 1):  # the first imports and reads fonts
        clock = Clock()
        content, faults = clock.of("pages", to_pdf, sheet)
        assert content is not None, faults
        times.append(clock.spent["pages"])
    return min(times[1:]) / len(PdfReader(io.BytesIO(content)).pages)


def main() -> None:
    path = max(LATHES.glob("*.yaml"), key=size)
    words = designations(NUMBER)
    spent, text = min((one_run(path, words) for _ in range(RUNS)), key=lambda run: sum(run[0].values()))
    total = sum(spent.values())
    page = pages(path)
    print(f"chart of {NUMBER} threads on {path.stem} as JSON ({len(text) / 1e6:.1f} MB): {total:.2f} s")
    for stage in ("load", "designations", "trains", "rows", "JSON"):
        print(f"  {stage:12} {spent[stage]:7.3f} s")
    print(f"{PAGES} WeasyPrint pages: {PAGES * page:.2f} s; the chart takes {total / (PAGES * page):.2f} times as long, as long as {total / page:.1f} pages")


if __name__ == "__main__":
    main()
