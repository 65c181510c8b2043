"""What an operation is given: the inputs of the job, the work and machine as they stand, and somewhere to put faults."""

from __future__ import annotations

from dataclasses import dataclass

from benchleaf.operations.desk import Desk, Faults
from benchleaf.operations.work import Work
from benchleaf.record import record
from benchleaf.workshop.inputs import JobInputs, LatheInputs, Machine, ShaperInputs
from benchleaf.workshop.job import Held
from benchleaf.workshop.lathe import Holding, Lathe
from benchleaf.workshop.material import Material
from benchleaf.workshop.shaper import Shaper

__all__ = ["Context", "Setup"]


@dataclass(slots=True)
class Setup:
    """Where the route stands: the machine, how the work is held, and the work.  A `hold` step changes it."""

    machine: Machine
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
        """The lathe that the work is on.  Raises TypeError on a shaper: the route keeps lathe steps off it."""
        return self.on_lathe.lathe

    @property
    def on_lathe(self) -> LatheInputs:
        """The lathe with its wheels and drawers.  Raises TypeError on a shaper."""
        if not isinstance(self.setup.machine, LatheInputs):
            raise TypeError("the work is not on a lathe")
        return self.setup.machine

    @property
    def shaper(self) -> Shaper:
        """The shaper that the work is on.  Raises TypeError on a lathe: the route keeps shaper steps off it."""
        if not isinstance(self.setup.machine, ShaperInputs):
            raise TypeError("the work is not on a shaper")
        return self.setup.machine.shaper

    @property
    def kind(self) -> str:
        """The kind of machine that the work is on: 'lathe' or 'shaper'."""
        return "lathe" if isinstance(self.setup.machine, LatheInputs) else "shaper"

    @property
    def machine(self) -> Lathe | Shaper:
        """The machine that the work is on."""
        return self.lathe if self.kind == "lathe" else self.shaper

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
        return self.machine.system.value

    def desk(self) -> Desk:
        """A fresh place for figures."""
        return Desk(self.system)

    @property
    def held(self) -> Held:
        """How the work is held now."""
        return self.setup.held

    @property
    def holding(self) -> Holding | None:
        """The lathe's description of that way of holding; None when the name is unknown (reported elsewhere) or the work is on a shaper."""
        if self.kind != "lathe":
            return None
        return next((item for item in self.lathe.workholding if item.name.value == self.held.by.value), None)
