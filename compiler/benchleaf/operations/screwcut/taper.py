"""Taper threads: how the tool follows the taper, the blank's two diameters, and the check at the gauge plane."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted, aim
from benchleaf.operations.screwcut.thread import stock as uncut
from benchleaf.operations.screwcut.words import plain
from benchleaf.sheet.model import Block, Box, Check, Say, Steps
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tapers import axial_share, half_angle, set_over

__all__ = ["TaperEnds", "angle_words", "ends", "follow", "gauge_length", "gauge_plane", "setting", "steps", "stock"]

_GAUGE_LENGTHS = ("gauge length", "hand-tight engagement L1")


@dataclass(frozen=True, slots=True)
class TaperEnds:
    """Diameters of a taper surface, mm: at the gauge plane, at the end where the tool starts on the least metal, at the other end."""

    gauge: Fraction
    small: Fraction
    large: Fraction


def gauge_length(wanted: Wanted) -> Fraction:
    """From the small end of an outside taper thread to its gauge plane, mm; nought inside, where the plane is at the mouth."""
    if wanted.inside:
        return Fraction(0)
    return next((item.value for item in wanted.thread.figures if item.name in _GAUGE_LENGTHS), Fraction(0))


def ends(wanted: Wanted, length: Fraction) -> TaperEnds:
    """The taper that is turned or bored before threading: over the crests outside, of the bore inside; ``length`` of thread in mm."""
    gauge, taper = aim(wanted.limits.minor if wanted.inside else wanted.limits.major), wanted.thread.taper
    if wanted.inside:
        return TaperEnds(gauge, gauge - length * taper, gauge)
    small = gauge - gauge_length(wanted) * taper
    return TaperEnds(gauge, small, small + length * taper)


def angle_words(degrees: Fraction) -> str:
    """An angle as degrees and minutes, with its decimals: 1 deg 47 min (1.790 deg)."""
    minutes = round(degrees * 60)
    return f"{minutes // 60} deg {minutes % 60:02d} min"


def follow(wanted: Wanted, step: Screwcut, context: Context) -> bool:
    """Whether the job says how the taper is followed, and can: False after an error, with the figures for both ways."""
    taper, way = wanted.thread.taper, step.taper_by
    if not taper:
        if way is not None:
            context.faults.warning(
                "taper/parallel",
                f"{wanted.thread.designation} is parallel, and the job says how to follow a taper",
                way,
                hint="leave `taper-by` out",
            )
        return True
    system, length = context.system, context.work.overall
    turned = angle_words(half_angle(taper))
    over = (
        f"the tailstock set over by {length_text(set_over(taper, length.value), system, 'caliper')}"
        if length is not None
        else f"the tailstock set over by 1/{plain(2 / taper, 0)} of the length of the work"
    )
    if way is None:
        context.faults.error(
            "taper/unsaid",
            f"{wanted.thread.designation} is a taper thread, and the job does not say how the tool follows it",
            wanted.at,
            f"taper 1 in {plain(1 / taper, 2)} on the diameter, {turned} to the axis",
            hint="`taper-by: taper attachment`" if wanted.inside else "`taper-by: set-over` or `taper-by: taper attachment`",
            note=f"between centres: {over}; with a taper attachment: {turned}; a top slide cannot do it, because the "
            f"leadscrew does not drive it",
        )
        return False
    if way.value == "taper attachment":
        return True
    holding = context.holding
    if wanted.inside:
        context.faults.error(
            "taper/set-over-inside",
            "an inside taper cannot be cut with the tailstock set over",
            way,
            "between centres there is no way into the bore",
            hint=f"a taper attachment, set to {turned}",
        )
        return False
    if holding is not None and holding.kind.value != "centres":
        context.faults.error(
            "taper/not-between-centres",
            f"the tailstock is to be set over, and the work is held by {holding.name.value}",
            way,
            hint=f"hold it between centres, or use a taper attachment set to {turned}",
            related=((context.held.by, "not between centres"),),
        )
        return False
    if length is None:
        context.faults.error(
            "taper/no-length",
            "the set-over depends on the length between centres, and the blank's length is not given",
            way,
            hint="add `length` to `blank`",
            note=over,
        )
        return False
    return True


def setting(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> None:
    """The figures that set the taper, and the two diameters of the blank."""
    taper, thread = wanted.thread.taper, wanted.thread
    if not taper or step.taper_by is None:
        return
    at = source(wanted.limits.major.source, wanted.limits.major.status)
    angle = half_angle(taper)
    desk.words(
        "taper",
        "Taper on the diameter",
        f"1 in {plain(1 / taper, 2)}",
        basis("of the thread asked for", (wanted.at,), at),
        also=f"{plain(taper * 12, 3)} in per foot",
    )
    desk.number(
        "taper_angle",
        "Angle to the axis",
        angle,
        "deg",
        fixed(angle, 3),
        basis("atan(taper / 2)", ("taper",), GEOMETRY),
        rational=False,
        also=angle_words(angle),
    )
    length = context.work.overall
    if step.taper_by.value == "set-over" and length is not None:
        desk.length(
            "set_over",
            "Set the tailstock over",
            set_over(taper, length.value),
            basis(
                "length between centres x taper / 2; towards you for a thread that is small at the tailstock",
                ("taper", length, step.taper_by),
                GEOMETRY,
            ),
            read_by="caliper",
        )
        short = (axial_share(taper) - 1) * 1_000_000
        desk.number(
            "set_over_lead",
            "Set-over alters the lead by",
            short,
            "ppm",
            fixed(short, 0),
            basis("cos of the angle to the axis, less one: the saddle moves along the bed, not along the work", ("taper_angle",), GEOMETRY),
            rational=False,
        )
    else:
        desk.words(
            "attachment",
            "Taper attachment set to",
            f"{angle_words(angle)}",
            basis("half the taper: the slide moves the tool by the radius", ("taper_angle", step.taper_by), GEOMETRY),
            also=f"1 in {plain(2 / taper, 2)} on the radius",
        )
    end = ends(wanted, step.length.value)
    inputs: tuple[Value | str, ...] = ("minor_diameter" if wanted.inside else "major_diameter", "taper")
    if not wanted.inside:
        plane = next(item for item in thread.figures if item.name in _GAUGE_LENGTHS)
        desk.length(
            "gauge_length",
            "Gauge plane from the small end",
            plane.value,
            basis(plane.formula, (wanted.at,), source(plane.source, plane.status)),
            read_by="caliper",
        )
        inputs = (*inputs, "gauge_length")
    desk.length(
        "small_end",
        "Small end" if not wanted.inside else "Bore at the inner end",
        end.small,
        basis("diameter at the gauge plane less distance x taper", (*inputs, *((step.length,) if wanted.inside else ())), GEOMETRY),
    )
    if not wanted.inside:
        desk.length(
            "large_end",
            "Large end, at the full length",
            end.large,
            basis("small end + length of thread x taper", ("small_end", "taper", step.length), GEOMETRY),
        )


def stock(wanted: Wanted, step: Screwcut, context: Context) -> Fraction | None:
    """Whether the taper can be turned from the blank: the diameter at the gauge plane, from where the infeed is reckoned, or None after
    an error."""
    system, given = context.system, uncut(step, context)
    end = ends(wanted, step.length.value)
    if given is None:
        return None
    off = given.value - end.gauge if wanted.inside else end.gauge - given.value
    what = "bore" if wanted.inside else "blank"
    if off > 0:
        context.faults.error(
            "taper/stock",
            f"the {what} is {length_text(off, system)} {'over' if wanted.inside else 'under'} the diameter of "
            f"{wanted.thread.designation} at its gauge plane",
            given,
            f"{length_text(end.gauge, system)} there",
            hint="no full thread is left where it is gauged: bush it, or take a larger bar"
            if not wanted.inside
            else "bush it, or take the next size",
        )
        return None
    lost = (end.large - given.value) / wanted.thread.taper
    if not wanted.inside and lost > 0:
        context.faults.warning(
            "taper/crests-lost",
            f"the blank is {length_text(end.large - given.value, system)} under the large end: the last "
            f"{length_text(lost, system, 'rule')} have no full crests",
            given,
            f"large end {length_text(end.large, system)}",
            hint="usual on pipe; a larger bar, or a shorter thread, has full crests throughout",
        )
    return end.gauge


def steps(desk: Desk, wanted: Wanted) -> list[Block]:
    """What to do before threading, so that tool and work both follow the taper."""
    if "taper" not in desk:
        return []
    between = "set_over" in desk
    said = [
        "Set the tailstock over by {set_over}, towards you for a thread whose small end is at the tailstock, measured "
        "with a dial gauge on its barrel; ball-ended centres, grease, carrier tied so that it cannot rock."
        if between
        else "Set the taper attachment to {attachment}; take up its backlash by starting well off the work.",
        "Bore the taper with the same setting: {blank_bore} at the mouth, {small_end} at the inner end."
        if wanted.inside
        else "Turn the taper with the same setting: {small_end} at the end, {blank_diameter} at {gauge_length} from "
        "it, {large_end} at the full length. Do not alter it before the thread is done.",
        "Tool square to the AXIS of the work, not to the taper"
        + (
            " and not to the bed: set the thread gauge against a parallel part of the work, or a parallel bar between the centres."
            if between
            else ": set the thread gauge against a parallel part or the face."
        ),
        "Tool on centre height exactly: above or below it the taper comes out wrong.",
        "The top slide cannot follow the taper: the leadscrew does not drive it. It only feeds the tool in"
        + (
            ", its angle reckoned from square to the work's axis."
            if between
            else "; where the attachment takes over the cross-slide's screw, all infeed is by the top slide."
        ),
    ]
    return [Steps("Taper", tuple(Say(words) for words in said))]


def gauge_plane(desk: Desk, wanted: Wanted, names: list[str]) -> tuple[Block, ...]:
    """The trial at the gauge plane: how far the gauge or fitting goes on by hand."""
    limits, taper = wanted.limits, wanted.thread.taper
    half = aim(limits.major) - (limits.major.lower or aim(limits.major))
    axial = half / taper
    turns = axial / wanted.thread.pitch
    by = source(limits.major.source, limits.major.status)
    part = " or ".join(names) if names else ("plug gauge or fitting" if wanted.inside else "ring gauge or fitting")
    desk.words("wires", "Try with", part, basis("a taper thread is judged by how far its gauge goes on", (wanted.at,), PRACTICE))
    desk.length(
        "plane_tolerance",
        "Gauge plane, plus or minus",
        axial,
        basis("tolerance on the diameter / taper", ("major_diameter", "taper"), by),
        read_by="caliper",
    )
    desk.number(
        "plane_turns",
        "That is, in turns",
        turns,
        "turns",
        fixed(turns, 1),
        basis("distance / pitch", ("plane_tolerance", "lead_wanted"), GEOMETRY),
    )
    words = (
        "Chips and oil out, burrs off. {wires}: screws in by hand until its gauge plane is at the mouth, within "
        "{plane_tolerance} ({plane_turns})."
        if wanted.inside
        else "Chips and oil out, burrs off. {wires}: screws on by hand until {gauge_length} of the thread is in it, "
        "within {plane_tolerance} ({plane_turns})."
    )
    return (
        Check(Say(words)),
        Box(
            "trial",
            "Goes on by hand",
            desk.unit,
            Say("Write how far it goes after each trial. A turn short wants pitch x taper / 2 more infeed."),
            3,
        ),
    )
