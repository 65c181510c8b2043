"""Names that a job uses, among those that machine and drawers have."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol, TypeVar

from benchleaf.operations.context import Context
from benchleaf.workshop.checks import choices, named
from benchleaf.workshop.values import Word

__all__ = ["Named", "pick"]


class Named(Protocol):
    """Anything of a drawer or machine that has a name."""

    @property
    def name(self) -> Word: ...  # noqa: D102


N = TypeVar("N", bound=Named)


def pick(wanted: Word, owned: Iterable[N], what: str, code: str, context: Context) -> N | None:
    """The one that the job names, or None with a diagnostic; ``what`` is the plural, such as 'reamers'."""
    known: Sequence[N] = tuple(owned)
    found = next((item for item in known if item.name.value == wanted.value), None)
    if found is None:
        hints = choices(wanted.value, [item.name.value for item in known], what)
        context.faults.error(code, f"none of the {what} is called {named(wanted.value)}", wanted, hint=hints[0])
    return found
