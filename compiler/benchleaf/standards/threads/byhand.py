"""Threads that no standard designates: a form by name, the major diameter, the lead."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Protocol

from benchleaf.standards.threads.acme import acme_thread
from benchleaf.standards.threads.basic import basic_thread
from benchleaf.standards.threads.form import Form, find_form, form_names
from benchleaf.standards.threads.metric import metric_thread
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, size_text
from benchleaf.standards.threads.trapezoidal import trapezoidal_thread
from benchleaf.standards.threads.unified import unified_thread
from benchleaf.standards.threads.whitworth import whitworth_thread

__all__ = ["read_by_hand", "thread_by_hand"]

MOST_STARTS = 24


class _MetricBuilder(Protocol):
    def __call__(
        self, major: Fraction, pitch: Fraction, starts: int, hand: str, tolerance: str | None, *, named: str, system: str
    ) -> Thread: ...


class _InchBuilder(Protocol):
    def __call__(
        self, size: Fraction, tpi: Fraction, *, starts: int, hand: str, tolerance: str | None, named: str, system: str
    ) -> Thread: ...


def _whitworth(size: Fraction, tpi: Fraction, *, starts: int, hand: str, tolerance: str | None, named: str, system: str) -> Thread:
    return whitworth_thread(size, tpi, "Whit", starts=starts, hand=hand, tolerance=tolerance, named=named, system=system)


def _rounded_root(size: Fraction, tpi: Fraction, *, starts: int, hand: str, tolerance: str | None, named: str, system: str) -> Thread:
    return unified_thread(size, tpi, starts=starts, hand=hand, tolerance=tolerance, rounded_root=True, named=named, system=system)


# Forms whose standards give limits for any diameter and pitch, with what builds them.
_METRIC: Mapping[str, _MetricBuilder] = {"metric 60": metric_thread, "trapezoidal 30": trapezoidal_thread}
_INCH: Mapping[str, _InchBuilder] = {
    "unified 60": unified_thread,
    "unified rounded root 60": _rounded_root,
    "whitworth 55": _whitworth,
    "acme 29": acme_thread,
}


def thread_by_hand(
    *, major: Fraction, lead: Fraction, starts: int = 1, form: str, hand: str = "right", system: str, tolerance: str | None = None
) -> Thread:
    """A thread spelled out: ``form`` by name ('metric', 'Whitworth 55', ...), ``major`` and ``lead`` in mm, ``system`` 'metric' or 'inch'.

    Limits follow the form's own formulas where its standard gives them for any size, in the class given or its usual one;
    for the other forms they are None and say so.  Raises DesignationError for an unknown form or class and for sizes that
    cannot be cut.
    """
    shape, near = find_form(form)
    if shape is None:
        hint = f"did you mean {' or '.join(near)}?" if near else f"forms: {', '.join(form_names())}"
        raise DesignationError(f"no form of thread is called {form[:40]!r}", hint)
    if major <= 0 or lead <= 0:
        raise DesignationError("the major diameter and the lead of a thread must be more than nought", "give both as lengths")
    if not 1 <= starts <= MOST_STARTS:
        raise DesignationError(f"a thread has 1 to {MOST_STARTS} starts, not {starts}", "lead = starts x pitch")
    if hand not in ("left", "right"):
        raise DesignationError(f"the hand of a thread is left or right, not {hand[:20]!r}", "leave it out for a right-hand thread")
    pitch = lead / starts
    if 2 * shape.design_depth(pitch) >= major:
        raise DesignationError(
            f"a pitch of {size_text(pitch)} mm leaves no core in a diameter of {size_text(major)} mm", "check the lead and the diameter"
        )
    named = _spelled(shape, major, lead, starts, hand, system, tolerance)
    if shape.name in _METRIC:
        return _METRIC[shape.name](major, pitch, starts, hand, tolerance, named="" if system == "metric" else named, system=system)
    if shape.name in _INCH:
        size, tpi = major / INCH, INCH / pitch
        own = system == "inch" and tpi >= 1 and _is_short(size) and _is_short(tpi)
        named = "" if own else named
        return _INCH[shape.name](size, tpi, starts=starts, hand=hand, tolerance=tolerance, named=named, system=system)
    if tolerance is not None:
        hint = "leave the class out: the sheet then shows basic sizes"
        raise DesignationError(f"no tolerance classes are known for the {shape.name} form", hint)
    return basic_thread(
        shape,
        major,
        pitch,
        starts,
        hand,
        designation=named,
        family=shape.name,
        system=system,
        tpi=INCH / pitch if system == "inch" else None,
        reason=f"no tolerances are known for the {shape.name} form at any size",
    )


def _is_short(value: Fraction) -> bool:
    """Whether a size can be written in a designation without a fraction of its own making."""
    return "/" not in size_text(value) or value.denominator in (2, 4, 8, 16, 32, 64)


def _spelled(shape: Form, major: Fraction, lead: Fraction, starts: int, hand: str, system: str, tolerance: str | None) -> str:
    if system == "inch":
        pitch = INCH * starts / lead
        size = f"{size_text(major / INCH)} in x " + (
            f"{size_text(pitch)} TPI" if "/" not in size_text(pitch) else f"{size_text(lead / starts / INCH)} in"
        )
    else:
        size = f"{size_text(major)} mm x {size_text(lead / starts)} mm"
    return ", ".join(
        [
            shape.name,
            size,
            *([f"{starts} starts"] if starts > 1 else []),
            *(["LH"] if hand == "left" else []),
            *([tolerance] if tolerance else []),
        ]
    )


def read_by_hand(reader: Reader) -> Thread | None:
    """Read 'whitworth 55, 1.02 in x 26 TPI, 2 starts, LH, medium', the printed form of :func:`thread_by_hand`; None for other texts.

    The pitch is named, not the lead.
    """
    head = reader.take(r"(?P<form>[a-z][a-z0-9 /.]*?)\s*,\s*")
    if head is None:
        return None
    number = rf"{MIXED}|\d+/\d+"
    body = reader.take(rf"(?P<major>\d+/\d+|{number})\s*(?P<unit>mm|in)\s*x\s*(?P<pitch>\d+/\d+|{number})\s*(?P<per>mm|in|TPI)\b")
    if body is None and find_form(head.group("form"))[0] is None:
        return None
    if body is None:
        raise reader.fault(
            "the major diameter and the pitch are missing after the form", "write them as in 'whitworth 55, 1.02 in x 26 TPI'"
        )
    major = reader.value(body, "major diameter", "major") * (INCH if body.group("unit").lower() == "in" else 1)
    amount = reader.value(body, "pitch", "pitch")
    per = body.group("per").lower()
    pitch = amount if per == "mm" else amount * INCH if per == "in" else INCH / amount
    starts, hand = 1, "right"
    tolerance: str | None = None
    reader.skip()
    while not reader.done:
        if (match := reader.take(r"(\d{1,3})\s*starts?\b")) is not None:
            starts = int(match.group(1))
        elif (match := reader.take(r"(LH|RH)\b")) is not None:
            hand = "left" if match.group(1).upper() == "LH" else "right"
        else:
            word, _ = reader.word()
            tolerance = word
            reader.at += len(word)
        reader.skip()
    try:
        return thread_by_hand(
            major=major,
            lead=pitch * starts,
            starts=starts,
            form=head.group("form"),
            hand=hand,
            system="metric" if per == "mm" else "inch",
            tolerance=tolerance,
        )
    except DesignationError as error:
        place = (
            (reader.at - len(tolerance), reader.at) if tolerance else body.span() if find_form(head.group("form"))[0] else head.span("form")
        )
        raise reader.fault(error.message, error.hint, *place) from None
