"""The plate of a lathe read: ratios of all combinations of levers that its rows settle, and the rows that cannot be right."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import prod

from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.workshop.gearbox import Gearbox, MeasuredRow, PlateRow
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.plate import faults
from benchleaf.workshop.plate.algebra import Plate, Row, Setting, without_faults
from benchleaf.workshop.plate.entries import DerivedRow, Entry, Train, before_the_box, entry, share_in_words, train_in_words
from benchleaf.workshop.plate.measuring import candidates, simplest
from benchleaf.workshop.values import Measure, Origin, Word

__all__ = ["with_plate"]

_STAND_IN = "\0wheels"  # a lever that stands for what some wheels leave out of the leads printed for them
_MOST_WRONG = 4
_MOST_COMBINATIONS = 5000
_SIMPLE, _NOT_SIMPLE = 24, 60  # largest number in a ratio that is looked for first, and at all


def with_plate(lathe: Lathe) -> tuple[Lathe, list[Diagnostic]]:
    """The lathe with a row for every combination of levers that its plate and its measurements settle, and what is wrong with them.

    A lathe without a plate comes back as it is; so does one whose rows contradict each other.
    """
    box = lathe.gearbox
    if box is None or (box.plate is None and not box.measured):
        return lathe, []
    found = [*_unusable(lathe, box)]
    if found:
        return lathe, found
    reading = _Reading(lathe, box)
    reading.read_plate()
    reading.read_measured()
    if any(fault.severity is Severity.ERROR for fault in reading.found):
        return lathe, reading.found
    rows = tuple(reading.rows())
    return replace(lathe, gearbox=replace(box, rows=rows)), reading.found


def _unusable(lathe: Lathe, box: Gearbox) -> Iterator[Diagnostic]:
    stated = box.stated
    if box.levers or box.rows:
        yield faults.and_ratios((box.plate or stated[0]).origin)
    common = box.plate.wheels if box.plate is not None else ()
    for row in stated:
        if len(row.wheels or common) < 2:
            yield faults.no_wheels(row.origin)
    headstock = lathe.headstock
    positions = {item.position.value: item.ratio.value for item in headstock.ratios}
    for row in stated:
        said = row.levers.get(headstock.lever.value) if headstock.lever is not None else None
        if said is not None and said.value not in positions:
            yield faults.no_position(said, tuple(positions))
        elif said is None and positions and 1 not in positions.values():
            yield faults.headstock_unsaid(row.origin, headstock.lever.value if headstock.lever is not None else "lever")
    if prod(len(places) for places in _positions(stated, _headstock(lathe)).values()) > _MOST_COMBINATIONS:
        yield faults.too_many(stated[0].origin)


def _headstock(lathe: Lathe) -> str:
    return lathe.headstock.lever.value if lathe.headstock.lever is not None else ""


def _positions(rows: Sequence[PlateRow | MeasuredRow], headstock: str) -> dict[str, dict[str, Word]]:
    found: dict[str, dict[str, Word]] = {}
    for row in rows:
        for name, position in row.levers.items():
            if name != headstock:
                found.setdefault(name, {}).setdefault(position.value, position)
    return found


class _Reading:
    """One lathe's rows, and what has been made of them so far."""

    def __init__(self, lathe: Lathe, box: Gearbox) -> None:
        self.lathe, self.box = lathe, box
        self.found: list[Diagnostic] = []
        self.plate = Plate()
        self.stated: dict[int, Measure] = {}  # by the number of a row in the plate
        self._said: dict[Setting, Measure] = {}  # combinations that have a row of their own
        self._taken: dict[int, str] = {}  # by the number of a row: why it is not told exactly
        self._alone: dict[Setting, tuple[Fraction, Measure, str]] = {}  # ratios of levers that do not multiply
        self._headstock = _headstock(lathe)

    def _levers(self, row: PlateRow | MeasuredRow) -> Setting:
        return tuple((name, position.value) for name, position in row.levers.items() if name != self._headstock)

    def _train(self, row: PlateRow | MeasuredRow) -> Train:
        return row.wheels or (self.box.plate.wheels if self.box.plate is not None else ())

    # The plate

    def read_plate(self) -> None:
        """Take the rows of the plate: first what is exact, or off by the same share for the same wheels, then rounded leads."""
        plate = self.box.plate
        if plate is None:
            return
        entries = [self._entry(row) for row in plate.rows]
        kept = [each for each in entries if each.strange <= {127}]
        rows = [self._asked(each) for each in kept]
        explanations = [each for each in without_faults(rows, _MOST_WRONG) if each.borne_out >= len(each.wrong)]
        if not explanations:
            self._take_as_they_are(entries)
            return
        wrong = {number for number, _ in explanations[0].wrong}
        for number, each in enumerate(kept):
            if number not in wrong:
                self._take(each, rows[number])
        self._settle_stand_ins([each for number, each in enumerate(kept) if number not in wrong], plate.tolerance.value)
        rounded = [each for each in entries if each not in kept]
        others = [kept[other] for explanation in explanations[1:] for other, _ in explanation.wrong]
        for number in sorted(wrong):
            self._judge(kept[number], others, plate.tolerance.value)
        for each in rounded:
            self._judge(each, [], plate.tolerance.value)

    def _entry(self, row: PlateRow) -> Entry:
        train = self._train(row)
        return entry(row, self._levers(row), train, before_the_box(self.lathe, row, train))

    def _asked(self, each: Entry) -> Row:
        stand_in = ((_STAND_IN, str([str(axis) for axis in faults.wheels_of(each.train)])),) if each.strange else ()
        return Row((*each.levers, *stand_in), each.ratio)

    def _take(self, each: Entry, row: Row, taken: str = "") -> None:
        number = len(self.stated)
        self.plate.add(row, number)
        self.stated[number] = each.row.lead
        if taken:
            self._taken[number] = taken
        self._said.setdefault(each.levers, each.row.lead)

    def _settle_stand_ins(self, entries: Sequence[Entry], tolerance: Fraction) -> None:
        """How far wheels are off that stand in for 127 teeth: as the exact rows say, else so that the ratios come out simple."""
        sets: dict[Setting, list[Entry]] = {}
        for each in entries:
            if each.strange:
                sets.setdefault(self._asked(each).levers[-1:], []).append(each)
        for levers, group in sets.items():
            off = self.plate.ratio(levers)
            if off is None:
                off = _simplest_for(group, tolerance)
                self._take(group[0], Row(levers, off), _near(group[0], off - 1))
                self.found.append(faults.recovered(group[0], [each.ratio / off for each in group], off - 1))
            if abs(off - 1) > tolerance:
                self.found.append(faults.cannot_give(group[0], off - 1, len(group)))

    def _judge(self, each: Entry, others: Sequence[Entry], tolerance: Fraction) -> None:
        """A row that was left aside: near enough to what the others make of it, or wrong; or taken for a simple ratio near it."""
        known = self.plate.ratio(each.levers)
        if known is None and each.strange:
            taken = simplest(each.ratio * (1 - tolerance), each.ratio * (1 + tolerance))
            off = each.ratio / taken - 1
            self._take(each, Row(each.levers, taken), _near(each, off))
            self.found.append(faults.recovered(each, [taken], off))
        elif known is None or abs(each.ratio / known - 1) > tolerance:
            self.found.append(faults.misprint(each, known, self._where_it_fits(each, tolerance), others))

    def _where_it_fits(self, each: Entry, tolerance: Fraction) -> list[Setting]:
        """Combinations of levers at which these wheels make the lead that is printed."""
        fits = []
        for levers in self._combinations():
            ratio = self.plate.ratio(levers)
            if ratio is not None and abs(each.ratio / ratio - 1) <= tolerance:
                fits.append(levers)
        return fits

    def _take_as_they_are(self, entries: Sequence[Entry]) -> None:
        """Levers that do not multiply: each combination has the ratio of its own row, and of no other."""
        assert self.box.plate is not None, "it has rows"
        tolerance = self.box.plate.tolerance.value
        for each in entries:
            before = self._alone.get(each.levers)
            ratio = simplest(each.ratio * (1 - tolerance), each.ratio * (1 + tolerance)) if each.strange else each.ratio
            if before is not None and abs(ratio / before[0] - 1) > tolerance:
                self.found.append(faults.twice(each, before[1]))
            off = each.ratio / ratio - 1
            if off and before is None:
                self.found.append(faults.recovered(each, [ratio], off))
            self._alone.setdefault(each.levers, (ratio, each.row.lead, _near(each, off) if off else ""))
        if not any(fault.severity is Severity.ERROR for fault in self.found):
            self.found.append(faults.not_factored(self.box.plate))

    # Measurements

    def read_measured(self) -> None:
        """Take the measured rows: the simplest ratio that suits, where there is one only."""
        for row in self.box.measured:
            levers, before = self._levers(row), before_the_box(self.lathe, row, self._train(row))
            low, high = ((row.travel.value + side * row.give_or_take.value) / row.turns.value / before for side in (-1, 1))
            known = self._ratio(levers)
            if low <= 0:
                self.found.append(faults.measured_nothing(row))
            elif known is not None:
                if not low <= known <= high:
                    self.found.append(faults.measured_off(row, known * before))
            else:
                suiting = candidates(low, high, _SIMPLE) or candidates(low, high, _NOT_SIMPLE)
                if len(suiting) == 1:
                    number = len(self.stated)
                    self.plate.add(Row(levers, suiting[0]), number)
                    self.stated[number] = row.travel
                    self._taken[number] = "measured: the one simple ratio within the uncertainty"
                else:
                    self.found.append(faults.measure_again(row, suiting, before))

    # What comes of it

    def _ratio(self, levers: Setting) -> Fraction | None:
        known = self._alone.get(levers)
        return known[0] if known is not None else self.plate.ratio(levers)

    def _combinations(self) -> Iterator[Setting]:
        positions = _positions(self.box.stated, self._headstock)
        yield from (tuple(zip(positions, each, strict=True)) for each in product(*positions.values()))

    def _behind(self, levers: Setting) -> tuple[tuple[Measure, ...], str]:
        """The leads and travels that settle a combination (its own lead alone, where it has one), and what was taken for exact."""
        alone, own, rows = self._alone.get(levers), self._said.get(levers), self.plate.rows(levers)
        if alone is not None:
            return (alone[1],), alone[2]
        stated = (own,) if own is not None else tuple(self.stated[number] for number in rows)
        return stated, "; ".join(dict.fromkeys(self._taken[number] for number in rows if number in self._taken))

    def rows(self) -> Iterator[DerivedRow]:
        """A row for each combination that is settled; those that are not are told."""
        words = _positions(self.box.stated, self._headstock)
        unknown: list[Setting] = []
        for levers in self._combinations():
            ratio = self._ratio(levers)
            if ratio is None:
                if not any(_has(levers, entry) for entry in self.box.forbidden):
                    unknown.append(levers)
                continue
            stated, taken = self._behind(levers)
            origin: Origin = replace(stated[0].origin, words=stated[0].text) if stated else self.box.origin
            value = Measure(ratio, "", str(ratio), origin)
            yield DerivedRow(origin, {name: words[name][position] for name, position in levers}, value, stated, taken)
        if unknown:
            self.found.append(faults.unknown((self.box.plate or self.box.measured[0]).origin, unknown))


def _near(each: Entry, off: Fraction) -> str:
    """Why a ratio was taken for a simpler one, for those who ask the sheet."""
    wheels, off_by = train_in_words(each.train), share_in_words(off)
    return f"the wheels {wheels} only come near to the leads printed for them ({off_by} off), so the simplest ratio is taken"


def _has(levers: Setting, forbidden: Mapping[str, Word]) -> bool:
    return all(any(name == other and position.value == at for other, at in levers) for name, position in forbidden.items())


def _simplest_for(entries: Sequence[Entry], tolerance: Fraction) -> Fraction:
    """By what share some wheels are off, so that the ratios of all their rows come out as simple as they can."""
    offs = {each.ratio / simplest(each.ratio * (1 - tolerance), each.ratio * (1 + tolerance)) for each in entries}
    return min(offs, key=lambda off: (sum(_size(each.ratio / off) for each in entries), abs(off - 1), off))


def _size(ratio: Fraction) -> int:
    return ratio.numerator + ratio.denominator
