"""The screwcutting gearbox: ratios of its levers, or the plate and the measurements that they are worked out from."""

from __future__ import annotations

from collections.abc import Mapping

from benchleaf.record import record
from benchleaf.workshop.values import Count, Lead, Length, Origin, Ratio, Share, Text

__all__ = ["GearPlate", "Gearbox", "GearboxRow", "Lever", "MeasuredRow", "PlateRow"]


@record
class Lever:
    """A gearbox lever whose ratio multiplies whatever the others stand at: position name to turns out for a turn in."""

    origin: Origin
    name: Text
    positions: Mapping[str, Ratio]


@record
class GearboxRow:
    """One combination of levers and its ratio, for gearboxes whose levers do not factor."""

    origin: Origin
    levers: Mapping[str, Text]
    ratio: Ratio


@record
class PlateRow:
    """A row of the machine's own plate; ``wheels`` as for :class:`Mounted`, empty for those of the whole plate."""

    origin: Origin
    lead: Lead
    wheels: tuple[Count | tuple[Count, ...], ...]
    levers: Mapping[str, Text]


@record
class GearPlate:
    """The machine's own plate; ``tolerance`` is how far a printed lead may be from what its wheels make."""

    origin: Origin
    wheels: tuple[Count | tuple[Count, ...], ...]
    tolerance: Share
    rows: tuple[PlateRow, ...]


@record
class MeasuredRow:
    """Travel of the saddle over some turns of the spindle, good to ``give_or_take``."""

    origin: Origin
    turns: Count
    travel: Length
    give_or_take: Length
    wheels: tuple[Count | tuple[Count, ...], ...]
    levers: Mapping[str, Text]


@record
class Gearbox:
    """Levers with ratios, or rows of combinations, or the plate and measurements that they are worked out from; combinations that an
    interlock forbids."""

    origin: Origin
    levers: tuple[Lever, ...]
    rows: tuple[GearboxRow, ...]
    plate: GearPlate | None
    measured: tuple[MeasuredRow, ...]
    forbidden: tuple[Mapping[str, Text], ...]

    @property
    def stated(self) -> tuple[PlateRow | MeasuredRow, ...]:
        """What the ratios are to be worked out from."""
        return (*(() if self.plate is None else self.plate.rows), *self.measured)
