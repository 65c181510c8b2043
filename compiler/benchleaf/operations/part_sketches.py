"""The workpiece drawn as it stands: its stretches, what is printed at them, and the lengths from the front face."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from benchleaf.operations.work import FAR, Made, Stretch, Work
from benchleaf.record import record
from benchleaf.sheet.drawings import DrawnPlace, DrawnStretch, PartDrawing
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.threads import DesignationError, parse_designation
from benchleaf.units import convert
from benchleaf.workshop.values import Measure

__all__ = ["part_drawing"]

_KINDS = {kind: kind for kind in ("thread", "knurl", "groove", "taper", "chamfer")}
_NUMBER = re.compile(r"(?:(\d+)[ -](?=\d+/))?(\d+/\d+|\d*\.?\d+) *(mm|in\b|\"|inch)?")
_DIAMETER = "\u2300"
_POINT = 1 / math.tan(math.radians(59))  # a drill's point, 118 degrees, for each mm of radius


def part_drawing(work: Work, system: str, *, drawing_id: str = "part_drawing", title: str = "") -> PartDrawing | None:
    """The work as it stands, with its front face to the right; numbers in the system that most sizes are given in, else in ``system``,
    the machine's.

    Where the length is not known the drawing breaks off behind what is worked.  None when no diameter is known, or when nothing
    is worked on work of unknown length.
    """
    known = [size for item in work.outside if (size := item.largest) is not None]
    cut = [item.end for side in (work.outside, work.bore) for item in side if item.kind != "blank" and item.end < FAR]
    worked = max(cut, default=Fraction(0))
    whole = work.length is not None
    if not known or (not whole and worked == 0):
        return None
    widest = max(known)
    length = work.length if work.length is not None else worked + max(worked / 5, widest * 2 / 5)
    outside, bore = (
        _joined(_of_its_kind(item.between(Fraction(0), length)) for item in side if item.start < length)
        for side in (work.outside, work.bore)
    )
    system = _written(work, system)
    say = _Words(length if whole else None, system, _same_chamfers([*outside, *bore]))
    places = [place for place in _shoulders(outside) if place < length or whole]
    holes = [item for item in bore if item.largest]
    solid = {place for place, item in ((Fraction(0), bore[0]), (length, bore[-1])) if not (item.near if place == 0 else item.far)}
    centres = tuple(float(item.place) for item in work.features if item.kind == "centre" and item.place in solid)
    chamfers = f"chamfers {say.chamfers}; " if say.chamfers else ""
    unit = "mm" if system == "metric" else "inches"
    drawn = tuple(_drawn(item, words, widest, "outside") for item, words in zip(outside, _once(outside, say), strict=True))
    said = [item.words for item in drawn if item.words] + [say.inside(item) for item in holes if say.inside(item)]
    return PartDrawing(
        id=drawing_id,
        title=title,
        outside=drawn,
        bore=tuple(_pointed([_drawn(item, say.inside(item), Fraction(0), "inside") for item in bore], bore)) if holes else (),
        length=float(length),
        whole=whole,
        places=tuple(DrawnPlace(float(place), say.length(place)) for place in places),
        centres=centres,
        note=f"{chamfers}{unit}; lengths from the front face",
        alt=f"The part with its front face to the right: {'; '.join(said)}.",
    )


def _written(work: Work, system: str) -> str:
    """The system in which most sizes of the part were written."""
    words = [item.at.text for side in (work.outside, work.bore) for item in side if item.kind != "blank"]
    metric = sum(bool(re.search(r"\d *mm\b", text)) for text in words)
    inch = sum(bool(re.search(r"\d *(?:in\b|\")", text)) for text in words)
    return "metric" if metric > inch else "inch" if inch > metric else system


def _joined(stretches: Iterable[Stretch]) -> list[Stretch]:
    """Neighbours that go on as one surface, made by the same words, are one."""
    joined: list[Stretch] = []
    for item in stretches:
        last = joined[-1] if joined else None
        if last is not None and (last.kind, last.at) == (item.kind, item.at) and last.near == last.far == item.near == item.far:
            joined[-1] = Stretch(last.start, item.end, last.near, last.far, last.kind, last.at)
        else:
            joined.append(item)
    return joined


def _once(outside: Sequence[Stretch], say: _Words) -> list[str]:
    """The words of each stretch; a plain surface that a knurl or groove parts says its size once, where it is longest."""
    words = [say.outside(item) for item in outside]
    longest: dict[tuple[str, Made], int] = {}
    for number, item in enumerate(outside):
        key = words[number], item.at
        if key not in longest or outside[longest[key]].length < item.length:
            longest[key] = number
    plain = [item.kind not in _KINDS for item in outside]
    return [said if not plain[number] or longest[said, outside[number].at] == number else "" for number, said in enumerate(words)]


def _of_its_kind(item: Stretch) -> Stretch:
    """A chamfer on a thread is still of the thread to later steps, and a chamfer to the eye."""
    if item.kind == "thread" and item.near != item.far and isinstance(item.at, Measure):
        return Stretch(item.start, item.end, item.near, item.far, "chamfer", item.at)
    return item


def _shoulders(outside: Sequence[Stretch]) -> list[Fraction]:
    """Where a length is given: every end of a stretch but that of a chamfer on its own surface."""
    ends = [
        before.end
        for before, after in pairwise(outside)
        if not ("chamfer" in (before.kind, after.kind) and before.far == after.near)
    ]
    return [*ends, outside[-1].end]


def _same_chamfers(stretches: Sequence[Stretch]) -> str:
    """The words of the chamfers where there are several and all are alike; else ''."""
    words = [_chamfer(item) for item in stretches if item.kind == "chamfer"]
    return words[0] if len(words) > 1 and len(set(words)) == 1 else ""


def _chamfer(item: Stretch) -> str:
    if item.near is None or item.far is None:
        return ""
    angle = round(math.degrees(math.atan2(abs(float(item.far - item.near)) / 2, float(item.length))))
    return f"{_plain(item.length, 2)} x {angle}\u00b0"


def _plain(value: Fraction, places: int) -> str:
    """A number without noughts at its end."""
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


@record
class _Words:
    """What is printed.  ``end`` is the length of the work, None when it is not known; ``chamfers`` what is said of all chamfers at once."""

    end: Fraction | None
    system: str
    chamfers: str

    def length(self, mm: Fraction) -> str:
        """A length, to what a caliper reads."""
        return _plain(mm, 2) if self.system == "metric" else _plain(convert(mm, "mm", "in"), 3)

    def size(self, item: Stretch) -> str:
        """A diameter, in the words that ask for it where they are a size ('24 h7'), else as a number."""
        if item.near is None:
            return f"{_DIAMETER} not said"
        words = item.at.text
        found = _NUMBER.match(words)
        asked = item.at.value == item.near if isinstance(item.at, Measure) else found is not None and _close(found, item.near)
        if asked and item.near == item.far:
            unit = " mm" if self.system == "metric" else " in"
            return f"{_DIAMETER}{words.replace(unit, '', 1)}"
        places = 1 if item.kind == "knurl" else 3  # a knurl rises by what it likes
        number = _plain(item.near, places) if self.system == "metric" else _plain(convert(item.near, "mm", "in"), places + 1)
        return f"{_DIAMETER}{number}"

    def outside(self, item: Stretch) -> str:
        """What is printed at a stretch of the outside."""
        match item.kind:
            case "thread":
                return item.at.text
            case "chamfer":
                return "" if self.chamfers else _chamfer(item)
            case "knurl":
                return f"{self.size(item)} knurled"
            case "groove":
                return f"{self.size(item)}, {self.length(item.length)} wide"
            case "blank":
                return self.size(item) if item.near is None else f"{self.size(item)} blank"
        return self._taper(item) if item.near != item.far else self.size(item)

    def inside(self, item: Stretch) -> str:
        """What is printed at a stretch of the bore, with how deep it is."""
        if not item.largest:
            return ""
        if item.kind == "chamfer":
            return "" if self.chamfers else _chamfer(item)
        words = item.at.text if item.kind == "thread" else self._taper(item) if item.near != item.far else self.size(item)
        if item.kind == "groove":
            return f"{words}, {self.length(item.length)} wide"
        through = self.end is not None and item.end >= self.end
        if item.start == 0:
            return f"{words} through" if through else f"{words}, {self.length(item.end)} deep"
        return f"{words} from {self.length(item.start)}" if through else f"{words}, {self.length(item.start)} to {self.length(item.end)}"

    def _taper(self, item: Stretch) -> str:
        ends = [self.size(Stretch(item.start, item.end, size, size, item.kind, item.at)) for size in (item.near, item.far)]
        return f"taper {ends[0]} to {ends[1]}"


def _close(found: re.Match[str], diameter: Fraction) -> bool:
    """Whether words begin with a size that is this diameter, but for a fit's deviation."""
    whole, part, unit = found.groups()
    try:
        value = Fraction(part) + int(whole or 0)
    except ZeroDivisionError:
        return False
    value *= Fraction(127, 5) if unit in ("in", '"', "inch") else 1
    return abs(value - diameter) <= max(diameter / 50, Fraction(1, 5))


def _drawn(item: Stretch, words: str, unknown: Fraction, side: str) -> DrawnStretch:
    near, far = (unknown if size is None else size for size in (item.near, item.far))
    kind = _KINDS.get(item.kind, "plain" if near == far else "taper")
    thread = Fraction(0)
    if kind == "thread":
        near, far, thread = _thread(item.at.text, near, far, side)
    return DrawnStretch(
        float(item.start), float(item.end), float(near), float(far), kind, words, float(thread), item.near is not None or side == "inside"
    )


def _thread(words: str, near: Fraction, far: Fraction, side: str) -> tuple[Fraction, Fraction, Fraction]:
    """Crest diameters at both ends, and the root's; 0 for a root that is not known."""
    try:
        thread = parse_designation(words)
    except DesignationError:
        return near, far, Fraction(0)
    if side == "outside":
        return near, far, thread.root_diameter if thread.root_diameter < near else Fraction(0)
    crests = [min(size, thread.minor_diameter) if size >= thread.major else size for size in (near, far)]
    return crests[0], crests[1], thread.major if thread.major > crests[0] else Fraction(0)


def _pointed(drawn: Sequence[DrawnStretch], bore: Sequence[Stretch]) -> list[DrawnStretch]:
    """Blind drilled holes end in the cone that a drill leaves."""
    out: list[DrawnStretch] = []
    for item, real, after in zip(drawn, bore, [*drawn[1:], None], strict=True):
        last = out[-1] if out else None
        if last is not None and last.end > item.start:
            out.append(DrawnStretch(last.end, item.end, item.near, item.far, item.kind, item.words, item.thread, item.known))
            continue
        out.append(item)
        if real.kind == "drilled" and after is not None and after.near == 0 and item.far > 0:
            deep = min(item.far / 2 * _POINT, (after.end - after.start) * 0.9)
            out.append(DrawnStretch(item.end, item.end + deep, item.far, item.far * (1 - deep / (item.far / 2 * _POINT)), "chamfer", ""))
    return out
