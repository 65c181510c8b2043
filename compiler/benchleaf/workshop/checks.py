"""Names that one file uses and another gives, and sizes that cannot both be true: whatever needs no sum to be seen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.workshop.gearbox import GearboxRow, MeasuredRow, PlateRow
from benchleaf.workshop.gears import GearSet, WheelRow
from benchleaf.workshop.lathe import Dial, Lathe
from benchleaf.workshop.shaper import Collar
from benchleaf.workshop.tooling import Tooling
from benchleaf.workshop.values import Measure, Text

__all__ = [
    "check_dial", "check_drawers", "check_gears", "check_lathe", "check_levers", "check_mounted", "choices", "levers", "named", "not_above",
    "speed_levers", "twice",
]  # fmt: skip

Levers = Mapping[str, tuple[str, ...]]  # name of a lever -> its positions, both as the plate has them


def named(word: str) -> str:
    """A name as a message shows it: never longer than a line."""
    return f"`{word}`" if len(word) <= 60 else f"`{word[:57]}...`"


def choices(word: str, known: Sequence[str], what: str) -> tuple[str, ...]:
    """The hint for a name that is not known."""
    close = close_matches(word, known)
    if close:
        return ("did you mean " + " or ".join(f"`{name}`" for name in close) + "?",)
    if not known:
        return (f"there are no {what}",)
    listed = ", ".join(f"`{name}`" for name in known[:12])
    return (f"{what}: {listed}" + (f" and {len(known) - 12} more" if len(known) > 12 else ""),)


def twice(names: Iterable[Text], what: str) -> Iterator[Diagnostic]:
    """Names that stand more than once; ``what`` they name, in the plural."""
    first: dict[str, Span] = {}
    for name in names:
        if name.value in first:
            yield Diagnostic(
                "name/twice", f"two {what} are called {named(name.value)}", name.origin.span,
                hints=("give each its own name, so that a job can say which is meant",), related=((first[name.value], "the first one"),),
            )  # fmt: skip
        else:
            first[name.value] = name.origin.span


def not_above(smaller: Measure | None, larger: Measure | None, message: str) -> Iterator[Diagnostic]:
    """Two sizes of which the first must not be above the second."""
    if smaller is not None and larger is not None and smaller.value > larger.value:
        yield Diagnostic(
            "size/order", message, larger.origin.span, label=f"less than {smaller.text}", hints=("one of the two is mistyped or swapped",),
            related=((smaller.origin.span, "the other size"),),
        )  # fmt: skip


def check_gears(gears: GearSet) -> list[Diagnostic]:
    """A gear set on its own: locked pairs are of wheels that it holds."""
    owned = [str(teeth) for teeth in _inventory([gears])]
    return [
        Diagnostic(
            "gears/pair-not-owned",
            f"the locked pair has a wheel of {wheel.value} teeth, which the set does not hold",
            wheel.origin.span,
            hints=choices(str(wheel.value), owned, "wheels of the set"),
        )
        for pair in gears.locked_pairs
        for wheel in pair.wheels
        if str(wheel.value) not in owned
    ]


def check_drawers(toolings: Sequence[Tooling]) -> list[Diagnostic]:
    """Tools and gauges of all drawers that are used together: a job picks them by name."""
    tools = [
        *(tool.name for drawer in toolings for tool in drawer.threading_tools),
        *(tool.name for drawer in toolings for tool in drawer.grooving_tools),
        *(tool.name for drawer in toolings for tool in drawer.boring_bars),
        *(tool.name for drawer in toolings for tool in drawer.turning_tools),
        *(tool.name for drawer in toolings for tool in drawer.shaping_tools),
        *(tool.name for drawer in toolings for tool in drawer.reamers),
        *(tool.name for drawer in toolings for tool in drawer.knurls),
        *(tool.name for drawer in toolings for tool in drawer.centre_drills),
    ]
    gauges = [
        *(gauge.name for drawer in toolings for gauge in drawer.thread_gauges),
        *(wires.name for drawer in toolings for wires in drawer.wires),
    ]
    return [*twice(tools, "tools"), *twice(gauges, "gauges")]


def levers(lathe: Lathe) -> Levers:
    """Every lever that decides the feed, headstock first, with its positions in the order written."""
    found: dict[str, dict[str, None]] = {}
    if lathe.headstock.lever is not None:
        found[lathe.headstock.lever.value] = {row.position.value: None for row in lathe.headstock.ratios}
    if lathe.gearbox is not None:
        for lever in lathe.gearbox.levers:
            found.setdefault(lever.name.value, {}).update(dict.fromkeys(lever.positions))
        settings = [row.levers for row in lathe.gearbox.rows] + [row.levers for row in lathe.gearbox.stated]
        for name, position in (item for setting in settings for item in setting.items()):
            found.setdefault(name, {}).setdefault(position.value)
    return {name: tuple(positions) for name, positions in found.items()}


def speed_levers(lathe: Lathe) -> Levers:
    """The levers and belts that set the spindle's speed, with their positions."""
    found: dict[str, dict[str, None]] = {}
    for setting in lathe.spindle.speeds:
        for name, position in setting.set.items():
            found.setdefault(name, {})[position.value] = None
    return {name: tuple(positions) for name, positions in found.items()}


def check_levers(written: Mapping[str, Text], known: Levers, elsewhere: Levers | None = None) -> Iterator[Diagnostic]:
    """Levers that do not exist, or not in that position; ``elsewhere`` are those that set something else."""
    for name, position in written.items():
        span = position.origin.span
        if name not in known:
            hints = choices(name, tuple(known), "levers of this lathe")
            if elsewhere is not None and name in elsewhere:
                hints = ("it sets a spindle speed: ask for the speed itself",)
            yield Diagnostic("lever/unknown", f"this lathe has no lever {named(name)} that decides the feed", span, hints=hints)
        elif position.value not in known[name]:
            message = f"the lever {named(name)} has no position {named(position.value)}"
            yield Diagnostic("lever/position", message, span, hints=choices(position.value, known[name], f"positions of {named(name)}"))


def check_dial(dial: Dial | Collar | None) -> Iterator[Diagnostic]:
    """A collar that closes: one turn is a whole number of divisions."""
    if dial is not None and (dial.turn.value / dial.division.value).denominator != 1:
        yield Diagnostic(
            "dial/uneven",
            f"one turn of {dial.turn.text} is not a whole number of divisions of {dial.division.text}",
            dial.turn.origin.span,
            hints=("count the divisions round the collar: one turn is that number times one division",),
            related=((dial.division.origin.span, "one division"),),
        )


def check_lathe(lathe: Lathe) -> list[Diagnostic]:
    """A lathe on its own: names said once, levers that exist, sizes in order, dials that close."""
    found = list(twice((device.name for device in lathe.workholding), "ways of holding work"))
    found += not_above(lathe.swing.over_cross_slide, lathe.swing.over_bed, "the swing over the bed is less than over the cross-slide")
    for device in lathe.workholding:
        message = f"the largest work that the {named(device.name.value)} holds is less than the smallest"
        found += not_above(device.holds_from, device.holds_to, message)
    slides = lathe.slides
    for slide in (slides.cross_slide, slides.top_slide, slides.saddle, slides.tailstock):
        found += check_dial(slide.dial if slide is not None else None)
    for arm in lathe.banjo.arms if lathe.banjo is not None else ():
        found += not_above(arm.swing_from, arm.swing_to, "the arm of the banjo swings backwards: its last angle is less than its first")
        for slot in arm.slots:
            found += not_above(slot.nearest, slot.farthest, "the slot's farthest place is nearer than its nearest")
    return found + list(_check_readings(lathe)) + list(_check_gearbox(lathe))


_OVER_A_LENGTH = ("two collars", "top-slide scale")  # readings that mean nothing without the length they were taken over


def _check_readings(lathe: Lathe) -> Iterator[Diagnostic]:
    for item in lathe.readings:
        if item.what.value in _OVER_A_LENGTH and item.over is None:
            yield Diagnostic(
                "reading/no-over",
                f"the reading of the {item.what.value} does not say over which length it was taken",
                item.reads.origin.span,
                hints=("add `over`: the distance between the collars",)
                if item.what.value == "two collars"
                else ("add `over`: how far the slide travelled",),
            )


def _check_gearbox(lathe: Lathe) -> Iterator[Diagnostic]:
    known, box, headstock = levers(lathe), lathe.gearbox, lathe.headstock
    yield from twice((row.position for row in headstock.ratios), "positions of the headstock's lever")
    if box is not None:
        names = [lever.name for lever in box.levers]
        yield from twice(([headstock.lever] if headstock.lever is not None else []) + names, "levers")
        for rows in (box.rows, box.stated):
            yield from _check_rows(rows, "" if headstock.lever is None else headstock.lever.value)
        for combination in box.forbidden:
            yield from check_levers(combination, known)
    if lathe.mounted is not None:
        yield from check_levers(lathe.mounted.levers, {**speed_levers(lathe), **known})


def _check_rows(rows: Sequence[GearboxRow | PlateRow | MeasuredRow], headstock: str) -> Iterator[Diagnostic]:
    """Rows that leave out a lever of the gearbox that others name."""
    everyone = dict.fromkeys(name for row in rows for name in row.levers if name != headstock)
    for row in rows:
        left_out = [name for name in everyone if name not in row.levers]
        if left_out:
            message = f"this row does not say where the lever {named(left_out[0])} stands"
            yield Diagnostic("lever/row-incomplete", message, row.origin.span, hints=("every row names the same levers",))


def _inventory(gear_sets: Iterable[GearSet]) -> Counter[int]:
    owned: Counter[int] = Counter()
    for gears in gear_sets:
        for wheel in gears.wheels:
            if isinstance(wheel, WheelRow):
                owned[wheel.teeth.value] += wheel.copies.value
            else:
                owned[wheel.value] += 1
    return owned


def check_mounted(lathe: Lathe, gear_sets: Sequence[GearSet]) -> list[Diagnostic]:
    """The wheels that are said to be on the lathe now are owned, as often as they are used.  Captive wheels come with the lathe."""
    if lathe.mounted is None:
        return []
    owned = _inventory(gear_sets)
    places = lathe.places
    for place in (places.first, places.last, places.banjo_driven, places.banjo_driver, places.idler) if places is not None else ():
        if place is not None and place.captive is not None:
            owned[place.captive.teeth.value] += 1
    found: list[Diagnostic] = []
    listed = [str(teeth) for teeth in sorted(owned)]
    left = owned.copy()
    for axis in lathe.mounted.train:
        for wheel in axis if isinstance(axis, tuple) else (axis,):
            left[wheel.value] -= 1
            if left[wheel.value] < 0:
                count = owned[wheel.value]
                more = f"only {count} of {wheel.value} teeth" if count else f"no wheel of {wheel.value} teeth"
                add = ("add it to the gear set, or correct the train",)
                hints = add if count else choices(str(wheel.value), listed, "wheels owned")
                found.append(Diagnostic("mounted/not-owned", f"the gear sets of this lathe hold {more}", wheel.origin.span, hints=hints))
    return found
