"""Where the thread ends: relief, run-out, shoulder or free end."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, length_text, source
from benchleaf.operations.screwcut.model import Ending, Relief, Screwcut
from benchleaf.operations.screwcut.thread import Wanted
from benchleaf.standards.reliefs import Undercut, groove_diameter_limit, thread_undercut

__all__ = ["check"]

_CLEAR = Fraction(1, 10)  # mm on the radius that a relief should stand clear of the root, common practice


def check(desk: Desk, wanted: Wanted, step: Screwcut, root: Fraction | None, context: Context) -> bool:
    """Write down the relief and check that the tool runs out of metal in it.  ``root`` is the diameter that this tip leaves, mm, where it
    is known.  False after an error."""
    ending = step.ends_in
    if isinstance(ending, Ending) and ending.relief is not None:
        return _relief(desk, wanted, ending.relief, root, context)
    if isinstance(ending, Ending) and ending.run_out is not None:
        desk.length(
            "relief",
            "Run out over",
            ending.run_out.length.value,
            basis("as the job says: the tool is drawn back over this length", (ending.run_out.length,), source("the job", "owner")),
            read_by="rule",
        )
        return True
    if isinstance(ending, Ending):
        raise TypeError("the schema lets a relief or a run-out pass, and nothing else")
    word = ending.value
    if word == "shoulder" and step.stop_by.value != "hand":
        slowest = min(row.speed.value for row in context.lathe.spindle.speeds)
        width = slowest * wanted.thread.lead * context.lathe.stop_time.value / 60
        need = length_text(width, context.system, "caliper")
        context.faults.error(
            "stop/no-room",
            "the thread ends at a shoulder, and there is nowhere for the tool to stop",
            ending,
            "neither relief nor run-out",
            note="run-on = slowest speed x lead x stop time",
            hint=f"give a relief at least {need} wide (at {slowest} rpm) plus what the tool stands beyond its tip, or "
            f"a run-out, or `stop-by: hand`",
        )
        return False
    desk.words(
        "relief",
        "Thread ends",
        "by hand to the shoulder" if word == "shoulder" else "at a free end",
        basis("as the job says", (ending,), source("the job", "owner")),
    )
    return True


def _relief(desk: Desk, wanted: Wanted, relief: Relief, root: Fraction | None, context: Context) -> bool:
    limits, system = wanted.limits, context.system
    advice: Undercut = thread_undercut(wanted.thread.pitch, wanted.thread.major, inside=wanted.inside)
    also = f"the standard undercut for this pitch is {length_text(advice.least, system, 'caliper')} wide or more"
    desk.length(
        "relief",
        "Relief, width",
        relief.width.value,
        basis(f"as the job says; {also}", (relief.width, source(advice.source, advice.width_status)), source("the job", "owner")),
        read_by="rule",
    )
    if wanted.inside:
        bound = max(limits.major.lower or wanted.thread.major, root or Fraction(0))
        formula = "the larger of the smallest major diameter and the root this tip leaves, and twice the clearance of the tip"
    else:
        bound = min(end for end in (limits.minor.lower, limits.minor.upper, wanted.thread.root_diameter, root) if end is not None)
        formula = "the smallest of the root's limits, the design root and the root this tip leaves, less twice the clearance of the tip"
    needed = groove_diameter_limit(bound, _CLEAR, inside=wanted.inside)
    ends = (needed, None) if wanted.inside else (None, needed)
    desk.length("relief_limit", "Relief, diameter", needed, basis(formula, _inputs(desk, wanted), GEOMETRY), rational=False, limits=ends)
    if relief.diameter is not None:
        desk.length(
            "relief_diameter",
            "Relief as drawn",
            relief.diameter.value,
            basis("as the job says", (relief.diameter, "relief_limit"), source("the job", "owner")),
            read_by="caliper",
        )
    if relief.diameter is None:
        return True
    short = bound - relief.diameter.value if wanted.inside else relief.diameter.value - bound
    if short > 0:
        what = "smaller" if wanted.inside else "larger"
        context.faults.error(
            "relief/shallow",
            f"the relief is not deep enough: its diameter is {length_text(short, system)} {what} than the root of "
            f"{wanted.thread.designation}",
            relief.diameter,
            f"the root stands at {length_text(bound, system)}",
            hint=f"{'bore' if wanted.inside else 'turn'} it to {length_text(needed, system)}",
        )
        return False
    return True


def _inputs(desk: Desk, wanted: Wanted) -> tuple[Value | str, ...]:
    """What the relief's diameter follows from: the thread's own figures."""
    names = tuple(name for name in ("major_diameter" if wanted.inside else "minor_diameter", "root_diameter") if name in desk)
    return names or ("pitch_diameter",)
