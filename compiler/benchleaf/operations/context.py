"""What an operation is given: the inputs of the job, the step's place in the route, and somewhere to put faults."""

from __future__ import annotations

from benchleaf.operations.desk import Desk, Faults
from benchleaf.record import record
from benchleaf.workshop.inputs import JobInputs
from benchleaf.workshop.job import Held
from benchleaf.workshop.lathe import Holding, Lathe

__all__ = ["Context"]


@record
class Context:
    """One step's surroundings.  ``section_id`` is unique on the sheet."""

    inputs: JobInputs
    faults: Faults
    section_id: str

    @property
    def lathe(self) -> Lathe:
        """The machine of the job."""
        return self.inputs.machine.lathe

    @property
    def system(self) -> str:
        """'metric' or 'inch': what the machine's dials read."""
        return self.lathe.system.value

    def desk(self) -> Desk:
        """A fresh place for figures."""
        return Desk(self.system)

    @property
    def held(self) -> Held:
        """How the job holds the work."""
        return self.inputs.job.held

    @property
    def holding(self) -> Holding | None:
        """The machine's description of that way of holding; None when the name is unknown (reported elsewhere)."""
        return next((item for item in self.lathe.workholding if item.name.value == self.held.by.value), None)
