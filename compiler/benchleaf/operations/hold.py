"""Holding the work anew: on the same machine or another, the same way round or end for end."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations import holding
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, basis, source
from benchleaf.operations.registry import Operation
from benchleaf.operations.work import FINISHED
from benchleaf.record import record
from benchleaf.sheet.model import Block, Box, Check, FigureGroup, Say, Section, Steps, Weight
from benchleaf.standards.shaping import advice
from benchleaf.workshop.job import Held
from benchleaf.workshop.values import Distance, Flag, Length, Link, Origin, Text

__all__ = ["OPERATION", "Hold", "plan"]


@record
class Hold:
    """Hold the work another way from here on."""

    origin: Origin
    machine: Link | None
    by: Text
    end_for_end: Flag
    stands_out: Length | None
    behind_spindle: Distance | None
    supported_by: Text


def plan(step: Hold, context: Context) -> Section | None:
    """The section of holding anew, or None when its faults leave nothing true to print."""
    setup, work = context.setup, context.work
    if step.machine is not None:
        machine = context.inputs.elsewhere.get(step.machine.value)
        if machine is None:
            return None  # reported where the file is read
        setup.machine = machine
    if step.end_for_end.value:
        if work.length is None:
            context.faults.error(
                "hold/no-length",
                "the work is turned end for end, and its length is not known: places cannot be counted from the other end",
                step.end_for_end,
                hint="add `length` to `blank`, or face it `to-length` or part it off before",
            )
            return None
        work.turn_round()
    work.parted = None
    setup.held = Held(step.origin, step.by, step.stands_out, step.behind_spindle, step.supported_by)
    before = len(context.faults.found)
    holding.check(context)
    if len(context.faults.found) > before:
        return None
    desk = context.desk()
    out = step.stands_out
    if out is not None:
        desk.length("stands_out", "Let stand out", out.value, basis("as the job says", (out,), source("the job", "owner")), read_by="rule")
    _grip(desk, context)
    title = f"Hold by the {step.by.value}" + (", end for end" if step.end_for_end.value else "")
    support = "" if step.supported_by.value == "nothing" else f"free end in the {step.supported_by.value}"
    words = ", ".join(part for part in (support,) if part)
    return Section(context.section_id, "hold", title, words, tuple(_blocks(desk, context)))


def _grip(desk: Desk, context: Context) -> None:
    """What is gripped, and what the holding itself runs out by."""
    out = context.held.stands_out
    if context.kind == "shaper":
        return  # how deep the jaws hold it depends on the face that is cut, and stands there
    gripped = context.work.measure("outside", out.value if out is not None else Fraction(0), context.work.end)
    if gripped is not None:
        why = basis("the outside behind what stands out", (gripped,), GEOMETRY)
        desk.length("gripped", "Gripped on", gripped.value, why, read_by="caliper")
    run_out = context.holding.run_out if context.holding is not None else None
    if run_out is not None and run_out.value:
        why = basis(
            "as the profile says; a surface turned before the work was moved runs out by as much",
            (run_out,),
            source("the lathe's profile", "owner"),
        )
        desk.length("run_out", "This holding runs out by", run_out.value, why)


def _blocks(desk: Desk, context: Context) -> list[Block]:
    """The figures, the steps and what is checked before going on."""
    return _on_shaper(desk, context) if context.kind == "shaper" else _on_lathe(desk, context)


def _on_shaper(desk: Desk, context: Context) -> list[Block]:
    head = next((item for item in context.shaper.index_heads if item.name.value == context.held.by.value), None)
    vice = any(item.name.value == context.held.by.value for item in context.shaper.vices)
    marked = context.work.finished("outside", Fraction(0), context.work.end)
    steps = [Say("Motor isolated, ram back. Burrs off; seats, jaws and parallels wiped.")]
    if marked is not None:
        steps.append(Say(f"The {marked.kind} is gripped: copper or aluminium strip between it and the jaws."))
    if vice:
        steps += [Say(advice("jaw check").words), Say(advice("seating").words)]
    if head is not None:
        steps.append(Say("Clock the work along its top and its side: axis level, and lying to the stroke as the next step says."))
    blocks: list[Block] = [
        FigureGroup("Hold", desk.pick("stands_out"), Weight.WORK),
        Steps("Hold", tuple(steps)),
        caution("vice") if vice else caution("index_lock") if head is not None else caution("ram_set"),
        Check(Say("The work does not move when struck lightly with a soft hammer.")),
    ]
    return [block for block in blocks if not (isinstance(block, FigureGroup) and not block.figures)]


def _on_lathe(desk: Desk, context: Context) -> list[Block]:
    holding_kind = context.holding.kind.value if context.holding is not None else ""
    out = context.held.stands_out.value if context.held.stands_out is not None else Fraction(0)
    marked = [item for item in context.work.over("outside", out, context.work.end) if item.kind in FINISHED]
    centred = holding_kind in ("centres", "mandrel")
    steps = [Say(_FIRST.get(holding_kind, "Burrs off; jaws, collet and seats wiped."))]
    if marked:
        what = "carrier" if centred else "jaws"
        steps.append(Say(f"The {marked[0].kind} is gripped: copper or aluminium strip, or a split bush, between it and the {what}."))
    if holding_kind in ("chuck", "faceplate"):
        steps.append(Say("Clock the work true on a surface that is finished; tighten; clock again."))
    if centred:
        steps.append(Say("Tailstock up until the work turns without shake; barrel locked. Look again when the work is warm: it grows."))
    if context.held.supported_by.value == "tailstock":
        steps.append(Say("Centre hole clean and greased; bring the centre up without bending the work; lock the barrel."))
    blocks: list[Block] = [
        FigureGroup("Hold", desk.pick("stands_out", *(() if centred else ("gripped", "run_out"))), Weight.WORK),
        Steps("Hold", tuple(steps)),
    ]
    if holding_kind in ("chuck", "faceplate"):
        why = "Half the swing of the needle is how far the axis is out. Move it by that, away from the high side."
        blocks.append(Box("runs_out", "Needle swings in one turn", desk.unit, Say(why), 2))
    blocks.append(
        caution("key") if holding_kind == "chuck" else caution("faceplate_clear") if holding_kind == "faceplate" else caution("carrier")
    )
    blocks.append(Check(Say("Turned once by hand: nothing touches.")))
    return [block for block in blocks if not (isinstance(block, FigureGroup) and not block.figures)]


_FIRST = {
    "centres": "Centre holes clean and greased. Carrier tight on a part that is not finished, its tail tied so that it cannot rock.",
    "mandrel": "Work pressed on the mandrel from its small end, with oil. Mandrel between clean, greased centres, its carrier tied.",
}

OPERATION = Operation(Hold, plan, on="any")
