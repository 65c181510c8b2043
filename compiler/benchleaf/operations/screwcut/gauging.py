"""How the thread is measured with what is owned, best first; what else would do; and what has the last word."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.exact import cos_degrees, tan_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.screwcut import taper
from benchleaf.operations.screwcut.groove import is_flat
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted, aim, size_ends
from benchleaf.operations.sums import by_dial
from benchleaf.sheet.model import Block, Box, Check, Say, Sum, SumWords
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.threads import DesignationError, Thread, parse_designation
from benchleaf.standards.wires import OVER_WIRES, WireChoice, choose_wire, correction_matters, lead_correction, over_two_wires, over_wires
from benchleaf.workshop.tooling import Anvils, ThreadMicrometer

__all__ = ["GAUGE_FIGURES", "gauging", "same_thread"]

GAUGE_FIGURES = (
    "wire_size",
    "wires",
    "lead_correction",
    "micrometer",
    "reading_per_division",
    "widen_share",
    "plane_tolerance",
    "plane_turns",
    "gauge_also",
)


@dataclass(frozen=True, slots=True)
class _Cut:
    """What gauging needs to know of how the thread is cut."""

    dial: Collar
    angle: Fraction | None
    root: Fraction


def gauging(
    desk: Desk, wanted: Wanted, step: Screwcut, dial: Collar, angle: Fraction | None, root: Fraction, context: Context
) -> tuple[Block, ...]:
    """Figures for gauging, and the boxes and checks that go with them."""
    cut = _Cut(dial, angle, root)
    gauges = _gauges(wanted, step, context)
    if wanted.thread.taper:
        return taper.gauge_plane(desk, wanted, gauges)
    ways: list[tuple[str, Callable[[], tuple[Block, ...]]]] = []
    choice = _wire(wanted, root, context)
    anvils = _anvils(wanted, context)
    if choice is not None:
        ways.append(("", lambda: _over_wires(desk, wanted, choice, cut, context)))
    if anvils is not None:
        ways.append((f"{anvils[0].name.value}, on the pitch diameter", lambda: _micrometer(desk, wanted, anvils, cut)))
    ways += [(name, lambda name=name: _trial(desk, wanted, step, name, context)) for name in gauges]  # type: ignore[misc]
    if not ways:
        if not wanted.inside and any(context.inputs.wire_sets()) and wanted.thread.form.symmetrical and wanted.thread.form.half_angle:
            context.faults.warning(
                "gauge/no-wire",
                f"none of the wires owned measures {wanted.thread.designation}",
                wanted.at,
                f"{length_text(wanted.thread.pitch / 2, context.system)} or so is wanted",
                hint="use a ring gauge or the mating part",
            )
        ways.append(("", lambda: _trial(desk, wanted, step, f"{'plug' if wanted.inside else 'ring'} gauge or mating part", context)))
    blocks = ways[0][1]()
    others = [words for words, _ in ways[1:]]
    if choice is not None:
        others = [*_fewer_wires(wanted, choice, context), *others]
    elif wanted.inside:
        others = [*others, "bore gauge or plug: minor diameter only"]
    if others:
        inputs = ("wires",) if "wires" in desk else ("micrometer",)
        desk.words(
            "gauge_also",
            "Or with",
            "; ".join(others),
            basis("what else is owned that measures this thread", (*inputs, wanted.at), PRACTICE),
        )
    if step.gauge is not None and ways[0][0] != step.gauge.value:
        blocks = (
            *blocks,
            Check(Say(f"Last word: {step.gauge.value} goes {'in' if wanted.inside else 'on'} freely by hand and does not rock.")),
        )
    return (*blocks, *_shape_check(desk, wanted))


def same_thread(words: str, thread: Thread) -> bool:
    """Whether a designation names this very thread, its class aside."""
    try:
        other = parse_designation(words)
    except DesignationError:
        return False
    keys = [
        (each.major, each.pitch, each.starts, each.hand, each.form.name.replace(" rounded root", ""), each.taper)
        for each in (other, thread)
    ]
    return keys[0] == keys[1]


def _gauges(wanted: Wanted, step: Screwcut, context: Context) -> list[str]:
    """Owned gauges for this very thread, and the one that the job names."""
    kinds = ("plug", "mating part") if wanted.inside else ("ring", "mating part")
    owned = [gauge for tooling in context.inputs.toolings for gauge in tooling.thread_gauges]
    found = [gauge.name.value for gauge in owned if gauge.kind.value in kinds and same_thread(gauge.thread.value, wanted.thread)]
    if step.gauge is not None:
        named = next((gauge for gauge in owned if gauge.name.value == step.gauge.value), None)
        if named is not None and named.name.value not in found:
            context.faults.warning(
                "gauge/other-thread",
                f"{named.name.value} is a {named.kind.value} for {named.thread.value}, the thread is "
                f"{wanted.thread.designation}, {wanted.side}",
                step.gauge,
                hint="a gauge of another thread proves nothing",
                related=((named.thread, "its thread"),),
            )
        elif named is not None:
            found = [named.name.value, *(name for name in found if name != named.name.value)]
    return found


def _wire(wanted: Wanted, root: Fraction, context: Context) -> WireChoice | None:
    thread = wanted.thread
    half = thread.form.half_angle
    owned = [wire.value for wires in context.inputs.wire_sets() for wire in wires.diameters]
    if wanted.inside or not owned or not half or not thread.form.symmetrical:
        return None
    return choose_wire(owned, thread.pitch, half, aim(wanted.limits.pitch), size_ends(wanted.limits.major)[-1], root=root)


def _anvils(wanted: Wanted, context: Context) -> tuple[ThreadMicrometer, Anvils] | None:
    if wanted.inside:
        return None
    thread, across = wanted.thread, aim(wanted.limits.pitch)
    for tooling in context.inputs.toolings:
        for micrometer in tooling.thread_micrometers:
            for pair in micrometer.anvils:
                fits = (
                    pair.angle.value == thread.form.included_angle
                    and thread.form.symmetrical
                    and pair.finest.value <= thread.pitch <= pair.coarsest.value
                )
                if fits and micrometer.smallest.value <= across <= micrometer.largest.value:
                    return micrometer, pair
    return None


def _trial(desk: Desk, wanted: Wanted, step: Screwcut, with_what: str, context: Context) -> tuple[Block, ...]:
    desk.words("wires", "Try with", with_what, basis("whatever is owned that carries the mating thread", (step.tool, wanted.at), PRACTICE))
    part = "goes in freely by hand and does not rock" if wanted.inside else "goes on freely by hand and does not rock"
    further = "widen by single divisions" if "side_step" in desk else "go on by single divisions"
    return (
        Check(Say(f"Chips and oil out, burrs off. {{wires}}: {part}.")),
        Box("trial", "Trial after pass", "", Say(f"Write the pass at which it first enters; {further} from there."), 3),
    )


def _correct(desk: Desk, wanted: Wanted, cut: _Cut, over: str) -> Say:
    """The figure and the rule by which a reading that is still too large is put right; ``over`` says when."""
    half = wanted.thread.form.half_angle
    if is_flat(wanted) and half and "side_step" in desk:
        share = tan_degrees(half)
        desk.number(
            "widen_share",
            "Widen, for each unit over",
            share,
            "",
            fixed(share, 3),
            basis("tan of the half angle: the flank is moved, the depth stays", (wanted.at,), GEOMETRY),
            rational=False,
        )
        return Say(f"{over}: widen the groove further by the excess times {{widen_share}}; the depth stays.")
    _per_division(desk, cut)
    return Say(
        f"{over}: the excess divided by {{reading_per_division}} is the number of divisions to feed. Feed half the "
        f"excess in depth, never all of it."
    )


def _per_travel(cut: _Cut) -> Fraction:
    """The reading moves by twice the straight-in depth, and a slide set along the flank goes in by its cosine only."""
    return 2 * (Fraction(1) if cut.angle is None else cos_degrees(cut.angle))


def _per_division(desk: Desk, cut: _Cut) -> None:
    per_division = cut.dial.step * _per_travel(cut)
    desk.length(
        "reading_per_division",
        "One division changes the reading by",
        per_division,
        basis("twice the depth of one division of the dial", ("feed_dial",), GEOMETRY),
        rational=cut.angle is None,
    )


def _sum(desk: Desk, cut: _Cut, ends: tuple[Fraction, Fraction], blank: Fraction) -> Sum | None:
    """How many divisions bring a reading down to where it will do; ``blank`` is the reading before the thread is cut, mm.

    None where the groove is widened instead: that is a matter of judging both flanks.
    """
    if "reading_per_division" not in desk:
        return None
    words = SumWords(
        Say("Feed"),
        Say("To size. No more passes."),
        Say("Off by less than one division: run through again at the same setting, then measure."),
        Say("Smaller than it may be: the thread is cut too deep."),
        Say("Larger than before the thread was begun: misread. Measure again."),
    )
    low, high = ends
    tolerated = low != high
    return by_dial(
        desk, cut.dial, high, _per_travel(cut), words,
        rounding="up" if tolerated else "nearest", limits=ends if tolerated else None, start=blank,
    )  # fmt: skip


def _blank(wanted: Wanted) -> Fraction:
    """The largest that the outside may be, mm."""
    return size_ends(wanted.limits.major)[-1]


def _over_wires(desk: Desk, wanted: Wanted, choice: WireChoice, cut: _Cut, context: Context) -> tuple[Block, ...]:
    thread, half, diameter = wanted.thread, wanted.thread.form.half_angle, choice.wire
    wire: Value = next(each for wires in context.inputs.wire_sets() for each in wires.diameters if each.value == diameter)
    sizes = size_ends(wanted.limits.pitch)
    readings = [over_wires(end, thread.pitch, half, diameter, thread.lead).reading for end in sizes]
    low, high = readings[0], readings[-1]
    correction = lead_correction(diameter, thread.lead, aim(wanted.limits.pitch), half)
    desk.length(
        "wire_size",
        "Wires",
        diameter,
        basis(
            "the owned wire nearest the best one, pitch / (2 cos half angle)",
            (wire, wanted.at),
            source(OVER_WIRES.source, OVER_WIRES.status),
        ),
    )
    matters = correction_matters(correction, sizes[-1] - sizes[0] if len(sizes) > 1 else None)
    desk.length(
        "wires",
        "Over three wires",
        (low + high) / 2,
        basis(
            OVER_WIRES.formula + (f"; the lead angle adds {length_text(correction, context.system)}" if matters else ""),
            ("pitch_diameter", "wire_size", "lead_wanted"),
            source(OVER_WIRES.source, OVER_WIRES.status),
        ),
        rational=False,
        limits=(low, high) if len(sizes) > 1 else None,
    )
    if matters and correction * 50 > 1:  # said on the sheet where a micrometer shows it clearly: 0.02 mm
        desk.length(
            "lead_correction",
            "of which for the steep lead",
            correction,
            basis("first term of the wire's contact with a sloping groove", ("wire_size", "lead_wanted", "pitch_diameter"), GEOMETRY),
            rational=False,
        )
    rule = _correct(desk, wanted, cut, "Over the upper limit of {wires}" if len(sizes) > 1 else "Over {wires}")
    return (
        Check(Say("Measure over three wires of {wire_size} with the spindle stopped and the thread clean: {wires}.")),
        Box("over_wires", "Over wires", desk.unit, rule, 3, _sum(desk, cut, (low, high), _blank(wanted) + 2 * diameter)),
    )


def _fewer_wires(wanted: Wanted, choice: WireChoice, context: Context) -> list[str]:
    """The same with two wires or one, where three do not stay put."""
    thread = wanted.thread
    readings = [
        over_wires(end, thread.pitch, thread.form.half_angle, choice.wire, thread.lead).reading for end in size_ends(wanted.limits.pitch)
    ]
    two = [
        length_text(over_two_wires(each, choice.wire, thread.pitch, thread.starts), context.system).rsplit(" ", 1)[0] for each in readings
    ]
    unit = "mm" if context.system == "metric" else "in"
    return [f"two wires: {' to '.join(two)} {unit}", "one wire and the crests: half of (reading over three + diameter over the crests)"]


def _micrometer(desk: Desk, wanted: Wanted, owned: tuple[ThreadMicrometer, Anvils], cut: _Cut) -> tuple[Block, ...]:
    micrometer, pair = owned
    sizes = size_ends(wanted.limits.pitch)
    desk.length(
        "micrometer",
        "Thread micrometer",
        aim(wanted.limits.pitch),
        basis("it reads the pitch diameter, set on its standard first", ("pitch_diameter", micrometer.name, pair.angle), PRACTICE),
        limits=(sizes[0], sizes[-1]) if len(sizes) > 1 else None,
    )
    rule = _correct(desk, wanted, cut, "Over {micrometer}")
    name = micrometer.name.value.replace("{", "(").replace("}", ")")
    return (
        Check(Say(f"{name} set to zero with these anvils; spindle stopped, thread clean: {{micrometer}} over the pitch diameter.")),
        Box("micrometer_box", "Pitch diameter", desk.unit, rule, 3, _sum(desk, cut, (sizes[0], sizes[-1]), _blank(wanted))),
    )


def _shape_check(desk: Desk, wanted: Wanted) -> tuple[Block, ...]:
    """A flat groove is judged by width and depth too, a square one by nothing else."""
    if not is_flat(wanted) or "groove_width" not in desk:
        return ()
    return (Check(Say("Groove: {groove_width} wide at the bottom, tried with a slip or a drill shank, and {infeed} deep from the crest.")),)
