"""Taps and dies that are owned and make the thread of the job: a line that offers them, with the drill.  The thread is still screwcut."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.bits import drills_of, set_names
from benchleaf.operations.desk import PRACTICE, Desk, basis, length_text, source
from benchleaf.operations.screwcut.gauging import same_thread
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapping import (
    SHARE,
    choose_drill,
    clearance_hole,
    hole_for_share,
    share_of_thread,
)

__all__ = ["FIGURES", "offer"]

FIGURES = ("tap", "tap_hole", "tap_drill", "tap_depth", "die", "clearance")
_USUAL_SHARE = Fraction(3, 4)  # of the basic depth, where nothing else decides; common practice


def offer(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> None:
    """Note a tap or die that makes this thread, and write down the drill to use with a tap."""
    thread = wanted.thread
    toolings = context.inputs.toolings
    owned = [
        item for tooling in toolings for item in (tooling.taps if wanted.inside else tooling.dies) if same_thread(item.thread.value, thread)
    ]
    if not owned:
        return
    item = owned[0]
    what = "tap" if wanted.inside else "die"
    context.faults.note(
        "tap/owned",
        f"{item.name.value} makes {thread.designation} without screwcutting",
        wanted.at,
        f"a {what} for it is owned",
        hint="the sheet says how; screwcut it where it must run true with the rest",
        related=((item.thread, f"the {what}"),),
    )
    why = basis(f"a {what} for this very thread is in the drawers", (item.thread, wanted.at), PRACTICE)
    if not wanted.inside:
        desk.words("die", "Die that makes it", item.name.value, why)
        hole = clearance_hole(thread.major) if thread.form.name == "metric 60" else None
        if hole is not None:
            desk.length(
                "clearance",
                "Hole that it passes through",
                hole,
                basis("medium fit, by its nominal diameter", (wanted.at,), source("ISO 273", "published")),
                read_by="caliper",
            )
        return
    desk.words("tap", "Tap that makes it", item.name.value, why)
    _drill(desk, wanted, step, context)


def _drill(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> None:
    thread, size = wanted.thread, wanted.limits.minor
    depth = (thread.major - thread.minor_diameter) / 2  # as the standard tables it, rounded where it rounds
    lower, upper = size.lower, size.upper
    if step.tap_share is not None or lower is None or upper is None:
        share = step.tap_share.value if step.tap_share is not None else _USUAL_SHARE
        hole, lower, upper = hole_for_share(thread.major, depth, share), None, None
        words = f"basic major diameter - 2 x depth of thread x {fixed(share * 100, 0)} %"
        why = basis(
            words, (step.tap_share if step.tap_share is not None else wanted.at, "major_diameter"), source(SHARE.source, SHARE.status)
        )
    else:
        hole = (lower + upper) / 2
        why = basis("the middle of the minor diameter's limits", ("minor_diameter",), source(size.source, size.status))
    desk.length("tap_hole", "Hole for tapping", hole, why, limits=None if lower is None or upper is None else (lower, upper))
    drill = choose_drill(drills_of(context), hole, lower, upper)
    if drill is not None and lower is None and abs(drill.size - hole) > thread.pitch / 10:
        drill = None
    if drill is None:
        desk.words(
            "tap_drill", "Drill", "none owned fits: bore it", basis("no owned drill is within the hole's limits", ("tap_hole",), PRACTICE)
        )
        return
    leaves = share_of_thread(thread.major, depth, drill.size)
    desk.words(
        "tap_drill",
        "Drill",
        drill.name,
        basis("the owned drill nearest to the hole wanted", ("tap_hole", *set_names(context)), PRACTICE),
        also=length_text(drill.size, context.system),
    )
    desk.number(
        "tap_depth",
        "It leaves of the thread's depth",
        leaves * 100,
        "%",
        fixed(leaves * 100, 0),
        basis(SHARE.formula, ("tap_drill", "major_diameter"), source(SHARE.source, SHARE.status)),
    )
