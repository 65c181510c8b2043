"""What an operation is given: the inputs of the job, the work and machine as they stand, and somewhere to put faults."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.operations.desk import Desk, Faults
from benchleaf.operations.work import Work
from benchleaf.record import record
from benchleaf.workshop.inputs import JobInputs, MachineInputs
from benchleaf.workshop.job import Held
from benchleaf.workshop.lathe import Holding, Lathe
from benchleaf.workshop.material import Material

__all__ = ["Context", "Setup"]


@dataclass(slots=True)
class Setup:
    """Where the route stands: the machine, how the work is held, and the work.  A `hold` step changes it."""

    machine: MachineInputs
    held: Held
    work: Work


@record
class Context:
    """One step's surroundings.  ``section_id`` is unique on the sheet; ``added`` when the compiler put the step in."""

    inputs: JobInputs
    faults: Faults
    section_id: str
    setup: Setup
    added: bool = False

    @property
    def lathe(self) -> Lathe:
        """The lathe that the work is on."""
        return self.setup.machine.lathe

    @property
    def work(self) -> Work:
        """The work as it stands."""
        return self.setup.work

    @property
    def material(self) -> Material:
        """What the work is made of."""
        return self.inputs.material

    @property
    def system(self) -> str:
        """'metric' or 'inch': what the machine's dials read."""
        return self.lathe.system.value

    def desk(self) -> Desk:
        """A fresh place for figures."""
        return Desk(self.system)

    @property
    def held(self) -> Held:
        """How the work is held now."""
        return self.setup.held

    @property
    def holding(self) -> Holding | None:
        """The machine's description of that way of holding; None when the name is unknown (reported elsewhere)."""
        return next((item for item in self.lathe.workholding if item.name.value == self.held.by.value), None)
