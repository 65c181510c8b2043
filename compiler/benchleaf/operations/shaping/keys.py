"""The keyway that a step asks for: from the standard key of its shaft or bore, or from sizes that the job gives."""

from __future__ import annotations

from fractions import Fraction
from typing import Protocol

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.sizes import read_size
from benchleaf.operations.desk import OWNER, Desk, Value, basis, length_text, source
from benchleaf.record import record
from benchleaf.sheet.model import Source
from benchleaf.standards.keys import Key, key_for
from benchleaf.units import convert
from benchleaf.workshop.values import Measure, Text

__all__ = ["Keyway", "section_text", "wanted", "write"]

Limits = tuple[Fraction, Fraction]


@record
class Keyway:
    """A keyway, mm: limits of its ``width``, of its ``depth`` from the crown, what to aim at; the key and the name of its fit where it
    follows from one; where it all comes from."""

    width: Limits
    depth: Limits
    key: Key | None
    fit: str
    source: Source
    at: Value

    @property
    def width_aim(self) -> Fraction:
        """The middle of the limits, mm."""
        return (self.width[0] + self.width[1]) / 2

    @property
    def depth_aim(self) -> Fraction:
        """The middle of the limits, mm."""
        return (self.depth[0] + self.depth[1]) / 2


class Asks(Protocol):
    """What a step says about its keyway."""

    @property
    def where(self) -> Text: ...
    @property
    def key(self) -> Text: ...
    @property
    def section(self) -> Text | None: ...
    @property
    def fit(self) -> Text | None: ...
    @property
    def width(self) -> Text | None: ...
    @property
    def depth(self) -> Text | None: ...


def wanted(step: Asks, round_: Measure, context: Context) -> Keyway | None:
    """The keyway for a shaft or bore of that diameter; None after an error."""
    if step.width is not None or step.depth is not None:
        return _said(step, context)
    key = key_for(round_.value, step.key.value, step.section.value if step.section is not None else None)
    if key is None:
        context.faults.error(
            "keyway/no-key",
            f"the table of {step.key.value} keys has none for {length_text(round_.value, context.system, 'caliper')}",
            step.where,
            hint="give `width` and `depth`, or another `key`",
            related=((round_, "the diameter"),),
        )
        return None
    name = step.fit.value if step.fit is not None else "normal" if key.fit("normal") is not None else key.fits[0].name if key.fits else ""
    fit = key.fit(name)
    if fit is None:
        names = ", ".join(each.name for each in key.fits) or "none"
        context.faults.error(
            "keyway/no-fit", f"the table of {step.key.value} keys has no {name or 'fit'} fit for a key {_plain(key.width, context)} wide",
            step.fit or step.where, hint=f"fits there are: {names}; or give `width` and `depth`",
        )  # fmt: skip
        return None
    inside = step.where.value == "inside"
    weaker = key.rest_status if key.status == "published" else key.status
    return Keyway(
        fit.hub if inside else fit.shaft, key.hub_depth if inside else key.shaft_depth, key, name, source(key.source, weaker), round_
    )


def _said(step: Asks, context: Context) -> Keyway | None:
    if step.width is None or step.depth is None:
        context.faults.error(
            "keyway/half-said", "a keyway of its own sizes wants both width and depth", step.width or step.depth or step.where,
            hint="give both `width` and `depth`, or neither for the key of the shaft",
        )  # fmt: skip
        return None
    width, depth = read_size(step.width, "inside", context), read_size(step.depth, "inside", context)
    if width is None or depth is None:
        return None
    ends = [
        (size.lower, size.upper) if size.lower is not None and size.upper is not None else (size.aim, size.aim) for size in (width, depth)
    ]
    return Keyway(ends[0], ends[1], None, "", OWNER, step.width)


def write(desk: Desk, keyway: Keyway, round_: Measure, inside: bool, context: Context) -> None:
    """Write down the key, its fit, and the sizes of the keyway: ``key``, ``key_play``, ``width``, ``keyway_depth``, ``over``."""
    key, by = keyway.key, keyway.source
    if key is not None:
        words = f"{section_text(key)} {key.section}, {keyway.fit} fit"
        desk.words("key", "Key", words, basis("the key of the table for that diameter", (round_,), by))
    if key is not None and key.key_width is not None:
        loose, tight = keyway.width[1] - key.key_width[0], keyway.width[0] - key.key_width[1]
        words = f"{_play(tight, context)} to {_play(loose, context)}"
        desk.words(
            "key_play",
            "Key in the keyway",
            words,
            basis("width of the keyway less width of the key, at their limits", ("width", "key"), by),
        )
    sizes: tuple[Value | str, ...] = ("key",) if key is not None else (keyway.at,)
    desk.length(
        "width",
        "Width",
        keyway.width_aim,
        basis("limits of the table" if key is not None else "as the job says", sizes, by),
        limits=keyway.width,
    )
    desk.length(
        "keyway_depth",
        f"Depth, from the {'wall' if inside else 'crown'}",
        keyway.depth_aim,
        basis("limits of the table" if key is not None else "as the job says", sizes, by),
        read_by="caliper",
        limits=keyway.depth,
        rational=False,
    )
    over = tuple(round_.value + depth if inside else round_.value - depth for depth in keyway.depth)
    label = "Bottom to the far side of the bore" if inside else "Bottom to the far side of the shaft"
    why = basis(f"diameter {'+' if inside else '-'} depth", (round_, "keyway_depth"), by)
    middle = sum(over, Fraction(0)) / 2
    desk.length("over", label, middle, why, limits=(min(over), max(over)), read_by="caliper", rational=False)
    desk.length("over_aim", "Aim at", middle, basis("the middle of the limits", ("over",), by), rational=False)


def section_text(key: Key) -> str:
    """Width by height of a key in the units of its table: '6 x 6 mm', '3/16 x 3/16 in'."""
    unit = "mm" if key.system == "metric" else "in"
    sizes = [convert(size, "mm", unit) for size in (key.width, key.height)]
    return f"{' x '.join(f'{size.numerator}/{size.denominator}' if size.denominator > 1 else str(size.numerator) for size in sizes)} {unit}"


def _plain(mm: Fraction, context: Context) -> str:
    return length_text(mm, context.system, "caliper")


def _play(value: Fraction, context: Context) -> str:
    return f"{length_text(abs(value), context.system)} {'play' if value >= 0 else 'tight'}"
