"""Cutting speeds against published and remembered ranges, and the arithmetic of turning and stopping."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.standards.cautions import caution
from benchleaf.standards.speeds import (
    cutting_speed,
    fastest_for_room,
    feed,
    limit,
    material_group,
    material_names,
    nearest_not_above,
    rim_limit,
    run_on,
    spindle_speed,
    surface_speed,
    threading_speed,
)

# HSS turning, m/min: (material, low, high, usual start) of workshop handbooks, from memory; sources differ by 30 % either way.
HANDBOOK = [
    ("mild steel", 25, 40, 30), ("medium carbon steel", 18, 30, 22), ("silver steel", 10, 18, 14), ("stainless 316", 9, 20, 15), ("cast iron", 15, 27, 20),
    ("brass", 45, 100, 60), ("phosphor bronze", 15, 30, 22), ("aluminium", 60, 150, 90), ("copper", 25, 60, 40), ("acetal", 60, 150, 100),
]  # fmt: skip

# Published ranges, m/min: an open university's workshop page, an engineering course's table, US Technical Order 1-1A-9 table 2-8
# (finishing, from ft/min), a plastics turning guide (from ft/min), published tables of HSS drill speeds.
PUBLISHED = [
    ("mild steel", "turning", "HSS", 22, 28), ("mild steel", "turning", "HSS", 25, 45), ("aluminium", "turning", "HSS", 60, 150), ("brass", "turning", "HSS", 45, 120),
    ("cast iron", "turning", "HSS", 22, 30), ("stainless 303", "turning", "HSS", 19.8, 32), ("stainless 304", "turning", "HSS", 15.2, 24.4),
    ("stainless 303", "turning", "carbide", 59.4, 106.7), ("acetal", "turning", "carbide", 298.7, 597.4), ("nylon", "turning", "carbide", 280.4, 499.9),
    ("PTFE", "turning", "carbide", 149.4, 499.9), ("brass", "drilling", "HSS", 60, 75), ("cast iron", "drilling", "HSS", 25, 35), ("stainless 304", "drilling", "HSS", 6, 15),
    ("titanium", "drilling", "HSS", 12, 30),
]  # fmt: skip


@pytest.mark.parametrize(("material", "low", "high", "start"), HANDBOOK)
def test_starting_speeds_are_the_handbooks(material: str, low: int, high: int, start: int) -> None:
    found = cutting_speed(material, "turning", "HSS")
    assert found is not None
    assert found.low <= found.speed <= found.high
    assert low * F(7, 10) <= found.speed <= high * F(13, 10)
    assert abs(found.speed - start) <= F(3, 10) * start


@pytest.mark.parametrize(("material", "operation", "tool", "low", "high"), PUBLISHED)
def test_ranges_meet_the_published_ones(material: str, operation: str, tool: str, low: float, high: float) -> None:
    found = cutting_speed(material, operation, tool)
    assert found is not None
    assert found.low <= F(high)
    assert found.high >= F(low)


def test_every_material_can_be_turned_threaded_and_drilled() -> None:
    assert len(material_names()) == 25
    for name in material_names():
        for tool in ("HSS", "carbide", "carbon steel"):
            turning, threading = cutting_speed(name, "turning", tool), threading_speed(name, tool)
            assert turning is not None
            # A third to a half of turning with HSS, half with carbide (common practice).
            assert F(1, 3) <= threading.speed / turning.speed <= F(1, 2)
            assert threading.speed == threading.base * threading.factor
            assert threading.low <= threading.speed <= threading.high
            assert threading_speed(name, tool, inside=True).speed < threading.speed
        drilling = cutting_speed(name, "drilling", "HSS")
        reaming = cutting_speed(name, "reaming", "HSS")
        assert drilling is not None
        assert reaming is not None
        assert F(1, 3) <= reaming.speed / drilling.speed <= F(1, 2)
        assert cutting_speed(name, "shaping", "HSS") is not None
        assert cutting_speed(name, "drilling", "carbide") is None  # brittle under a hand feed
        hss, carbide = cutting_speed(name, "turning", "HSS"), cutting_speed(name, "turning", "carbide")
        assert hss is not None
        assert carbide is not None
        assert F(2) <= carbide.speed / hss.speed <= F(6)  # published: three to six times, most of them


@pytest.mark.parametrize(
    ("written", "group"),
    [("Mild-Steel", "mild steel"), ("EN1A", "free-cutting mild steel"), ("brass", "free-cutting brass"), ("leaded gunmetal", "leaded bronze"), ("leaded bronze", "leaded bronze"),
     ("grey cast iron", "cast iron"), ("  Phosphor  bronze ", "phosphor bronze"), ("free cutting brass", "free-cutting brass"), ("POM", "acetal"), ("ti 6al 4v", "titanium 6Al-4V")],
)  # fmt: skip
def test_aliases(written: str, group: str) -> None:
    found = material_group(written)
    assert found is not None
    assert found.name == group


def test_unknown_materials() -> None:
    assert material_group("unobtainium") is None
    with pytest.raises(LookupError, match="unobtainium"):
        cutting_speed("unobtainium", "turning", "HSS")
    with pytest.raises(LookupError, match="stone"):
        threading_speed("mild steel", "stone")
    with pytest.raises(LookupError, match="no limit"):
        limit("sky")
    assert cutting_speed("cast iron", "knurling", "knurl wheels") is None
    assert "EN1A" in material_names(aliases=True)


def test_cautions_of_materials_exist() -> None:
    for name in material_names():
        group = material_group(name)
        assert group is not None
        assert group.fluid
        assert all(caution(each).words for each in group.cautions)
    lead = material_group("leaded bronze")
    assert lead is not None
    assert "lead" in lead.cautions


@pytest.mark.parametrize(
    ("surface", "diameter", "turns"),
    # n = 1000 v / (pi d); 100 ft/min on 1 in is 12 x 100 / pi.
    [("25", "20", 397.89), ("30.48", "25.4", 381.97), ("10", "30", 106.10)],
)
def test_spindle_speed(surface: str, diameter: str, turns: float) -> None:
    found = spindle_speed(F(surface), F(diameter))
    assert float(found) == pytest.approx(turns, abs=0.01)
    assert abs(surface_speed(found, F(diameter)) - F(surface)) < F(1, 10**30)


@pytest.mark.parametrize(
    ("turns", "lead", "time", "distance"),
    [("100", "1.5", "0.5", "1.25"), ("200", "1.5", "0.5", "2.5"), ("60", "2.5", "0.5", "1.25"), ("300", "1.5", "0.3", "2.25"), ("40", "3", "1", "2")],
)
def test_run_on(turns: str, lead: str, time: str, distance: str) -> None:
    # Kinematics: 1.5 mm at 60 turns a minute is 1.5 mm a second.
    assert run_on(F(turns), F(lead), F(time)) == F(distance)


@pytest.mark.parametrize(("room", "lead", "time", "turns"), [("3", "1.5", "0.5", "240"), ("2.5", "1", "0.5", "300"), ("5", "2.5", "0.8", "150"), ("4", "2", "0.7", "1200/7"), ("-1", "2", "1", "0")])
def test_fastest_for_room(room: str, lead: str, time: str, turns: str) -> None:
    assert fastest_for_room(F(room), F(lead), F(time)) == F(turns)


@given(st.fractions(F(1, 10), F(50)), st.fractions(F(1, 10), F(50)), st.fractions(F(1, 10), F(3)))
def test_at_the_fastest_speed_the_room_is_just_used(room: F, lead: F, time: F) -> None:
    assert run_on(fastest_for_room(room, lead, time), lead, time) == room


@given(st.fractions(F(0), F(3000)), st.lists(st.fractions(F(1), F(3000)), max_size=12))
def test_the_nearest_speed_not_above(bound: F, available: list[F]) -> None:
    found = nearest_not_above(bound, available)
    if found is None:
        assert all(speed > bound for speed in available)
    else:
        assert found in available
        assert found <= bound
        assert not any(found < speed <= bound for speed in available)


def test_limits_of_practice() -> None:
    assert (limit("hand_stop_time").low, limit("hand_stop_time").high) == (F(1), F(2))
    # 25 m/s at the rim of a 200 mm chuck: 60000 x 25 / (200 pi) = 2387 turns a minute.
    assert float(rim_limit(F(200))) == pytest.approx(2387.3, abs=0.1)
    rough, fine = feed("turning", "HSS", "roughing"), feed("turning", "HSS", "finishing")
    assert rough is not None
    assert fine is not None
    # An open university's workshop page: 0.1 to 0.15 mm/rev on a centre lathe.
    assert fine.low < F("0.1") <= fine.high <= rough.high
    assert feed("turning", "HSS", "polishing") is None


def test_inside_threads_go_slower_by_the_same_share_throughout() -> None:
    # Common practice: 0.7 to 0.85 of the speed outside.
    outside, inside = threading_speed("mild steel", "HSS"), threading_speed("mild steel", "HSS", inside=True)
    assert inside.speed / outside.speed == inside.factor / outside.factor == F("0.775")
    assert (inside.low / outside.low, inside.high / outside.high) == (F("0.7"), F("0.85"))
    assert inside.low < inside.speed < inside.high
