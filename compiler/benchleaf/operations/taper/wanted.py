"""The taper that a job asks for: its angle, its ends and where they lie on the work."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.diagnostics import close_matches
from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, OWNER, Value, length_text, source
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.words import degrees_text, slide_scale
from benchleaf.record import record
from benchleaf.sheet.model import Source
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.tables import table
from benchleaf.standards.tapers import Taper, parse_taper, taper_families, taper_from_ends, taper_sizes
from benchleaf.workshop.values import Measure, Word

__all__ = ["Known", "Wanted", "wanted"]

_ROUNDED = Fraction(3, 100)  # mm: two ends on a drawing, each rounded to 0.001 in or 0.01 mm, may disagree with the taper by so much
_NOTHING = Fraction(1, 10**6)  # mm: what the last figures of an irrational taper may leave of a point


@record
class Known:
    """A length of the taper, mm, with why it is so."""

    value: Fraction
    formula: str
    inputs: tuple[Value | str | Source, ...]
    source: Source


@record
class Wanted:
    """The taper on the work.  ``start`` is its end at the front, ``end`` that at the headstock, mm from the front face; ``at`` the words
    that faults about the taper as such point at."""

    taper: Taper
    inside: bool
    start: Fraction
    end: Fraction
    large: Known
    small: Known
    length: Known
    large_at_headstock: bool
    at: Word

    @property
    def side(self) -> str:
        """'inside' or 'outside'."""
        return "inside" if self.inside else "outside"

    @property
    def near(self) -> Fraction:
        """Diameter at the front end, mm."""
        return self.small.value if self.large_at_headstock else self.large.value

    @property
    def far(self) -> Fraction:
        """Diameter at the headstock end, mm."""
        return self.large.value if self.large_at_headstock else self.small.value

    def diameter_at(self, place: Fraction) -> Fraction:
        """Diameter at a place on the taper, mm from the front face."""
        return self.near + (self.far - self.near) * (place - self.start) / (self.end - self.start)


def wanted(step: TaperStep, context: Context) -> Wanted | None:
    """The taper that the step asks for, or None after an error."""
    found = _from_ends(step, context) if step.taper is None else _named(step, step.taper, context)
    if found is None:
        return None
    taper, large, small, length = found
    if small.value < -_NOTHING:
        context.faults.error(
            "taper/past-point",
            f"the taper comes to a point {length_text(-small.value / taper.rate, context.system, 'rule')} before its small end",
            step.length or step.taper or step.where,
            hint="shorten it, or give a larger `large`",
        )
        return None
    inside = step.where.value == "inside"
    at_headstock = not inside if step.large_end is None else step.large_end.value == "at the headstock"
    words = step.taper or step.large or step.where
    start = step.from_.value
    small = Known(max(small.value, Fraction(0)), small.formula, small.inputs, small.source)
    return Wanted(taper, inside, start, start + length.value, large, small, length, at_headstock, Word(words.text, words.origin))


_Found = tuple[Taper, Known, Known, Known]  # the taper, its large end, small end and length


def _said(value: Measure) -> Known:
    return Known(value.value, "as the job says", (value,), OWNER)


def _from_ends(step: TaperStep, context: Context) -> _Found | None:
    """A taper that no word names: both ends and the length must be there."""
    if step.large is None or step.small is None or step.length is None:
        missing = [name for name, value in (("large", step.large), ("small", step.small), ("length", step.length)) if value is None]
        context.faults.error(
            "taper/ends-missing",
            f"no `taper` is named, and without {' and '.join(f'`{name}`' for name in missing)} it does not follow from its ends",
            step.origin.span,
            hint="give `taper` (`1:10`, `Morse 3`, `16 deg included`), or `large`, `small` and `length`",
        )
        return None
    if not step.large.value > step.small.value:
        _swapped(step.large, step.small, context)
        return None
    taper = taper_from_ends(step.large.value, step.small.value, step.length.value)
    return taper, _said(step.large), _said(step.small), _said(step.length)


def _swapped(large: Measure, small: Measure, context: Context) -> None:
    context.faults.error(
        "taper/ends-swapped",
        f"the large end, {large.text}, is not larger than the small end, {small.text}",
        large,
        hint="`large` is the larger diameter whichever way the taper lies; `large-end` says where it is",
        related=((small, "the small end"),),
    )


def _named(step: TaperStep, words: Word, context: Context) -> _Found | None:
    taper = parse_taper(words.value)
    if taper is None:
        _unreadable(words, step, context)
        return None
    rate, large, small, length = taper.rate, step.large, step.small, step.length
    by = source(taper.source, taper.status)
    table_ends = source(taper.source, taper.ends_status or taper.status)
    if large is not None and small is not None and not large.value > small.value:
        _swapped(large, small, context)
        return None
    if length is not None:
        long = _said(length)
    elif large is not None and small is not None:
        long = Known((large.value - small.value) / rate, "(large end - small end) / taper", (large, small, words), GEOMETRY)
    elif taper.length is not None:
        long = Known(taper.length, f"the length of {taper.name}", (words,), table_ends)
    else:
        _missing(words, "length", context)
        return None
    if large is not None:
        big = _said(large)
    elif small is not None:
        big = Known(small.value + rate * long.value, "small end + length x taper", (small, words, by), GEOMETRY)
    elif taper.large is not None:
        big = Known(taper.large, f"the large end of {taper.name}", (words,), table_ends)
    else:
        _missing(words, "large", context)
        return None
    little = Known(big.value - rate * long.value, "large end - length x taper", ("large_end", "length", "taper"), GEOMETRY)
    if small is not None:
        off = abs(small.value - little.value)
        if off > _ROUNDED and large is not None:
            _disagree(step, words, taper, context)
            return None
        little = _said(small) if off == 0 else little
    return taper, big, little, long


def _missing(words: Word, what: str, context: Context) -> None:
    """A taper by name, but without enough to place it."""
    ends = "and no end diameter is given" if what == "large" else "and its length is not given"
    context.faults.error(
        "taper/ends-missing",
        f"{words.value} is an angle without sizes of its own, {ends}",
        words,
        hint="add `large` or `small`" if what == "large" else "add `length`, or both `large` and `small`",
    )


def _disagree(step: TaperStep, words: Word, taper: Taper, context: Context) -> None:
    large, small, length = step.large, step.small, step.length
    if large is None or small is None or length is None:
        raise ValueError("only a taper with everything given can disagree with itself")
    system = context.system
    fits = length_text(large.value - taper.rate * length.value, system, "caliper")
    long = length_text((large.value - small.value) / taper.rate, system, "caliper")
    context.faults.error(
        "taper/ends-disagree",
        f"the ends differ by {length_text(large.value - small.value, system, 'caliper')} over {length.text}, "
        f"and {words.value} over that length makes {length_text(taper.rate * length.value, system, 'caliper')}",
        words,
        f"1 in {fixed(taper.one_in, 3)}",
        hint=f"leave one of the four out: `small` would be {fits}, or `length` {long}, or the taper 1 in "
        f"{fixed(length.value / (large.value - small.value), 3)}",
        related=((large, "the large end"), (small, "the small end"), (length, "the length")),
    )


def _unreadable(words: Word, step: TaperStep, context: Context) -> None:
    """Words that mean no taper: an angle that does not say which, or something close to a name."""
    half, included = parse_taper(f"{words.value} half"), parse_taper(f"{words.value} included")
    if half is not None and included is not None:
        slide = context.lathe.slides.top_slide
        settings = [
            f"{degrees_text(each.half_angle)}" if slide is None else f"{degrees_text(slide_scale(each.half_angle, slide))} on its scale"
            for each in (half, included)
        ]
        context.faults.error(
            "taper/which-angle",
            f"`{words.value}` does not say whether it is the half angle or the included angle",
            words,
            f"half: top slide at {settings[0]}; included: at {settings[1]}",
            hint=f"`{words.value} half` (side to axis) or `{words.value} included` (side to side)",
            note="set to the wrong one the taper comes out at twice or half its angle",
        )
        return
    close = close_matches(words.value, _names())
    context.faults.error(
        "taper/unknown",
        f"`{words.value}` is not a taper that is known here",
        words,
        hint="did you mean " + " or ".join(f"`{name}`" for name in close) + "?"
        if close
        else "a standard name (`Morse 3`, `B&S 9`, `Jarno 8`), a ratio on the diameter (`1:10`), an angle (`16 deg included`, "
        "`8 deg half`), or a change of diameter (`0.6 in per ft`, `5 mm per 100 mm`)",
    )


def _names() -> tuple[str, ...]:
    titles = {"morse": "Morse", "brown_and_sharpe": "B&S", "jarno": "Jarno", "jacobs": "Jacobs", "steep": "7:24 No.", "metric": "metric"}
    standard = [f"{titles[family]} {size}" for family in taper_families() for size in taper_sizes(family)]
    return (*standard, *(row.text("name") for row in table("tapers", "named").rows))
