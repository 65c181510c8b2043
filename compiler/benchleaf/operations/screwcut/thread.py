"""The thread that is asked for: designation, limits, and what the blank must be before it is cut."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, basis, length_text, source
from benchleaf.operations.screwcut.model import Screwcut, ThreadByHand
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.threads import DesignationError, SizeLimits, Thread, ThreadLimits, parse_designation, thread_by_hand
from benchleaf.workshop.values import Length, Measure, Text

__all__ = ["NO_CLASS", "Wanted", "aim", "blank_figures", "read_thread", "size_ends", "stock", "thread_figures"]

NO_CLASS = "basic size, no class known"
_BAND = Fraction(1, 20)  # of the pitch: how far a blank may be from a basic size before the sheet warns; common practice


@dataclass(frozen=True, slots=True)
class Wanted:
    """The thread of one step with its limits (mm) and where it was written.

    ``engagement`` is the length of engagement in mm; ``at`` is the value to point at when the thread itself is at fault.
    """

    thread: Thread
    limits: ThreadLimits
    inside: bool
    engagement: Measure
    at: Text | Length

    @property
    def side(self) -> str:
        """'inside' or 'outside'."""
        return "inside" if self.inside else "outside"

    @property
    def basic(self) -> bool:
        """Whether there are no limits to aim at, only basic sizes."""
        return self.limits.pitch.lower is None and self.limits.pitch.upper is None


def size_ends(size: SizeLimits) -> tuple[Fraction, ...]:
    """What is known of a size, smallest first, mm: its limits, one of them, or the basic size alone."""
    ends = tuple(end for end in (size.lower, size.upper) if end is not None)
    return ends or ((size.basic,) if size.basic is not None else ())


def aim(size: SizeLimits) -> Fraction:
    """The diameter to aim at, mm: the middle of the limits, the only limit there is, or the basic size."""
    ends = size_ends(size)
    return sum(ends, Fraction(0)) / len(ends)


def read_thread(step: Screwcut, context: Context) -> Wanted | None:
    """The thread of a step, or None with a diagnostic at the words at fault."""
    inside = step.where.value == "inside"
    engagement = step.engagement or step.length
    wanted = step.thread
    at = wanted.major if isinstance(wanted, ThreadByHand) else wanted
    try:
        if isinstance(wanted, ThreadByHand):
            at = wanted.form
            thread = thread_by_hand(
                major=wanted.major.value,
                lead=wanted.lead.value,
                starts=wanted.starts.value,
                form=wanted.form.value,
                hand=wanted.hand.value,
                system=wanted.lead.system or wanted.major.system or context.system,
                tolerance=wanted.tolerance.value if wanted.tolerance else None,
            )
        else:
            thread = parse_designation(wanted.value)
        limits = thread.limits(inside, engagement.value)
    except DesignationError as error:
        context.faults.error("thread/designation", error.message, at, "", hint=error.hint)
        return None
    return Wanted(thread, limits, inside, engagement, at)


def thread_figures(desk: Desk, wanted: Wanted) -> None:
    """Lead wanted and the limits of the three diameters."""
    thread = wanted.thread
    tpi = thread.tpi
    also = (
        f"{fixed(Fraction(tpi), 0) if Fraction(tpi).denominator == 1 else fixed(Fraction(tpi), 3)} TPI"
        if tpi
        else length_text(thread.pitch, "inch")
    )
    starts = "" if thread.starts == 1 else f"{thread.starts} starts of {fixed(thread.pitch, 4).rstrip('0').rstrip('.')} mm pitch"
    desk.number(
        "lead_wanted",
        "Lead wanted",
        thread.lead,
        "mm",
        fixed(thread.lead, 4),
        basis("starts x pitch of the thread asked for", (wanted.at,), source(f"designation {thread.designation}", "standard")),
        rational=thread.lead_rational,
        also=starts or also,
    )
    for name, label, size in (
        ("major_diameter", "Major diameter", wanted.limits.major),
        ("pitch_diameter", "Pitch diameter", wanted.limits.pitch),
        ("minor_diameter", "Minor diameter", wanted.limits.minor),
    ):
        if not size_ends(size):
            continue
        unknown = size.lower is None and size.upper is None
        desk.length(
            name,
            f"{label}, basic" if unknown else label,
            aim(size),
            basis(size.formula, (wanted.at, wanted.engagement), source(size.source, size.status)),
            limits=None if unknown else (size.lower, size.upper),
        )
    if wanted.basic:
        size = wanted.limits.pitch
        desk.words(
            "sizes", "Sizes", NO_CLASS, basis("; ".join(wanted.limits.notes) or NO_CLASS, (wanted.at,), source(size.source, size.status))
        )


def stock(step: Screwcut, context: Context) -> Measure | None:
    """The diameter that the thread is cut in, as the work stands: the bore or the outside; None when it is not known."""
    start = step.from_.value
    return context.work.measure(step.where.value, start, start + step.length.value)


def blank_figures(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> Fraction | None:
    """What the blank must be before threading, checked against what the job says it is.

    Returns the diameter (mm) that the infeed starts from: the blank's own when it will do, else None after an error.
    """
    size = wanted.limits.minor if wanted.inside else wanted.limits.major
    name, label = ("blank_bore", "Bore before threading") if wanted.inside else ("blank_diameter", "Turn the blank to")
    if wanted.thread.taper:
        label = "Bore at the mouth" if wanted.inside else "Blank at the gauge plane"
    unknown = size.lower is None and size.upper is None
    wish = aim(size)
    why = basis(
        "the thread's minor diameter limits: bore first, the tool then cuts outwards"
        if wanted.inside
        else "the thread's major diameter limits",
        ("minor_diameter" if wanted.inside else "major_diameter",),
        source(size.source, size.status),
    )
    desk.length(name, label, wish, why, limits=None if unknown else (size.lower, size.upper))
    blank, given = context.work.blank, stock(step, context)
    if given is None:
        what = "bore" if wanted.inside else "outside diameter"
        context.faults.error(
            "blank/unstated",
            f"the thread is cut {wanted.side}, but the blank's {what} is not given",
            blank.origin.span,
            hint=f"add `{'bore' if wanted.inside else 'outside'}: {length_text(wish, context.system)}` to `blank`",
        )
        return None
    if wanted.thread.taper:
        return wish  # the blank is turned to the taper first: checked there
    if step.bore_to_suit.value and wanted.inside and size.lower is not None and given.value < size.lower:
        return wish
    if unknown:
        _near_basic(given, wanted, wish, context)
        return given.value
    return given.value if _suits(given, wanted, size.lower, size.upper, context) else None


def _near_basic(given: Measure, wanted: Wanted, basic: Fraction, context: Context) -> None:
    """Without limits a blank cannot be wrong, only unlike the basic size by more than a twentieth of the pitch."""
    off, band = given.value - basic, wanted.thread.pitch * _BAND
    if abs(off) > band:
        what, way = "bore" if wanted.inside else "blank", "over" if off > 0 else "under"
        context.faults.warning(
            "thread/off-basic",
            f"the {what} is {length_text(abs(off), context.system)} {way} the basic size of {wanted.thread.designation}",
            given,
            f"basic {length_text(basic, context.system)}",
            hint="go by the mating part, or bring it to the basic size",
            note=f"no class is known; a twentieth of the pitch, {length_text(band, context.system)}, is let pass",
        )


def _suits(given: Measure, wanted: Wanted, lower: Fraction | None, upper: Fraction | None, context: Context) -> bool:
    system = given.system or context.system
    needs = " to ".join(length_text(end, system).rsplit(" ", 1)[0] for end in (lower, upper) if end is not None)
    label = f"needs {needs} {'mm' if system == 'metric' else 'in'} before threading"
    thread = wanted.thread
    pipe = (
        f"the size in {thread.designation} is a pipe bore, not a diameter: its thread is "
        f"{length_text(thread.major, system)} over the crests"
        if thread.size_is_nominal_bore
        else ""
    )
    if lower is not None and given.value < lower:
        by = length_text(lower - given.value, system)
        if wanted.inside:
            root = thread.root_diameter
            bolt = (
                "; root of the bolt and bore of the nut are different figures"
                if root is not None and abs(root - given.value) < thread.pitch / 20
                else ""
            )
            context.faults.error(
                "thread/bore-small",
                f"the bore is {by} under the smallest minor diameter for {thread.designation}",
                given,
                label,
                hint=f"bore to {length_text((lower + upper) / 2 if upper else lower, system)} first, or set "
                f"`bore-to-suit: true` to have the sheet open it",
                note=pipe or f"crests would be cut tight and torn{bolt}",
            )
        else:
            context.faults.error(
                "thread/blank-small",
                f"the blank is {by} under the smallest major diameter for {thread.designation}",
                given,
                label,
                hint="take a larger bar, or a thread that it will carry",
                note=pipe,
            )
        return False
    if upper is not None and given.value > upper:
        by = length_text(given.value - upper, system)
        if wanted.inside:
            context.faults.error(
                "thread/bore-large",
                f"the bore is {by} over the largest minor diameter for {thread.designation}",
                given,
                label,
                hint="the crests would be thin: bush it, or choose a larger thread",
                note=pipe,
            )
        else:
            context.faults.error(
                "thread/blank-large",
                f"the blank is {by} over the largest major diameter for {thread.designation}",
                given,
                label,
                hint=f"turn it to {length_text((lower + upper) / 2 if lower else upper, system)} first",
                note=pipe,
            )
        return False
    return True
