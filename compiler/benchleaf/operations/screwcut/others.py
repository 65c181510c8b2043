"""What else the machine could do: other trains within the limit, and nearer ones that do not go on, with the reason."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.kinematics.model import Train
from benchleaf.operations.context import Context
from benchleaf.operations.desk import OWNER, Desk, basis, source
from benchleaf.operations.screwcut.gearing import Gearing
from benchleaf.operations.screwcut.model import Screwcut
from benchleaf.operations.screwcut.words import lever_words, train_words
from benchleaf.sheet.model import Row, Table
from benchleaf.sheet.numbers import signed

__all__ = ["other_trains"]

_MOST = 3  # rows of each sort: enough to go on with when a wheel is missing


def other_trains(desk: Desk, gearing: Gearing, step: Screwcut, context: Context) -> Table | None:
    """A table of alternatives and of refused trains; None when the search named neither."""
    why = basis(
        "the next nearest leads of the same search, one train for each",
        ("lead_wanted", context.lathe.leadscrew.lead),
        source("exhaustive search in exact fractions", "derived"),
    )
    fit = basis(
        "each wheel tried against shafts, other wheels, slots, swing and guard of the banjo", (context.lathe.name, step.lead_limit), OWNER
    )
    columns = (
        desk.column("wheels", "Wheels", "", why, "text"),
        desk.column("levers", "Levers", "", why, "text"),
        desk.column("error", "Lead error", "ppm", why),
        desk.column("use", "", "", fit, "text"),
    )
    refused = [_row(nearer.train, gearing, f"does not go on: {nearer.obstacles[0].words}") for nearer in gearing.refused[:_MOST]]
    good = [train for train in gearing.alternatives if abs(train.error) <= step.lead_limit.value]
    rows = refused + [_row(train, gearing, "within the limit") for train in good[:_MOST]]
    return Table("other_trains", "Other trains", columns, tuple(rows)) if rows else None


def _row(train: Train, gearing: Gearing, use: str) -> Row:
    error: Fraction = train.error * 1_000_000
    levers = " \u00b7 ".join(f"{name} {position}" for name, position in lever_words(train, gearing.problem))
    return Row((None, None, error, None), (train_words(train), levers, signed(error, 1 if error else 0), use))
