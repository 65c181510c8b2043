"""The section in the order in which it is wanted at the machine: what is set, what is checked, the passes, the gauging, the background."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, basis, source
from benchleaf.operations.screwcut import procedure, taper, tapping
from benchleaf.operations.screwcut.cutting import Cutting
from benchleaf.operations.screwcut.gauging import GAUGE_FIGURES
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.groove import widening
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.others import other_trains
from benchleaf.operations.screwcut.sketches import lever_plate, thread_profile, train_drawing
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.operations.screwcut.words import LETTERS, lever_words
from benchleaf.sheet.model import Block, Figure, FigureGroup, Weight

__all__ = ["lay_out"]

_DOES = {"first": "drives", "stud_driver": "drives", "stud_driven": "driven", "last": "driven", "idler": "idles"}


def lay_out(
    desk: Desk, wanted: Wanted, gearing: Gearing, cut: Cutting, gauge: tuple[Block, ...], step: Screwcut, context: Context
) -> tuple[Block, ...]:
    """All blocks of a screwcutting section; groups without figures are left out."""
    plate = lever_plate(gearing, context)
    profile = thread_profile(desk, wanted, cut)
    others = other_trains(desk, gearing, step, context)
    exact = "What the error costs" if gearing.train.error else "Exact lead"
    blocks: list[Block | None] = [
        caution("iso_gears"),
        FigureGroup("Wheels", _wheels(desk, gearing), Weight.SET),
        FigureGroup("Levers", _levers(desk, gearing, context), Weight.SET),
        FigureGroup("Spindle", desk.pick("spindle_speed"), Weight.SET),
        FigureGroup("Half-nuts", desk.pick("half_nuts"), Weight.SET),
        FigureGroup("Dial", _dial(desk, cut), Weight.SET),
        train_drawing(gearing, context),
        plate,
        *procedure.change_wheels(gearing, wanted, step, context),
        FigureGroup("Instead of screwcutting", desk.pick(*tapping.FIGURES), Weight.WORK),
        FigureGroup(
            "Before threading", desk.pick("blank_diameter", "blank_bore", "relief", "relief_limit", "relief_diameter"), Weight.WORK
        ),
        FigureGroup("Taper", desk.pick(*_TAPER), Weight.WORK),
        *taper.steps(desk, wanted),
        *procedure.before_cutting(desk, wanted, gearing, step, context),
        FigureGroup("Cut", desk.pick("top_slide_scale", "infeed_way", "feed_dial", *_GROOVE, "infeed", "passes"), Weight.WORK),
        profile,
        FigureGroup("Starts", desk.pick("starts", "start_indexing"), Weight.WORK),
        cut.table,
        *procedure.cutting_steps(desk, wanted, gearing, cut, step, context),
        *widening(desk),
        FigureGroup("Gauge", desk.pick(*GAUGE_FIGURES), Weight.WORK),
        *gauge,
        *procedure.cautions(wanted, gearing, step, context),
        FigureGroup("Thread", desk.pick("major_diameter", "pitch_diameter", "minor_diameter", "root_diameter", "sizes"), Weight.KNOW),
        FigureGroup("Lead", desk.pick("lead_wanted", "lead_actual", "lead_error", "scratch_turns", "scratch_check"), Weight.KNOW),
        FigureGroup(exact, desk.pick(*_COST), Weight.KNOW),
        FigureGroup("Stop", desk.pick("infeed_limits", "run_on", "room_to_stop", "cutting_speed", "speed_setting"), Weight.KNOW),
        FigureGroup("Train", desk.pick("train", "levers", "leadscrew_turns", "leadscrew_speed", "dial_wheel"), Weight.KNOW),
        others,
    ]
    return tuple(block for block in blocks if block is not None and not (isinstance(block, FigureGroup) and not block.figures))


_TAPER = ("taper", "taper_angle", "set_over", "attachment", "set_over_lead", "gauge_length", "small_end", "large_end")
_GROOVE = ("groove_width", "side_step", "side_step_dial")
_COST = ("lead_error_over_engagement", "pitch_diameter_cost", "tolerance_share", "error_per_100", "engagement_limit")


def _wheels(desk: Desk, gearing: Gearing) -> tuple[Figure, ...]:
    """One figure a wheel, so that each can be read from where the wheels are changed."""
    why = basis("the wheel of the train at this place", ("train",), source("exhaustive search in exact fractions", "derived"))
    made = []
    for letter, item in zip(LETTERS, gearing.train.wheels, strict=False):
        teeth = item.wheel.teeth
        label = f"{letter} {_DOES[item.place.value]}"
        made.append(desk.number(f"wheel_{letter.lower()}", label, Fraction(teeth), "", str(teeth), why))
    return tuple(made)


def _levers(desk: Desk, gearing: Gearing, context: Context) -> tuple[Figure, ...]:
    """One figure a lever, named as its plate names it."""
    why = basis("the position that goes with the wheels", ("levers",), source("the lathe's profile", "owner"))
    chosen = lever_words(gearing.train, gearing.problem)
    return tuple(desk.words(f"lever_{number}", name, position, why) for number, (name, position) in enumerate(chosen, 1))


def _dial(desk: Desk, cut: Cutting) -> tuple[Figure, ...]:
    """The first and the last reading of the pass table."""
    rows = cut.table.rows
    place = next(index for index, column in enumerate(cut.table.columns) if column.id == "dial")
    unit = cut.table.columns[place].unit
    made = []
    for name, label, row in (("first_dial", "first reading", rows[0]), ("last_dial", "last reading", rows[-1])):
        value = row.values[place]
        if value is not None:
            turns = row.shown[place - 1]
            why = basis(
                f"{label.split()[0]} row of the pass table",
                ("infeed", "passes"),
                source("running totals rounded to the dial", "common practice"),
            )
            made.append(desk.number(name, label, value, unit, f"{turns} {row.shown[place]}".strip(), why))
    return tuple(made)
