"""The plan for a list of threads: the fewest set-ups of wheels, in the order that moves the fewest, with what is proved of it.

``work_out`` does everything for one lathe: the plan, what a lost wheel or a stuck lever costs, and which wheels would mend what is not cut.
"""

from __future__ import annotations

from benchleaf.operations.chart import Asked
from benchleaf.operations.planning.adding import choices
from benchleaf.operations.planning.pages import Planned, plan_sheet
from benchleaf.operations.planning.plan import can_cut, plan
from benchleaf.operations.planning.whatif import WhatIf, faults_of, less
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.sheet.model import Sheet

__all__ = ["Asked", "WhatIf", "faults_of", "problem_of", "work_out"]


def work_out(asked: Asked, what_if: WhatIf, add: int = 0) -> Sheet:
    """The sheet of one lathe; ``add``: up to how many wheels may be added, 0 when that is not asked.

    The what-if must be sound (:func:`faults_of`).  Raises ValueError when no thread is asked for.
    """
    if not asked.wishes:
        raise ValueError("a plan without threads")
    targets = [wish.target for wish in asked.wishes]
    whole = problem_of(asked.machine)
    problem = less(whole, what_if)
    if what_if:
        what_if = WhatIf(what_if.without, what_if.stuck, can_cut(whole, targets, asked.limit))
    found = plan(problem, targets, asked.limit)
    prices = {row.teeth.value: row.price.value for gears in asked.machine.gear_sets for row in gears.prices}
    mending = choices(problem, list(found.grouping.missing), asked.limit, add, prices) if add else None
    return plan_sheet(asked, Planned(found, what_if, mending), problem)
