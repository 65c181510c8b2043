"""Checks of how the work is held: capacity, bar behind the spindle, the chuck's own limits, what stands out."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import length_text
from benchleaf.operations.names import pick
from benchleaf.operations.work import FAR
from benchleaf.standards.cautions import caution
from benchleaf.workshop.checks import choices, named
from benchleaf.workshop.shaper import IndexHead, OtherHolding
from benchleaf.workshop.values import Measure

__all__ = ["check", "clears_cross_slide", "in_reach"]


def check(context: Context) -> None:
    """Look at work, machine and holding together, each time that the work is held anew."""
    if _mixed(context):
        return
    if context.kind == "shaper":
        _on_shaper(context)
        return
    pick(context.held.by, context.lathe.workholding, "ways of holding work", "holding/unknown", context)
    gripped = _gripped(context)
    widest = context.work.measure("outside", Fraction(0), context.work.end)
    if widest is not None and widest.value > context.lathe.swing.over_bed.value:
        over = length_text(widest.value - context.lathe.swing.over_bed.value, context.system, "rule")
        context.faults.error(
            "holding/swing",
            f"the work is {over} larger than the swing over the bed",
            widest,
            f"this lathe swings {context.lathe.swing.over_bed.text}",
            related=((context.lathe.swing.over_bed, "the swing over the bed"),),
        )
    if gripped is not None:
        _jaws(gripped, context)
        _tail(gripped, context)
    _something_held(context)


def _something_held(context: Context) -> None:
    """A chuck or collet holds what does not stand out of it; a mandrel goes through a bore."""
    out, length, holder = context.held.stands_out, context.work.overall, context.holding
    kind = holder.kind.value if holder is not None else ""
    if kind in ("chuck", "collet") and out is not None and length is not None and out.value >= length.value:
        context.faults.error(
            "holding/nothing-held",
            f"all of the work stands out of the {context.held.by.value}: it is {length_text(length.value, context.system, 'rule')} long",
            out,
            hint="let less stand out, or start from a longer blank",
            related=((length, "its length"),),
        )
    if kind == "mandrel" and context.work.hole(Fraction(0), context.work.end) is None:
        context.faults.error(
            "holding/no-bore",
            "the work is held on a mandrel, and no step has made a hole right through it",
            context.held.by,
            hint="drill and ream or bore it first, then hold it on the mandrel (`hold`)",
        )


def _mixed(context: Context) -> bool:
    """Whether the blank is said to be a round and a block at once, or half a block: an error."""
    blank = context.work.blank
    sides = [side for side in (blank.width, blank.height) if side is not None]
    if not sides or (len(sides) == 2 and blank.outside is None):
        return False
    one, words = (blank.outside, "both a round and a block") if blank.outside is not None else (sides[0], "half a block")
    context.faults.error(
        "blank/shape",
        f"the blank is {words}",
        sides[0],
        hint="give `outside` for a round, or `width` and `height` for a block",
        related=((one, "said here"),) if one is not None and one is not sides[0] else (),
    )
    return True


def _on_shaper(context: Context) -> None:
    """The vice or head is there, and takes the work some way round."""
    shaper, work, held = context.shaper, context.work, context.held
    names = shaper.holding_names
    if held.by.value not in [name.value for name in names]:
        context.faults.error(
            "holding/unknown",
            f"none of the ways of holding work is called {named(held.by.value)}",
            held.by,
            hint=choices(held.by.value, [name.value for name in names], "ways of holding work")[0],
        )
        return
    for vice in shaper.vices:
        sizes = [size for size in (work.blank.width, work.overall, work.measure("outside", Fraction(0), work.end)) if size is not None]
        if vice.name.value == held.by.value and sizes and min(size.value for size in sizes) > vice.opening.value:
            least = min(sizes, key=lambda size: size.value)
            _capacity(least, vice.opening, f"opens to {vice.opening.text}, the work is {least.text} at the least", "its opening", context)
    around = work.measure("outside", Fraction(0), work.end)
    owned: tuple[IndexHead | OtherHolding, ...] = (*shaper.index_heads, *shaper.other_holding)
    if around is None:
        return
    for device in (item for item in owned if item.name.value == held.by.value):
        lowest = device.holds_from if isinstance(device, IndexHead) else None
        if device.holds_to is not None and around.value > device.holds_to.value:
            words = f"holds up to {device.holds_to.text}, the work is {around.text}"
            _capacity(around, device.holds_to, words, "the largest it holds", context)
        if lowest is not None and around.value < lowest.value:
            _capacity(around, lowest, f"closes down to {lowest.text}, the work is {around.text}", "the smallest it holds", context)


def _capacity(size: Measure, bound: Measure, words: str, about: str, context: Context) -> None:
    context.faults.error(
        "holding/capacity",
        f"the {context.held.by.value} {words}",
        size,
        hint="hold it another way (`hold`)",
        related=((bound, about), (context.held.by, "held by")),
    )


def clears_cross_slide(context: Context) -> None:
    """An outside cut: does the work pass over the slide that the tool stands on?"""
    lathe = context.lathe
    widest = context.work.measure("outside", Fraction(0), context.work.end)
    if widest is None or not lathe.swing.over_cross_slide.value < widest.value <= lathe.swing.over_bed.value:
        return
    over = length_text(widest.value - lathe.swing.over_cross_slide.value, context.system, "rule")
    context.faults.error(
        "holding/swing",
        f"the work swings over the bed, but is {over} larger than the swing over the cross-slide",
        widest,
        f"the tool stands on the cross-slide, which clears {lathe.swing.over_cross_slide.text}",
        related=((lathe.swing.over_cross_slide, "the swing over the cross-slide"),),
    )


def in_reach(place: Fraction, at: Measure, context: Context) -> bool:
    """Whether a cut that ends ``place`` mm from the front face stays clear of what holds the work; False after an error.

    ``at`` is the value that sends the cut there.  Nothing is judged where the job does not say what stands out.
    """
    out = context.held.stands_out
    if out is None or place <= out.value:
        return True
    over = length_text(place - out.value, context.system, "rule")
    context.faults.error(
        "holding/in-the-jaws",
        f"the cut ends {over} behind the face of the {context.held.by.value}",
        at,
        f"{length_text(place, context.system, 'rule')} from the front face",
        hint="let more of the work stand out, or hold it anew (`hold`) before this step",
        related=((out, "what stands out"),),
    )
    return False


def _gripped(context: Context) -> Measure | None:
    """The diameter that is held: the outside behind what stands out, or the widest that there is."""
    work, out = context.work, context.held.stands_out
    start = out.value if out is not None and out.value < work.end else Fraction(0)
    return work.measure("outside", start, work.end)


def _jaws(gripped: Measure, context: Context) -> None:
    held = context.holding
    if held is None:
        return
    what = "blank" if gripped is context.work.blank.outside else "work"
    for bound, too_far, words, about in (
        (held.holds_to, held.holds_to is not None and gripped.value > held.holds_to.value, "holds up to", "the largest it holds"),
        (held.holds_from, held.holds_from is not None and gripped.value < held.holds_from.value, "closes down to", "the smallest it holds"),
    ):
        if bound is not None and too_far:
            context.faults.error(
                "holding/capacity",
                f"the {held.name.value} {words} {bound.text}, the {what} is {gripped.text}",
                gripped,
                "",
                related=((bound, about), (context.held.by, "held by")),
            )


def _tail(gripped: Measure, context: Context) -> None:
    """Bar stock that goes through the spindle: does it enter, and does its tail stand out behind?"""
    work, held, spindle, system = context.work, context.held, context.lathe.spindle, context.system
    length, front = work.length, held.stands_out
    tail = held.behind_spindle.value if held.behind_spindle else None
    if tail is None and length is not None and length < FAR and front is not None and spindle.length is not None:
        tail = max(length - front.value - spindle.length.value, Fraction(0))
    if tail is None or tail == 0:
        return
    if gripped.value > spindle.bore.value:
        over = length_text(gripped.value - spindle.bore.value, system)
        context.faults.error(
            "holding/bar-fat",
            f"the bar is {over} too fat for the spindle bore, yet it is to stand out behind",
            gripped,
            f"the spindle bore is {spindle.bore.text}",
            hint="cut the bar shorter, or hold it where it does not pass through",
            related=((spindle.bore, "the spindle bore"),),
        )
    elif tail > (free := _free_diameters()) * gripped.value:
        at = held.behind_spindle or work.overall or gripped
        context.faults.warning(
            "holding/bar-tail",
            f"{length_text(tail, system, 'rule')} of a {gripped.text} bar stands out behind the spindle, unsupported",
            at,
            "the tail can bend and flail",
            hint="support it in a tube or stand, or cut it off inside the spindle; until then no speed can be called safe",
            note=f"more than {free} diameters stand free (common practice)",
        )


def _free_diameters() -> Fraction:
    """How many diameters of a bar may stand free before it needs a support: the low end of the practice table's range."""
    bounds = caution("bar_len").bounds
    if bounds is None:
        raise LookupError("the caution on long bars has no range")
    return bounds[0]
