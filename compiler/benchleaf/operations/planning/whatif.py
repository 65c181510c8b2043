"""The machine with a wheel lost or a lever stuck: what is left of it, and which threads go with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from benchleaf.diagnostics import Diagnostic, close_matches
from benchleaf.kinematics.levers import TooManySettingsError, allowed_drives
from benchleaf.kinematics.model import Problem
from benchleaf.kinematics.wheels import Wheel, matches
from benchleaf.operations.chart.grouping import Target

__all__ = ["WhatIf", "faults_of", "less"]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Wheels lost (tooth counts, a count for each copy) and levers stuck; ``whole`` are the targets that the machine cuts as it should
    be."""

    without: tuple[int, ...] = ()
    stuck: tuple[tuple[str, str], ...] = ()
    whole: frozenset[Target] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.without or self.stuck)

    @property
    def words(self) -> str:
        """'without the 45 and with lever A stuck at 2'."""
        parts = [f"without the {teeth}" for teeth in self.without] + [f"with {name} stuck at {at}" for name, at in self.stuck]
        return " and ".join(parts)

    def lost(self, missing: Iterable[Target]) -> frozenset[Target]:
        """Of the targets that are not cut those that the whole machine cuts."""
        return frozenset(missing) & self.whole


def faults_of(problem: Problem, what_if: WhatIf) -> list[Diagnostic]:
    """Wheels that are not owned and levers that are not there."""
    found = []
    for teeth in dict.fromkeys(what_if.without):
        owned = sum(wheel.copies for wheel in problem.wheels if wheel.teeth == teeth)
        asked = what_if.without.count(teeth)
        if asked > owned:
            there = ", ".join(str(known) for known in sorted({wheel.teeth for wheel in problem.wheels}))
            often = f"{asked} wheels of {teeth} teeth are" if asked > 1 else f"a wheel of {teeth} teeth is"
            has = f"there are {owned}" if owned > 1 else "there is one" if owned else "there is none"
            hint = (f"the box holds {there}",)
            found.append(Diagnostic("path/wheel-not-owned", f"{often} to be left out, and {has} in the box", hints=hint))
    levers = _positions(problem)
    known_so_far: dict[str, str] = {}
    for name, at in what_if.stuck:
        if name not in levers:
            close = close_matches(name, list(levers))
            hint = (f"did you mean `{close[0]}`?" if close else _there(levers),)
            found.append(Diagnostic("path/lever", f"this lathe has no lever `{name[:60]}`", hints=hint))
        elif at not in levers[name]:
            hint = (f"its positions are {', '.join(levers[name])}",)
            found.append(Diagnostic("path/lever-position", f"lever `{name}` has no position `{at[:60]}`", hints=hint))
        elif known_so_far.setdefault(name, at) != at:
            found.append(Diagnostic("path/lever-position", f"lever `{name}` is said to be stuck at `{known_so_far[name]}` and at `{at}`"))
    if not found and what_if.stuck:
        try:
            free = bool(allowed_drives(less(problem, what_if)))
        except TooManySettingsError:
            free = True
        if not free:
            at = " and ".join(f"`{name}` at `{position}`" for name, position in what_if.stuck)
            hints = ("look at `forbidden` in the lathe's gearbox",)
            found.append(Diagnostic("path/levers-blocked", f"an interlock leaves no setting with {at}", hints=hints))
    return found


def _there(levers: dict[str, list[str]]) -> str:
    return f"its levers are {', '.join(levers)}" if levers else "it has no lever that decides the lead"


def _positions(problem: Problem) -> dict[str, list[str]]:
    levers: dict[str, list[str]] = {}
    if problem.headstock:
        levers[problem.headstock_lever] = [item.position for item in problem.headstock]
    for lever in problem.gearbox.levers:
        levers[lever.name] = [name for name, _ in lever.positions]
    for row in problem.gearbox.rows:
        for name, at in row.levers:
            positions = levers.setdefault(name, [])
            if at not in positions:
                positions.append(at)
    return levers


def less(problem: Problem, what_if: WhatIf) -> Problem:
    """The machine without these wheels and with these levers where they are stuck.

    A loose copy goes first; a wheel that is one piece with another takes that along.
    """
    for teeth in what_if.without:
        problem = _without(problem, teeth)
    for name, at in what_if.stuck:
        problem = _stuck(problem, name, at)
    return problem


def _without(problem: Problem, teeth: int) -> Problem:
    halves = [ref for pair in problem.locked_pairs for ref in (pair.a, pair.b)]
    for number, wheel in enumerate(problem.wheels):
        alike = sum(other.copies for other in problem.wheels if (other.teeth, other.module) == (teeth, wheel.module))
        if wheel.teeth == teeth and alike > sum(matches(ref, wheel) for ref in halves):
            return replace(problem, wheels=_fewer(problem, number))
    pair = next((pair for pair in problem.locked_pairs if teeth in (pair.a.teeth, pair.b.teeth)), None)
    if pair is None:
        return problem
    for ref in (pair.a, pair.b):
        number = next(number for number, wheel in enumerate(problem.wheels) if matches(ref, wheel))
        problem = replace(problem, wheels=_fewer(problem, number))
    pairs = list(problem.locked_pairs)
    pairs.remove(pair)
    return replace(problem, locked_pairs=tuple(pairs))


def _fewer(problem: Problem, number: int) -> tuple[Wheel, ...]:
    rows = list(problem.wheels)
    rows[number] = replace(rows[number], copies=rows[number].copies - 1)
    return tuple(row for row in rows if row.copies)


def _stuck(problem: Problem, name: str, at: str) -> Problem:
    if problem.headstock and name == problem.headstock_lever:
        problem = replace(problem, headstock=tuple(item for item in problem.headstock if item.position == at))
    box = problem.gearbox
    levers = tuple(
        replace(lever, positions=tuple(item for item in lever.positions if item[0] == at)) if lever.name == name else lever
        for lever in box.levers
    )
    rows = tuple(row for row in box.rows if dict(row.levers).get(name, at) == at)
    mounted = problem.mounted
    if mounted is not None:
        mounted = replace(mounted, levers=tuple((lever, at if lever == name else stands) for lever, stands in mounted.levers))
    return replace(problem, gearbox=replace(box, levers=levers, rows=rows), mounted=mounted)


