"""The job as a route of steps: each step planned by its own operation, then bound into one sheet."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

from benchleaf.diagnostics import Diagnostic, Severity, has_errors
from benchleaf.operations import holding, screwcut
from benchleaf.operations.cautions import closing
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Faults
from benchleaf.sheet.model import Section, Sheet
from benchleaf.workshop.inputs import JobInputs
from benchleaf.workshop.job import Step

__all__ = ["OPERATIONS", "plan"]

# An operation is one module with plan(step, context) -> Section | None; its name is the key in the job file.
OPERATIONS: Mapping[str, Callable[[Step, Context], Section | None]] = {"screwcut": screwcut.plan}


def plan(inputs: JobInputs) -> tuple[Sheet | None, list[Diagnostic]]:
    """Plan all steps of a job.  Returns the sheet (None when a step has errors) and every fault found."""
    faults = Faults([])
    holding.check(inputs, faults)
    sections: list[Section] = []
    seen: Counter[str] = Counter()
    for step in inputs.job.steps:
        name = next(name for name in OPERATIONS if getattr(step, name.replace("-", "_")) is not None)
        seen[name] += 1
        section_id = name if seen[name] == 1 else f"{name}-{seen[name]}"
        section = OPERATIONS[name](step, Context(inputs, faults, section_id))
        if section is not None:
            sections.append(section)
    if has_errors(faults.found):
        return None, faults.found
    job = inputs.job
    sheet = Sheet(
        id=job.origin.span.file.rsplit("/", 1)[-1].removesuffix(".yaml").removesuffix(".yml"),
        title=job.name.value,
        subtitle=job.part.value if job.part else "",
        machine=inputs.machine.lathe.name.value,
        material=inputs.material.name.value,
        sections=tuple(sections),
        closing=closing(),
        warnings=tuple(fault.message for fault in faults.found if fault.severity is Severity.WARNING),
        glossary=(("top slide", "compound rest (US)"), ("banjo", "quadrant (US)"), ("saddle", "carriage (US)")),
    )
    return sheet, faults.found
