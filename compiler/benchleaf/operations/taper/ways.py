"""How the taper is followed: with the top slide, by setting the tailstock over, or with a taper attachment."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from benchleaf.diagnostics import Span
from benchleaf.operations.context import Context
from benchleaf.operations.desk import Value, length_text
from benchleaf.operations.taper.model import TaperStep
from benchleaf.operations.taper.wanted import Wanted
from benchleaf.operations.taper.words import degrees_text
from benchleaf.record import record
from benchleaf.standards.tapers import set_over_exact, slide_travel_check
from benchleaf.workshop.lathe import MachineReading
from benchleaf.workshop.values import Word

__all__ = ["ATTACHMENT", "SET_OVER", "TOP_SLIDE", "Way", "tailstock_reading", "way"]

TOP_SLIDE, ATTACHMENT, SET_OVER = "top slide", "taper attachment", "set-over"


@record
class Way:
    """The way that is taken: its name, the words that chose it, and in how many lengths the top slide covers the taper."""

    name: str
    at: Word
    lengths: int = 1


@record
class _Obstacle:
    """Why a way will not do."""

    code: str
    message: str
    at: Value | Span
    label: str = ""
    hint: str = ""
    note: str = ""
    related: tuple[tuple[Value | Span, str], ...] = ()


def way(step: TaperStep, wanted: Wanted, context: Context) -> Way | None:
    """The way that the job asks for, or the first that will do (top slide, taper attachment, set-over); None after an error."""
    if step.by is not None:
        found = list(_OBSTACLES[step.by.value](step, wanted, step.by, context))
        for obstacle in found:
            context.faults.error(
                obstacle.code,
                obstacle.message,
                obstacle.at,
                obstacle.label,
                hint=obstacle.hint,
                note=obstacle.note,
                related=obstacle.related,
            )
        return None if found else Way(step.by.value, step.by, _lengths(step.by.value, wanted, context))
    reasons: list[str] = []
    for name, obstacles in _OBSTACLES.items():
        first = next(obstacles(step, wanted, wanted.at, context), None)
        if first is None:
            return Way(name, wanted.at, _lengths(name, wanted, context))
        reasons.append(f"{name}: {first.message}")
    context.faults.error(
        "taper/no-way",
        "this lathe can follow the taper neither with the top slide, nor with a taper attachment, nor with the tailstock set over",
        wanted.at,
        hint="shorten it, hold it between centres, or cut it in lengths with the top slide (`blend: true`)",
        note="; ".join(reasons),
    )
    return None


def _lengths(name: str, wanted: Wanted, context: Context) -> int:
    slide = context.lathe.slides.top_slide
    if name != TOP_SLIDE or slide is None:
        return 1
    needed = slide_travel_check(wanted.taper, wanted.length.value, slide.travel.value)
    return 1 if needed.fits else -int(-needed.needed // slide.travel.value)


def _top_slide(step: TaperStep, wanted: Wanted, at: Word, context: Context) -> Iterator[_Obstacle]:
    slide, system = context.lathe.slides.top_slide, context.system
    if slide is None:
        yield _Obstacle(
            "taper/no-top-slide", f"the {context.lathe.name.value} has no top slide", at, hint="`by: taper attachment` or `by: set-over`"
        )
        return
    travel = slide_travel_check(wanted.taper, wanted.length.value, slide.travel.value)
    if travel.fits or step.blend.value:
        return
    lengths = _lengths(TOP_SLIDE, wanted, context)
    each = wanted.length.value / lengths
    yield _Obstacle(
        "taper/travel-short",
        f"the taper wants {length_text(travel.needed, system, 'caliper')} of the top slide, which travels {slide.travel.text}",
        at,
        f"at most {length_text(travel.longest, system, 'caliper')} of this taper in one go",
        hint=f"`blend: true` cuts it in {lengths} lengths: the saddle moved by {length_text(each, system, 'caliper')}, the cross-slide by "
        f"{length_text(each * wanted.taper.rate / 2, system)}",
        related=((slide.travel, "the top slide's travel"),),
    )


def _attachment(step: TaperStep, wanted: Wanted, at: Word, context: Context) -> Iterator[_Obstacle]:
    owned, system = context.lathe.taper_attachment, context.system
    if owned is None:
        yield _Obstacle(
            "taper/no-attachment", f"the {context.lathe.name.value} has no taper attachment", at, hint="`by: top slide` or `by: set-over`"
        )
        return
    if wanted.taper.half_angle > owned.largest_angle.value:
        yield _Obstacle(
            "taper/attachment-angle",
            f"the taper attachment goes to {owned.largest_angle.text}, and half the angle of this taper is "
            f"{degrees_text(wanted.taper.half_angle)}",
            at,
            hint="`by: top slide`, which goes to any angle",
            related=((owned.largest_angle, "its largest angle"),),
        )
    if wanted.length.value > owned.length.value:
        over = length_text(wanted.length.value - owned.length.value, system, "rule")
        yield _Obstacle(
            "taper/attachment-length",
            f"the taper is {over} longer than the taper attachment covers at one setting",
            at,
            f"{length_text(wanted.length.value, system, 'rule')} long",
            hint="cut it in two settings, the bar clamped anew, or set the tailstock over",
            related=((owned.length, "what it covers"),),
        )


def _set_over(step: TaperStep, wanted: Wanted, at: Word, context: Context) -> Iterator[_Obstacle]:
    holding, length, system = context.holding, context.work.overall, context.system
    setting = degrees_text(wanted.taper.half_angle)
    if wanted.inside:
        yield _Obstacle(
            "taper/set-over-inside",
            "an inside taper cannot be cut with the tailstock set over",
            at,
            "between centres there is no way into the bore",
            hint=f"the top slide or a taper attachment, set to {setting}",
        )
        return
    if holding is not None and holding.kind.value != "centres":
        yield _Obstacle(
            "taper/not-between-centres",
            f"the tailstock is to be set over, and the work is held by {holding.name.value}",
            at,
            hint=f"hold it between centres, or set the top slide to {setting}",
            related=((context.held.by, "not between centres"),),
        )
        return
    if length is None:
        yield _Obstacle(
            "taper/no-length",
            "the set-over depends on the length between centres, and the blank's length is not given",
            at,
            hint="add `length` to `blank`",
        )
        return
    needed = set_over_exact(wanted.taper, length.value)
    tailstock = context.lathe.slides.tailstock
    most = tailstock.set_over if tailstock is not None else None
    if most is not None and needed > most.value:
        longest = length.value * most.value / needed
        yield _Obstacle(
            "taper/set-over-far",
            f"the tailstock would be set over by {length_text(needed, system, 'caliper')}, and it goes over by {most.text}",
            at,
            f"half the taper times the whole {length_text(length.value, system, 'rule')} between centres",
            hint=f"set the top slide or a taper attachment to {setting}; or work up to {length_text(longest, system, 'rule')} long",
            related=((most, "as far as it goes"), (length, "the length between centres")),
        )


_OBSTACLES: dict[str, Callable[[TaperStep, Wanted, Word, Context], Iterator[_Obstacle]]] = {
    TOP_SLIDE: _top_slide,
    ATTACHMENT: _attachment,
    SET_OVER: _set_over,
}


def tailstock_reading(context: Context) -> MachineReading | None:
    """The latest reading of where the tailstock stands across; None when it was never read, or reads nought."""
    readings = [item for item in context.lathe.readings if item.what.value == "tailstock across" and item.reads.value != Fraction(0)]
    return max(readings, key=lambda item: item.date.value, default=None)
