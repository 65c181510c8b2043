"""How the thread is measured with what is owned: wires outside, else a gauge or the mating part."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import cos_degrees
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.dials import Collar
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.sheet.model import Block, Box, Check, Say
from benchleaf.standards.threads import DesignationError, parse_designation
from benchleaf.standards.wires import OVER_WIRES, choose_wire, correction_matters, lead_correction, over_wires
from benchleaf.workshop.job import Screwcut

__all__ = ["gauging"]


def gauging(desk: Desk, wanted: Wanted, step: Screwcut, dial: Collar, angle: Fraction | None, root: Fraction, context: Context) -> tuple[Block, ...]:
    """Figures for gauging, and the boxes and checks that go with them."""
    owned = [wire for wires in context.inputs.wire_sets() for wire in wires.diameters]
    gauges = _gauges(wanted, context)
    limits, thread = wanted.limits, wanted.thread
    lower, upper, half = limits.pitch.lower, limits.pitch.upper, thread.form.half_angle
    if not wanted.inside and owned and half and lower is not None and upper is not None:
        choice = choose_wire([wire.value for wire in owned], thread.pitch, half, (lower + upper) / 2, limits.major.upper or thread.major, root=root)
        if choice is not None:
            wire = next(each for each in owned if each.value == choice.wire)
            return _over_wires(desk, wanted, wire, choice.wire, lower, upper, dial, angle, context)
        context.faults.warning("gauge/no-wire", f"none of the wires owned measures {thread.designation}", wanted.at,
                               f"{length_text(thread.pitch / 2, context.system)} or so is wanted", hint="use a ring gauge or the mating part")  # fmt: skip
    words = f"{'plug' if wanted.inside else 'ring'} gauge or mating part" if not gauges else " or ".join(gauges)
    desk.words("wires", "Try with", words, basis("no wires for this side: whatever is owned that carries the mating thread", (step.tool, wanted.at), PRACTICE))
    part = "goes in freely by hand and does not rock" if wanted.inside else "goes on freely by hand and does not rock"
    return (Check(Say(f"Chips and oil out, burrs off. {{wires}}: {part}.")),
            Box("trial", "Trial after pass", "", Say("Write the pass at which it first enters; go on by single divisions from there."), 3))  # fmt: skip


def _gauges(wanted: Wanted, context: Context) -> list[str]:
    """Names of owned gauges for this very thread."""
    found = []
    for tooling in context.inputs.toolings:
        for gauge in tooling.thread_gauges:
            try:
                same = parse_designation(gauge.thread.value)
            except DesignationError:
                continue
            if (same.major, same.pitch, same.starts, same.hand, same.form) == (wanted.thread.major, wanted.thread.pitch, wanted.thread.starts, wanted.thread.hand, wanted.thread.form) and (
                gauge.kind.value in (("plug", "mating part") if wanted.inside else ("ring", "mating part"))
            ):
                found.append(gauge.name.value)
    return found


def _over_wires(desk: Desk, wanted: Wanted, wire: Value, diameter: Fraction, lower: Fraction, upper: Fraction, dial: Collar, angle: Fraction | None, context: Context) -> tuple[Block, ...]:
    thread, half = wanted.thread, wanted.thread.form.half_angle
    low, high = (over_wires(end, thread.pitch, half, diameter, thread.lead).reading for end in (lower, upper))
    correction = lead_correction(diameter, thread.lead, (lower + upper) / 2, half)
    desk.length("wire_size", "Wires", diameter, basis("the owned wire nearest the best one, pitch / (2 cos half angle)", (wire, wanted.at), source(OVER_WIRES.source, OVER_WIRES.status)))
    matters = correction_matters(correction, upper - lower)
    desk.length("wires", "Over three wires", (low + high) / 2,
                basis(OVER_WIRES.formula + (f"; the lead angle adds {length_text(correction, context.system)}" if matters else ""), ("pitch_diameter", "wire_size", "lead_wanted"),
                      source(OVER_WIRES.source, OVER_WIRES.status)), rational=False, limits=(low, high))  # fmt: skip
    # The reading moves by twice the straight-in depth, and a slide set along the flank goes in by its cosine only.
    per_division = 2 * dial.step * (Fraction(1) if angle is None else cos_degrees(angle))
    desk.length("reading_per_division", "One division changes the reading by", per_division,
                basis("twice the depth of one division of the dial", ("feed_dial",), GEOMETRY), rational=angle is None)  # fmt: skip
    rule = Say("Over the upper limit of {wires}: the excess divided by {reading_per_division} is the number of divisions to feed. Feed half the excess in depth, never all of it.")
    return (Check(Say("Measure over three wires of {wire_size} with the spindle stopped and the thread clean: {wires}.")), Box("over_wires", "Over wires", desk.unit, rule, 3))
