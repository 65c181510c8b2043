"""Threads that a lathe does not cut within the limit: the best there is, and the reason."""

from __future__ import annotations

from benchleaf.kinematics.model import Outcome, Problem, SearchResult
from benchleaf.operations.chart.asked import Asked, Wish
from benchleaf.operations.chart.grouping import Grouping
from benchleaf.operations.chart.rows import lead_cells, lead_parts, thread_part
from benchleaf.operations.desk import GEOMETRY, Desk, basis, source
from benchleaf.operations.screwcut.words import lever_setting, train_words
from benchleaf.sheet.model import Row, Section, Table
from benchleaf.sheet.numbers import signed

__all__ = ["not_cut", "reason"]

_SEARCH = source("exhaustive search in exact fractions", "derived")


def not_cut(asked: Asked, problem: Problem, grouping: Grouping) -> Section:
    """The section at the end of the chart."""
    desk = Desk(asked.machine.lathe.system.value)
    wishes = [wish for wish in asked.wishes if wish.target in grouping.missing]
    gears = tuple(gears.name for gears in asked.machine.gear_sets)
    best = basis("the train with the smallest lead error that fits", (*gears, "chart.leadscrew"), _SEARCH)
    columns = (
        thread_part(desk, wishes).column,
        *(part.column for part in lead_parts(desk, asked.wishes)),
        desk.column("best", "Best train", "", best, "text"),
        desk.column("error", "Its error", "ppm", basis("(lead cut / lead wanted - 1) x 1 000 000", ("best", "lead"), GEOMETRY)),
        desk.column("why", "Why not", "", basis("what the search for this lead came to", ("chart.limit", *gears), _SEARCH), "text"),
    )
    rows = tuple(_row(wish, grouping.missing[wish.target], asked, problem) for wish in wishes)
    return Section("not-cut", "chart", "Not cut within the limit", "", (Table("threads", "", columns, rows),))


def _row(wish: Wish, result: SearchResult, asked: Asked, problem: Problem) -> Row:
    best = result.nearest
    leads = lead_cells(wish.thread, asked.wishes)
    train = "" if best is None else f"{train_words(best)}{lever_setting(best, problem)}"
    error = (None, "") if best is None else (best.error * 1_000_000, signed(best.error * 1_000_000, 0))
    cells = [(None, wish.thread.designation), *leads, (None, train), error, (None, reason(result))]
    return Row(tuple(value for value, _ in cells), tuple(shown for _, shown in cells))


def reason(result: SearchResult) -> str:
    """Why a lead has no place on the chart, in a few words."""
    refused = result.refused[0] if result.refused else None
    match result.outcome:
        case Outcome.BEYOND_LIMIT if refused is not None:
            return f"over the limit; {train_words(refused.train)} would be nearer: {refused.obstacles[0].words}"
        case Outcome.BEYOND_LIMIT:
            return "over the limit"
        case Outcome.NO_TRAIN_FITS if refused is not None:
            return f"{train_words(refused.train)}: {refused.obstacles[0].words}"
        case Outcome.NO_TRAIN_FITS:
            return "no train fits the banjo"
        case Outcome.WRONG_HAND:
            return "every train allowed here cuts the other hand"
        case Outcome.TOO_MUCH_WORK:
            return "more trains than can be gone through"
        case _:
            return "the wheels make up no train"
