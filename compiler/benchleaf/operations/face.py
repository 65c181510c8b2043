"""Facing: the end made square, and the work brought to length."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.context import Context
from benchleaf.operations.cutting import stock, times, tools
from benchleaf.operations.cutting.depth import deepest_cut
from benchleaf.operations.cutting.feeds import feed
from benchleaf.operations.cutting.said import stands_unknown
from benchleaf.operations.cutting.section import section
from benchleaf.operations.cutting.sizes import Size, read_size, size_figure
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.cutting.support import end_free
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source, stands_for
from benchleaf.operations.registry import Operation
from benchleaf.operations.sums import by_length
from benchleaf.operations.work import FINISHED, Made
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, FigureGroup, Say, Section, Steps, Sum, SumWords, Weight
from benchleaf.workshop.tooling import TurningTool
from benchleaf.workshop.values import Length, Measure, Origin, Speed, Text, Word

__all__ = ["OPERATION", "Face", "plan"]

_CLEAN_UP = Fraction(1, 2)  # mm: what cleans up a sawn end; common practice


@record
class Face:
    """Face the end: by an amount, to a length, or until it is clean."""

    origin: Origin
    take_off: Length | None
    to_length: Text | None
    tool: Text | None
    speed: Speed | None


def plan(step: Face, context: Context) -> Section | None:
    """The section of a facing step, or None when its faults leave nothing true to print."""
    desk, work = context.desk(), context.work
    at = step.take_off or step.to_length or _line(step)
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.turning_tools]
    tool = tools.find(step.tool, owned, _unsuited, "turning tools", at, context)
    size = read_size(step.to_length, "outside", context) if step.to_length is not None else None
    amount = _amount(step, size, context)
    sound = stock.not_parted(at, context) & end_free("the end is faced", at, context)
    around, before = work.measure("outside", Fraction(0), Fraction(1, 1000)), work.overall
    if amount is not None:
        sound &= holding.in_reach(amount, step.take_off or _measured(at, amount), context) & _spares(amount, at, context)
        work.face_off(amount)
        _stands_out_less(amount, context)
    if amount is None or tool is None or not sound or (size is None and step.to_length is not None):
        return None
    if around is None:
        stands_unknown("outside", context, "the end is faced, and its speed goes by the diameter")
        return None
    if size is not None:
        size_figure(desk, size, "Face to a length of")
    inputs: tuple[Value | str, ...] = tuple(item for item in (step.take_off or step.to_length, before) if item is not None)
    why = basis(
        "as the job says" if step.take_off else "length now less length wanted" if size else "what cleans up a sawn end",
        inputs or (context.held.by,),
        source("the job", "owner") if step.take_off else GEOMETRY if size else PRACTICE,
    )
    desk.length("take_off", "To take off", amount, why, read_by="caliper")
    desk.length("across", "Across", around.value, basis("outside of the work at the face", (around,), GEOMETRY), read_by="caliper")
    speed = spindle(desk, context, "facing", tool.cuts_with, around.value, "across", wish=step.speed)
    pace = feed(desk, context, "facing", tool.cuts_with, "finishing", across=True)
    deepest = deepest_cut(desk, context, "facing")
    if speed is None or pace is None:
        return None
    count = -(-amount.numerator * deepest.denominator // (amount.denominator * deepest.numerator))
    desk.words(
        "cuts", "Cuts", _cuts(count, amount, context), basis("to take off / deepest cut, upwards", ("take_off", "depth_of_cut"), GEOMETRY)
    )
    times.estimate(desk, count * around.value / 2 / (pace * speed.speed.value), count, ("feed", "spindle_speed", "cuts"))
    return section(
        context,
        "face",
        f"Face to {step.to_length.value}" if step.to_length else "Face the end",
        f"with {tool.name.value}",
        _blocks(desk, size, amount),
    )


def _measured(at: Made, amount: Fraction) -> Measure:
    return Measure(amount, "mm", at.text, at.origin)


def _spares(amount: Fraction, at: Made, context: Context) -> bool:
    """Whether nothing that is finished is faced away altogether; False after an error."""
    for side in ("outside", "inside"):
        done = next((item for item in context.work.surface(side) if item.kind in FINISHED and item.end <= amount), None)
        if done is not None:
            context.faults.error(
                "route/cuts-away",
                f"the {done.kind} that an earlier step has made is faced away",
                at,
                hint="face the end first, then make it",
                related=((done.at, f"the {done.kind}"),),
            )
            return False
    return True


def _stands_out_less(amount: Fraction, context: Context) -> None:
    """The face has come nearer to what holds the work."""
    held = context.setup.held
    if held.stands_out is None:
        return
    left = max(held.stands_out.value - amount, Fraction(0))
    words = length_text(left, context.system, "caliper")
    context.setup.held = replace(held, stands_out=Measure(left, "mm", words, stands_for(held.stands_out)))


def _cuts(count: int, amount: Fraction, context: Context) -> str:
    each = length_text(amount / count, context.system, "caliper")
    return f"1 of {each}" if count == 1 else f"{count} of {each} each"


def _blocks(desk: Desk, size: Size | None, amount: Fraction) -> list[Block | None]:
    measure = "Measure the length; take the rest off with the last cut." if size is not None else "Stop when the whole face is clean."
    steps = Steps(
        "Face",
        (
            Say("Lock the saddle. Tool on centre height, else a pip is left."),
            Say("Cuts: {cuts}, fed from the outside inwards; a last light one outwards."),
            Say(measure),
        ),
    )
    box = None
    if size is not None:
        rule = Say("Last cut = what it measures less {size_aim}.")
        box = Box("measured", "Length before the last cut", desk.unit, rule, sum=_sum(desk, size, amount))
    return [
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Face", desk.pick("size", "size_aim", "take_off", "cuts", "feed"), Weight.WORK),
        steps,
        box,
        FigureGroup("Background", desk.pick("across", "cutting_speed", "speed_setting", "depth_of_cut", "time"), Weight.KNOW),
    ]


def _sum(desk: Desk, size: Size, amount: Fraction) -> Sum:
    """The last cut, as a length: which slide sets it, and by which dial, is the machinist's choice."""
    words = SumWords(
        Say("Last cut"),
        Say("To length. Nothing more comes off."),
        Say("To length. Nothing more comes off."),
        Say("Shorter than it may be. Stop, and measure once more."),
        Say("Longer than before any cut: misread. Measure again."),
    )
    return by_length(desk, size.aim, Fraction(1), words, limits=(size.lower, size.upper), start=size.aim + amount)


def _unsuited(tool: TurningTool) -> str:
    return "" if any(use.value == "face" for use in tool.uses) else "it is not for facing"


def _line(step: Face) -> Word:
    """The step itself, where it says nothing that could be pointed at."""
    return Word("face", step.origin)


def _amount(step: Face, size: Size | None, context: Context) -> Fraction | None:
    """How much comes off, mm; None after an error."""
    if step.to_length is None:
        amount = step.take_off.value if step.take_off is not None else _CLEAN_UP
        if amount < context.work.end:
            return amount
        context.faults.error(
            "face/short",
            "as much comes off as the work is long",
            step.take_off or _line(step),
            hint="correct `take-off`, or say the length that is left (`to-length`)",
        )
        return None
    if size is None:
        return None
    now = context.work.overall
    if step.take_off is not None:
        context.faults.error(
            "face/twice-said",
            "the step says both how much comes off and what length is left",
            step.take_off,
            hint="keep one of `take-off` and `to-length`",
            related=((step.to_length, "the length"),),
        )
        return None
    if now is None:
        context.faults.error(
            "face/no-length",
            "the work is to be faced to a length, and the blank's length is not given",
            step.to_length,
            hint="add `length` to `blank`, or say how much to `take-off`",
        )
        return None
    if now.value <= size.aim:
        context.faults.error(
            "face/short",
            f"the work is {length_text(size.aim - now.value, context.system)} shorter than it is to be"
            if now.value < size.aim
            else "the work is already as long as it is to be: nothing is left to face",
            step.to_length,
            f"it is {length_text(now.value, context.system, 'caliper')} long by then",
            hint="leave half a millimetre or so for facing, from a longer blank or a longer part-off; or correct the length",
            related=((now, "its length"),),
        )
        return None
    return now.value - size.aim


OPERATION = Operation(Face, plan)
