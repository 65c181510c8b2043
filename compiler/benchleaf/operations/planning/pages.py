"""The plan on paper: set-ups in order, what is not cut, what was lost, which wheels would mend it, and what is proved of all this."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.kinematics.model import Problem
from benchleaf.operations.cautions import closing
from benchleaf.operations.chart import Asked
from benchleaf.operations.chart.heading import asked_figures, machine_figures, start, surface_figure
from benchleaf.operations.chart.missing import not_cut
from benchleaf.operations.chart.rows import Alike, still_levers
from benchleaf.operations.chart.set_ups import entries, set_ups
from benchleaf.operations.desk import Desk, basis, source
from benchleaf.operations.planning.adding import Choice
from benchleaf.operations.planning.adding_page import wheels_to_add
from benchleaf.operations.planning.plan import Plan
from benchleaf.operations.planning.whatif import WhatIf
from benchleaf.sheet.model import FigureGroup, Say, Section, Sheet, Source, Status, Weight

__all__ = ["Planned", "plan_sheet"]

_RULE = "the fewest set-ups that cut the list within the limit, and of these the fewest wheels moved"
_PROGRAMMING = source("integer programming", "derived")
_EVERY_ORDER = source("every order and every train gone through in whole numbers", "derived")
_COMMAND = Source("the command line", Status.OWNER)
_FIGURES = ("leadscrew", "levers", "mounted", "limit", "threads", "set_ups", "changes", "surface", "lists")


@dataclass(frozen=True, slots=True)
class Planned:
    """What was worked out: the plan, what was left out of the machine, and the wheels that might be added (when asked for)."""

    plan: Plan
    what_if: WhatIf
    choices: tuple[Choice, ...] | None = None


def plan_sheet(asked: Asked, planned: Planned, problem: Problem) -> Sheet:
    """The sheet.  ``problem`` is the machine as it was planned for."""
    lathe = asked.machine.lathe
    grouping = planned.plan.grouping
    rows = entries(asked, grouping)
    alike = Alike(problem, [entry for of_group in rows for entry in of_group])
    desk = Desk(lathe.system.value)
    levers = still_levers(desk, asked, alike)
    sections = [_if(start(rowwise=False, inexact=alike.inexact, levers=levers), planned.what_if)]
    sections += set_ups(asked, alike, grouping, rows, _RULE)
    if planned.what_if:
        sections.append(_lost(asked, planned))
    if grouping.missing:
        sections.append(not_cut(asked, problem, grouping))
    if planned.choices is not None:
        sections.append(wheels_to_add(asked, problem, grouping.missing.keys(), planned.choices))
    sections.append(_about(desk, asked, planned))
    return Sheet(
        id=asked.name,
        title=f"Plan of wheels on the {lathe.name.value}",
        subtitle=", ".join(asked.lists),
        machine=lathe.name.value,
        material=f"{asked.material}, {asked.tool}",
        sections=tuple(sections),
        closing=closing(),
    )


def _if(section: Section, what_if: WhatIf) -> Section:
    if not what_if:
        return section
    said = Say(f"This plan holds {what_if.words}.")
    return Section(section.id, section.kind, section.title, section.subtitle, (*section.blocks, said))


def _lost(asked: Asked, planned: Planned) -> Section:
    """What the machine as it should be would cut, and this one does not."""
    desk = Desk(asked.machine.lathe.system.value)
    lost = [wish for wish in asked.wishes if wish.target in planned.what_if.lost(planned.plan.grouping.missing)]
    whole = planned.what_if.whole
    said = sum(wish.target in whole for wish in asked.wishes)
    why = basis("threads of the list that the whole set cuts within the limit", ("chart.limit", "chart.lists"), _EVERY_ORDER)
    desk.number("whole", "With the whole set", Fraction(said), "", str(said), why)
    why = basis("threads that the whole set cuts within the limit and what is left does not", ("whole", "chart.threads"), _EVERY_ORDER)
    desk.number("lost", "Lost", Fraction(len(lost)), "", str(len(lost)), why)
    if lost:
        why = basis("those that stand below with the reason, and that the whole set cuts", ("lost",), _EVERY_ORDER)
        desk.words("which", "They are", ", ".join(wish.thread.designation for wish in lost), why)
    blocks = tuple(FigureGroup("", figures) for figures in (desk.pick("whole", "lost"), desk.pick("which")) if figures)
    return Section("lost", "chart", f"Lost {planned.what_if.words}", "", blocks)


def _about(desk: Desk, asked: Asked, planned: Planned) -> Section:
    plan, grouping = planned.plan, planned.plan.grouping
    machine_figures(desk, asked.machine.lathe)
    asked_figures(desk, asked)
    surface_figure(desk, asked)
    cut = sum(wish.target not in grouping.missing for wish in asked.wishes)
    why = basis("threads of the lists that are cut within the limit", ("lists", "limit"), _EVERY_ORDER)
    desk.number("threads", "Threads in the plan", Fraction(cut), "", str(cut), why, also=f"of {len(asked.wishes)}")
    number, changes = len(grouping.groups), grouping.changes
    proof = "no choice has fewer" if plan.fewest_proved else f"no choice has fewer than {plan.least}"
    why = basis(f"sets of wheels of which each thread has one within the limit; {proof}", ("threads", "limit"), _PROGRAMMING)
    desk.number("set_ups", "Set-ups", Fraction(number), "", str(number), why)
    begin = ("mounted",) if "mounted" in desk else ()
    proof = "no plan with so few set-ups moves fewer" if plan.moved_proved else f"no plan can move fewer than {plan.least_moved}"
    why = basis(f"wheels taken off and wheels put on, from the first set-up to the last; {proof}", ("set_ups", *begin), _EVERY_ORDER)
    desk.number("changes", "Wheels off and on in all", Fraction(changes), "", str(changes), why)
    blocks = (Say(" ".join(_proofs(plan, bool(begin)))), FigureGroup("", desk.pick(*_FIGURES), Weight.KNOW))
    return Section("chart", "chart", "How this plan was made", "", blocks)


def _proofs(plan: Plan, mounted: bool) -> Iterator[str]:
    yield "First the fewest set-ups that cut the list within {limit}, levers alone in between; then the fewest wheels off and on"
    yield "from what is mounted, {mounted}, to the last." if mounted else "from the first set-up to the last; what is mounted is not said."
    if plan.fewest_proved:
        yield "Proved: with fewer set-ups than {set_ups} some thread is out of the limit."
    else:
        yield f"Not proved that fewer than {{set_ups}} set-ups will not do: fewer than {plan.least} will not."
    if plan.moved_proved:
        yield "Proved: no other choice of so few set-ups, train or order moves fewer wheels than {changes}."
    else:
        yield f"Not proved that fewer than {{changes}} wheels can be moved: fewer than {plan.least_moved} cannot."
    yield "Each thread stands with the set-up that errs least for it."


