"""Which tool of the drawers does a step: the one that the job names, or the first that suits."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchleaf.operations.context import Context
from benchleaf.operations.names import N, pick
from benchleaf.operations.work import Made
from benchleaf.workshop.values import Word

__all__ = ["find"]


def find(
    wanted: Word | None,
    owned: Sequence[N],
    suits: Callable[[N], str],
    what: str,
    at: Made,
    context: Context,
    *,
    best: Callable[[N], object] | None = None,
) -> N | None:
    """The tool for a step.  ``suits`` says why a tool will not do, '' when it will; ``what`` is the plural for messages ('boring bars').

    A named tool that will not do is an error at its name; without a name the one that ``best`` ranks lowest among those that suit is
    taken, and having none is an error at ``at`` which says why each will not do.
    """
    if wanted is not None:
        tool = pick(wanted, owned, what, "tool/unknown", context)
        why = suits(tool) if tool is not None else ""
        if tool is not None and why:
            others = [item.name.value for item in owned if not suits(item)]
            hint = f"would do: {', '.join(others[:5])}" if others else f"none of the {what} that are owned would do"
            context.faults.error("tool/unsuited", f"{tool.name.value} will not do: {why}", wanted, hint=hint)
            return None
        return tool
    fit = [item for item in owned if not suits(item)]
    if fit:
        return min(fit, key=best) if best is not None else fit[0]  # type: ignore[arg-type]
    reasons = "; ".join(f"{item.name.value}: {suits(item)}" for item in owned[:4])
    context.faults.error(
        "tool/none",
        f"none of the {what} that are owned will do this",
        at,
        hint=f"add one to a drawer, or change the step ({reasons})" if reasons else f"no {what} are in the drawers: add one",
    )
    return None
