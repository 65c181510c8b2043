"""One job with everything it names: what an operation gets to see."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from benchleaf.record import record
from benchleaf.workshop.gears import GearSet
from benchleaf.workshop.job import Job
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.material import Material
from benchleaf.workshop.shaper import Shaper
from benchleaf.workshop.tooling import ThreadingTool, Tooling, WireSet

__all__ = ["JobInputs", "LatheInputs", "Machine", "ShaperInputs"]


@record
class LatheInputs:
    """A lathe with the gear sets and tool drawers that it names."""

    lathe: Lathe
    gear_sets: tuple[GearSet, ...]
    toolings: tuple[Tooling, ...]


@record
class ShaperInputs:
    """A shaper with the tool drawers that it names."""

    shaper: Shaper
    toolings: tuple[Tooling, ...]


Machine = LatheInputs | ShaperInputs


@record
class JobInputs:
    """A job with its machine, the machines that its steps move to (by the path that the step gives), its material, and all tool drawers
    (the machines' and the job's own)."""

    job: Job
    machine: Machine
    elsewhere: Mapping[str, Machine]
    material: Material
    toolings: tuple[Tooling, ...]

    def threading_tools(self) -> Iterator[ThreadingTool]:
        """Every threading tool owned."""
        return (tool for tooling in self.toolings for tool in tooling.threading_tools)

    def wire_sets(self) -> Iterator[WireSet]:
        """Every set of measuring wires owned."""
        return (wires for tooling in self.toolings for wires in tooling.wires)
