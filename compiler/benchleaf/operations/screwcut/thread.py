"""The thread that is asked for: designation, limits, and what the blank must be before it is cut."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import Desk, basis, length_text, source
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.threads import DesignationError, Thread, ThreadLimits, parse_designation, thread_by_hand
from benchleaf.workshop.job import Screwcut, ThreadByHand
from benchleaf.workshop.values import Length, Measure, Text

__all__ = ["Wanted", "blank_figures", "read_thread", "thread_figures"]


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
    also = f"{fixed(Fraction(tpi), 0) if Fraction(tpi).denominator == 1 else fixed(Fraction(tpi), 3)} TPI" if tpi else length_text(thread.pitch, "inch")
    starts = "" if thread.starts == 1 else f"{thread.starts} starts of {fixed(thread.pitch, 4).rstrip('0').rstrip('.')} mm pitch"
    desk.number(
        "lead_wanted", "Lead wanted", thread.lead, "mm", fixed(thread.lead, 4),
        basis("starts x pitch of the thread asked for", (wanted.at,), source(f"designation {thread.designation}", "standard")),
        rational=thread.lead_rational, also=starts or also,
    )  # fmt: skip
    for name, label, size in (
        ("major_diameter", "Major diameter", wanted.limits.major),
        ("pitch_diameter", "Pitch diameter", wanted.limits.pitch),
        ("minor_diameter", "Minor diameter", wanted.limits.minor),
    ):
        ends = (size.lower, size.upper)
        known = [end for end in ends if end is not None]
        if not known:
            continue
        desk.length(name, label, sum(known, Fraction(0)) / len(known), basis(size.formula, (wanted.at, wanted.engagement), source(size.source, size.status)), limits=ends)


def blank_figures(desk: Desk, wanted: Wanted, step: Screwcut, context: Context) -> Fraction | None:
    """What the blank must be before threading, checked against what the job says it is.

    Returns the diameter (mm) that the infeed starts from: the blank's own when it will do, else None after an error.
    """
    size = wanted.limits.minor if wanted.inside else wanted.limits.major
    name, label = ("blank_bore", "Bore before threading") if wanted.inside else ("blank_diameter", "Turn the blank to")
    ends = (size.lower, size.upper)
    known = [end for end in ends if end is not None]
    if not known:
        context.faults.error(
            "thread/no-limits", f"no limits are known for {wanted.thread.designation}, so the blank cannot be checked", wanted.at, hint="give a tolerance class"
        )
        return None
    aim = sum(known, Fraction(0)) / len(known)
    why = basis(
        "the thread's minor diameter limits: bore first, the tool then cuts outwards" if wanted.inside else "the thread's major diameter limits",
        ("minor_diameter" if wanted.inside else "major_diameter",), source(size.source, size.status),
    )  # fmt: skip
    desk.length(name, label, aim, why, limits=ends)
    blank = context.inputs.job.blank
    given = blank.bore if wanted.inside else blank.outside
    if given is None:
        what = "bore" if wanted.inside else "outside diameter"
        context.faults.error(
            "blank/unstated", f"the thread is cut {wanted.side}, but the blank's {what} is not given", blank.origin.span,
            hint=f"add `{'bore' if wanted.inside else 'outside'}: {length_text(aim, context.system)}` to `blank`",
        )  # fmt: skip
        return None
    if step.bore_to_suit.value and wanted.inside and size.lower is not None and given.value < size.lower:
        return aim
    return given.value if _suits(given, wanted, size.lower, size.upper, context) else None


def _suits(given: Measure, wanted: Wanted, lower: Fraction | None, upper: Fraction | None, context: Context) -> bool:
    system = given.system or context.system
    needs = " to ".join(length_text(end, system).rsplit(" ", 1)[0] for end in (lower, upper) if end is not None)
    label = f"needs {needs} {'mm' if system == 'metric' else 'in'} before threading"
    thread = wanted.thread
    pipe = f"the size in {thread.designation} is a pipe bore, not a diameter: its thread is {length_text(thread.major, system)} over the crests" if thread.size_is_nominal_bore else ""
    if lower is not None and given.value < lower:
        by = length_text(lower - given.value, system)
        if wanted.inside:
            root = thread.root_diameter
            bolt = "; root of the bolt and bore of the nut are different figures" if root is not None and abs(root - given.value) < thread.pitch / 20 else ""
            context.faults.error(
                "thread/bore-small", f"the bore is {by} under the smallest minor diameter for {thread.designation}", given, label,
                hint=f"bore to {length_text((lower + upper) / 2 if upper else lower, system)} first, or set `bore-to-suit: true` to have the sheet open it",
                note=pipe or f"crests would be cut tight and torn{bolt}",
            )  # fmt: skip
        else:
            context.faults.error(
                "thread/blank-small", f"the blank is {by} under the smallest major diameter for {thread.designation}", given, label,
                hint="take a larger bar, or a thread that it will carry", note=pipe,
            )  # fmt: skip
        return False
    if upper is not None and given.value > upper:
        by = length_text(given.value - upper, system)
        if wanted.inside:
            context.faults.error(
                "thread/bore-large", f"the bore is {by} over the largest minor diameter for {thread.designation}", given, label,
                hint="the crests would be thin: bush it, or choose a larger thread", note=pipe,
            )  # fmt: skip
        else:
            context.faults.error(
                "thread/blank-large", f"the blank is {by} over the largest major diameter for {thread.designation}", given, label,
                hint=f"turn it to {length_text((lower + upper) / 2 if lower else upper, system)} first", note=pipe,
            )  # fmt: skip
        return False
    return True
