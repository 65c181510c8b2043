"""A shaper on its own: names said once, rates that differ, sizes that can all be true together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import pairwise

from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.workshop.checks import check_dial, choices, named, not_above, twice
from benchleaf.workshop.shaper import Crank, Rate, Shaper, ShaperReading
from benchleaf.workshop.values import Measure, Text

__all__ = ["check_shaper"]

# Sizes taken with a rule and a caliper on an old machine agree about as well as this, mm and share.
_INCH = Fraction(127, 5)
_SLACK, _SHARE = Fraction(2), Fraction(3, 100)
_WITHOUT_LENGTH = ("ram shake", "clapper shake")
_OF_VICES = ("jaw along the stroke", "jaw across the stroke", "jaw upright", "vice bed")


def check_shaper(shaper: Shaper) -> list[Diagnostic]:
    """Everything that can be judged of a shaper's file beyond its shape."""
    found = list(twice(shaper.holding_names, "ways of holding work"))
    ram, table = shaper.ram, shaper.table
    found += not_above(ram.shortest_stroke, ram.longest_stroke, "the longest stroke is less than the shortest")
    for dial in (table.cross.dial, table.vertical.dial, shaper.head.dial):
        found += check_dial(dial)
    for head in shaper.index_heads:
        message = f"the largest work that the {named(head.name.value)} holds is less than the smallest"
        found += not_above(head.holds_from, head.holds_to, message)
    found += [*_drive(shaper), *_rates(shaper.rates), *_space(shaper), *_readings(shaper)]
    return found


def _drive(shaper: Shaper) -> Iterator[Diagnostic]:
    drive, ram = shaper.ram.drive, shaper.ram
    for ratio in (drive.ratio, drive.hydraulic):
        if ratio is not None and ratio.value < 1:
            yield Diagnostic(
                "shaper/ratio", f"with a ratio of {ratio.text} the ram cuts faster than it returns", ratio.origin.span,
                hints=("cutting time comes first: `3:2` where the cut takes one and a half times as long as the return",),
            )  # fmt: skip
    crank = drive.crank
    if crank is None:
        return
    swapped = list(not_above(crank.least_radius, crank.largest_radius, "the largest crank radius is less than the least"))
    if swapped:
        yield from swapped
        return
    reach = _radius(crank, ram.longest_stroke.value) if crank.largest_radius is None else crank.largest_radius.value
    if reach >= crank.centre_distance.value:
        yield Diagnostic(
            "shaper/crank-pivot", "the crank pin would reach the pivot of the link, which then cannot rock",
            crank.centre_distance.origin.span,
            hints=("measure the centre distance from the bull gear's axis to the link's pivot, and the radius from that axis to the pin",),
            related=((ram.longest_stroke.origin.span, "the longest stroke"),),
        )  # fmt: skip
        return
    yield from _stroke(crank, crank.largest_radius, ram.longest_stroke, ram.longest_stroke.value)
    yield from _stroke(crank, crank.least_radius, ram.shortest_stroke, ram.longest_stroke.value)


def _radius(crank: Crank, stroke: Fraction) -> Fraction:
    return stroke * crank.centre_distance.value / (2 * crank.link_length.value)


def _stroke(crank: Crank, radius: Measure | None, stroke: Measure, longest: Fraction) -> Iterator[Diagnostic]:
    if radius is None:
        return
    given = 2 * crank.link_length.value * radius.value / crank.centre_distance.value
    if abs(given - stroke.value) > _SLACK + _SHARE * longest:
        message = f"a crank radius of {radius.text} gives a stroke of about {_about(given, stroke.system)}, not {stroke.text}"
        yield Diagnostic(
            "shaper/crank-stroke", message, radius.origin.span, notes=("stroke = 2 x link length x crank radius / centre distance",),
            hints=("measure the crank again, or leave the radius out",), related=((stroke.origin.span, "the stroke"),),
        )  # fmt: skip


def _about(length: Fraction, system: str) -> str:
    """A length to a millimetre or a tenth of an inch, as the other was written."""
    tenths = round(length / _INCH * 10)
    return f"{tenths // 10}.{tenths % 10} in" if system == "inch" else f"{round(length)} mm"


def _rates(rates: tuple[Rate, ...]) -> Iterator[Diagnostic]:
    seen: dict[Fraction, Rate] = {}
    settings: dict[tuple[tuple[str, str], ...], Rate] = {}
    levers = dict.fromkeys(name for rate in rates for name in rate.set)
    for rate in rates:
        span = rate.rate.origin.span
        before = seen.setdefault(rate.rate.value, rate)
        if before is not rate:
            yield Diagnostic(
                "shaper/rate-twice", f"the rate of {rate.rate.text} is listed twice", span,
                hints=("count the strokes of both settings again; if both give it, keep the one you like",),
                related=((before.rate.origin.span, "the first one"),),
            )  # fmt: skip
        alike = settings.setdefault(_setting(rate.set), rate)
        if rate.set and alike is not rate:
            yield Diagnostic(
                "shaper/setting-twice", f"{rate.rate.text} and {alike.rate.text} are set alike", span,
                hints=("one of the two stands at another position",), related=((alike.rate.origin.span, "set the same way"),),
            )  # fmt: skip
        missing = [name for name in levers if name not in rate.set]
        if rate.set and missing:
            yield Diagnostic(
                "shaper/setting-incomplete", f"the setting for {rate.rate.text} does not say where {named(missing[0])} stands", span,
                hints=("name every belt and lever that another rate names",),
            )  # fmt: skip
    for slow, fast in pairwise(rates):
        if slow.rate.value > fast.rate.value:
            yield Diagnostic(
                "shaper/rate-order", f"{fast.rate.text} stands after {slow.rate.text}, which is faster", fast.rate.origin.span,
                Severity.WARNING, hints=("list the rates from slow to fast, so that a slip shows",),
            )  # fmt: skip


def _setting(levers: Mapping[str, Text]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted((name, position.value) for name, position in levers.items()))


def _space(shaper: Shaper) -> Iterator[Diagnostic]:
    space, travel = shaper.space, shaper.table.vertical.travel
    yield from not_above(space.under_ram_least, space.under_ram, "the room under the ram is more with the table up than with it down")
    if space.under_ram_least is not None:
        risen = space.under_ram.value - space.under_ram_least.value
        if risen >= 0 and abs(risen - travel.value) > _SLACK + _SHARE * travel.value:
            yield Diagnostic(
                "shaper/table-travel",
                f"between {space.under_ram.text} and {space.under_ram_least.text} under the ram the table does not move {travel.text}",
                travel.origin.span, hints=("measure all three again: room with the table down = room with it up + travel",),
                related=((space.under_ram_least.origin.span, "with the table up"),),
            )  # fmt: skip
    room = space.under_ram.value - (space.head_below_ram.value if space.head_below_ram is not None else 0)
    heights = [(vice.name, vice.height, vice.height.value + vice.jaw_depth.value) for vice in shaper.vices]
    heights += [(head.name, head.centre_height, head.centre_height.value) for head in shaper.index_heads]
    for name, size, height in heights:
        if height >= room:
            yield Diagnostic(
                "shaper/no-room", f"the {named(name.value)} does not go under the ram even with the table down", size.origin.span,
                related=((space.under_ram.origin.span, "the room there is"),), hints=("one of the two sizes is mistyped",),
            )  # fmt: skip


def _readings(shaper: Shaper) -> Iterator[Diagnostic]:
    vices = [vice.name.value for vice in shaper.vices]
    for reading in shaper.readings:
        yield from _of(reading, vices)
        if reading.over is None and reading.what.value not in _WITHOUT_LENGTH:
            message = f"the reading of the {reading.what.value} does not say over which length it was taken"
            yield Diagnostic("shaper/reading-over", message, reading.origin.span, hints=("add `over`, the length that the indicator ran",))


def _of(reading: ShaperReading, vices: list[str]) -> Iterator[Diagnostic]:
    if reading.of is not None and reading.of.value not in vices:
        message = f"this shaper has no vice {named(reading.of.value)}"
        yield Diagnostic("shaper/reading-of", message, reading.of.origin.span, hints=choices(reading.of.value, vices, "vices"))
    elif reading.of is None and reading.what.value in _OF_VICES and len(vices) != 1:
        message = f"the reading of the {reading.what.value} does not say of which vice it is"
        yield Diagnostic("shaper/reading-of", message, reading.origin.span, hints=choices("", vices, "vices"))
