"""The job as a route of steps: each step planned by its own operation on the work as the last one left it, then bound into one sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from benchleaf.diagnostics import Diagnostic, Severity, has_errors
from benchleaf.operations import holding, materials, overview
from benchleaf.operations.cautions import closing
from benchleaf.operations.context import Context, Setup
from benchleaf.operations.desk import Faults
from benchleaf.operations.registry import Operation, operation
from benchleaf.operations.work import Work
from benchleaf.sheet.model import Caution, Section, Sheet
from benchleaf.workshop.inputs import JobInputs
from benchleaf.workshop.structure import structure

__all__ = ["plan"]

_DEEPEST = 4  # a missing step may itself miss one: bore, drill, centre


def plan(inputs: JobInputs) -> tuple[Sheet | None, list[Diagnostic]]:
    """Plan all steps of a job.  Returns the sheet (None when a step has errors) and every fault found."""
    faults = Faults([])
    setup = Setup(inputs.machine, inputs.job.held, Work(inputs.job.blank))
    holding.check(Context(inputs, faults, "held", setup))
    if not materials.known(Context(inputs, faults, "material", setup)):
        return None, faults.found
    route = _Route(inputs, faults, setup)
    sections = [section for step in inputs.job.steps for section in route.steps(step.operation.value, route.model(step))]
    if has_errors(faults.found):
        return None, faults.found
    job = inputs.job
    shared, sections = _shared_cautions(sections)
    sheet = Sheet(
        id=job.origin.span.file.rsplit("/", 1)[-1].removesuffix(".yaml").removesuffix(".yml"),
        title=job.name.value,
        subtitle=job.part.value if job.part else "",
        machine=", ".join(dict.fromkeys((route.first.name.value, *(section.machine for section in sections if section.machine)))),
        material=inputs.material.name.value,
        sections=(*overview.head(Context(inputs, faults, "part", setup), sections, shared), *sections),
        closing=closing(),
        warnings=tuple(fault.message for fault in faults.found if fault.severity is Severity.WARNING),
        glossary=(("top slide", "compound rest (US)"), ("banjo", "quadrant (US)"), ("saddle", "carriage (US)")),
    )
    return sheet, faults.found


def _shared_cautions(sections: list[Section]) -> tuple[list[Caution], list[Section]]:
    """Cautions that several steps give, once, for the head of the sheet; and the sections without them."""
    given = Counter(block for section in sections for block in dict.fromkeys(section.blocks) if isinstance(block, Caution))
    shared = [block for block, count in given.items() if count > 1]
    left = [replace(section, blocks=tuple(block for block in section.blocks if block not in shared)) for section in sections]
    return sorted(shared, key=lambda block: -block.severity), left


class _Route:
    """One pass over the steps."""

    def __init__(self, inputs: JobInputs, faults: Faults, setup: Setup) -> None:
        self.inputs = inputs
        self.faults = faults
        self.setup = setup
        self.seen: Counter[str] = Counter()
        self.first = Context(inputs, faults, "", setup).machine
        self.moved = False

    def model(self, step: Any) -> Any:
        """What the job says about a step, as its operation's model."""
        return structure(operation(step.operation.value).model, step.node, step.operation.origin.path)

    def steps(self, name: str, step: Any, depth: int = 0) -> Iterator[Section]:
        """The sections of one step, with those of the steps that had to be put in before it."""
        found: Operation[Any] = operation(name)
        may_add = self.inputs.job.missing_steps.value == "plan" and depth < _DEEPEST
        if may_add and found.needs is not None and found.on in ("any", self._context(name, depth).kind):
            for before, model in found.needs(step, self._context(name, depth)):
                yield from self.steps(before, model, depth + 1)
        self.seen[name] += 1
        context = self._context(name, depth)
        if found.on not in ("any", context.kind):
            self._wrong_machine(step, name, found.on, context)
            return
        section = found.plan(step, context)
        if section is not None:
            moved = self.moved or self._context(name, depth).machine is not self.first
            self.moved = moved
            yield replace(section, machine=context.machine.name.value if moved else "", added=depth > 0)

    def _wrong_machine(self, step: Any, name: str, wanted: str, context: Context) -> None:
        here = f"the {context.machine.name.value}, a {context.kind}"
        self.faults.error(
            "route/wrong-machine",
            f"`{name}` is done on a {wanted}, and the work is on {here}",
            step.origin.span,
            hint=f"move the work to a {wanted} before this step: `hold` with `machine`",
        )

    def _context(self, name: str, depth: int) -> Context:
        count = self.seen[name]
        return Context(self.inputs, self.faults, name if count <= 1 else f"{name}-{count}", self.setup, added=depth > 0)
