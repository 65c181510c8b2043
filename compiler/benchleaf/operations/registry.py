"""Operations by name: the name is the key in the job file, the module bears it, and the schema of its step too.

Nothing is listed here.  ``schemas/job.schema.json`` names the steps that a job may hold; the module ``benchleaf.operations.<name>``
(hyphens as underscores) has an :class:`Operation` called ``OPERATION``, and is imported when a job first asks for it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import Any, Generic, TypeVar

from benchleaf.operations.context import Context
from benchleaf.record import record
from benchleaf.sheet.model import Section
from benchleaf.source.shapes import schema_of

__all__ = ["Operation", "names", "operation"]

M = TypeVar("M")


@record
class Operation(Generic[M]):
    """What an operation is made of.

    ``model`` is the frozen model of its step (its fields are the keys of its schema).  ``plan`` checks the step against machine, tools
    and the work as it stands, tells the work what was cut, and returns the section, or None when faults leave nothing true to print.
    ``needs``, if given, returns the steps that must go before and are missing, each as (name of its operation, model); they are planned
    when the job allows it.  ``on`` is the kind of machine it is done on ('lathe', 'shaper' or 'any').
    """

    model: type[M]
    plan: Callable[[M, Context], Section | None]
    needs: Callable[[M, Context], list[tuple[str, Any]]] | None = None
    on: str = "lathe"


@cache
def names() -> tuple[str, ...]:
    """Every operation that a job may name, in the order of the schema."""
    return tuple(schema_of("job")["properties"]["steps"]["items"]["properties"])


@cache
def operation(name: str) -> Operation[Any]:
    """The operation of that name.  Raises ModuleNotFoundError or AttributeError when the schema names one that is not there."""
    found: Operation[Any] = import_module(f"benchleaf.operations.{name.replace('-', '_')}").OPERATION
    return found
