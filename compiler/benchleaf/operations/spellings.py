"""Words in profiles that name something in a published table: threads of taps, dies, gauges and lists, groups of materials.

They are looked up when a job uses them; here they are looked up whether or not one does, so that a slip is told when the file is checked.
"""

from __future__ import annotations

from collections.abc import Iterable

from benchleaf.diagnostics import Diagnostic
from benchleaf.operations.desk import Faults
from benchleaf.operations.materials import group_known
from benchleaf.standards.threads import DesignationError, parse_designation
from benchleaf.workshop.material import Material
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.tooling import Tooling
from benchleaf.workshop.values import Text

__all__ = ["check_spellings"]


def check_spellings(models: Iterable[object]) -> list[Diagnostic]:
    """Faults at words that no table knows, in the models of files that were read."""
    faults = Faults([])
    for model in models:
        match model:
            case Material():
                group_known(model.group, faults)
            case ThreadList():
                _threads(model.threads, faults)
            case Tooling():
                _threads([item.thread for item in (*model.taps, *model.dies)], faults)
                _threads([item.thread for item in model.thread_gauges], faults)
    return faults.found


def _threads(words: Iterable[Text], faults: Faults) -> None:
    for word in words:
        try:
            parse_designation(word.value)
        except DesignationError as error:
            faults.error("thread/designation", error.message, word, hint=error.hint)
