"""Laws that hold for every thread: limits in order, classes inside one another, and designations that read back."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeVar

from hypothesis import assume, given
from hypothesis import strategies as st

from benchleaf.standards.threads import (
    DesignationError,
    SizeLimits,
    Thread,
    ThreadLimits,
    form_names,
    known_sets,
    parse_designation,
    thread_by_hand,
)
from benchleaf.standards.threads.tables import number, table

INCH = Fraction(127, 5)
LISTED = sorted(designation for designations in known_sets().values() for designation in designations)
PITCHES = [number(row["P"]) for row in table("metric")["crests"]["rows"]]


Found = TypeVar("Found")


def _try(action: Callable[[], Found]) -> tuple[Found | None, DesignationError]:
    """What an action gives, or None and why it was refused."""
    try:
        return action(), DesignationError("")
    except DesignationError as error:
        return None, error


def _ordered(limits: ThreadLimits) -> None:
    for size in (limits.major, limits.pitch, limits.minor):
        if size.lower is not None and size.upper is not None:
            assert size.lower < size.upper
    assert (limits.pitch.upper or 1) < (limits.major.upper or limits.major.lower or 10**6)
    if limits.minor.upper is not None and limits.pitch.upper is not None:
        assert limits.minor.upper < limits.pitch.upper


def _within(inner: SizeLimits, outer: SizeLimits, allowance: Fraction) -> bool:
    assert inner.lower is not None
    assert outer.lower is not None
    assert inner.upper is not None
    assert outer.upper is not None
    return outer.lower <= inner.lower and inner.upper <= outer.upper + allowance


@given(st.sampled_from(LISTED))
def test_limits_of_listed_threads_are_in_order_and_fit_together(designation: str) -> None:
    thread = parse_designation(designation)
    found = []
    for inside in (False, True):
        try:
            limits = thread.limits(inside)
        except DesignationError:
            assert thread.series in ("R", "Rc", "Rp")
            return
        _ordered(limits)
        found.append(limits)
    outside, inside_limits = found
    if thread.taper == 0 and outside.pitch.upper is not None:
        assert outside.pitch.upper <= (inside_limits.pitch.lower or 0)
        assert (outside.minor.upper or 0) <= (inside_limits.minor.lower or 0)
        assert (outside.major.upper or 0) <= (inside_limits.major.lower or 0)


@given(
    diameter=st.integers(10, 3550).map(lambda tenths: Fraction(tenths, 10)),
    pitch=st.sampled_from(PITCHES),
    grade=st.sampled_from([4, 6, 8]),
    position=st.sampled_from("efgh"),
)
def test_metric_classes(diameter: Fraction, pitch: Fraction, grade: int, position: str) -> None:
    assume(pitch < diameter / 4)
    name = f"M{float(diameter):g}x{float(pitch):g}"
    outside = parse_designation(f"{name}-{grade}{position}").limits(False)
    _ordered(outside)
    assert outside.allowance is not None
    assert (outside.allowance > 0) is (position != "h")
    finest = parse_designation(f"{name}-4h").limits(False)
    assert (outside.pitch_tolerance or 0) >= (finest.pitch_tolerance or 1)
    nut = parse_designation(f"{name}-6H").limits(True)
    _ordered(nut)
    assert (outside.pitch.upper or 10**6) <= (nut.pitch.lower or 0)
    loose = parse_designation(f"{name}-6G").limits(True)
    assert (loose.pitch.lower or 0) - (nut.pitch.lower or 0) == loose.allowance
    assert (nut.pitch_tolerance or 0) > (parse_designation(f"{name}-6h").limits(False).pitch_tolerance or 10**6) * Fraction(12, 10)


@given(size=st.integers(60, 6000).map(lambda thou: Fraction(thou, 1000)), tpi=st.sampled_from([4, 6, 7, 8, 11, 12, 13, 16, 20, 24, 28, 32, 36, 40, 56, 80]))
def test_unified_classes(size: Fraction, tpi: int) -> None:
    assume(size * tpi > 4)
    threads = {words: thread_by_hand(major=size * INCH, lead=INCH / tpi, form="unified", system="inch", tolerance=words) for words in ("1A", "2A", "3A", "1B", "2B", "3B")}
    outside = {words: threads[words].limits(False) for words in ("1A", "2A", "3A")}
    inside = {words: threads[words].limits(True) for words in ("1B", "2B", "3B")}
    for limits in (*outside.values(), *inside.values()):
        _ordered(limits)
    allowance = outside["2A"].allowance or Fraction(0)
    assert outside["1A"].allowance == allowance
    assert outside["3A"].allowance == 0
    # class 3A lies inside 2A but for the allowance that it does without, and 2A inside 1A
    assert _within(outside["3A"].pitch, outside["2A"].pitch, allowance)
    assert _within(outside["2A"].pitch, outside["1A"].pitch, Fraction(0))
    assert _within(inside["3B"].pitch, inside["2B"].pitch, Fraction(0))
    assert _within(inside["2B"].pitch, inside["1B"].pitch, Fraction(0))
    assert all((one.pitch.upper or 1) <= (other.pitch.lower or 0) for one in outside.values() for other in inside.values())


@given(
    form=st.sampled_from(form_names()),
    system=st.sampled_from(["metric", "inch"]),
    major=st.fractions(5, 300, max_denominator=1000),
    ratio=st.fractions(Fraction(1, 200), Fraction(1, 8), max_denominator=997),
    starts=st.integers(1, 6),
    hand=st.sampled_from(["left", "right"]),
)
def test_threads_by_hand_read_back(form: str, system: str, major: Fraction, ratio: Fraction, starts: int, hand: str) -> None:
    pitch = major * ratio
    # ranges of clearance start at 0.15 mm radial: a fine trapezoidal or Acme thread leaves no core
    assume(pitch > Fraction(1, 10))
    thread, error = _try(lambda: thread_by_hand(major=major, lead=pitch * starts, starts=starts, form=form, hand=hand, system=system))
    if thread is None:
        assert "no core" in error.message
        return
    assert (thread.major, thread.pitch, thread.lead) == (major, pitch, pitch * starts)
    if len(thread.designation) <= 80:
        _same(thread, parse_designation(thread.designation))


def _same(first: Thread, second: Thread) -> None:
    assert first == second
    assert first.limits(False) == second.limits(False)
    assert first.limits(True) == second.limits(True)


PIECES = ["M10", "x", "1.5", "-", "6g", "6H", "LH", "Ph3", "P1.5", "1/4", "20", "UNC", "2A", "2B", "BSW", " ", "G", "1/2", "A", "Tr40", "(P7)", "7e", "#10", "worm", "module",
          "starts", "½", "×", "BA", "NPT", "Acme", "2G", "in", ",", ".", "/", "0", "9" * 30, "nut", "medium", "é", "\n"]  # fmt: skip


@given(st.one_of(st.text(max_size=90), st.lists(st.sampled_from(PIECES), max_size=8).map("".join)))
def test_no_text_breaks_the_reader(text: str) -> None:
    """Any text is either read, and then reads back, or refused with a place inside it."""
    thread, error = _try(lambda: parse_designation(text))
    if thread is None:
        assert error.message
        assert 0 <= error.offset <= error.offset + error.length <= len(text)
        return
    assert parse_designation(thread.designation) == thread
    for inside in (False, True):
        limits, error = _try(lambda inside=inside: thread.limits(inside))  # type: ignore[misc]
        assert limits is not None or error.hint
