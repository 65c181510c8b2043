"""What to do, in order, in the words of the shop; and the cautions that this particular job calls for."""

from __future__ import annotations

from benchleaf.kinematics.swap import swap_list
from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk
from benchleaf.operations.screwcut.cutting import Cutting
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.half_nuts import half_nut_words
from benchleaf.operations.screwcut.model import Ending, Screwcut
from benchleaf.operations.screwcut.speed import runs_to_headstock
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.operations.screwcut.words import LETTERS, lever_words
from benchleaf.sheet.model import Block, Caution, Check, Say, Steps

__all__ = ["before_cutting", "cautions", "change_wheels", "cutting_steps"]


def change_wheels(gearing: Gearing, wanted: Wanted, step: Screwcut, context: Context) -> list[Block]:
    """The swap from what is mounted, wheel by wheel; or the whole train where the profile does not say what is mounted."""
    train, problem = gearing.train, gearing.problem
    last = len(train.axes) - 1
    names = {0: "the headstock stud", last: "the gearbox input" if context.lathe.gearbox else "the leadscrew"}

    def place(axis: int) -> str:
        return names.get(axis, "the banjo stud" if last == 2 else f"banjo stud {axis}")

    letters = iter(LETTERS)
    on = {axis: [f"{next(letters)} {item.wheel.teeth}" for item in items] for axis, items in enumerate(train.axes)}
    steps: list[str] = []
    if problem.mounted is None:
        steps.append(
            "Put on "
            + "; ".join(
                f"{' inside and '.join(words)}{' outside' if len(words) == 2 else ''} on {place(axis)}" for axis, words in on.items()
            )
            + "."
        )
    else:
        changes = swap_list(problem.mounted, train)
        off = [f"{change.teeth} from {place(change.axis)}" for change in changes if change.action == "off"]
        add = [
            f"{on[change.axis][0 if change.row == 'inner' else 1]} on {place(change.axis)}{', outside' if change.row == 'outer' else ''}"
            for change in changes
            if change.action == "on"
        ]
        steps += [f"Take off {'; '.join(off)}."] if off else []
        steps += [f"Put on {'; '.join(add)}."] if add else []
        if not changes:
            steps.append("The wheels are on already: count the teeth to be sure.")
        moved = [f"{name} to {position}" for name, position in lever_words(train, problem) if name in train.lever_moves]
        if moved:
            steps.append(f"At rest, move {', '.join(moved)}.")
    if problem.tumbler:
        way = "towards" if runs_to_headstock(step, wanted) else "away from"
        turning = "in reverse" if step.stop_by.value == "outwards" else "forward"
        steps.append(f"Tumbler so that the saddle moves {way} the headstock with the spindle {turning}.")
    steps.append("Mesh with a strip of paper between the teeth, nip up, turn the spindle by hand through a full turn, shut the cover.")
    return [Steps("Change wheels", tuple(Say(words) for words in steps))]


def before_cutting(desk: Desk, wanted: Wanted, gearing: Gearing, step: Screwcut, context: Context) -> list[Block]:
    """Checks that are made with the work in place and nothing cut yet."""
    blank = "{blank_bore}" if wanted.inside else "{blank_diameter}"
    what = "bore" if wanted.inside else "blank"
    checks = [
        Check(Say(f"Measure the {what}: {blank}. Write it down; the infeed is reckoned from it.")),
        Check(Say("Tool on centre height and square to the work with a thread gauge.")),
        Check(Say("Scratch pass: touch on lightly, run the length, stop. {scratch_turns} must span {scratch_check}.")),
    ]
    if isinstance(step.ends_in, Ending) and step.ends_in.relief is not None:
        checks.insert(1, Check(Say("Relief: {relief} wide, {relief_limit}.")))
    if wanted.inside:
        checks.append(Check(Say("Mark the bar for depth: the holder must not meet the face.")))
    return list(checks)


def cutting_steps(desk: Desk, wanted: Wanted, gearing: Gearing, cut: Cutting, step: Screwcut, context: Context) -> list[Block]:
    """One pass from start to finish, and what to do between starts."""
    toward = runs_to_headstock(step, wanted)
    spindle = "in reverse, tool upside down" if step.stop_by.value == "outwards" else "forward"
    start = "clear of the end of the work" if toward else "in the relief, at the headstock end"
    stop = "in the relief" if isinstance(step.ends_in, Ending) and step.ends_in.relief else "at the end of the thread"
    if not toward:
        stop = "clear of the free end"
    back = {
        "any": "Draw the tool out, open the half-nuts, wind the saddle back, close them anywhere.",
        "marks": f"Draw the tool out, open the half-nuts, wind back, {half_nut_words(gearing.half_nuts)}.",
        "never": "Draw the tool out, let the spindle stop, reverse it until the tool is well past the start, to take up backlash. "
        "Half-nuts stay closed.",
    }[gearing.half_nuts.rule]
    by_hand = step.stop_by.value == "hand"
    steps = [
        f"Tool {start}, dial on the next reading, always turned in the same way.",
        f"Spindle {'by hand, ' if by_hand else ''}{spindle}: cut, and stop {stop}.",
        back,
        "After the last reading take the spring passes without feeding, until nothing comes off.",
    ]
    if wanted.thread.starts > 1:
        steps.append("Cut each start to the same reading before going deeper: {start_indexing}.")
    return [Steps("Each pass", tuple(Say(words) for words in steps))]


def cautions(wanted: Wanted, gearing: Gearing, step: Screwcut, context: Context) -> list[Caution]:
    """The cautions that apply here, and no others."""
    by_hand, outwards = step.stop_by.value == "hand", step.stop_by.value == "outwards"
    goes_back = gearing.half_nuts.rule == "never" and not by_hand
    warned = {fault.code for fault in context.faults.found}
    applies = {
        "nose_rev": context.lathe.spindle.nose.fixing.value == "screwed" and goes_back,
        "bar_behind": "holding/bar-tail" in warned,
        "reverse_outwards": outwards,
        "thread_by_hand": by_hand,
        "cover": True,
        "key": context.holding is not None and context.holding.kind.value == "chuck",
        "thread_rag": True,
        "measure": True,
        "eyes": True,
        "thread_up_gear": "train/up-geared" in warned,
        "thread_stop": not by_hand and (isinstance(step.ends_in, Ending) or step.ends_in.value == "shoulder"),
        "thread_int": wanted.inside,
    }
    return [caution(name) for name, here in applies.items() if here]
