"""What heads the sheet of a job of several steps: the part as it will be, the steps in order, the blank and how it is held."""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.part_sketches import part_drawing
from benchleaf.sheet.model import Block, Caution, Column, FigureGroup, Row, Section, Table, Weight

__all__ = ["head"]

_JOB = source("the job", "owner")
_COLUMNS = (("done", "", "tick"), ("number", "", "text"), ("step", "step", "text"))


def head(context: Context, sections: Sequence[Section], shared: Sequence[Caution] = ()) -> tuple[Section, ...]:
    """The section before all others; nothing for a job of one step, whose own section says it all.

    ``context`` is that after the last step: its work is the finished part.  ``shared`` are the cautions that go for several steps.
    """
    if len(sections) <= 1:
        return ()
    desk = context.desk()
    drawing = part_drawing(context.work, context.system, title="As it will be")
    blocks: list[Block | None] = [drawing, *shared, _blank(desk, context), _steps(context, sections)]
    return (Section("part", "part", "The part", "", tuple(block for block in blocks if block is not None)),)


def _steps(context: Context, sections: Sequence[Section]) -> Table:
    """The steps in the order of the sheet; those that the compiler put in say so."""
    asked_for = tuple(step.operation for step in context.inputs.job.steps)
    why = basis("the steps of the job in order, with those that they need", asked_for, _JOB)
    columns = tuple(Column(name, label, "", why, kind) for name, label, kind in _COLUMNS)
    rows = []
    for number, section in enumerate(sections, 1):
        said = [words for words in section.subtitle.split("; ") if words and not words.startswith("added")]
        note = "; ".join(([f"on the {section.machine}"] if section.machine else []) + said)
        rows.append(Row((None, None, None), ("", str(number), f"{section.title} (added)" if section.added else section.title), note))
    return Table("steps", "Steps", columns, tuple(rows))


def _blank(desk: Desk, context: Context) -> FigureGroup:
    """What to begin with: the blank, how it is held for the first step, where it is cut off."""
    job = context.inputs.job
    blank, held = job.blank, job.held
    sizes: list[tuple[str, Value]] = [(f"\u2300{blank.outside.text}", blank.outside)] if blank.outside else []
    sizes += [(f"bore {blank.bore.text}", blank.bore)] if blank.bore else []
    sizes += [(f"{blank.length.text} long", blank.length)] if blank.length else []
    if sizes:
        _joined(desk, "blank", "Blank", sizes)
    ways: list[tuple[str, Value]] = [(held.by.value, held.by)]
    ways += [(f"{held.stands_out.text} out", held.stands_out)] if held.stands_out else []
    ways += [(held.supported_by.value, held.supported_by)] if held.supported_by.value != "nothing" else []
    _joined(desk, "held", "Held at first", ways)
    parted = context.work.parted
    if parted is not None and context.work.length is not None:
        why = basis("the work after the last step", (parted,), GEOMETRY)
        desk.length("parted", "Parted off at", context.work.length, why, read_by="caliper")
    return FigureGroup("Begin with", desk.pick("blank", "held", "parted"), Weight.WORK)


def _joined(desk: Desk, name: str, label: str, said: Sequence[tuple[str, Value]]) -> None:
    desk.words(name, label, ", ".join(words for words, _ in said), basis("as the job says", tuple(at for _, at in said), _JOB))
