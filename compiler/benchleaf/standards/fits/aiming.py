"""What size to aim at within limits, and what tolerance a process holds.  Lengths in mm."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.record import record
from benchleaf.standards.fits.classes import GRADES, FitError
from benchleaf.standards.fits.limits import SizeLimits, grade_width, largest_size
from benchleaf.standards.tables import Row, table

__all__ = ["Aim", "Attainable", "aim", "attainable", "grade_within", "processes"]

_SIDES = ("hole", "shaft")


@record
class Aim:
    """Where to aim, mm: ``target``; ``good_from`` is the first limit that cutting reaches, ``stop_before`` the one past which it is scrap.

    ``left`` is the metal still on the diameter at the target, against ``stop_before``.
    """

    target: Fraction
    good_from: Fraction
    stop_before: Fraction
    why: str
    source: str
    status: str

    @property
    def left(self) -> Fraction:
        """What a cut may still go wrong by, on the diameter, mm."""
        return abs(self.stop_before - self.target)


@record
class Attainable:
    """The grades that a process holds in ordinary hands: ``finest`` with care on sound equipment, ``usual``, ``coarsest``."""

    process: str
    finest: str
    usual: str
    coarsest: str
    source: str
    status: str

    def verdict(self, limits: SizeLimits) -> str:
        """'usual' where the tolerance is no tighter than the usual grade, 'with care' down to the finest, 'too tight' below it.

        Beyond the largest size of the tables the grades of that size are taken: tolerances grow with size, so what is too tight there is
        too tight here.
        """
        nominal = min(limits.nominal, largest_size())
        if limits.width >= grade_width(nominal, self.usual):
            return "usual"
        return "with care" if limits.width >= grade_width(nominal, self.finest) else "too tight"


def aim(limits: SizeLimits, side: str, process: str | None = None) -> Aim:
    """The size to aim at for a 'hole' or a 'shaft'; the middle of the limits without a process.

    A process that comes to size cut by cut aims between the middle and the limit that leaves metal (a shaft high, a hole low): what is
    left on can come off.  A tool that makes its own size is chosen for the middle.  Raises :class:`FitError` ('name') for another side or
    process.  Source: common practice.
    """
    if side not in _SIDES:
        raise FitError("name", f"{side} is neither a hole nor a shaft", f"sides: {', '.join(_SIDES)}")
    approach = "middle" if process is None else _process(process).text("approach")
    row = table("limits/practice", "aims").where("approach", approach)[0]
    start, end = (limits.lower, limits.upper) if side == "hole" else (limits.upper, limits.lower)
    return Aim(start + (end - start) * row.number("share"), start, end, row.text("why"), row.source, row.status)


def processes() -> tuple[str, ...]:
    """The processes whose grades are known."""
    return tuple(row.text("process") for row in table("limits/practice", "processes").rows)


def attainable(process: str) -> Attainable:
    """The grades of one of :func:`processes`.  Raises :class:`FitError` ('name') for another.  Source: common practice."""
    row = _process(process)
    return Attainable(process, row.text("finest"), row.text("usual"), row.text("coarsest"), row.source, row.status)


def grade_within(nominal: Fraction, width: Fraction) -> str | None:
    """The coarsest grade whose tolerance is not above ``width``, mm; None where even IT01 is.  Raises :class:`FitError` ('size')."""
    return next((grade for grade in reversed(GRADES) if grade_width(nominal, grade) <= width), None)


def _process(name: str) -> Row:
    found = table("limits/practice", "processes").where("process", name)
    if not found:
        raise FitError("name", f"no grades are known for {name}", f"processes: {', '.join(processes())}")
    return found[0]
