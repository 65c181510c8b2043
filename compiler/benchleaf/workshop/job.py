"""A job: a blank, and what to do to it."""

from __future__ import annotations

from benchleaf.record import record
from benchleaf.source.node import Node
from benchleaf.workshop.values import Distance, Length, Link, Origin, Text, Word

__all__ = ["Blank", "Held", "Job", "Step"]


@record
class Blank:
    """The workpiece before the first step: a round of ``outside``, or a block of ``width`` and ``height``; its length either way."""

    origin: Origin
    outside: Length | None
    bore: Length | None
    length: Length | None
    width: Length | None = None
    height: Length | None = None


@record
class Held:
    """How the work is held: the name of one of the machine's ways of holding, what stands out of it front and
    back, and what supports the free end ('nothing', 'tailstock', 'fixed steady', 'travelling steady')."""

    origin: Origin
    by: Text
    stands_out: Length | None
    behind_spindle: Distance | None
    supported_by: Text


@record
class Step:
    """One step: the operation by its name in the language, and what the job says about it, its defaults filled in.

    What an operation takes is the operation's own affair: it builds its model from ``node``.
    """

    origin: Origin
    operation: Text
    node: Node

    @classmethod
    def from_node(cls, node: Node, path: str) -> Step:
        """A step from its validated map of one key."""
        (key, value), *_ = node.items
        return cls(Origin(path, node.span), Word(key.text, Origin(f"{path}.{key.text}", key.span)), value)


@record
class Job:
    """One part to be made."""

    origin: Origin
    name: Text
    part: Text | None
    note: Text | None
    machine: Link
    tooling: tuple[Link, ...]
    material: Link
    blank: Blank
    held: Held
    missing_steps: Text
    steps: tuple[Step, ...]
