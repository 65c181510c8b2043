"""What a chart is asked for: one machine, the threads by list, the limit on the lead, and what is cut."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.chart.grouping import Target
from benchleaf.operations.desk import Faults
from benchleaf.standards.threads import DesignationError, Thread, known_sets, parse_designation
from benchleaf.workshop.inputs import LatheInputs
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.values import Text

__all__ = ["Asked", "Wish", "named_set", "own_list", "set_named"]


@dataclass(frozen=True, slots=True)
class Wish:
    """A thread to have on the chart, the name of the list it is from, and where it was written (None for a built-in list)."""

    thread: Thread
    of: str
    at: Text | None = None

    @property
    def target(self) -> Target:
        """What it asks of the gear train."""
        return self.thread.lead, self.thread.hand


@dataclass(frozen=True, slots=True)
class Asked:
    """A chart to make.  ``limit`` is the largest |error| of a lead, a share; ``material`` is a row of the table of cutting speeds and
    ``tool`` a column of it; ``name`` is the sheet's."""

    machine: LatheInputs
    wishes: tuple[Wish, ...]
    limit: Fraction
    material: str
    tool: str
    name: str

    @property
    def lists(self) -> tuple[str, ...]:
        """Names of the lists, in order."""
        return tuple(dict.fromkeys(wish.of for wish in self.wishes))


def set_named(name: str) -> str | None:
    """The built-in list that is meant, whatever its capitals; None when there is none."""
    folded = " ".join(name.casefold().replace("-", " ").replace("_", " ").split())
    return next((known for known in known_sets() if known.casefold() == folded), None)


def named_set(name: str) -> tuple[Wish, ...]:
    """The threads of a built-in list.  Raises KeyError when there is none of that name."""
    return tuple(Wish(parse_designation(designation), name) for designation in known_sets()[name])


def own_list(threads: ThreadList, faults: Faults) -> tuple[Wish, ...]:
    """The threads of a list of the owner's; those that cannot be read become faults at their words."""
    return tuple(_read(threads.threads, threads.name.value, faults))


def _read(designations: Iterable[Text], name: str, faults: Faults) -> Iterable[Wish]:
    for word in designations:
        try:
            yield Wish(parse_designation(word.value), name, word)
        except DesignationError as error:
            faults.error("thread/designation", error.message, word, hint=error.hint)
