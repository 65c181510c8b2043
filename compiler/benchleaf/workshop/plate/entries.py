"""Rows of a plate as its lathe has them: the ratio that each asks of the gearbox, and the words for a lead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from benchleaf.record import record
from benchleaf.workshop.gearbox import GearboxRow, MeasuredRow, PlateRow
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.plate.algebra import Setting, primes
from benchleaf.workshop.values import Measure, Number

__all__ = [
    "DerivedRow", "Entry", "Train", "before_the_box", "decimal", "entry", "lead_in_words", "other_wheels", "setting_in_words",
    "share_in_words", "train_in_words", "wheel_ratio",
]  # fmt: skip

_INCH = Fraction(127, 5)  # mm
_LARGEST_WHEEL = 100  # no wheel inside a gearbox has a prime number of teeth above this

_FEWEST, _MOST = 12, 127  # teeth of change wheels that are thought of when one may have been copied wrongly

Train = Sequence[Number | tuple[Number, ...]]


@record
class DerivedRow(GearboxRow):
    """A combination of levers whose ratio was worked out; ``stated`` are the leads on the plate, or the measured travels, behind it.

    ``taken`` says where a ratio was taken for the simplest one near: '' for what is exact.
    """

    stated: tuple[Measure, ...]
    taken: str


@record
class Entry:
    """A row of the plate: levers of the gearbox, the wheels, ``before`` = leadscrew lead x headstock x wheels (mm per turn of the spindle
    for a gearbox of 1:1), and the ratio that the printed lead asks for."""

    row: PlateRow
    levers: Setting
    train: Train
    before: Fraction
    ratio: Fraction

    @property
    def strange(self) -> frozenset[int]:
        """Prime numbers in the ratio that no wheel of a gearbox has: 127 where the wheels stand in for it, others in a rounded lead."""
        parts = primes(self.ratio.numerator) | primes(self.ratio.denominator)
        return frozenset(prime for prime in parts if prime > _LARGEST_WHEEL)


def entry(row: PlateRow, levers: Setting, train: Train, before: Fraction) -> Entry:
    """The row with what it asks for."""
    return Entry(row, levers, train, before, row.lead.value / before)


def wheel_ratio(train: Train) -> Fraction:
    """Turns of the last wheel for a turn of the first.  Axis by axis; a lone wheel on a stud is an idler, a pair is (driven, driver)."""
    ratio = Fraction(_teeth(train[0]), _teeth(train[-1]))
    for axis in train[1:-1]:
        if isinstance(axis, tuple):
            ratio *= Fraction(axis[1].value, axis[0].value)
    return ratio


def _teeth(axis: Number | tuple[Number, ...]) -> int:
    return axis[-1].value if isinstance(axis, tuple) else axis.value


def before_the_box(lathe: Lathe, row: PlateRow | MeasuredRow, train: Train) -> Fraction:
    """Leadscrew lead x headstock x wheels, mm per turn of the spindle.  A headstock lever that the row does not name stands at 1:1."""
    headstock = lathe.headstock
    said = row.levers.get(headstock.lever.value) if headstock.lever is not None else None
    ratios = {item.position.value: item.ratio.value for item in headstock.ratios}
    return lathe.leadscrew.lead.value * wheel_ratio(train) * (ratios[said.value] if said is not None else Fraction(1))


def lead_in_words(lead: Fraction, like: Measure) -> str:
    """A lead (mm per turn) in the unit of another, to four decimals where it does not come out even."""
    inch = like.system == "inch"
    value, unit = (_INCH / lead, "TPI") if inch else (lead, "mm")
    return f"{decimal(value)} {unit}"


def decimal(value: Fraction, places: int = 4) -> str:
    """A number above 0 with at most so many decimals."""
    digits = str(round(value * 10**places)).zfill(places + 1)
    return f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")


def share_in_words(off: Fraction) -> str:
    """'0.0125 %' of a share, without its sign."""
    return f"{decimal(abs(off) * 100)} %"


def other_wheels(each: Entry, known: Fraction) -> Iterator[str]:
    """One wheel of a row replaced, the lead being right and the gearbox at ``known``: '45 in place of 40'.  Idlers change nothing."""
    for axis, wheels in enumerate(each.train):
        last = axis == len(each.train) - 1
        if not isinstance(wheels, tuple):
            parts = [(wheels, not last)] if axis == 0 or last else []
        else:
            parts = [(wheels[0], False), (wheels[-1], True)]
        for wheel, drives in parts:
            teeth = wheel.value * (each.ratio / known) ** (1 if drives else -1)
            if teeth.denominator == 1 and _FEWEST <= teeth <= _MOST:
                yield f"{teeth} in place of {wheel.value}"


def setting_in_words(levers: Setting) -> str:
    """'range A, hole 5'."""
    return ", ".join(f"{name} {position}" for name, position in levers)


def train_in_words(train: Train) -> str:
    """'40, 60 + 30, 50'."""
    return ", ".join(" + ".join(str(wheel.value) for wheel in axis) if isinstance(axis, tuple) else str(axis.value) for axis in train)
