"""Sheets to PDF against WeasyPrint as it comes, on the same HTML, in one run.

Run from the checkout: ``python tests/bench/print.py [--sheets 200] [--growth 50,200]``.  The HTML is that of our own PDFs, with pictures
inside it and the typeface as a file, so that the baseline needs nothing of ours.  Baselines: a bare process that imports WeasyPrint and
prints the HTML (one job); ``HTML(...).write_pdf()`` again and again with nothing kept (further sheets); all sheets as one document (the
binder).  Wall clock where nothing else is said; memory is the largest that any one process held.  The order of the runs alternates.
"""

from __future__ import annotations

import argparse
import base64
import contextlib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

CHECKOUT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(CHECKOUT / "compiler"), str(Path(__file__).parent)]

from binder import workshop  # noqa: E402

from benchleaf import api  # noqa: E402
from benchleaf.render.engine import _FONTS, engine  # noqa: E402
from benchleaf.render.paper import A4  # noqa: E402
from benchleaf.render.pdf import to_pdf  # noqa: E402
from benchleaf.render.templates import stylesheet  # noqa: E402
from benchleaf.resources import data_folder  # noqa: E402
from benchleaf.sheet.model import Sheet  # noqa: E402

ENVIRONMENT = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
DEMO = CHECKOUT / "profiles" / "osier-lane"
ONE = "packing-tube"  # two pages, a train, levers, a thread, a table of passes
BARE = "import sys, weasyprint; weasyprint.HTML(sys.argv[1]).write_pdf(sys.argv[2], pdf_variant='pdf/ua-1')"
MEASURED = """
import json, resource, subprocess, sys, time
start = time.perf_counter()
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
seconds, used = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
print(json.dumps([seconds, used.ru_maxrss / 1024, used.ru_utime + used.ru_stime]))
"""


@contextlib.contextmanager
def overheard(pages: list[str]) -> Iterator[None]:
    """Every page that is printed meanwhile, with its pictures inside."""
    press, html = engine(), engine().html

    def listening(string: str, **more: object) -> object:
        def inside(found: re.Match[str]) -> str:
            content, kind = press.assets[found[1]]
            return f'src="data:{kind};base64,{base64.b64encode(content).decode()}"'

        pages.append(re.sub(r'src="(sheet:[^"]+)"', inside, string))
        return html(string=string, **more)

    object.__setattr__(press, "html", listening)
    try:
        yield
    finally:
        object.__setattr__(press, "html", html)


def sheets(folder: Path) -> list[Sheet]:
    loaded, _ = api.load([folder], folder)
    return [sheet for job in loaded.jobs if (sheet := api.sheet_of(job)[0]) is not None]


def rules() -> str:
    """Our stylesheets, with the typeface where it lies."""
    text = "\n".join([*(stylesheet(name) for name in ("fonts", "sheet", "print")), A4.css()])
    for name, file in _FONTS.items():
        text = text.replace(f"sheet:{name}", (data_folder("templates") / "fonts" / file).as_uri())
    return text


def alone(page: str, style: str) -> str:
    """A page that needs nothing but a renderer."""
    return page.replace("</head>", f"<style>{style}</style></head>", 1)


def together(pages: list[str], style: str) -> str:
    """All pages as one document, names told apart."""
    bodies = []
    for number, page in enumerate(pages):
        body = page[page.index("<body") :]
        body = re.sub(r'\b(id|for|headers|aria-labelledby)="([^"]+)"', rf'\1="s{number}-\2"', re.sub(r'href="#', f'href="#s{number}-', body))
        bodies.append(f'<div style="break-before: page">{body[body.index(">") + 1 : body.index("</body>")]}</div>')
    return alone(pages[0][: pages[0].index("<body")] + "<body>" + "".join(bodies) + "</body></html>", style)


def run(*command: str) -> tuple[float, float, float]:
    """Seconds by the wall clock, the largest memory of a process in MB, and seconds of processor time."""
    done = subprocess.run([sys.executable, "-c", MEASURED, *command], env=ENVIRONMENT, capture_output=True, text=True, check=True)
    seconds, memory, processor = json.loads(done.stdout)
    return seconds, memory, processor


def show(name: str, ours: float, baseline: float, goal: float, unit: str = "s") -> None:
    print(f"{name:<58} {ours:8.2f} {baseline:8.2f} {unit:<2} {ours / baseline:6.2f}   (to reach: {goal})", flush=True)


def one_job(scratch: Path, page: Path) -> None:
    job, out = DEMO / "jobs" / f"{ONE}.yaml", scratch / "one"
    ours, bare = [], []
    for _ in range(7):
        shutil.rmtree(out, ignore_errors=True)
        ours.append(run(sys.executable, "-m", "benchleaf", "build", str(job), "--out", str(out), "--format", "pdf"))
        bare.append(run(sys.executable, "-c", BARE, str(page), str(scratch / "bare.pdf")))
    for which, clock in ((0, ""), (2, ", processor time")):
        a, b = (median(result[which] for result in results[1:]) for results in (ours, bare))
        show(f"one job to PDF, new process, compile included{clock}", a, b, 0.85)


def further(made: list[Sheet], pages: list[str], style: str) -> None:
    import weasyprint

    whole = [alone(page, style) for page in pages]
    ours = bare = 0.0
    for turn in range(2):  # the first warms up
        ours = bare = 0.0
        for sheet, page in zip(made, whole, strict=True):
            start = time.process_time()
            to_pdf(sheet)
            middle = time.process_time()
            weasyprint.HTML(string=page).write_pdf(pdf_variant="pdf/ua-1")
            ours, bare = ours + middle - start, bare + time.process_time() - middle
        if turn:
            show(f"each further sheet, processor time (mean of {len(made)})", ours / len(made), bare / len(made), 0.8)


def binder(scratch: Path, number: int, pages: list[str], style: str) -> tuple[float, float]:
    folder, out, document = scratch / f"shop-{number}", scratch / f"out-{number}", scratch / f"all-{number}.html"
    workshop(folder, number)
    document.write_text(together([pages[at % len(pages)] for at in range(number)], style), encoding="utf-8")
    ours = run(sys.executable, "-m", "benchleaf", "build", str(folder), "--out", str(out), "--format", "pdf")
    bare = run(sys.executable, "-c", BARE, str(document), str(scratch / "all.pdf"))
    show(f"{number} sheets into one folder, {os.cpu_count()} cores, against one document", ours[0], bare[0], 0.55)
    show(f"{number} sheets: memory of the largest process", ours[1], bare[1], 0.25, "MB")
    return ours[0], bare[0]


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sheets", type=int, default=200)
    parser.add_argument("--growth", default="50,200", help="numbers of sheets, the first against the last")
    asked = parser.parse_args()
    print(f"{'':<58}     ours baseline     ratio")
    with tempfile.TemporaryDirectory() as name:
        scratch, style, pages = Path(name), rules(), []
        made = sheets(DEMO)
        with overheard(pages):
            for sheet in made:
                to_pdf(sheet)
        page = scratch / "one.html"
        page.write_text(alone(pages[[sheet.id for sheet in made].index(ONE)], style), encoding="utf-8")
        one_job(scratch, page)
        further(made, pages, style)
        numbers = sorted({asked.sheets, *map(int, asked.growth.split(","))})
        times = {number: binder(scratch, number, pages, style) for number in numbers}
        few, many = numbers[0], numbers[-1]
        a, b = (times[many][which] / many / (times[few][which] / few) for which in (0, 1))
        print(f"seconds for a sheet, {many} against {few}: ours {a:.2f} times, one document {b:.2f} times (1 is linear)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
