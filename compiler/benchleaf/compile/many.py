"""Many sheets rendered, on all processors where that pays: the same bytes in the same order as one after the other."""

from __future__ import annotations

import os
import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from benchleaf.compile import Stages, render
from benchleaf.diagnostics import Diagnostic

if TYPE_CHECKING:
    from benchleaf.sheet.model import Sheet

__all__ = ["Rendered", "render_many"]

Rendered = tuple[dict[str, bytes], list[Diagnostic]]
_PAYS_FROM = 4  # sheets: a worker starts in milliseconds, but what it sends back has to be packed and unpacked
_MOST_WORKERS = 8
_SLOW = frozenset({"pdf"})  # formats that take longer to make than to send

_work: tuple[Sequence[Sheet], Sequence[str], tuple[str, str, float]] = ((), (), ("A4", "side", 0.0))  # what workers inherit


def render_many(
    sheets: Sequence[Sheet], formats: Sequence[str], stages: Stages, on: tuple[str, str, float], processors: int | None = None
) -> Iterator[Rendered]:
    """What :func:`benchleaf.compile.render` gives for each sheet, in order, as soon as it is there.

    ``processors`` is for how many to share the work; None for as many as this process may use.  Workers are copies of this process (so only
    where the system can make them, and while nothing else runs in it); one that dies leaves the rest of the work to this process.
    """
    workers = min(processors or _processors(), _MOST_WORKERS, len(sheets) // 2)
    done = 0
    if workers > 1 and len(sheets) >= _PAYS_FROM and _SLOW & set(formats) and _can_fork():
        for rendered in _shared(sheets, formats, stages, on, workers):
            yield rendered
            done += 1
    for sheet in sheets[done:]:
        yield render(sheet, formats, stages, on)


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _can_fork() -> bool:
    return sys.platform.startswith("linux") and threading.active_count() == 1


def _shared(
    sheets: Sequence[Sheet], formats: Sequence[str], stages: Stages, on: tuple[str, str, float], workers: int
) -> Iterator[Rendered]:
    global _work
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    first = render(sheets[0], formats, stages, on)  # everything that a worker needs is loaded before it is copied
    yield first
    _work = (sheets, formats, on)
    pool = ProcessPoolExecutor(workers, get_context("fork"), _begin)
    try:
        waiting = [pool.submit(_one, number) for number in range(1, len(sheets))]
        for number, future in enumerate(waiting):
            with stages.stage("render"):
                result = future.result()
            waiting[number] = None  # type: ignore[call-overload]  # what has been handed on is not kept
            yield result
    except BrokenProcessPool:
        return
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
        _work = ((), (), on)


def _begin() -> None:
    """A worker's start: Ctrl-C is for the process that has the terminal; what was copied is not looked through for waste."""
    import gc

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.freeze()


def _one(number: int) -> Rendered:
    sheets, formats, on = _work
    return render(sheets[number], formats, None, on)
