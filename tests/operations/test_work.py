"""Laws of the workpiece between steps: it has no gaps whatever is done to it, and what is not cut stays as it was (plane geometry)."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.diagnostics import Span
from benchleaf.operations.work import FAR, FINISHED, Stretch, Work, diameter_at
from benchleaf.workshop.job import Blank
from benchleaf.workshop.values import Measure, Origin, Word

AT = Origin("job", Span("job.yaml", 1, 1))
LENGTHS = st.fractions(min_value=0, max_value=130, max_denominator=20)
DIAMETERS = st.fractions(min_value=F(1, 4), max_value=60, max_denominator=50)
KINDS = st.sampled_from(["turned", "bored", "groove", "chamfer", *sorted(FINISHED)])
CUTS = st.tuples(
    st.just("cut"), st.sampled_from(["outside", "inside"]), LENGTHS, LENGTHS, DIAMETERS, st.none() | DIAMETERS, KINDS
)  # fmt: skip
DEEDS = st.one_of(CUTS, CUTS, st.tuples(st.just("face"), LENGTHS), st.tuples(st.just("round")), st.tuples(st.just("part"), LENGTHS))


def mm(value: F | str) -> Measure:
    return Measure(F(value), "mm", f"{value} mm", AT)


def said(words: str) -> Word:
    return Word(words, AT)


def bar(length: str | None = "100", bore: str | None = None) -> Work:
    return Work(Blank(AT, mm("60"), mm(bore) if bore else None, mm(length) if length else None))


def do(work: Work, deed: tuple) -> None:
    """One deed, where it can be done: an end stays, and the part has some length."""
    match deed:
        case ("cut", side, one, other, near, far, kind):
            work.cut(side, min(one, other), max(one, other), near, kind, said("step"), far=far)
        case ("face", amount) if amount < work.end:
            work.face_off(amount)
        case ("round",) if work.length is not None:
            work.turn_round()
        case ("part", length) if 0 < length <= work.end:
            work.part_off(length, said("part"))


def worked(deeds: list[tuple], length: str | None = "100") -> Work:
    work = bar(length)
    for deed in deeds:
        do(work, deed)
    return work


def surfaces(work: Work) -> tuple[tuple[Stretch, ...], tuple[Stretch, ...]]:
    return work.outside, work.bore


@given(st.lists(DEEDS, max_size=12), st.sampled_from(["100", None]))
def test_stretches_meet_without_gaps_or_overlaps(deeds: list[tuple], length: str | None) -> None:
    work = worked(deeds, length)
    for stretches in surfaces(work):
        assert (stretches[0].start, stretches[-1].end) == (0, work.end)
        assert all(one.end == other.start for one, other in pairwise(stretches))
        assert all(item.start < item.end for item in stretches)
    assert all(0 <= feature.place <= work.end for feature in work.features)


@given(st.lists(DEEDS, max_size=12))
def test_turned_round_twice_it_is_as_it_was(deeds: list[tuple]) -> None:
    work = worked([*deeds, ("cut", "outside", F(0), F(5), F(20), None, "turned")])
    work.add("centre", said("centre"))
    before, features = surfaces(work), list(work.features)
    work.turn_round()
    once = surfaces(work)
    work.turn_round()
    assert (surfaces(work), work.features) == (before, features)
    length = work.end
    for was, now in zip(before, once, strict=True):
        assert [(length - item.end, length - item.start, item.far, item.near) for item in reversed(was)] == [
            (item.start, item.end, item.near, item.far) for item in now
        ]


@given(st.lists(DEEDS, max_size=10), st.fractions(min_value=0, max_value=60, max_denominator=20), LENGTHS)
def test_facing_moves_all_that_is_left(deeds: list[tuple], amount: F, place: F) -> None:
    work = worked(deeds)
    if amount >= work.end:
        return
    before, length = [at(work, side, place + amount) for side in ("outside", "inside")], work.end
    work.face_off(amount)
    assert work.end == length - amount
    assert [at(work, side, place) for side in ("outside", "inside")] == before


@given(st.lists(DEEDS, max_size=10), CUTS, LENGTHS)
def test_a_cut_changes_its_own_place_and_no_other(deeds: list[tuple], cut: tuple, place: F) -> None:
    work = worked(deeds)
    _, side, one, other, near, _, kind = cut
    start, end = min(one, other), min(max(one, other), work.end)
    before = {where: at(work, where, place) for where in ("outside", "inside")}
    work.cut(side, start, end, near, kind, said("step"))
    for where in ("outside", "inside"):
        if place >= work.end:
            assert at(work, where, place) is None
        elif where == side and start <= place < end:
            assert at(work, where, place) == (near, kind)
        else:
            assert at(work, where, place) == before[where]


@given(st.lists(DEEDS, max_size=10), LENGTHS, LENGTHS)
def test_finished_surfaces_are_found_wherever_they_are_touched(deeds: list[tuple], one: F, other: F) -> None:
    work = worked(deeds)
    start, end = min(one, other), max(one, other)
    for side in ("outside", "inside"):
        there = [item for item in work.surface(side) if item.kind in FINISHED and item.start < end and item.end > start]
        found = work.finished(side, start, end)
        assert (found is None) == (not there)
        if found is not None:
            assert found.kind == there[0].kind


@given(st.lists(DEEDS, max_size=10), st.fractions(min_value=F(1, 10), max_value=100, max_denominator=20))
def test_parting_leaves_the_front(deeds: list[tuple], length: F) -> None:
    work = worked(deeds)
    if length > work.end:
        return
    before = [[at(work, side, length * share / 7) for share in range(7)] for side in ("outside", "inside")]
    work.part_off(length, said("part"))
    assert (work.end, work.parted is not None) == (length, True)
    assert [[at(work, side, length * share / 7) for share in range(7)] for side in ("outside", "inside")] == before


def at(work: Work, side: str, place: F) -> tuple[F | None, str] | None:
    """Diameter and kind of a surface just behind a place; None beyond the end."""
    found = next((item for item in work.surface(side) if item.start <= place < item.end), None)
    return None if found is None else (diameter_at(found, place), found.kind)


def test_a_hole_is_as_wide_as_its_narrowest() -> None:
    work = bar("80", "10")
    work.cut("inside", F(0), F(30), F(20), "bored", mm("20"))
    assert work.hole(F(0), F(80)) == mm("10")
    assert work.hole(F(0), F(30)) == mm("20")
    solid = bar("80")
    solid.cut("inside", F(0), F(30), F(20), "drilled", mm("20"))
    assert solid.hole(F(0), F(30)) == mm("20")
    assert solid.hole(F(0), F(31)) is None  # solid behind


def test_work_of_unknown_length_ends_nowhere_until_it_is_parted() -> None:
    work = bar(None)
    work.cut("outside", F(0), F(40), F(50), "turned", mm("50"))
    assert (work.length, work.end, work.overall) == (None, FAR, None)
    work.face_off(F(1))
    assert work.outside[0].end == 39
    assert work.outside[-1].end == FAR
    work.part_off(F(30), mm("30"))
    assert (work.end, len(work.outside)) == (30, 1)


def test_a_taper_keeps_its_slope_where_it_is_cut_into() -> None:
    """20 mm to 24 mm over 40 mm: 22 mm in the middle."""
    work = bar()
    work.cut("outside", F(0), F(40), F(20), "taper", said("1:10"), far=F(24))
    work.cut("outside", F(20), F(30), F(15), "groove", mm("15"))
    taper, _, rest, *_ = work.outside
    assert (taper.near, taper.far, rest.near, rest.far) == (20, 22, 23, 24)
