"""Two collars turned at one setting, held in the chuck alone: whether the spindle's axis lies along the bed."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import clocking_sketches as sketches
from benchleaf.operations.cautions import caution
from benchleaf.operations.clock.common import Bench, boxes, difference_table, groups, keep, last_read, should_read, warm
from benchleaf.operations.cutting import stock, tools
from benchleaf.operations.cutting.depth import finishing_cut
from benchleaf.operations.cutting.feeds import feed
from benchleaf.operations.cutting.said import stands_unknown
from benchleaf.operations.cutting.speeds import spindle
from benchleaf.operations.desk import GEOMETRY, Value, basis, length_text, source
from benchleaf.operations.dials import collar
from benchleaf.record import record
from benchleaf.sheet.model import Block, FigureGroup, Say, Steps, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.acceptance import COLLARS, acceptance, collar_limit
from benchleaf.standards.clocking import clocking_practice
from benchleaf.workshop.tooling import TurningTool
from benchleaf.workshop.values import Measure

__all__ = ["two_collars"]


@record
class _Bar:
    """The test bar: its diameter, how far it stands out, the collars' width, and their distance, middle to middle, mm."""

    around: Measure
    out: Measure
    width: Fraction
    over: Fraction

    @property
    def back(self) -> Fraction:
        """Where the collar at the chuck begins, mm from the front face."""
        return self.over


def two_collars(this: Bench) -> list[Block] | None:
    """Turn two collars without touching the cross-slide between them, measure both."""
    context, desk, step = this.context, this.desk, this.step
    owned = [tool for drawer in context.inputs.toolings for tool in drawer.turning_tools]
    tool = tools.find(step.tool, owned, _unsuited, "turning tools", step.what, context)
    bar = _bar(this)
    if bar is None or tool is None or not _may_cut(this, bar):
        return None
    _layout(this, bar)
    relief, skim = clocking_practice("collar_relief"), clocking_practice("collar_skim")
    last = finishing_cut(desk, context, tool.cuts_with, tool.least_cut)
    why = basis(skim.about, (bar.around,), source(skim.source, skim.status))
    desk.length("skim", "First skim, on the radius", (skim.low + skim.high) / 2, why, read_by="caliper")
    depth = (skim.low + skim.high) / 2 + last
    slide = context.lathe.slides.cross_slide
    dial = collar(slide.dial)
    for name, label, amount in (("skim_dial", "Skim", depth - last), ("collar_dial", "Last cut, both collars", depth)):
        set_to = dial.at(amount)
        turns = f"{set_to.turns} turn{'s' if set_to.turns > 1 else ''} + " if set_to.turns else ""
        inputs: tuple[Value | str, ...] = ("skim", slide.dial.division, slide.dial.reads)
        if name == "collar_dial":
            inputs = (*inputs, "finish_cut")
        desk.number(
            name,
            label,
            set_to.value,
            dial.unit,
            f"{turns}{set_to.shown}",
            basis("depth as the dial counts, to its division", inputs, GEOMETRY),
        )
    why = basis(relief.about, (bar.around,), source(relief.source, relief.status))
    desk.length("relief", "Between them, turned down below that by", relief.low, why, read_by="caliper")
    speed = spindle(desk, context, "turning", tool.cuts_with, bar.around.value, bar.around, wish=step.speed)
    pace = feed(desk, context, "turning", tool.cuts_with, "finishing")
    finished = bar.around.value - 2 * depth
    context.work.cut("outside", Fraction(0), bar.width, finished, "turned", step.what)
    context.work.cut("outside", bar.width, bar.back, finished - 2 * relief.low, "turned", step.what)
    context.work.cut("outside", bar.back, bar.back + bar.width, finished, "turned", step.what)
    if speed is None or pace is None:
        return None
    limit = collar_limit(bar.over)
    should_read(this, "limit", "Larger at the headstock", limit, limit.high)
    used = acceptance("u_taper")
    should_read_used(this, bar, used.low, used.high)
    warm(this)
    last_read(this, "two collars")
    return _blocks(this, bar, tool)


def should_read_used(this: Bench, bar: _Bar, low: Fraction, high: Fraction) -> None:
    """Write down what a used lathe does, in proportion to the collars' distance."""
    used = acceptance("u_taper")
    length = used.length or bar.over
    why = basis(f"{used.about}, over {used.over}, in proportion", ("over",), source(used.source, used.status))
    this.desk.length(
        "used", "Used lathe, good to tired", high * bar.over / length, why, limits=(low * bar.over / length, high * bar.over / length)
    )


def _unsuited(tool: TurningTool) -> str:
    return "" if any(use.value == "turn" for use in tool.uses) else "it is not for turning along the work"


def _bar(this: Bench) -> _Bar | None:
    """The bar and where its collars lie; None after an error."""
    context, step = this.context, this.step
    out, around = context.held.stands_out, context.work.measure("outside", Fraction(0), context.work.end)
    between = context.holding is not None and context.holding.kind.value == "centres"
    if between or context.held.supported_by.value != "nothing":
        context.faults.error(
            "clock/supported",
            "the free end is supported, and two collars show the spindle's axis only on a bar held in the chuck alone",
            step.what,
            hint="hold it in the chuck with nothing at the free end; for the tailstock, `what: tailstock`",
            related=((context.held.by if between else context.held.supported_by, "said here"),),
        )
        return None
    if out is None:
        context.faults.error(
            "clock/no-stands-out",
            "the collars are laid out on what stands out of the chuck, and the job does not say how much does",
            context.held.by,
            hint="add `stands-out` to `held`",
        )
        return None
    if around is None:
        stands_unknown("outside", context, "the collars are turned on the outside")
        return None
    width, clear = clocking_practice("collar_width"), clocking_practice("collar_clear")
    most = out.value - clear.high - width.high
    over = step.over.value if step.over is not None else most
    if over > most or over < 3 * width.high:
        system = context.system
        context.faults.error(
            "clock/no-room",
            f"the bar stands out {out.text}, which has room for collars {length_text(max(most, Fraction(0)), system, 'rule')} apart"
            if over > most
            else f"the collars would be {length_text(over, system, 'rule')} apart, too near each other to show anything",
            step.over or out,
            hint="let more of the bar stand out"
            if step.over is None or over <= most
            else f"at most `over: {length_text(most, system, 'rule')}`",
            related=((out, "what stands out"),) if step.over is not None else (),
        )
        return None
    slender = clocking_practice("collar_slender")
    if out.value > slender.high * around.value:
        context.faults.warning(
            "clock/bar-slender",
            f"the bar stands out {fixed(out.value / around.value, 1)} of its diameters: it springs, and comes out larger at the free "
            "end by itself",
            out,
            f"more than {fixed(slender.high, 0)} diameters",
            hint="a thicker bar, or less of it out; light last cuts with a keen tool",
            note=f"{slender.source} ({slender.status})",
        )
    return _Bar(around, out, width.high, over)


def _may_cut(this: Bench, bar: _Bar) -> bool:
    end = bar.back + bar.width
    return (
        stock.not_parted(this.step.what, this.context)
        & stock.within_length(end, bar.out, this.context)
        & stock.spares_finished("outside", Fraction(0), end, this.step.what, this.context)
    )


def _layout(this: Bench, bar: _Bar) -> None:
    desk, step = this.desk, this.step
    width, clear = clocking_practice("collar_width"), clocking_practice("collar_clear")
    desk.length("stock", "Bar", bar.around.value, basis("outside of the work", (bar.around,), GEOMETRY), read_by="caliper")
    desk.length("stands_out", "Stands out", bar.out.value, basis("as the job says", (bar.out,), source("the job", "owner")), read_by="rule")
    desk.length(
        "width", "Each collar wide", bar.width, basis(width.about, (step.what,), source(width.source, width.status)), read_by="rule"
    )
    formula = "as the job says" if step.over is not None else "what stands out, less the room to the jaws and one width"
    inputs: tuple[Value | str, ...] = (step.over,) if step.over is not None else ("stands_out", "width")
    by = source("the job", "owner") if step.over is not None else source(clear.source, clear.status)
    desk.length("over", "Middle to middle", bar.over, basis(formula, inputs, by), read_by="rule")
    chart = acceptance("l_p1_round")
    why = basis("swing over the bed / 8", (this.context.lathe.swing.over_bed,), source(chart.source, chart.status))
    desk.length("bar_wanted", "Bar that the charts ask for, about", this.context.lathe.swing.over_bed.value / 8, why, read_by="rule")


def _blocks(this: Bench, bar: _Bar, tool: TurningTool) -> list[Block]:
    context, desk = this.context, this.desk
    three_hundred = "300 mm" if desk.unit == "mm" else "12 in"
    reach = Fraction(300) if desk.unit == "mm" else Fraction(1524, 5)
    table = difference_table(
        this,
        "slopes",
        "What the collars say",
        "Differ by",
        (
            ("per", f"Taper on the diameter, {three_hundred}", lambda mm: mm * reach / bar.over, desk.unit),
            ("axis", f"Axis leans, {three_hundred}", lambda mm: mm / 2 * reach / bar.over, desk.unit),
        ),
        ("difference x length / distance of the collars", f"{COLLARS.formula}, over that length"),
        ("over",),
        "Plus when the collar at the headstock is the larger: the free end of the axis lies towards the tool.",
    )
    cut = (
        Say("Bed level checked first: a twisted bed shows as a taper. Bar as short as said, no tailstock."),
        Say(
            f"Turn the bar down between the collars with {tool.name.value}, {{relief}} deeper than they end up. Leave each {{width}} "
            f"wide, {{over}} middle to middle."
        ),
        Say(
            "Dial to zero on the bar. Skim both collars at {skim_dial}; then both at {collar_dial}, feed {feed}, keen tool. "
            "Cross-slide locked: not touched between them."
        ),
        Say("Once more over both at the same setting. Spindle stopped; micrometer on both, twice."),
    )
    wrong = (
        Say(
            "Out by more than the limit: level the bed with a precision level, bolts evenly down, and turn the collars again. Most "
            "tapers are a twisted bed."
        ),
        Say(
            "Larger at the headstock: the tool comes too near the axis at the free end. Let the operator's foot at the tailstock's "
            "end down, or the far one up. Larger at the free end: the other way."
        ),
        Say(
            "Bed level, and still out: the headstock is swung on its seat by the table, if it is made to be. By the maker's "
            "instructions, a little at a time."
        ),
        Say("Left as it is: every sheet for turning in the chuck reckons with the reading below."),
    )
    return [
        FigureGroup("Set", desk.pick("spindle_speed", "collar_dial"), Weight.SET),
        *groups(this, ("limit",), ("stock", "stands_out", "width", "over", "relief", "skim_dial", "feed")),
        sketches.two_collars(length_text(bar.over, context.system, "rule"), "free end", "at the chuck", "measure both"),
        Steps("Turn", cut),
        *boxes(
            this,
            ("back", "Collar at the headstock", "Both to the last figure of the micrometer."),
            (
                "front",
                "Collar at the free end",
                "Headstock's less this one: plus or minus. A new lathe: {limit}. The difference goes in the profile.",
            ),
        ),
        table,
        Steps("If it does not", wrong),
        *keep(this, "two collars", over=length_text(bar.over, context.system, "rule")),
        caution("measure"),
        FigureGroup("Background", desk.pick("used", "bar_wanted", "skim", "finish_cut", "cutting_speed", "speed_setting"), Weight.KNOW),
    ]
