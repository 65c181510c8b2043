"""Pass plans for single-point threading: equal chips as far as tool and work allow.

All depths are radial (straight in), mm, from the blank's surface.  The plan's running totals are what counts: they are what gets
rounded to a dial, so that rounding never adds up.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor

from benchleaf.record import record
from benchleaf.standards.infeed import SHARP, Tip, chip_area, depth_for_area
from benchleaf.standards.speeds import material_group
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "EQUAL_CHIPS", "Cut", "PassAdvice", "PassPlan", "advise_passes", "cuts_for_first", "plan_by_practice",
    "plan_passes",
]  # fmt: skip

EQUAL_CHIPS = Rule(
    "running totals of infeed that remove equal areas of the groove's section (with the tip's real width), no cut above the largest "
    "or below the least allowed",
    "equal chip area, plane geometry", "derived",
)  # fmt: skip
_FINE = 10**15  # depths are worked to a millionth of a nanometre: far below any dial, and short enough to reckon with


@record
class Cut:
    """One pass: ``depth`` is the running total, ``step`` what this pass adds (0 for a spring pass), mm; ``area`` of the chip, mm2."""

    number: int
    depth: Fraction
    step: Fraction
    area: Fraction
    spring: bool = False


@record
class PassPlan:
    """The passes in order, spring passes last.  The last running total is exactly ``infeed``.

    ``clamped`` tells whether a limit bent the equal chips.
    """

    cuts: tuple[Cut, ...]
    infeed: Fraction
    half_angle: Fraction
    tip: Tip
    least: Fraction
    clamped: bool
    rule: Rule = EQUAL_CHIPS

    @property
    def cutting(self) -> tuple[Cut, ...]:
        """The passes that feed in."""
        return tuple(cut for cut in self.cuts if not cut.spring)


@record
class PassAdvice:
    """What practice says of a pitch, a tool and a material: ``fewest`` to ``most`` cuts, the largest ``first`` cut, the ``least`` that
    does not rub, a usual ``last`` cut, all radial mm, and ``spring`` passes as (from, to)."""

    fewest: int
    most: int
    first: Fraction
    least: Fraction
    last: tuple[Fraction, Fraction]
    spring: tuple[int, int]
    rule: Rule


def advise_passes(pitch: Fraction, tool: str, material: str, *, inside: bool = False) -> PassAdvice:
    """Practice for a pitch (mm), a tool ('HSS', 'carbide', 'carbon steel') and a material (a group's name or alias).

    Between the tabled pitches in proportion; finer and coarser ones scale the end rows.  The material's factor multiplies the number of
    cuts and divides the first; inside, first cuts are about 0.7 of those outside and up to three more are needed.  Raises LookupError
    for a material or tool that is not known.  Source: the rows of the threading practice table.
    """
    group, limits = material_group(material), next(iter(table("threading", "tools").where("tool", tool)), None)
    if group is None or limits is None:
        raise LookupError(f"no threading practice for {material} with {tool}")
    habits = {row.text("id"): row for row in table("threading", "habits").rows}
    rows = table("threading", "passes").where("tool", "carbide" if tool == "carbide" else "HSS")
    low, high, share = _neighbours(rows, pitch)

    def between(reader: Callable[[Row], Fraction]) -> Fraction:
        return reader(low) + (reader(high) - reader(low)) * share

    scale = max(Fraction(1), pitch / rows[-1].number("pitch"))
    fewest = floor(between(lambda row: row.span("count")[0]) * group.passes * scale)
    most = ceil(between(lambda row: row.span("count")[1]) * group.passes * scale) + (3 if inside else 0)
    first = between(lambda row: row.number("first")) / group.passes * min(Fraction(1), pitch / rows[0].number("pitch"))
    first = min(first * (habits["inside_depth"].number("use") if inside else 1), limits.number("largest"))
    spring = limits.span("spring_inside" if inside else "spring")
    least = limits.number("least")
    rule = Rule("practice table by pitch and tool, x the material's factor", low.source, low.status)
    return PassAdvice(max(fewest, 1), most, max(first, least), least, limits.span("last"), (int(spring[0]), int(spring[1])), rule)


def _neighbours(rows: tuple[Row, ...], pitch: Fraction) -> tuple[Row, Row, Fraction]:
    """The rows on either side of a pitch, and how far it stands from the first to the second; the end row twice beyond the table."""
    below = [row for row in rows if row.number("pitch") <= pitch]
    above = [row for row in rows if row.number("pitch") >= pitch]
    low, high = (below or above)[-1 if below else 0], (above or below)[0 if above else -1]
    span = high.number("pitch") - low.number("pitch")
    return low, high, (pitch - low.number("pitch")) / span if span else Fraction(0)


def cuts_for_first(infeed: Fraction, half_angle: Fraction, tip: Tip, largest: Fraction) -> int:
    """How many equal chips make the groove when none is larger than that of a first cut ``largest`` deep.

    n = A(infeed) / A(largest), rounded up.  Source: equal chip area.  Raises ValueError unless both depths are above nought.
    """
    if infeed <= 0 or largest <= 0:
        raise ValueError("infeed and first cut are above nought")
    return max(1, ceil(chip_area(infeed, half_angle, tip) / chip_area(largest, half_angle, tip)))


def plan_by_practice(
    infeed: Fraction, half_angle: Fraction, tip: Tip, advice: PassAdvice,
    *, first: Fraction | None = None, last: Fraction | None = None, spring: int = 0,
) -> PassPlan:  # fmt: skip
    """A plan with as many cuts as equal chips want under the advised first cut, kept within the advised number of cuts.

    Wishes for the ``first`` and ``last`` cut are kept.  Raises ValueError where they contradict each other.  Source: as
    :func:`plan_passes` and :func:`advise_passes`.
    """
    largest = max(advice.first, first or Fraction(0))
    ends = [wish for wish in (first, last) if wish is not None]
    rest = infeed - sum(ends)
    wanted = min(max(cuts_for_first(infeed, half_angle, tip, min(largest, infeed)), advice.fewest), advice.most)
    inner = max(min(wanted - len(ends), floor(rest / advice.least)), ceil(rest / largest))
    least = min(advice.least, rest / max(inner, 1))
    count = inner + len(ends)
    return plan_passes(infeed, half_angle, tip, count=count, first=first, last=last, largest=largest, least=least, spring=spring)


def plan_passes(
    infeed: Fraction,
    half_angle: Fraction,
    tip: Tip = SHARP,
    *,
    count: int | None = None,
    first: Fraction | None = None,
    last: Fraction | None = None,
    largest: Fraction | None = None,
    least: Fraction = Fraction(0),
    spring: int = 0,
) -> PassPlan:
    """Split a total infeed into passes of equal chip area.

    ``first`` and ``last`` are depths the user wants for those cuts.  ``largest`` bounds every cut from above and ``least`` from below:
    a cut that equal chips would make deeper or thinner is held at that bound and the others share the rest.  Without ``count``, the
    number is the fewest for which equal chips stay at or under ``largest`` (or ``first``), less if the cuts would fall under
    ``least``; with neither, ValueError.

    Raises ValueError when the wishes contradict each other (``count`` cuts cannot make the depth within the bounds).
    Source: equal chip area with the tip's real section; for a sharp tip the running totals are infeed x sqrt(i / n).
    """
    if infeed <= 0 or least < 0 or spring < 0 or any(wish is not None and wish <= 0 for wish in (first, last, largest)):
        raise ValueError("depths are above nought")
    ends = [wish for wish in (first, last) if wish is not None]
    bound = largest if largest is not None else infeed
    if count is None:
        count = _count(infeed, half_angle, tip, first if first is not None else largest, bound, least, ends)
    inner = count - len(ends)
    start, stop = first or Fraction(0), infeed - (last or Fraction(0))
    if count < 1 or inner < 0 or stop < start or (inner == 0) != (start == stop):
        if not (count == 1 and all(wish == infeed for wish in ends)):
            raise ValueError(f"{count} cuts cannot make this depth with the first and last that are wanted")
        inner, start, stop, first, last = 0, infeed, infeed, infeed, None
    if not inner * least <= stop - start <= inner * bound:
        raise ValueError(f"{count} cuts cannot make this depth within the largest and least cut")
    totals, clamped = _between(start, stop, inner, half_angle, tip, bound, least)
    totals = ([first] if first is not None else []) + totals + ([infeed] if last is not None else [])
    return PassPlan(_cuts(totals, half_angle, tip, spring), infeed, half_angle, tip, least, clamped)


def _count(
    infeed: Fraction, half_angle: Fraction, tip: Tip, deepest: Fraction | None, bound: Fraction, least: Fraction, ends: list[Fraction]
) -> int:
    """The fewest cuts whose equal chips respect ``deepest``, within what ``least`` and the wanted ends leave room for."""
    if deepest is None:
        raise ValueError("a number of cuts or a largest cut is needed")
    rest = infeed - sum(ends)
    if rest < 0:
        raise ValueError("the first and last cut together are more than the depth")
    if rest == 0:
        return len(ends)
    wanted = cuts_for_first(infeed, half_angle, tip, min(deepest, infeed))
    inner = max(wanted - len(ends), ceil(rest / bound), 1)
    return len(ends) + (min(inner, max(floor(rest / least), 1)) if least else inner)


def _between(
    start: Fraction, stop: Fraction, count: int, half_angle: Fraction, tip: Tip, largest: Fraction, least: Fraction
) -> tuple[list[Fraction], bool]:
    """Running totals of ``count`` cuts from one depth to another, the last exactly there; and whether a bound bent them."""
    if count == 0:
        return [], False
    held = 0  # equal chips get thinner on the way in: the cuts that are too deep come first
    while held < count:
        first = [start + largest * place for place in range(1, held + 1)]
        rest = _equal_chips(first[-1] if first else start, stop, count - held, half_angle, tip)
        steps = _steps([*first, *rest], start)
        if all(least <= step <= largest for step in steps):
            return [*first, *rest], held > 0
        if steps[held] <= largest:
            break  # others are too thin: both bounds bear
        held += 1

    def totals(chip: Fraction) -> list[Fraction]:
        reached, depth, area = [], start, chip_area(start, half_angle, tip)
        for _ in range(count):
            ideal, area = depth_for_area(area + chip, half_angle, tip), area + chip
            bounded = min(max(ideal, depth + least), depth + largest)
            depth = _trim(bounded)
            if bounded != ideal:
                area = _trim(chip_area(depth, half_angle, tip))
            reached.append(depth)
        return reached

    all_held = chip_area(stop, half_angle, tip) - chip_area(stop - largest, half_angle, tip)  # a chip that no cut can take whole
    reached = totals(_common_chip(lambda chip: totals(chip)[-1] - stop, all_held))
    # What the search left over (under 1e-12 mm) goes to the first cut that no bound holds.
    left = stop - reached[-1]
    free = (place for place, step in enumerate(_steps(reached, start)) if least <= step + left <= largest)
    place = next(free, count - 1)
    return [*reached[:place], *(depth + left for depth in reached[place:])], True


def _equal_chips(start: Fraction, stop: Fraction, count: int, half_angle: Fraction, tip: Tip) -> list[Fraction]:
    low, high = (chip_area(depth, half_angle, tip) for depth in (start, stop))
    return [_trim(depth_for_area(low + (high - low) * place / count, half_angle, tip)) for place in range(1, count)] + [stop]


def _common_chip(miss: Callable[[Fraction], Fraction], large: Fraction) -> Fraction:
    """The chip for which ``miss`` (depth reached less depth wanted, rising) is nought: false position with halving, from 0 to ``large``."""
    small, low, high = Fraction(0), miss(Fraction(0)), miss(large)
    side = 0
    while low < 0 < high:
        middle = _trim(small + (large - small) * low / (low - high))
        found = miss(middle)
        if abs(found) * 10**12 < 1 or not small < middle < large:
            return middle
        if found < 0:
            small, low, high = middle, found, high / 2 if side < 0 else high
            side = -1
        else:
            large, high, low = middle, found, low / 2 if side > 0 else low
            side = 1
    return small if low >= 0 else large


def _steps(totals: list[Fraction], start: Fraction = Fraction(0)) -> list[Fraction]:
    return [depth - before for before, depth in zip([start, *totals], totals, strict=False)]


def _trim(value: Fraction) -> Fraction:
    return Fraction(round(value * _FINE), _FINE)


def _cuts(totals: list[Fraction], half_angle: Fraction, tip: Tip, spring: int) -> tuple[Cut, ...]:
    areas = [chip_area(depth, half_angle, tip) for depth in totals]
    rows = zip(totals, _steps(totals), _steps(areas), strict=True)
    cuts = [Cut(number, depth, step, area) for number, (depth, step, area) in enumerate(rows, 1)]
    last = cuts[-1]
    return (*cuts, *(Cut(last.number + extra, last.depth, Fraction(0), Fraction(0), True) for extra in range(1, spring + 1)))
