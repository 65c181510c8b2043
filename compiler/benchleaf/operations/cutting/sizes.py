"""Sizes that a step works to: read from the job's words, with limits, the size to aim at, and the fit with a mating part."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import OWNER, Desk, basis, length_text, source
from benchleaf.record import record
from benchleaf.sheet.model import Source
from benchleaf.standards.fits import Sized, SizeFault, SizeLimits, aim, attainable, fit, sized
from benchleaf.workshop.values import Text

__all__ = ["Size", "fit_figure", "read_size", "size_figure"]


@record
class Size:
    """A size in mm: nominal, limits (None where no tolerance is known for it), what to aim at and why, and where the limits are from.

    ``is_fit``: it is a size by class, which a mating part relies on.
    """

    nominal: Fraction
    limits: SizeLimits | None
    aim: Fraction
    why: str
    formula: str
    source: Source
    is_fit: bool
    at: Text

    @property
    def lower(self) -> Fraction | None:
        """The smallest that will do, mm."""
        return self.limits.lower if self.limits is not None else None

    @property
    def upper(self) -> Fraction | None:
        """The largest that will do, mm."""
        return self.limits.upper if self.limits is not None else None

    @property
    def tolerance(self) -> Fraction | None:
        """Width between the limits, mm."""
        return None if self.limits is None else self.limits.upper - self.limits.lower


def read_size(words: Text, side: str, context: Context, process: str | None = None) -> Size | None:
    """The size that the words give, or None with a diagnostic at them.

    ``side`` is 'outside' or 'inside'; ``process`` one of :func:`benchleaf.standards.fits.processes`: it decides where in the limits to
    aim, and a tolerance that it does not hold is a warning.  A class of the other side (``H7`` on a shaft) is an error.
    """
    found = sized(words.value)
    if isinstance(found, SizeFault):
        context.faults.error("size/unreadable", found.message, words, hint=found.hint or "write `25 H7`, `24.9 to 25.0 mm` or `25 mm`")
        return None
    if found.tolerance is not None and not _right_side(found, side, words, context):
        return None
    if found.limits is not None and found.limits.lower <= 0:
        context.faults.error(
            "size/nothing",
            f"the least that {words.value} allows is no size: {length_text(found.limits.lower, context.system)}",
            words,
            hint="see whether a unit or a digit is wrong",
        )
        return None
    if found.limits is None:
        why = "the size itself: no tolerance is known for it"
        return Size(found.nominal, None, found.nominal, why, "as the job says, without limits", OWNER, False, words)
    if found.form == "plain":
        why = "the size itself; its general tolerance only bounds it"
        by = source(found.limits.source, found.limits.status)
        return Size(found.nominal, found.limits, found.nominal, why, f"limits of {found}, where no tolerance is stated", by, False, words)
    target = aim(found.limits, "hole" if side == "inside" else "shaft", process)
    if process is not None:
        _attainable(found.limits, process, words, context)
    written = found.limits.source == "as written"
    by = OWNER if written else source(found.limits.source, found.limits.status)
    formula = "limits as the job says" if written else f"limits of {found}"
    return Size(found.nominal, found.limits, target.target, target.why, formula, by, found.tolerance is not None, words)


def _right_side(found: Sized, side: str, words: Text, context: Context) -> bool:
    """Capitals are holes, small letters shafts: the wrong one is the other deviation."""
    name = str(found.tolerance)
    if name[0].isupper() == (side == "inside"):
        return True
    meant = name.upper() if side == "inside" else name.lower()
    context.faults.error(
        "size/wrong-side",
        f"{name} is a class for a {'hole' if name[0].isupper() else 'shaft'}, and this is a {'hole' if side == 'inside' else 'shaft'}",
        words,
        hint=f"write {meant}: capitals are holes, small letters shafts (ISO 286-1)",
    )
    return False


def _attainable(limits: SizeLimits, process: str, words: Text, context: Context) -> None:
    found = attainable(process)
    if found.verdict(limits) != "too tight":
        return
    width = length_text(limits.upper - limits.lower, context.system)
    context.faults.warning(
        "size/too-tight",
        f"a tolerance of {width} is finer than {process} holds",
        words,
        f"{found.finest} at the finest, {found.usual} as a rule",
        hint="widen it, or finish by reaming, lapping or grinding",
        note=f"{found.source} ({found.status})",
    )


def size_figure(desk: Desk, size: Size, label: str, figure_id: str = "size") -> None:
    """Write down the limits, and as ``<id>_aim`` the one diameter or length to aim at."""
    if size.limits is None:
        desk.length(figure_id, label, size.aim, basis(size.formula, (size.at,), size.source))
    else:
        desk.length(figure_id, label, size.aim, basis(size.formula, (size.at,), size.source), limits=(size.limits.lower, size.limits.upper))
    desk.length(f"{figure_id}_aim", "Aim at", size.aim, basis(size.why, (figure_id,), size.source))


def fit_figure(desk: Desk, size: Size, mate: Text | None, side: str, context: Context) -> None:
    """Write down how a mating part of a size goes with this one: figure ``fit``, play or interference, loosest to tightest."""
    if mate is None or size.limits is None:
        return
    other = read_size(mate, "outside" if side == "inside" else "inside", context)
    if other is None or other.limits is None:
        return
    hole, shaft = (size.limits, other.limits) if side == "inside" else (other.limits, size.limits)
    found = fit(hole, shaft)
    loose, tight = (_play(value, context) for value in (found.loosest, found.tightest))
    why = basis("hole less shaft, at the limits of both", ("size", mate), source("definitions of ISO 286-1", "standard"))
    desk.words("fit", f"Fit with {mate.value}", f"{found.kind}: {loose} to {tight}", why)


def _play(value: Fraction, context: Context) -> str:
    words = length_text(abs(value), context.system)
    return f"{words} {'play' if value >= 0 else 'interference'}"
