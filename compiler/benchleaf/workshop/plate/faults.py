"""What is wrong with the rows of a plate, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.diagnostics import Diagnostic, Severity, close_matches
from benchleaf.workshop.gearbox import GearPlate, MeasuredRow
from benchleaf.workshop.plate.algebra import Setting
from benchleaf.workshop.plate.entries import (
    Entry,
    Train,
    lead_in_words,
    other_wheels,
    setting_in_words,
    share_in_words,
    train_in_words,
)
from benchleaf.workshop.plate.measuring import turns_to_settle
from benchleaf.workshop.values import Measure, Origin, Word

__all__ = [
    "and_ratios", "cannot_give", "headstock_unsaid", "measure_again", "measured_nothing", "measured_off", "misprint", "no_position",
    "no_wheels", "not_factored", "recovered", "too_many", "twice", "unknown", "wheels_of",
]  # fmt: skip

_SOME = 4  # of a list that is told
_FEW = 2  # of ways out


def and_ratios(origin: Origin) -> Diagnostic:
    """Ratios are given beside the plate."""
    message = "the gearbox is given twice: by ratios, and by its plate or by measuring"
    return Diagnostic("plate/and-ratios", message, origin.span, hints=("keep the ratios, or the plate (and what was measured)",))


def no_wheels(origin: Origin) -> Diagnostic:
    """A lead without the wheels that it was printed for."""
    hints = ("add `wheels` to the row, or to the plate for all rows that have none",)
    return Diagnostic("plate/no-wheels", "this row does not say which wheels are on", origin.span, hints=hints)


def no_position(said: Word, positions: Sequence[str]) -> Diagnostic:
    """A position that the headstock's lever does not have."""
    close = close_matches(said.value, list(positions))
    hints = (f"did you mean `{close[0]}`?" if close else f"there are {', '.join(positions)}",)
    return Diagnostic("lever/position", f"the headstock's lever has no position `{said.value[:60]}`", said.origin.span, hints=hints)


def headstock_unsaid(origin: Origin, lever: str) -> Diagnostic:
    """The headstock has no 1:1 that could be meant."""
    message = f"this row does not say where the headstock's lever `{lever[:60]}` stands"
    return Diagnostic("lever/row-incomplete", message, origin.span, hints=("none of its positions is 1:1, so none is taken for granted",))


def too_many(origin: Origin) -> Diagnostic:
    """More combinations than any gearbox has."""
    hints = ("a lever has one name and one spelling of each position in all rows",)
    return Diagnostic("plate/too-many", "the levers of these rows have more combinations than any gearbox", origin.span, hints=hints)


def wheels_of(train: Train) -> list[str]:
    """The train as text, axis by axis."""
    return train_in_words(train).split(", ")


def misprint(each: Entry, known: Fraction | None, fits: Sequence[Setting], others: Sequence[Entry]) -> Diagnostic:
    """A row that the others contradict, with what would fit."""
    lead = each.row.lead
    fit = lead_in_words(known * each.before, lead) if known is not None else ""
    wheels = [*other_wheels(each, known)][:_FEW] if known is not None and each.row.wheels else []
    hints, notes = [], []
    if fit:
        message = f"the other rows of the plate make {fit} of this row, not {lead.text}"
        hints.append(f"write {fit} if the plate is misprinted, and say so in a comment")
        if sorted(fit) == sorted(lead.text) or _digits(fit) == _digits(lead.text):
            notes.append(f"the digits of {fit} are those of {lead.text}: two may have changed places")
    else:
        message = f"this row contradicts the others: no ratio suits {lead.text} and them"
        hints.append("look at the plate again: the lead, the wheels, each lever")
    if fits:
        hints.append(f"or the row stands elsewhere: these wheels make {lead.text} at {' or at '.join(map(setting_in_words, fits[:_FEW]))}")
    elif known is not None and not wheels:
        notes.append(f"no position of the levers makes {lead.text} with the wheels {train_in_words(each.train)}")
    if wheels:
        hints.append(f"or a wheel of this row was copied wrongly: {' or '.join(wheels)} makes {lead.text}")
    related = tuple((other.row.lead.origin.span, "or this row is wrong instead") for other in others[:_SOME])
    code = "plate/contradiction" if others else "plate/misprint"
    label = f"{fit} would fit" if fit else "nothing fits"
    return Diagnostic(code, message, lead.origin.span, label=label, notes=tuple(notes), hints=tuple(hints), related=related)


def _digits(words: str) -> list[str]:
    return sorted(letter for letter in words if letter.isdigit() and letter != "0")


def cannot_give(each: Entry, off: Fraction, rows: int) -> Diagnostic:
    """Wheels that are farther off than the plate's tolerance, for all their rows."""
    message = f"the wheels {train_in_words(each.train)} make leads that are {share_in_words(off)} off those printed for them"
    many = f"the same holds for {rows} rows with these wheels" if rows > 1 else ""
    hints = ("count the teeth again; or raise `tolerance` if the plate is content with that",)
    return Diagnostic("plate/wheels-off", message, each.row.lead.origin.span, notes=(many,) if many else (), hints=hints)


def recovered(each: Entry, ratios: Sequence[Fraction], off: Fraction) -> Diagnostic:
    """A ratio that was taken for the simplest near what is printed."""
    shown = ", ".join(map(str, ratios[:_SOME])) + (" ..." if len(ratios) > _SOME else "")
    wheels = train_in_words(each.train)
    message = f"the wheels {wheels} only come near to what is printed ({share_in_words(off)} off); taken for exact: {shown}"
    hints = ("a row with wheels that make its lead exactly, or one measured, would settle it",)
    return Diagnostic("plate/recovered", message, each.row.lead.origin.span, Severity.NOTE, label="a nominal lead", hints=hints)


def twice(each: Entry, before: Measure) -> Diagnostic:
    """One combination with two ratios."""
    message = f"{setting_in_words(each.levers)} is on the plate twice, with ratios that differ"
    related = ((before.origin.span, "the other row"),)
    return Diagnostic("plate/contradiction", message, each.row.lead.origin.span, hints=("one of the two is wrong",), related=related)


def not_factored(plate: GearPlate) -> Diagnostic:
    """Levers whose ratios do not multiply."""
    message = "the ratios of the levers do not multiply, or too many rows are wrong; only combinations that the plate lists are used"
    hints = ("if the levers do multiply, look for slips in the rows: leads, wheels, lever positions",)
    return Diagnostic("plate/not-factored", message, plate.origin.span, Severity.WARNING, hints=hints)


def unknown(origin: Origin, settings: Sequence[Setting]) -> Diagnostic:
    """Combinations that no row settles."""
    shown = "; ".join(map(setting_in_words, settings[:_SOME])) + (" ..." if len(settings) > _SOME else "")
    many = "1 combination of levers stays" if len(settings) == 1 else f"{len(settings)} combinations of levers stay"
    hints = ("add a row for one of them, or measure it; those that an interlock keeps apart belong under `forbidden`",)
    return Diagnostic("plate/unknown", f"{many} unknown: {shown}", origin.span, Severity.NOTE, hints=hints)


def measured_nothing(row: MeasuredRow) -> Diagnostic:
    """An uncertainty as large as the travel."""
    message = f"{row.travel.text} give or take {row.give_or_take.text} may be nothing at all"
    return Diagnostic("plate/measure-again", message, row.travel.origin.span, hints=("measure over more turns",))


def measured_off(row: MeasuredRow, lead: Fraction) -> Diagnostic:
    """A measurement that the rest of the box contradicts."""
    makes = lead_in_words(lead * row.turns.value, row.travel)
    message = f"{row.turns.value} turns make {makes} by the rest of the gearbox, not {row.travel.text}"
    hints = ("measure again with all play taken up first; look at the wheels and levers of the row",)
    return Diagnostic("plate/measured-off", message, row.travel.origin.span, label=f"{makes} would fit", hints=hints)


def measure_again(row: MeasuredRow, suiting: Sequence[Fraction], before: Fraction) -> Diagnostic:
    """More than one ratio suits, or none: the combination is left out."""
    if not suiting:
        message = "no simple ratio suits this measurement"
        hints: tuple[str, ...] = ("look at the turns, the travel and the wheels; `give-or-take` may be too small",)
    else:
        shown = ", ".join(map(str, suiting[:_SOME])) + (" ..." if len(suiting) > _SOME else "")
        message = f"more than one ratio suits this measurement: {shown}"
        near = min(zip(sorted(suiting), sorted(suiting)[1:], strict=False), key=lambda pair: pair[1] - pair[0])
        turns = turns_to_settle(near[0] * before, near[1] * before, row.give_or_take.value)
        hints = (f"measure again over {turns} turns, or more finely: then only one of them suits",)
    return Diagnostic("plate/measure-again", message, row.travel.origin.span, Severity.WARNING, hints=hints)
