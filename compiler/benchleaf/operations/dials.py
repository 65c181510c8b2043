"""Numbers that are set, as the dial that sets them reads them."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.sheet.numbers import fixed, in_steps
from benchleaf.units import convert
from benchleaf.workshop.lathe import Dial

__all__ = ["Collar", "Reading", "collar"]


@record
class Reading:
    """One setting: whole turns of the handwheel and what the collar then reads.

    ``value`` is the running total in the dial's own unit, a whole number of divisions; ``travel`` the slide's travel that this
    really gives, mm; ``shown`` the collar's reading within its turn.
    """

    value: Fraction
    divisions: int
    turns: int
    shown: str
    travel: Fraction

    @property
    def in_words(self) -> str:
        """The setting as one says it: '2 turns + 0.15', or the collar's reading alone within the first turn."""
        if self.turns == 0:
            return self.shown
        return f"{self.turns} turn{'s' if self.turns > 1 else ''} + {self.shown}"

    @property
    def turns_shown(self) -> str:
        """The whole turns for a column of their own, empty for none."""
        return str(self.turns) if self.turns else ""


@record
class Collar:
    """A graduated collar.  ``division`` and ``turn`` in mm as the collar counts them; ``factor`` is counted / travel: 2 where the dial
    reads the change in diameter, else 1."""

    division: Fraction
    turn: Fraction
    factor: int
    unit: str
    places: int
    reads: str

    def at(self, travel: Fraction, *, winding_out: bool = False) -> Reading:
        """The setting nearest to a running total of slide travel from dial zero, mm.  Round totals, never steps: errors then cannot add up.

        ``winding_out``: the slide is drawn towards the operator, so that the collar counts down from its zero.
        """
        divisions = in_steps(travel * self.factor, self.division)
        total = divisions * self.division
        turns = int(total // self.turn)
        collar_reads = (-total if winding_out else total) % self.turn
        return Reading(
            convert(total, "mm", self.unit),
            divisions,
            turns,
            fixed(convert(collar_reads, "mm", self.unit), self.places),
            total / self.factor,
        )

    @property
    def step(self) -> Fraction:
        """Slide travel for one division, mm."""
        return self.division / self.factor


def _places(division: Fraction) -> int:
    """Decimals that write a division in full (0.05 needs 2, 0.001 needs 3)."""
    for places in range(6):
        if (division * 10**places).denominator == 1:
            return places
    return 6


def collar(dial: Dial) -> Collar:
    """The collar that a profile describes, in the system its division is written in."""
    unit = "in" if dial.division.system == "inch" else "mm"
    places = _places(convert(dial.division.value, "mm", unit))
    return Collar(dial.division.value, dial.turn.value, 2 if dial.reads.value == "diameter" else 1, unit, places, dial.reads.value)
