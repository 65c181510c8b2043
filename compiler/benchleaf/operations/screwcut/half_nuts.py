"""The half-nuts of one thread: the rule in words, and what the job asks of them."""

from __future__ import annotations

from benchleaf.kinematics.half_nuts import HalfNutRule
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, Value, basis, length_text, source
from benchleaf.operations.screwcut.model import Screwcut

__all__ = ["check_wish", "half_nut_figure", "half_nut_words"]


def half_nut_figure(desk: Desk, rule: HalfNutRule, context: Context) -> None:
    """Write down the rule, and which wheel of the thread dial it holds for."""
    value = {"any": "anywhere", "marks": "marks", "never": "never"}[rule.rule]
    inputs: tuple[Value | str, ...] = ("lead_actual", context.lathe.leadscrew.lead)
    if rule.dial is not None:
        inputs = (*inputs, *(row.teeth for row in context.lathe.half_nuts.thread_dials if row.teeth.value == rule.dial.teeth))
    leads = "lead" if rule.a == 1 else "leads"
    formula = f"lead cut / leadscrew lead = {rule.a}/{rule.b} in lowest terms: the saddle may slip by {rule.a} leadscrew {leads} only"
    words = half_nut_words(rule)
    figure = basis(formula, inputs, source("arithmetic of the thread dial", "derived"))
    desk.words("half_nuts", "Half-nuts", value, figure, also=words)
    if rule.dial is not None:
        desk.words(
            "dial_wheel",
            "Thread dial wheel",
            f"{rule.dial.teeth} teeth",
            basis("the dial wheel that offers a mark again soonest", inputs, source("arithmetic of the thread dial", "derived")),
        )


def half_nut_words(rule: HalfNutRule) -> str:
    """The rule as a short sentence."""
    if rule.rule == "any":
        return "open and close anywhere"
    if rule.rule == "never" or rule.dial is None:
        return "keep closed, return in reverse"
    if rule.every == 1:
        return f"close on any of the {rule.dial.marks} marks"
    if len(rule.marks) == 1:
        return "close only on the mark the first cut was started on"
    return f"close on every {_ordinal(rule.every)} mark, counted from the one the first cut was started on"


def _ordinal(number: int) -> str:
    return f"{number}{'th' if 10 <= number % 100 <= 20 else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def check_wish(rule: HalfNutRule, step: Screwcut, context: Context) -> None:
    """What the job says about the half-nuts against what the lead allows."""
    wish = step.half_nuts.value
    opens = wish in ("open at any mark", "open anywhere")
    words = half_nut_words(rule)
    if not opens:
        return
    if not context.lathe.half_nuts.fitted.value:
        context.faults.error(
            "half-nuts/none",
            "the job opens the half-nuts, this lathe has none",
            step.half_nuts,
            related=((context.lathe.half_nuts.fitted, "said here"),),
        )
    elif rule.rule == "never":
        context.faults.error(
            "half-nuts/never",
            "the half-nuts must stay closed for this thread: once open they never drop back into it",
            step.half_nuts,
            hint="write `half-nuts: keep closed`, or leave the key out",
            note=f"lead / leadscrew lead = {rule.a}/{rule.b}: in step again only after "
            f"{length_text(rule.common_multiple, context.system, 'rule')}, which no dial wheel here shows",
        )
    elif rule.rule == "marks" and (wish == "open anywhere" or rule.every > 1):
        context.faults.warning(
            "half-nuts/not-every-mark",
            f"not every place will do: {words}",
            step.half_nuts,
            hint="leave the key out, and the sheet gives the marks",
            note=f"lead / leadscrew lead = {rule.a}/{rule.b}: the saddle may slip by {rule.a} leads only; "
            "'even threads, any mark' is folklore",
        )
