"""Proving a taper: the gauge and how far it stands off, what that means on the dial, and the blue."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import collar
from benchleaf.operations.sums import by_dial
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, Row, Say, Sum, SumWords, Table
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import depth_for_diameter, parse_taper, taper_rule
from benchleaf.units import convert
from benchleaf.workshop.tooling import TaperGauge

__all__ = ["Gauge", "blocks", "gauge_for", "stand_off"]

_DIVISIONS = (1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 40, 50, 75, 100)  # of the cross-slide: rows of the table of what a gauge stands off
_ROWS = 10
_READ = Fraction(1, 4)  # mm: less than that between gauge and work is not read with a rule or caliper; common practice
_SAME = Fraction(1, 20000)  # change of diameter per length by which two statements of one taper may differ: their own rounding


@record
class Gauge:
    """What the taper is tried with: an owned gauge, or None for the mating part; ``master`` is a plug of the same taper to clock along;
    ``faulty`` when the job named a gauge that will not do."""

    owned: TaperGauge | None
    master: TaperGauge | None
    faulty: bool = False


def gauge_for(step: TaperStep, wanted: Wanted, context: Context) -> Gauge:
    """The gauge that the job names, checked; or one that is owned and fits."""
    gauges = [gauge for drawer in context.inputs.toolings for gauge in drawer.taper_gauges]
    master = next((item for item in gauges if item.kind.value == "plug" and _same(item, wanted)), None)
    if step.gauge is not None:
        found = tools.find(step.gauge, gauges, lambda item: _unsuited(item, wanted), "taper gauges", step.gauge, context)
        return Gauge(found, master, found is None)
    return Gauge(next((item for item in gauges if not _unsuited(item, wanted)), None), master)


def _same(gauge: TaperGauge, wanted: Wanted) -> bool:
    taper = parse_taper(gauge.taper.value)
    return taper is not None and abs(taper.rate - wanted.taper.rate) <= _SAME


def _unsuited(gauge: TaperGauge, wanted: Wanted) -> str:
    kind = "plug" if wanted.inside else "ring"
    if not _same(gauge, wanted):
        return f"it is for {gauge.taper.value}, not for this taper"
    if gauge.kind.value != kind:
        return f"it is a {gauge.kind.value} gauge, and an {wanted.side} taper is tried with a {kind} gauge"
    return ""


def stand_off(desk: Desk, wanted: Wanted, context: Context) -> Table:
    """The table that turns how far the gauge stands off into the last setting of the cross-slide."""
    slide = context.lathe.slides.cross_slide
    dial = collar(slide.dial)
    why = basis(
        "change of diameter / taper, for one division of the cross-slide", ("taper", slide.dial.division, slide.dial.reads), GEOMETRY
    )
    desk.length(
        "division_on",
        "One division lets it go on by",
        depth_for_diameter(wanted.taper, 2 * dial.step),
        why,
        read_by="caliper",
        rational=False,
    )
    inputs: tuple[Value | str, ...] = ("taper", slide.dial.division, slide.dial.reads)
    off = basis("change of diameter / taper, for so many divisions", inputs, GEOMETRY)
    infeed = basis("whole divisions of the cross-slide, as its dial counts", (slide.dial.division, slide.dial.turn), PRACTICE)
    rows: list[Row] = []
    for count in _DIVISIONS:
        along = depth_for_diameter(wanted.taper, 2 * count * dial.step)
        if along < _READ or len(rows) == _ROWS:
            continue
        more = dial.at(count * dial.step)
        shown = (
            length_text(along, desk.system, "rule" if desk.unit == "mm" else "caliper").rsplit(" ", 1)[0],
            fixed(more.value, dial.places),
            str(count),
        )
        rows.append(Row((convert(along, "mm", desk.unit), more.value, Fraction(count)), shown))
    columns = (
        desk.column("off", "Gauge stands off", desk.unit, off),
        desk.column("more", "Wind on by", dial.unit, infeed, "dial"),
        desk.column("divisions", "Divisions", "", infeed),
    )
    way = "Wind towards you" if wanted.inside else "Wind in"
    caption = Say(f"{way} by so much from the last reading. One division lets it go on by {{division_on}}.")
    return Table("stand_off", "Gauge stands off: what is left to cut", columns, tuple(rows), caption)


def _sum(desk: Desk, wanted: Wanted, context: Context) -> Sum:
    """From what the gauge stands off to the last setting; a division that would take it too far is left out: metal cannot be put back."""
    dial = collar(context.lathe.slides.cross_slide.dial)
    words = SumWords(
        Say("Wind towards you" if wanted.inside else "Wind in"),
        Say("The gauge is home. Nothing more comes off."),
        Say("Less than one division, {division_on}, is left: as near as the dial sets it."),
        Say("The gauge goes on too far."),
        Say("More than the taper is long: misread. Measure again."),
    )
    worth = depth_for_diameter(wanted.taper, 2 * dial.step) / dial.step
    return by_dial(
        desk, dial, Fraction(0), worth, words, winding_out=wanted.inside, rounding="down", start=wanted.length.value,
    )  # fmt: skip


def blocks(desk: Desk, wanted: Wanted, gauge: Gauge, context: Context) -> list[Block]:
    """The trial with the gauge, the blue and the box for each."""
    rule = taper_rule("blue_contact")
    inputs: tuple[Value | str, ...] = (wanted.at,) if gauge.owned is None else (wanted.at, gauge.owned.name)
    part = gauge.owned.name.value if gauge.owned is not None else "the mating part"
    desk.words("gauge", "Try with", part, basis("a gauge of this taper that is owned, else the part it goes with", inputs, PRACTICE))
    least = 100 * rule.low
    why = basis(rule.about, (wanted.at,), source(rule.source, rule.status))
    desk.number("contact", "Blue shows on at least", least, "% of the length", fixed(least, 0), why)
    steep, shallow = ("small", "large") if wanted.inside else ("large", "small")
    worth = " One division of the needle closes {needle_worth} of shake." if "needle_worth" in desk else ""
    return [
        Box(
            "stands_off",
            "Gauge stands off, before the last cut",
            desk.unit,
            Say("Read the last cut from the table. Leave the angle alone once the blue is good."),
            3,
            _sum(desk, wanted, context),
        ),
        Check(
            Say(
                f"Clean, burrs off. Three thin lines of blue along the taper, {{gauge}} on it, a quarter turn to and fro. "
                f"Contact on the {steep} end alone: angle too large; on the {shallow} end alone: too small.{worth}"
            )
        ),
        Box(
            "blue",
            "Contact in blue, share of the length",
            "%",
            Say("At least {contact}, heavier at the large end. A hollow middle is a tool off centre height."),
            3,
        ),
    ]
