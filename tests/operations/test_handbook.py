"""Figures of the sheets against published tables, standards and the sums that handbooks print: the source stands beside each."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from math import cos, pi, radians, tan
from pathlib import Path

import pytest
import yaml
from route_shop import figure, job, table

from benchleaf.sheet.model import Check, FigureGroup, Steps, Weight

PUBLISHED = yaml.load((Path(__file__).parent / "tapping_drills.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
SPEEDS = (50, 100, 200, 400, 800)  # of the lathe of the cases


def number(value: F | str) -> float:
    assert isinstance(value, F)
    return float(value)


@pytest.mark.parametrize(
    ("group", "tool", "range_", "diameter"),
    [
        # HSS turning speeds, m/min, as ranges: common practice, from memory of workshop handbooks.
        ("mild steel", "knife", (25, 40), "20"),
        ("mild steel", "knife", (25, 40), "75"),
        ("medium carbon steel", "knife", (18, 30), "40"),
        ("silver steel", "knife", (10, 18), "12"),
        ("stainless 304", "knife", (9, 20), "30"),
        ("cast iron", "knife", (15, 27), "100"),
        ("phosphor bronze", "knife", (15, 30), "25"),
        ("aluminium", "knife", (60, 150), "90"),
    ],
)  # fmt: skip
def test_spindle_speed(tmp_path: Path, group: str, tool: str, range_: tuple[int, int], diameter: str) -> None:
    """n = 1000 v / (pi d), v within the range that handbooks give, and the fastest of the lathe's speeds that is not above it."""
    done = job(tmp_path, f"turn: {{to: {F(diameter) - 4} mm, length: 20 mm, tool: {tool}}}", blank=f"outside: {diameter} mm, length: 60 mm",
               held="by: chuck, stands-out: 30 mm", group=group)  # fmt: skip
    section = done.of("turn")
    surface = number(figure(section, "cutting_speed").value)
    assert range_[0] <= surface <= range_[1]
    limit = 1000 * surface / (pi * float(diameter))
    assert number(figure(section, "spindle_speed").value) == max(speed for speed in SPEEDS if speed <= limit)


def test_the_textbook_speed(tmp_path: Path) -> None:
    """25 m/min on 20 mm is 398 turns a minute (definition, as handbooks print it), hence 200 of 200 and 400."""
    done = job(tmp_path, "turn: {to: 16 mm, length: 20 mm}", blank="outside: 20 mm, length: 60 mm", held="by: chuck, stands-out: 30 mm",
               speeds="turning-speed: {hss: 25 m/min}")  # fmt: skip
    section = done.of("turn")
    assert number(figure(section, "cutting_speed").value) == 25
    assert number(figure(section, "spindle_speed").value) == 200


def test_facing_goes_by_the_outside_and_boring_by_the_finished_bore(tmp_path: Path) -> None:
    """The largest diameter in the cut governs (common practice)."""
    done = job(tmp_path, "face: {}\nbore: {to: 30 mm, length: 20 mm}", blank="outside: 120 mm, bore: 22 mm, length: 60 mm",
               held="by: chuck, stands-out: 30 mm")  # fmt: skip
    for kind, diameter in (("face", 120), ("bore", 30)):
        section = done.of(kind)
        limit = 1000 * number(figure(section, "cutting_speed").value) / (pi * diameter)
        assert number(figure(section, "spindle_speed").value) == max(speed for speed in SPEEDS if speed <= limit)


@pytest.mark.parametrize(
    ("diameter", "depth", "group", "pecks"),
    [
        # First, second and later pecks in diameters, short end: steel 2, 1, 0.5; brass and iron 2; stainless 0.5 (common practice, from memory).
        ("10", "40", "mild steel", (2, 1, "0.5")),
        ("5", "30", "mild steel", (2, 1, "0.5")),
        ("8", "50", "free-cutting brass", (2, 2, 2)),
        ("12", "60", "cast iron", (2, 2, 2)),
        ("6", "20", "stainless 304", ("0.5", "0.5", "0.5")),
    ],
)  # fmt: skip
def test_pecks(tmp_path: Path, diameter: str, depth: str, group: str, pecks: tuple[int | str, ...]) -> None:
    """To the full depth and the drill's point, d / 2 / tan 59 (geometry of a 118 degree point)."""
    done = job(tmp_path, f"drill: {{diameter: {diameter} mm, depth: {depth} mm}}", group=group)
    section = done.of("drill")
    in_all = float(depth) + float(diameter) / 2 / tan(radians(59))
    assert number(figure(section, "in_all").value) == pytest.approx(in_all, abs=1e-9)
    expected, reached, turn = [], 0.0, 0
    while reached < in_all:
        reached = min(in_all, reached + float(F(pecks[min(turn, 2)])) * float(diameter))
        expected.append(reached)
        turn += 1
    rows = table(section, "pecks").rows
    assert [number(row.values[-1] or "") for row in rows] == pytest.approx(expected, abs=1e-9)
    for row, deep in zip(rows, expected, strict=True):  # 0.05 mm divisions, 5 mm a turn
        turns, dial = row.values[2], row.values[3]
        assert turns is not None
        assert number(dial or "") == pytest.approx(deep, abs=0.025 + 1e-9)
        assert float(row.shown[3]) == pytest.approx(number(dial or "") - 5 * float(turns), abs=1e-9)


@pytest.mark.parametrize(
    ("ratio", "taken"),
    [(F(3), 0), (F(9, 2), 20), (F(11, 2), 30), (F(7), 40)],  # % off the speed from 4, 5 and 6 diameters on: a published drill guide
)
def test_deep_holes_are_drilled_slower(tmp_path: Path, ratio: F, taken: int) -> None:
    """A 12 mm drill: what is left of n = 1000 v / (pi d) bounds the speed."""
    point = F(6) / F(tan(radians(59))).limit_denominator(10**9)
    depth = 12 * ratio - point
    section = job(tmp_path, f"drill: {{diameter: 12 mm, depth: {float(depth):.3f} mm}}").of("drill")
    full = 1000 * number(figure(section, "cutting_speed").value) / (pi * 12)
    limit = full * (100 - taken) / 100
    assert number(figure(section, "spindle_speed").value) == max(speed for speed in SPEEDS if speed <= limit)
    if taken:
        assert number(figure(section, "deep").value) == pytest.approx(limit, rel=1e-6)


@pytest.mark.parametrize(
    ("size", "group", "low", "high"),
    [
        # Stock on the diameter for machine reamers, mm: an open trade-training course (two printings); tough and light metals half as much again.
        ("4", "mild steel", "0.1", "0.2"),
        ("12", "mild steel", "0.2", "0.3"),
        ("12", "cast iron", "0.2", "0.3"),
        ("12", "aluminium", "0.3", "0.45"),
    ],
)  # fmt: skip
def test_stock_for_a_reamer(tmp_path: Path, size: str, group: str, low: str, high: str) -> None:
    """The sheet's range is the published one, the drill that is planned leaves it, and a bore outside it is refused or warned of."""
    drawer = f"reamers: [{{name: reamer of {size}, size: {size} mm}}]"
    done = job(tmp_path, f"ream: {{diameter: {size} mm, depth: 20 mm, tool: reamer of {size}}}", group=group, drawer=drawer)
    limits = figure(done.of("ream"), "allowance").limits
    assert limits is not None
    assert (limits.lower, limits.upper) == (F(low), F(high))
    drilled = F(size) - F(figure(done.of("ream"), "stock").value)
    assert F(low) <= drilled <= F(high)
    for left, code in ((F(high) + F(1, 50), "ream/too-much"), (F(low) - F(1, 50), "ream/too-little")):
        bored = job(tmp_path, f"ream: {{diameter: {size} mm, depth: 20 mm, tool: reamer of {size}}}", group=group, drawer=drawer,
                    blank=f"outside: 40 mm, bore: {float(F(size) - left):.3f} mm, length: 60 mm", held="by: chuck, stands-out: 40 mm")  # fmt: skip
        assert bored.codes == [code]


OVER_ITS_CLASS = ("9/16-18 UNF", "5/8-18 UNF")  # 33/64 and 37/64 in are published, 2B ends at 0.515 and 0.578 in (ASME B1.1)


def _rows(family: str, most: float) -> list[tuple[str, str]]:
    return [(row[0], row[1]) for row in PUBLISHED[family]["rows"] if float(row[1]) <= most]


@pytest.mark.parametrize(("thread", "drill"), [row for family in ("metric", "unified", "whitworth", "ba") for row in _rows(family, 20)])
def test_tapping_in_a_hole_of_the_published_drill(tmp_path: Path, thread: str, drill: str) -> None:
    """BS 1157:1975, DIN 336 and US practice, as the data file says: no table's drill is refused, and the hole that is planned is near it."""
    drawer = f"taps: [{{name: its tap, thread: {thread}}}]\ndrills: [{{name: fine, run: {{smallest: 0.5 mm, largest: 20 mm, step: 0.05 mm}}}}]"
    tapped = job(tmp_path, f"tap: {{thread: {thread}, tool: its tap}}", drawer=drawer,
                 blank=f"outside: 40 mm, bore: {drill} mm, length: 20 mm", held="by: chuck, stands-out: 12 mm")  # fmt: skip
    assert tapped.codes == (["tap/hole-large"] if thread in OVER_ITS_CLASS else [])
    assert number(figure(tapped.of("tap"), "stock").value) == float(drill)
    planned = job(tmp_path, f"tap: {{thread: {thread}, tool: its tap}}", drawer=drawer, blank="outside: 40 mm, length: 20 mm",
                  held="by: chuck, stands-out: 12 mm")  # fmt: skip
    assert planned.sections, planned.codes
    assert number(figure(planned.of("tap"), "stock").value) == pytest.approx(float(drill), rel=0.02, abs=0.11)  # lists differ by as much


@pytest.mark.parametrize(
    ("thread", "bar", "code"),
    [
        # Limits of the major diameter, 6g: M6 5.794 to 5.974, M10 9.732 to 9.968 (ISO 965-2); a die raises the crests by a tenth of the pitch.
        ("M6", "5.974", ""),
        ("M6", "5.99", "die/bar-large"),
        ("M6", "5.70", ""),
        ("M6", "5.68", "die/bar-small"),
        ("M10", "9.968", ""),
        ("M10", "10.0", "die/bar-large"),
        ("M10", "9.583", ""),
        ("M10", "9.581", "die/bar-small"),
    ],
)  # fmt: skip
def test_the_bar_for_a_die(tmp_path: Path, thread: str, bar: str, code: str) -> None:
    done = job(tmp_path, f"die: {{thread: {thread}, length: 10 mm, tool: its die}}", drawer=f"dies: [{{name: its die, thread: {thread}}}]",
               blank=f"outside: {bar} mm, length: 30 mm", held="by: chuck, stands-out: 14 mm")  # fmt: skip
    assert done.codes == ([code] if code else [])


@pytest.mark.parametrize(
    ("blank", "pitch", "teeth", "tracks"),
    [("20", "1", 54, "19.848"), ("16", "0.8", 54, "15.878"), ("39.7", "1", 108, "39.696")],  # z p / (pi cos 30), not above the bar
)
def test_knurl_blanks(tmp_path: Path, blank: str, pitch: str, teeth: int, tracks: str) -> None:
    """Whole teeth round the blank, wheels of 30 degrees (geometry); a diamond rises by 0.67 of the pitch (DIN 82, from memory)."""
    done = job(tmp_path, "knurl: {pattern: diamond, length: 10 mm, tool: its knurl}", blank=f"outside: {blank} mm, length: 60 mm",
               held="by: chuck, stands-out: 20 mm", drawer=f"knurls: [{{name: its knurl, pattern: diamond, pitch: {pitch} mm}}]")  # fmt: skip
    section = done.of("knurl")
    by_hand = teeth * float(pitch) / (pi * cos(radians(30)))
    assert number(figure(section, "blank").value) == pytest.approx(by_hand, abs=1e-9)
    assert by_hand == pytest.approx(float(tracks), abs=0.0005)
    assert figure(section, "teeth").value == teeth
    assert number(figure(section, "finished").value) == pytest.approx(by_hand + 0.67 * float(pitch), abs=1e-9)
    assert ("knurl/blank" in done.codes) == (float(blank) - by_hand > float(pitch) / 20)


@pytest.mark.parametrize(
    ("size", "side", "lower", "upper"),
    [
        # ISO 286-2:2010, limit deviations.
        ("20 f7", "outside", "19.959", "19.980"),
        ("25 g6", "outside", "24.980", "24.993"),
        ("30 k6", "outside", "30.002", "30.015"),
        ("32 h9", "outside", "31.938", "32.000"),
        ("16 js9", "outside", "15.9785", "16.0215"),
        ("38 h11", "outside", "37.840", "38.000"),
        ("25 H7", "inside", "25.000", "25.021"),
        ("30 H8", "inside", "30.000", "30.033"),
        ("28 F8", "inside", "28.020", "28.053"),
        ("26 P7", "inside", "25.965", "25.986"),
    ],
)  # fmt: skip
def test_classes_as_they_are_printed(tmp_path: Path, size: str, side: str, lower: str, upper: str) -> None:
    step = f"turn: {{to: {size}, length: 20 mm}}" if side == "outside" else f"bore: {{to: {size}, length: 20 mm}}"
    done = job(tmp_path, step, blank="outside: 40 mm, length: 60 mm" if side == "outside" else "outside: 40 mm, bore: 22 mm, length: 60 mm",
               held="by: chuck, stands-out: 40 mm")  # fmt: skip
    section = done.of("turn" if side == "outside" else "bore")
    found, goal = figure(section, "size"), figure(section, "size_aim").value
    assert found.limits is not None
    assert (found.limits.lower, found.limits.upper) == (F(lower), F(upper))
    assert found.shown == f"{float(lower):.3f} to {float(upper):.3f}" or side == "outside"
    assert isinstance(goal, F)
    middle = (F(lower) + F(upper)) / 2
    assert (middle <= goal < F(upper)) if side == "outside" else (F(lower) < goal <= middle), "aim where metal is left"


@pytest.mark.parametrize(
    ("mate", "kind", "loosest", "tightest"),
    [
        # H8/f7 on 20 mm: +33/0 with -20/-41; H7/p6 on 25: see the other side (ISO 286-2:2010).
        ("20 H8", "clearance", "0.074 mm play", "0.020 mm play"),
        ("20 K7", "clearance", "0.047 mm play", "0.005 mm play"),
    ],
)  # fmt: skip
def test_fits_as_they_are_printed(tmp_path: Path, mate: str, kind: str, loosest: str, tightest: str) -> None:
    done = job(tmp_path, f"turn: {{to: 20 f7, length: 30 mm, mates-with: {mate}}}", blank="outside: 25 mm, length: 60 mm",
               held="by: chuck, stands-out: 35 mm")  # fmt: skip
    assert figure(done.of("turn"), "fit").value == f"{kind}: {loosest} to {tightest}"


def test_general_tolerances_are_printed_but_not_aimed_off(tmp_path: Path) -> None:
    """38 mm without a tolerance: class m of ISO 2768-1 gives +/-0.3 over 30 mm; the size to aim at is the size."""
    section = job(tmp_path, "turn: {to: 38 mm, length: 30 mm}").of("turn")
    found = figure(section, "size")
    assert found.limits is not None
    assert (found.limits.lower, found.limits.upper, figure(section, "size_aim").value) == (F("37.7"), F("38.3"), 38)
    assert "2768" in found.basis.source.title


def test_a_groove_stands_where_its_dial_says(tmp_path: Path) -> None:
    """3 mm tool, groove from 20 to 28 mm: the far edge touched the face, so the dial is at place + width (geometry).

    5 mm more than the tool is covered by its two ends and one plunge half-way.
    """
    section = job(tmp_path, "groove: {where: outside, to: 34 mm, from: 20 mm, width: 8 mm, tool: groove 3}").of("groove")
    rows = table(section, "plunges").rows
    places, counted = [row.values[-1] for row in rows], [row.values[3] for row in rows]
    assert places == [20, 25, F(45, 2)]
    assert counted == [23, 28, F(51, 2)]
    assert number(figure(section, "last_dial").value) == 3


def test_a_drill_that_passes_a_bore_counts_from_its_bottom(tmp_path: Path) -> None:
    """18 mm bored already: a 14 mm drill to 60 mm goes in by 60 - 18 and its point, 7 / tan 59 (geometry)."""
    section = job(tmp_path, "drill: {diameter: 20 mm, depth: 18 mm}\ndrill: {diameter: 14 mm, depth: 60 mm}").sections[-1]
    assert section.kind == "drill"
    assert number(figure(section, "begins").value) == 18
    assert number(figure(section, "in_all").value) == pytest.approx(42 + 7 / tan(radians(59)), abs=1e-9)
    words = " ".join(say.words for block in section.blocks if isinstance(block, Steps) for say in block.steps)
    assert "bottom of the hole" in words


ROUTE = """
face: {take-off: 1 mm}
turn: {to: 36 h9, length: 50 mm}
turn: {to: 15.9 mm, length: 30 mm}
ream: {diameter: 12 mm, depth: 25 mm}
groove: {where: outside, to: 13 mm, from: 24 mm, width: 6 mm}
chamfer: {where: outside, width: 1 mm}
part-off: {length: 50 mm}
hold: {by: chuck, end-for-end: true, stands-out: 15 mm}
face: {to-length: 49.5 mm}
"""


def test_every_figure_that_the_words_use_is_on_the_sheet(tmp_path: Path) -> None:
    """Numbers reach paper as figures of their own section, and what is set at the machine is never under Background."""
    done = job(tmp_path, ROUTE, held="by: chuck, stands-out: 65 mm")
    assert done.codes == []
    assert len(done.sections) > 9
    for section in done.sections:
        known = {found.id for found in section.figures()}
        said = [say for block in section.blocks if isinstance(block, Steps) for say in block.steps]
        said += [block.words for block in section.blocks if isinstance(block, Check)]
        for say in said:
            assert set(say.ids()) <= known, (section.id, say.words)
        background = {
            found.id
            for block in section.blocks
            if isinstance(block, FigureGroup) and block.weight is Weight.KNOW
            for found in block.figures
        }
        assert not background & {"spindle_speed", "first_dial", "last_dial", "size", "size_aim"}
