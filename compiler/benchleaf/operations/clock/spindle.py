"""Run-out of the work and of the spindle, of a face, and how far the spindle lifts."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import clocking_sketches as sketches
from benchleaf.operations.cautions import caution
from benchleaf.operations.clock.common import Bench, boxes, groups, keep, last_read, practice, should_read, warm
from benchleaf.operations.desk import GEOMETRY, OWNER, basis, length_text, source
from benchleaf.sheet.model import Block, Say, Steps
from benchleaf.standards.acceptance import acceptance, holding_run_out, holding_ways
from benchleaf.standards.clocking import clocking_practice
from benchleaf.workshop.lathe import Holding

__all__ = ["face_run_out", "lift", "run_out"]

_BY_KIND = {
    "chuck": "three-jaw",
    "collet": "draw-in collet",
    "faceplate": "faceplate",
    "centres": "between centres",
    "mandrel": "between centres",
}


def run_out(this: Bench) -> list[Block] | None:
    """The spindle's own run-out, then the work's, near the jaws and far out."""
    context, desk = this.context, this.desk
    should_read(this, "nose_limit", "Spindle nose, in one turn", acceptance("l_nose"))
    holding = context.holding
    if holding is not None:
        way = _way(holding)
        should_read(this, "work_limit", f"Work near the jaws, {way}", holding_run_out(way))
        if holding.run_out is not None and holding.run_out.value:
            why = basis("as the profile says of this way of holding", (holding.run_out,), OWNER)
            desk.length("holding_runs_out", f"The {holding.name.value} is known to run out by", holding.run_out.value, why)
    _around(this)
    warm(this)
    last_read(this, "spindle run-out")
    four = holding is not None and ("four" in holding.name.value.lower() or holding.kind.value == "faceplate")
    cure = (
        "Off centre: ease the jaw on the low side, tighten the one across by half the swing. Again, until it is within the limit."
        if four
        else "Off centre: half a turn in the jaws, clean jaws and work, tighten at another key hole. Still out: four jaws, or soft "
        "jaws bored in place."
    )
    steps = (
        Say("Register of the nose wiped. The {indicator} from above on it; turn the spindle by hand, one turn, chuck key out."),
        Say("Then on the work, close to the jaws; then as far out as the work goes."),
    )
    wrong = (
        Say("The needle's swing is twice the distance off centre: half of it is the move."),
        Say(cure),
        Say(
            "More swing far out than near the jaws: it leans. Tap the far end towards the low side by half the difference; clock both "
            "again."
        ),
        Say("The nose itself swings more than its limit: no chuck will cure it. See to nose, bearings and register first."),
    )
    size = length_text(desk_value, context.system, "caliper") if (desk_value := _diameter(this)) else "the work"
    return [
        *groups(this, ("nose_limit", "work_limit"), ("around", "holding_runs_out")),
        sketches.run_out(size, "the needle's swing in one turn"),
        Steps("Clock", steps),
        *boxes(
            this,
            ("nose", "Nose, swing in one turn", "A new lathe: {nose_limit}. This is what goes in the profile."),
            ("near", "Work near the jaws, swing", "Half of it is how far the axis is out."),
            ("far", "Work far out, swing", "Far less near, halved, is how far the end leans."),
        ),
        Steps("If it does not", wrong),
        *keep(this, "spindle run-out"),
        caution("key"),
    ]


def _way(holding: Holding) -> str:
    """The way of holding that practice knows a run-out for: by its name, else by its kind."""
    return next((way for way in holding_ways() if way in holding.name.value.lower()), _BY_KIND[holding.kind.value])


def _diameter(this: Bench) -> Fraction | None:
    found = this.context.work.measure("outside", Fraction(0), this.context.work.end)
    return None if found is None else found.value


def _around(this: Bench) -> None:
    found = this.context.work.measure("outside", Fraction(0), this.context.work.end)
    if found is not None:
        this.desk.length("around", "On the diameter", found.value, basis("outside of the work", (found,), GEOMETRY), read_by="caliper")


def face_run_out(this: Bench) -> list[Block] | None:
    """A face turned under the indicator: the nose's flange, and the work."""
    context, desk = this.context, this.desk
    should_read(this, "face_limit", "Face of the nose, in one turn", acceptance("l_cam"))
    found = context.work.measure("outside", Fraction(0), Fraction(1, 1000))
    radius = "near the rim"
    if found is not None:
        near = clocking_practice("bar_end")
        at = max(found.value / 2 - near.low, found.value / 4)
        why = basis("half the diameter, less what keeps the plunger off the edge", (found,), source(near.source, near.status))
        desk.length("radius", "Indicator from the middle", at, why, read_by="rule")
        why = basis("reading in one turn / (2 x radius) x length", ("radius",), GEOMETRY)
        lean = (
            Fraction(1, 100) / (2 * at) * 100
            if desk.unit == "mm"
            else Fraction(1, 1000) / (2 * at / Fraction(127, 5)) * 4 * Fraction(127, 5)
        )
        label = "0.01 mm on the face leans, over 100 mm" if desk.unit == "mm" else "0.001 in on the face leans, over 4 in"
        desk.length("lean", label, lean, why)
        radius = length_text(at, context.system, "rule")
    warm(this)
    steps = (
        Say(
            "The {indicator} along the axis, on the face near its rim; spindle pushed towards the headstock, so that its end float stays "
            "out of it."
        ),
        Say("Turn by hand, one turn, chuck key out. Mark the high place."),
        Say("Once more with the indicator on the far side of the face. Swings that differ: end float, not the face."),
    )
    wrong = (
        Say("Chuck or faceplate: off again, register and flange wiped, burrs off; on again, and once more half a turn round."),
        Say("Work: tap the high place back with a soft hammer by half the swing, tighten, clock rim and face again."),
        Say("The nose's own face swings more than its limit: see to its end float before anything is faced to size."),
    )
    return [
        *groups(this, ("face_limit",), ("radius", "lean")),
        sketches.face_run_out(radius, "the needle's swing in one turn"),
        Steps("Clock", steps),
        *boxes(
            this,
            ("nose_face", "Nose, swing in one turn", "A new lathe: {face_limit}, end float included."),
            (
                "work_face",
                "Work, swing in one turn",
                "The high place goes back by half of it.",
            ),
        ),
        Steps("If it does not", wrong),
        caution("key"),
    ]


def lift(this: Bench) -> list[Block] | None:
    """How far the spindle lifts in its bearings under a bar."""
    for name, label, figure in (("lift_plain", "Plain bearings", "lift_plain"), ("lift_rolling", "Rolling bearings", "lift_rolling")):
        should_read(this, figure, f"Lift, {label.lower()}", clocking_practice(name))
    practice(this, "bar", "Bar stands out of the chuck by", "lift_bar")
    practice(this, "force", "Lift its end by hand with about", "lift_force")
    warm(this)
    last_read(this, "spindle lift")
    steps = (
        Say(
            "Motor isolated. Stout bar in the chuck, {bar} out. The {indicator} on the headstock or bed, its plunger on top of the nose; "
            "not on the chuck."
        ),
        Say("Zero it. Lift the end of the bar with about {force}, steadily; read; let go: the needle comes back to zero."),
        Say("Press down as hard: it hardly moves. What it moves then is bend of the headstock; take it off the lift."),
    )
    wrong = (
        Say("Needle does not come back: the stand gives. Set it up anew."),
        Say(
            "Too much: bearings taken up by the maker's instructions, a little at a time. Then run it and feel: hot to the hand is "
            "too tight."
        ),
        Say("No lift at all, plain bearings, cold: too tight. There must be room for oil."),
        Say("Until it is right: light cuts, work close to the nose, and no trust in roundness."),
    )
    return [
        *groups(this, ("lift_plain", "lift_rolling"), ("bar", "force")),
        sketches.spindle_lift("by hand", "how far the nose lifts"),
        Steps("Clock", steps),
        *boxes(
            this,
            ("lifts", "Lifts by", "Plain bearings {lift_plain}, rolling {lift_rolling}."),
            ("presses", "Pressed down, moves by", "Take it off the lift."),
        ),
        Steps("If it does not", wrong),
        *keep(this, "spindle lift"),
    ]
