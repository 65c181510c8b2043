"""Choices between yes and no under linear conditions: integer programming by HiGHS, its answers checked in whole numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, inf

import highspy

__all__ = ["Condition", "Solution", "minimise"]

_ROUND = 1e-6


@dataclass(frozen=True, slots=True)
class Condition:
    """Sum of weight x choice (0 or 1) lies between ``least`` and ``most`` (None: open)."""

    weights: Mapping[int, int]
    least: int | None = None
    most: int | None = None

    def holds(self, chosen: frozenset[int]) -> bool:
        """Does it hold, in whole numbers?"""
        total = sum(weight for at, weight in self.weights.items() if at in chosen)
        return (self.least is None or total >= self.least) and (self.most is None or total <= self.most)


@dataclass(frozen=True, slots=True)
class Solution:
    """``chosen`` are the choices made, ``cost`` theirs; no choice can cost less than ``bound``."""

    chosen: frozenset[int]
    cost: int
    bound: int

    @property
    def proved(self) -> bool:
        """Is nothing cheaper possible?"""
        return self.cost <= self.bound


def minimise(costs: Sequence[int], conditions: Sequence[Condition], seconds: int = 30) -> Solution | None:
    """The cheapest choice that meets all conditions; None when there is none, or none was found in time (:class:`TimeoutError`).

    Raises TimeoutError when the time runs out before any choice was found.
    """
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("time_limit", float(seconds))
    solver.setOptionValue("random_seed", 1)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.5)  # costs are whole numbers
    solver.passModel(_model(costs, conditions))
    solver.run()
    status = solver.getModelStatus()
    if status in (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kUnboundedOrInfeasible):
        return None
    values = list(solver.getSolution().col_value)
    chosen = frozenset(at for at, value in enumerate(values) if value > 0.5)
    if len(values) != len(costs) or not all(condition.holds(chosen) for condition in conditions):
        raise TimeoutError("no choice was found in the time allowed")
    cost = sum(costs[at] for at in chosen)
    dual = solver.getInfo().mip_dual_bound
    bound = cost if status == highspy.HighsModelStatus.kOptimal else ceil(max(dual, 0) - _ROUND) if abs(dual) < inf else 0
    return Solution(chosen, cost, min(bound, cost))


def _model(costs: Sequence[int], conditions: Sequence[Condition]) -> highspy.HighsLp:
    model = highspy.HighsLp()
    number = len(costs)
    model.num_col_, model.num_row_ = number, len(conditions)
    model.col_cost_ = [float(cost) for cost in costs]
    model.col_lower_, model.col_upper_ = [0.0] * number, [1.0] * number
    model.row_lower_ = [-highspy.kHighsInf if c.least is None else float(c.least) for c in conditions]
    model.row_upper_ = [highspy.kHighsInf if c.most is None else float(c.most) for c in conditions]
    model.integrality_ = [highspy.HighsVarType.kInteger] * number
    starts, index, value = [0], [], []
    for condition in conditions:
        index += list(condition.weights)
        value += [float(weight) for weight in condition.weights.values()]
        starts.append(len(index))
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = starts, index, value
    return model
