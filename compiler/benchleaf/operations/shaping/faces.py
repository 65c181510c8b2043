"""A face that is shaped by strokes side by side: which way the tool goes, its tools, feeds and strokes."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis
from benchleaf.operations.shaping import page, tools
from benchleaf.operations.shaping.feeds import Feed, cross_feed, strokes_over
from benchleaf.operations.shaping.held import Stock, device, end_of_head
from benchleaf.operations.shaping.stroke import Stroke, plan_stroke
from benchleaf.operations.shaping.travel import End, Run, choose, end_room
from benchleaf.operations.work import FAR
from benchleaf.record import record
from benchleaf.sheet.model import Say
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Measure, Text

__all__ = ["Face", "plan_face"]


@record
class Face:
    """A face as it is cut: ``along`` the length of the work or across it, the run of the tool, the ``width`` that is fed over (mm), the
    roughing tool, both feeds, strokes of a roughing and of the finishing cut, and the steps that go with them."""

    along: bool
    run: Run
    stroke: Stroke
    width: Fraction
    tool: ShapingTool
    rough: Feed
    fine: Feed
    rough_strokes: int
    fine_strokes: int
    steps: tuple[Say, ...]


def plan_face(
    desk: Desk, context: Context, cut: Text | None, start: Fraction, length: Measure | None, at: Text, width: Fraction, radius: Fraction,
    there: Stock, stroke: Measure | None, rate: Measure | None, wanted: Text | None,
) -> Face | None:  # fmt: skip
    """Plan a face ``width`` mm wide, of ``length`` from ``start`` (None: to the end), ``radius`` mm from the axis of a round.

    ``cut`` is 'along' or 'across', None for along where both ends are open.  None after an error.
    """
    work = context.work
    end = work.end if length is None else start + length.value
    if end == FAR:
        context.faults.error(
            "blank/unstated", "the flat goes to the end of the work, and its length is not known", work.blank.origin.span,
            hint="add `length` to `blank`, or to the step",
        )  # fmt: skip
        return None
    front, back = _ends(start, end, radius, there, context)
    along = cut.value == "along" if cut is not None else front.room is None and back.room is None
    over: Value = length or work.overall or at
    run = choose(end - start, over, front, back, context) if along else Run(width, there.width if not there.round else at, End(), End())
    tool = tools.rougher(wanted, at, context)
    rough, fine = cross_feed(desk, context, "roughing"), cross_feed(desk, context, "finishing")
    if run is None or tool is None or rough is None or fine is None:
        return None
    planned = plan_stroke(desk, context, run, tool.cuts_with, stroke, rate)
    if planned is None:
        return None
    page.tilt(desk, "flat", context)
    fed = width if along else end - start
    sides = 2 if along else sum(side.room is None for side in (front, back))
    counts = (strokes_over(fed, rough, sides), strokes_over(fed, fine, sides))
    for name, label, count, cause in (
        ("strokes_rough", "Strokes a roughing cut", counts[0], "roughing_feed"),
        ("strokes_fine", "Strokes of the last cut", counts[1], "finishing_feed"),
    ):
        desk.number(
            name,
            label,
            Fraction(count),
            "",
            str(count),
            basis("(width + run-out at the open sides) / feed, rounded up, + 1", (cause, over), GEOMETRY),
        )
    shoulder = None if along or sides == 2 else front if front.room is not None else back
    return Face(along, run, planned, fed, tool, rough, fine, *counts, tuple(_steps(desk, context, tool, fine, shoulder)))


def _ends(start: Fraction, end: Fraction, radius: Fraction, there: Stock, context: Context) -> tuple[End, End]:
    """What stands at both ends of the face: on a block whatever is not cut, on a round what is larger there."""
    work = context.work
    if there.round:
        front, back = end_room(work, start, -1, radius), end_room(work, end, 1, radius)
        return front, end_of_head(device(context), end, back, context)
    front = End(Fraction(0), "the shoulder", there.height) if start > 0 else End()
    return front, End(Fraction(0), "the shoulder", there.height) if end < work.end else End()


def _steps(desk: Desk, context: Context, tool: ShapingTool, fine: Feed, shoulder: End | None) -> list[Say]:
    finisher, side = tools.finisher(context), tools.side_tool(context)
    said = [Say(f"Tool {page.plain(tool.name)}, short under the block; clapper box {desk['clapper'].shown}.")]
    if finisher is not None:
        broad = finisher.width is not None and finisher.width.value < fine.travel
        said.append(Say(f"For the last cut {page.plain(finisher.name)}" + (", its edge wider than the feed" if broad else "") + "."))
    if shoulder is not None:
        corner = f"; square the corner with {page.plain(side.name)}" if side is not None else ""
        said.append(Say(f"Feed towards {shoulder.what}, throw the feed out before it and bring the last of it up by hand{corner}."))
    return said
