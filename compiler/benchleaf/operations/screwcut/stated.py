"""A train or levers that the job states: do they exist, stand together, go on, and cut what is wanted?"""

from __future__ import annotations

from fractions import Fraction

from benchleaf.diagnostics import Span
from benchleaf.kinematics.evaluate import Evaluation, Stated, evaluate
from benchleaf.kinematics.levers import LeverCheck, check_levers
from benchleaf.kinematics.model import Obstacle, Problem, Setting, Train
from benchleaf.kinematics.search import search
from benchleaf.operations.context import Context
from benchleaf.operations.screwcut.machine import refs
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.operations.screwcut.words import lever_setting, plain, train_words

__all__ = ["check", "levers_blocked"]

_CODES = {
    "wheel-not-available": "train/wheel-not-owned",
    "locked-pair-apart": "train/locked-pair",
    "modules-do-not-mesh": "train/modules",
    "captive-wheel": "train/captive",
    "teeth-outside-limits": "train/teeth-limits",
    "arrangement-not-known": "train/arrangement",
    "wrong-hand": "train/wrong-hand",
}


def check(problem: Problem, step: Screwcut, wanted: Wanted, levers: Setting, context: Context) -> Train | None:
    """The train that the job states, dressed; None after an error.  Every fault of it is reported."""
    before = len(context.faults.found)
    found = evaluate(problem, Stated(refs(step.train), levers), wanted.thread.lead, hand=wanted.thread.hand)
    at = _span(step)
    for fault in found.faults:
        _wheel_fault(fault, found, problem, step, wanted, at, context)
    if not found.faults and found.obstacles:
        worst = found.obstacles[0]
        context.faults.error(
            "train/does-not-fit",
            f"the train does not go on: {_obstacle(worst)}",
            at,
            hint=_better(problem, wanted, levers),
            note="the cover stays shut when the lathe runs" if worst.id == "wheel-outside-guard" else "",
        )
    if found.levers.blocked or found.levers.unknown:
        levers_blocked(problem, step, context)
    elif found.levers_left_out:
        context.faults.error(
            "train/levers-open",
            f"the train is stated, but not where {', '.join(found.levers_left_out)} stands",
            at,
            hint="add `levers:` with a position for each",
        )
    train = found.train
    if train is not None and abs(train.error) > step.lead_limit.value:
        _wrong_lead(train, found, wanted, step, at, problem, levers, context)
    failed = any(fault.severity.value == "error" for fault in context.faults.found[before:])
    return None if failed else train


def _span(step: Screwcut) -> Span:
    first, last = step.train[0], step.train[-1]
    start = (first[0] if isinstance(first, tuple) else first).origin.span
    end = (last[-1] if isinstance(last, tuple) else last).origin.span
    return Span(start.file, start.line, start.column, end.end_line, end.end_column)


def _better(problem: Problem, wanted: Wanted, levers: Setting) -> str:
    best = search(problem, wanted.thread.lead, hand=wanted.thread.hand, levers=levers, keep=1).nearest
    if best is None:
        return "no train for this thread goes on"
    off = "" if best.error == 0 else f", out by {plain(best.error * 1_000_000, 1)} ppm"
    return f"the best train that goes on: {train_words(best)}{lever_setting(best, problem)}{off}"


def _wheel_fault(fault: Obstacle, found: Evaluation, problem: Problem, step: Screwcut, wanted: Wanted, at: Span, context: Context) -> None:
    code = _CODES[fault.id]
    levers: Setting = tuple((name, word.value) for name, word in step.levers.items())
    hint = _better(problem, wanted, levers)
    if fault.id == "wheel-not-available":
        owned = int(fault.has or 0)
        needs = int(fault.needs or 1)
        wheels, verb = "wheel" if needs == 1 else "wheels", "is" if owned == 1 else "are"
        message = f"the train wants {needs} {wheels} of {fault.teeth} teeth, {owned or 'none'} {verb} owned"
    elif fault.id == "locked-pair-apart":
        pair = next(pair for pair in found.apart if fault.teeth in (pair.a.teeth, pair.b.teeth))
        message = f"{pair.a.teeth} and {pair.b.teeth} are one piece: they sit on one stud or not at all"
    else:
        message = f"the train will not do: {_obstacle(fault)}"
    context.faults.error(code, message, at, hint=hint)


def _obstacle(fault: Obstacle) -> str:
    """An obstacle with its wheel and figures."""
    words = fault.words
    wheel = (
        f"the {fault.teeth}-tooth wheel{f' ({fault.place.value.replace(chr(95), chr(32))})' if fault.place else ''}: "
        if fault.teeth
        else ""
    )
    against = f" {fault.against}" if fault.against else ""
    figures = ""
    if fault.has is not None and fault.needs is not None:
        needs, has = (plain(Fraction(value).limit_denominator(10**6), 2) for value in (fault.needs, fault.has))
        figures = f" (needs {needs}, there is {has})"
    return f"{wheel}{words}{against}{figures}"


def _wrong_lead(
    train: Train, found: Evaluation, wanted: Wanted, step: Screwcut, at: Span, problem: Problem, levers: Setting, context: Context
) -> None:
    note = ""
    if found.idlers:
        teeth = " and ".join(str(item.wheel.teeth) for item in found.idlers)
        note = f"{teeth} stands alone between two others: it bridges the gap and turns the direction, and never changes the ratio"
    context.faults.error(
        "train/wrong-lead",
        f"this train cuts a lead of {plain(train.lead, 5)} mm, {plain(wanted.thread.lead, 5)} mm is wanted",
        at,
        f"out by {plain(train.error * 1_000_000, 0)} ppm, the limit is {step.lead_limit.text}",
        note=note,
        hint=_better(problem, wanted, levers),
    )


def levers_blocked(problem: Problem, step: Screwcut, context: Context) -> None:
    """Levers that the job asks for and that cannot stand together; that they exist has been checked with the files."""
    levers: Setting = tuple((name, word.value) for name, word in step.levers.items())
    checked: LeverCheck = check_levers(problem, levers)
    words = list(step.levers.values())
    at = words[0] if words else step.tool
    for entry in checked.blocked or ((),):
        pair = " with ".join(f"{name} {position}" for name, position in entry) or "these positions"
        same = "; ".join(", ".join(f"{name} {position}" for name, position in setting) for setting in checked.same_ratio[:1])
        context.faults.error(
            "train/levers-blocked",
            f"the interlock excludes {pair}",
            at,
            hint=f"the same ratio: {same}" if same else "choose other positions, or leave the key out and have them worked out",
        )
