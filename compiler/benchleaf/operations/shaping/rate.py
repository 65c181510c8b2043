"""The rate of strokes that gives the cutting speed at this stroke, and the speeds that are really got."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.kinematics.crank import Constant, Link, Motion, motion
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.speeds import surface_speed
from benchleaf.operations.desk import Desk, Value, basis, source
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.shaping import MEAN_SPEED, STROKES, fact
from benchleaf.standards.speeds import cutting_speed
from benchleaf.workshop.shaper import Drive, Ram, Rate
from benchleaf.workshop.values import Measure, Text

__all__ = ["choose_rate", "drive", "write_speeds"]

_CRANK = source("geometry of crank pin and slotted link", "derived")
_OWNED = source("the shaper's profile", "owner")
_FOLLOWED = 60  # strokes a minute that a hand can feed at every return; common practice


def drive(said: Drive, ram: Ram) -> Link | Constant:
    """What moves the ram; crank radii that were not measured follow from the strokes."""
    crank = said.crank
    if crank is None:
        ratio = said.hydraulic or said.ratio
        return Constant(ratio.value if ratio is not None else fact("ratio_full_stroke").use, said.hydraulic is not None)
    distance, length = crank.centre_distance.value, crank.link_length.value

    def radius(measured: Measure | None, stroke: Fraction) -> Fraction:
        return stroke * distance / (2 * length) if measured is None else measured.value

    least = radius(crank.least_radius, ram.shortest_stroke.value)
    return Link(distance, length, least, max(least, radius(crank.largest_radius, ram.longest_stroke.value)))


def choose_rate(
    desk: Desk, context: Context, cuts_with: Text, stroke: Fraction | None, wish: Measure | None, by_hand: bool
) -> tuple[Rate, Motion] | None:  # fmt: skip
    """The rate, with the ram's motion at this stroke, or None after an error; what the job asks for is looked at even without a stroke.

    Writes down ``cutting_speed``, ``rate`` and ``rate_setting``.  ``by_hand``: a hand feeds at every return and must follow.
    """
    shaper = context.shaper
    rates = sorted(shaper.rates, key=lambda row: row.rate.value)
    asked = next((row for row in rates if wish is not None and row.rate.value == wish.value), None)
    if wish is not None and asked is None:
        beyond = wish.value > rates[-1].rate.value
        context.faults.error(
            "shaping/rate-not-there",
            f"{wish.text} is above the fastest rate of the {shaper.name.value}"
            if beyond
            else f"{wish.text} is not a rate of the {shaper.name.value}",
            wish,
            f"its fastest is {rates[-1].rate.text}" if beyond else "",
            hint=f"rates there are: {', '.join(fixed(row.rate.value, 0) for row in rates)} strokes/min",
            related=((rates[-1].rate, "its fastest"),) if beyond else (),
        )
        return None
    found = cutting_speed(context.material.group.value, "shaping", cuts_with.value)
    if found is None:
        context.faults.error(
            "speed/no-row",
            f"there is no shaping speed for {context.material.name.value} with {cuts_with.value}",
            context.material.group,
            hint="choose another tool for it, or another group in the material's file",
            related=((cuts_with, "the tool"),),
        )
        return None
    if stroke is None:
        return None
    moves = motion(drive(shaper.ram.drive, shaper.ram), stroke)
    speed = surface_speed(desk, found, "shaping", cuts_with, context, "Cutting speed, mean", found.rule.formula)
    wanted = moves.rate(speed)
    most = min(wanted, Fraction(_FOLLOWED)) if by_hand else wanted
    row = asked or max((each for each in rates if each.rate.value <= most), key=lambda each: each.rate.value, default=rates[0])
    if row.rate.value > wanted:
        fast = asked is not None
        context.faults.warning(
            "shaping/rate-fast",
            f"{row.rate.text} is above the {fixed(wanted, 0)} strokes/min that the cutting speed allows at this stroke"
            if fast
            else f"the slowest rate, {row.rate.text}, is above the {fixed(wanted, 0)} strokes/min that the cutting speed allows",
            row.rate if wish is None else wish,
            hint="leave `rate` out" if fast else "take light cuts with plenty of fluid, or a shorter stroke",
        )
    followed = f", nor above the {_FOLLOWED} that a hand follows" if by_hand else ""
    why = basis(
        f"the fastest rate there is not above N = {STROKES.formula}{followed}",
        (row.rate, "cutting_speed", "stroke", "return_ratio"),
        source(STROKES.source, STROKES.status),
    )
    if wish is not None:
        why = basis("as the job says", (wish,), _OWNED)
    set_by = ", ".join(f"{name} {position.value}" for name, position in row.set.items())
    desk.number("rate", "Rate", row.rate.value, "strokes/min", fixed(row.rate.value, 0), why, also=set_by)
    if set_by:
        desk.words(
            "rate_setting", "Set for that rate", set_by, basis("as the profile says this rate is set", tuple(row.set.values()), _OWNED)
        )
    return row, moves


def write_speeds(desk: Desk, moves: Motion, row: Rate, said: Drive) -> Fraction:
    """Write down what is really got; returns the fastest cutting speed, m/min."""
    inputs: tuple[Value | str, ...]
    if said.crank is not None:
        inputs = (said.crank.centre_distance, said.crank.link_length, "stroke")
        words, by = "(180 + 2 half swing) / (180 - 2 half swing) at this stroke, not at the full one", _CRANK
    else:
        ratio = said.hydraulic or said.ratio
        inputs, words, by = (ratio,) if ratio is not None else ("stroke",), "as the profile says, at every stroke", _OWNED
    desk.number(
        "return_ratio", "Cutting over return time", moves.ratio, "", fixed(moves.ratio, 2), basis(words, inputs, by), rational=False
    )
    mean = moves.mean_cutting_speed(row.rate.value)
    why = basis(MEAN_SPEED.formula, ("stroke", "rate", "return_ratio"), source(MEAN_SPEED.source, MEAN_SPEED.status))
    desk.number("mean_speed", "Cutting speed got, mean", mean, "m/min", fixed(mean, 1), why, rational=False)
    peak = moves.peak_cutting_speed(row.rate.value)
    if peak is None:
        return mean
    fastest = basis("fastest in the middle of the stroke: 2 pi N length r / (centre distance + r)", inputs, _CRANK)
    desk.number("peak_speed", "Fastest, mid stroke", peak, "m/min", fixed(peak, 1), fastest, rational=False)
    return peak
