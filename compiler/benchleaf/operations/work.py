"""The workpiece as it stands between two steps: its outside and its bore along the axis, and what is finished on it.

Places are measured in mm from the front face, the end that faces the tailstock, towards the headstock.  An unknown length is taken as
very long, so that sums need no special case; an unknown diameter is None, and nothing can be judged where it matters.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchleaf.record import record
from benchleaf.workshop.job import Blank
from benchleaf.workshop.values import Flag, Measure, Number, Origin, Word

__all__ = ["FAR", "FINISHED", "SHAPED", "Feature", "Made", "Stretch", "Work", "diameter_at"]

Made = Measure | Word | Number | Flag
FAR = Fraction(10**6)  # mm: where a work of unknown length ends
FINISHED = frozenset({"thread", "knurl", "taper", "fit"})  # kinds of surface that a later cut must not touch
SHAPED = ("flat", "flats", "keyway")  # what a shaper cuts into a surface that stays round beside it


@record
class Stretch:
    """A stretch of one surface: ``near`` is its diameter at ``start``, ``far`` at ``end`` (mm; both None when unknown), ``kind`` how it
    was made ('blank', 'turned', 'bored', 'drilled', 'reamed', 'groove', 'chamfer', one of :data:`FINISHED` or :data:`SHAPED`), ``at`` the
    words that made it so."""

    start: Fraction
    end: Fraction
    near: Fraction | None
    far: Fraction | None
    kind: str
    at: Made

    @property
    def largest(self) -> Fraction | None:
        """Its larger diameter, mm."""
        return None if self.near is None or self.far is None else max(self.near, self.far)

    @property
    def smallest(self) -> Fraction | None:
        """Its smaller diameter, mm."""
        return None if self.near is None or self.far is None else min(self.near, self.far)

    @property
    def length(self) -> Fraction:
        """Its length, mm."""
        return self.end - self.start

    def between(self, start: Fraction, end: Fraction) -> Stretch:
        """The part of it that lies between two places, which must overlap it."""
        start, end = max(start, self.start), min(end, self.end)
        return Stretch(start, end, diameter_at(self, start), diameter_at(self, end), self.kind, self.at)

    def moved(self, by: Fraction) -> Stretch:
        """The same stretch when the front face lies ``by`` mm nearer to it."""
        end = self.end if self.end == FAR else self.end - by
        return Stretch(self.start - by, end, self.near, self.far, self.kind, self.at)

    def turned_round(self, length: Fraction) -> Stretch:
        """The same stretch seen from the other end of a work of that length."""
        return Stretch(length - self.end, length - self.start, self.far, self.near, self.kind, self.at)


def diameter_at(stretch: Stretch, place: Fraction) -> Fraction | None:
    """The diameter of a stretch at a place inside it, mm."""
    near, far = stretch.near, stretch.far
    if near is None or far is None or near == far:
        return near
    return near + (far - near) * (place - stretch.start) / stretch.length


@record
class Feature:
    """Something on the work that is no surface of its own: 'centre' (a centre hole) at a place."""

    kind: str
    place: Fraction
    at: Made


class Work:
    """The workpiece in the course of a route.  Operations ask it what is there and tell it what they have cut.

    ``outside`` and ``bore`` are stretches from front to back without gaps; a bore stretch of diameter 0 is solid metal.  What a shaper
    has cut into them stands in ``shaped``, with its side: the round beside a flat or keyway is still there.  ``height`` is that of a
    block, as it lies and as the words made it; None for a round.
    """

    def __init__(self, blank: Blank) -> None:
        self.blank = blank
        self.length: Fraction | None = blank.length.value if blank.length else None
        self._length_said: Made | None = blank.length
        self.features: list[Feature] = []
        self.parted: Made | None = None
        self.shaped: list[tuple[str, Stretch]] = []
        self.height: Measure | None = blank.height
        nothing = Word("not said", Origin("blank", blank.origin.span))
        end = self.end
        around = blank.outside.value if blank.outside else None
        hole = blank.bore.value if blank.bore else None
        self.outside: tuple[Stretch, ...] = (Stretch(Fraction(0), end, around, around, "blank", blank.outside or nothing),)
        self.bore: tuple[Stretch, ...] = (Stretch(Fraction(0), end, hole, hole, "blank", blank.bore or nothing),)

    @property
    def end(self) -> Fraction:
        """Where the work ends, mm from the front face; :data:`FAR` when its length is not known."""
        return FAR if self.length is None else self.length

    @property
    def overall(self) -> Measure | None:
        """Its length with the words that give it; None when it is not known."""
        said = self._length_said
        if self.length is None or said is None:
            return None
        return said if isinstance(said, Measure) and said.value == self.length else Measure(self.length, "mm", said.text, said.origin)

    def surface(self, side: str) -> tuple[Stretch, ...]:
        """The stretches of the 'outside' or the 'inside'."""
        return self.bore if side == "inside" else self.outside

    def over(self, side: str, start: Fraction, end: Fraction) -> tuple[Stretch, ...]:
        """What lies between two places on one side, cut to size; nothing when they lie beyond the work."""
        return tuple(item.between(start, end) for item in self.surface(side) if item.start < end and item.end > start)

    def largest(self, side: str, start: Fraction, end: Fraction) -> Stretch | None:
        """The stretch with the largest known diameter between two places; None when none is known."""
        known = [item for item in self.over(side, start, end) if item.largest is not None]
        return max(known, key=lambda item: item.largest or 0, default=None)

    def smallest(self, side: str, start: Fraction, end: Fraction) -> Stretch | None:
        """The stretch with the smallest known diameter between two places; None when none is known."""
        known = [item for item in self.over(side, start, end) if item.smallest is not None]
        return min(known, key=lambda item: item.smallest or 0, default=None)

    def measure(self, side: str, start: Fraction, end: Fraction) -> Measure | None:
        """The diameter that a cut between two places starts from, with the words that made it: the largest outside, the smallest inside;
        None when it is not known or there is no hole."""
        found = self.smallest(side, start, end) if side == "inside" else self.largest(side, start, end)
        value = None if found is None else found.smallest if side == "inside" else found.largest
        if found is None or not value:
            return None
        if isinstance(found.at, Measure) and found.at.value == value:
            return found.at
        return Measure(value, "mm", found.at.text, found.at.origin)

    def hole(self, start: Fraction, end: Fraction) -> Measure | None:
        """The bore between two places, smallest first; None where part of it is solid or not known."""
        return self.measure("inside", start, end) if all(item.smallest for item in self.over("inside", start, end)) else None

    def cut(
        self, side: str, start: Fraction, end: Fraction, near: Fraction | None, kind: str, at: Made, *, far: Fraction | None = None
    ) -> None:
        """Write down a surface that was made: ``near`` the diameter at ``start``, ``far`` at ``end`` (the same when not given).

        A thread leaves the chamfers that it starts and ends in.
        """
        end = min(end, self.end)
        if end <= start:
            return
        if kind == "thread":
            for item in self.over(side, start, end):
                if item.kind != "chamfer":
                    self._replace(side, Stretch(item.start, item.end, near, near if far is None else far, kind, at))
            return
        self._replace(side, Stretch(start, end, near, near if far is None else far, kind, at))

    def _replace(self, side: str, new: Stretch) -> None:
        start, end = new.start, new.end
        kept = [
            piece
            for item in self.surface(side)
            for piece in (
                [item]
                if item.end <= start or item.start >= end
                else [item.between(*ends) for ends in ((item.start, start), (end, item.end)) if ends[0] < ends[1]]
            )
        ]
        stretches = tuple(sorted([*kept, new], key=lambda item: item.start))
        if side == "inside":
            self.bore = stretches
        else:
            self.outside = stretches

    def finished(self, side: str, start: Fraction, end: Fraction) -> Stretch | None:
        """The first finished surface (thread, knurl, taper, fit, or what a shaper has cut) that lies between two places."""
        done = next((item for item in self.over(side, start, end) if item.kind in FINISHED), None)
        return done if done is not None else next(iter(self.shaped_over(side, start, end)), None)

    def shaped_over(self, side: str, start: Fraction, end: Fraction) -> tuple[Stretch, ...]:
        """Flats and keyways that reach between two places on one side."""
        return tuple(item for where, item in self.shaped if where == side and item.start < end and item.end > start)

    def shape(self, side: str, start: Fraction, end: Fraction, across: Fraction, kind: str, at: Made) -> None:
        """Write down flats or a keyway: ``across`` is what is measured over it, mm."""
        self.shaped.append((side, Stretch(start, min(end, self.end), across, across, kind, at)))

    def face_off(self, amount: Fraction) -> None:
        """The front face was cut back by so much: all places now count from the new face."""
        self.outside = _front(self.outside, amount)
        self.bore = _front(self.bore, amount)
        self.shaped = [(side, _front((item,), amount)[0]) for side, item in self.shaped if item.end > amount]
        self.features = [Feature(item.kind, item.place - amount, item.at) for item in self.features if item.place >= amount]
        if self.length is not None:
            self.length -= amount

    def turn_round(self) -> None:
        """The other end now faces the tailstock.  Raises ValueError when the length is not known."""
        if self.length is None:
            raise ValueError("a work of unknown length cannot be turned end for end")
        length = self.length
        self.outside = tuple(item.turned_round(length) for item in reversed(self.outside))
        self.bore = tuple(item.turned_round(length) for item in reversed(self.bore))
        self.shaped = [(side, item.turned_round(length)) for side, item in self.shaped]
        self.features = [Feature(item.kind, length - item.place, item.at) for item in self.features]

    def part_off(self, length: Fraction, at: Made) -> None:
        """All beyond ``length`` mm from the front face is cut off."""
        self.outside = tuple(item.between(Fraction(0), length) for item in self.outside if item.start < length)
        self.bore = tuple(item.between(Fraction(0), length) for item in self.bore if item.start < length)
        self.shaped = [(side, item.between(Fraction(0), length)) for side, item in self.shaped if item.start < length]
        self.features = [item for item in self.features if item.place <= length]
        self.length, self.parted, self._length_said = length, at, at

    def has(self, kind: str, place: Fraction = Fraction(0)) -> Feature | None:
        """The feature of that kind at a place, or None."""
        return next((item for item in self.features if item.kind == kind and item.place == place), None)

    def add(self, kind: str, at: Made, place: Fraction = Fraction(0)) -> None:
        """Write down a feature that was made."""
        self.features.append(Feature(kind, place, at))


def _front(stretches: Iterable[Stretch], amount: Fraction) -> tuple[Stretch, ...]:
    return tuple(item.between(amount, item.end).moved(amount) for item in stretches if item.end > amount)
