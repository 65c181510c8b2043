"""The chart of a lathe: its rows against the search for one thread, its grouping against no grouping, and what is printed of it."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from itertools import pairwise, permutations
from pathlib import Path

import pytest
from small_shop import write

from benchleaf.cli import main
from benchleaf.kinematics.many import ManyLeads, SetUp
from benchleaf.kinematics.search import search
from benchleaf.kinematics.trains import Chain
from benchleaf.operations.chart import Asked, chart, named_set
from benchleaf.operations.chart.grouping import grouped
from benchleaf.operations.chart.order import cheapest_way
from benchleaf.operations.screwcut.machine import problem_of
from benchleaf.render.csv_ import to_csv
from benchleaf.render.text import to_text
from benchleaf.resources import data_folder
from benchleaf.sheet.model import Sheet
from benchleaf.standards.threads import known_sets, parse_designation
from benchleaf.workshop.charts import load_charts
from benchleaf.workshop.inputs import LatheInputs

PROFILES = data_folder("profiles")
LIMIT = Fraction(200, 10**6)
LOADED = load_charts(PROFILES / "osier-lane", [], PROFILES)
MACHINES = {machine.path.stem: machine.inputs for machine in LOADED.machines if machine.inputs is not None}
SETS = ("metric coarse", "UNC", "BSW", "BA")
TARGETS = sorted({(thread.lead, thread.hand) for name in SETS for words in known_sets()[name] for thread in [parse_designation(words)]})


def made(machine: LatheInputs, *sets: str) -> Sheet:
    return chart(Asked(machine, tuple(wish for name in sets for wish in named_set(name)), LIMIT, "mild steel", "HSS", "demo"))


def test_both_demo_lathes_are_there() -> None:
    assert LOADED.diagnostics == ()
    assert set(MACHINES) == {"long-lathe", "loose-wheel-lathe"}


@pytest.mark.parametrize("name", MACHINES)
def test_every_answer_of_one_pass_is_that_of_the_search(name: str) -> None:
    problem = problem_of(MACHINES[name])
    leads = sorted({parse_designation(words).lead for words_of in known_sets().values() for words in words_of})
    assert len(leads) > 80
    for number in (1, 10**6):  # without and with a table of ratios
        machine = ManyLeads(problem, number)
        for lead in leads:
            for hand in ("right", "left"):
                found = [machine.train(item.set_up, item.drive, lead) for item in machine.nearest(lead, 1, hand)]
                assert found == [search(problem, lead, hand=hand, limit=LIMIT, keep=1).nearest], (lead, hand)


@pytest.mark.parametrize("name", MACHINES)
def test_rows_are_as_good_as_the_search_and_set_ups_no_more_than_without_grouping(name: str) -> None:
    problem = problem_of(MACHINES[name])
    found = grouped(problem, TARGETS, LIMIT)
    single = {target: search(problem, target[0], hand=target[1], limit=LIMIT, keep=1).best for target in TARGETS}
    rows = {target: train for group in found.groups for target, train in group.trains.items()}
    assert set(rows) | set(found.missing) == set(TARGETS)
    assert {target for target, train in single.items() if train is None} == set(found.missing)
    for (lead, _), train in rows.items():
        best = single[lead, _]
        assert best is not None
        assert train.lead == problem.leadscrew_lead * train.headstock_ratio * train.gearbox_ratio * train.wheel_ratio
        assert train.error == train.lead / lead - 1
        assert abs(train.error) <= LIMIT
        assert (train.error == 0) == (best.error == 0)
    for group in found.groups:
        assert len({train.teeth for train in group.trains.values()}) == 1
    assert len(found.groups) <= len({train.teeth for train in single.values() if train is not None})


@pytest.mark.parametrize("name", MACHINES)
def test_a_chart_of_one_thread_is_the_search(name: str) -> None:
    problem = problem_of(MACHINES[name])
    for target in TARGETS[::6]:
        best = search(problem, target[0], hand=target[1], limit=LIMIT, keep=1).best
        found = grouped(problem, [target], LIMIT).groups
        assert [(group.train.error, len(group.changes)) for group in found] == ([] if best is None else [(best.error, len(best.changes))])


def test_the_order_is_the_cheapest_of_all() -> None:
    """Against every order and every choice of train."""
    variants = [
        [SetUp((2, 1), ((1,), (2,), (3,)), Chain("simple", (False,))), SetUp((4, 1), ((9,), (8,), (7,)), Chain("simple", (False,)))],
        [SetUp((6, 1), ((9,), (8,), (3,)), Chain("simple", (False,)))],
        [SetUp((3, 1), ((1,), (8,), (3,)), Chain("simple", (False,))), SetUp((5, 1), ((4,), (5,), (6,)), Chain("simple", (False,)))],
        [SetUp((6, 1), ((4,), (8,), (7,)), Chain("simple", (False,)))],
    ]

    def apart(one: tuple[tuple[int, ...], ...], other: tuple[tuple[int, ...], ...]) -> int:
        return sum(2 for a, b in zip(one, other, strict=True) if a != b)

    def cost(picked: list[SetUp]) -> int:
        return picked[0].changes + sum(apart(a.axes, b.axes) for a, b in pairwise(picked))

    every = [
        cost([variants[group][choice >> group & 1 if len(variants[group]) > 1 else 0] for group in order])
        for order in permutations(range(4))
        for choice in range(16)
    ]
    ordering, proved = cheapest_way(variants)
    assert proved
    assert sorted(group for group, _ in ordering) == [0, 1, 2, 3]
    assert cost([set_up for _, set_up in ordering]) == min(every)


def cells(sheet: Sheet) -> dict[str, dict[str, str]]:
    """Rows by designation, cells by column."""
    return {
        row.shown[0]: dict(zip((column.id for column in table.columns), row.shown, strict=True))
        for section in sheet.sections for table in section.tables() for row in table.rows
    }  # fmt: skip


def test_what_stands_in_the_rows_of_an_inch_lathe() -> None:
    """8 TPI leadscrew, 16-tooth dial with 8 marks (common practice): 16 TPI anywhere, 20 any mark, 18 every 2nd, 11 every 4th; metric never."""
    rows = cells(made(MACHINES["loose-wheel-lathe"], "BSW", "metric coarse"))
    wanted = {"3/8-16 BSW": "anywhere", "1/4-20 BSW": "any", "5/16-18 BSW": "every 2nd", "5/8-11 BSW": "every 4th", "M8x1.25": "never"}
    assert {name: rows[name]["half_nuts"] for name in wanted} == wanted
    assert {rows[name]["error"] for name in wanted} == {"exact"}, "127 is in the box"
    assert rows["3/8-16 BSW"]["change"] == "none", "mounted"


def test_what_stands_in_the_rows_of_a_metric_lathe() -> None:
    """63 for 127/2 is out by 1 in 8001, -125 ppm (well-known substitute); its cost over one diameter is error x d / tan 27.5 deg, 9.525 mm: 2.3 um."""
    rows = cells(made(MACHINES["long-lathe"], "BSW"))
    assert (rows["3/8-16 BSW"]["error"], rows["3/8-16 BSW"]["cost"]) == ("\u2212125", "2.3")
    assert rows["3/8-16 BSW"]["half_nuts"] == "never"
    # 10 m/min on 9.525 mm is 334 rpm; the lathe has 210 below it, and runs on 210 x 1.5873 x 1.5 / 60 = 8.3 mm.
    assert (rows["3/8-16 BSW"]["rpm"], rows["3/8-16 BSW"]["runs_on"]) == ("210", "8.3")


@pytest.mark.parametrize("name", MACHINES)
def test_everything_asked_for_is_on_the_chart_once(name: str) -> None:
    sheet = made(MACHINES[name], *SETS)
    shown = [row.shown[0] for section in sheet.sections for table in section.tables() for row in table.rows]
    assert sorted(shown) == sorted({wish.thread.designation for each in SETS for wish in named_set(each)})
    assert to_text(sheet) == to_text(made(MACHINES[name], *SETS))


@pytest.mark.parametrize("name", MACHINES)
def test_csv_is_one_well_formed_table(name: str) -> None:
    sheet = made(MACHINES[name], *SETS)
    records = list(csv.reader(io.StringIO(to_csv(sheet), newline=""), strict=True))
    assert {len(record) for record in records} == {len(records[0])}
    assert len(records) - 1 == sum(len(table.rows) for section in sheet.sections for table in section.tables())
    assert len(set(records[0])) == len(records[0])
    at = records[0].index("Lead (mm)")
    assert all(float(record[at]) > 0 for record in records[1:])
    assert not any(cell.startswith(("=", "+", "-", "@")) and not cell[1:].replace(".", "").isdigit() for record in records for cell in record)


def test_the_chart_is_as_last_looked_at(tmp_path: Path) -> None:
    """To look at it anew: benchleaf chart profiles/osier-lane --out tests/chart/golden --format text, less the line with the digest."""
    for name in MACHINES:
        golden = (Path(__file__).parent / "golden" / f"{name}-threads.txt").read_text(encoding="utf-8")
        assert main(["chart", str(PROFILES / "osier-lane" / "lathes" / f"{name}.yaml"), "--threads", str(PROFILES / "osier-lane" / "threads" / "pump.yaml"),
                     "--out", str(tmp_path), "--format", "text", "--quiet"]) == 0  # fmt: skip
        text = (tmp_path / f"{name}-threads.txt").read_text(encoding="utf-8")
        assert [line for line in text.splitlines() if not line.startswith("sheet ")] == golden.splitlines()


@pytest.mark.parametrize(
    ("threads", "code", "words"),
    [
        ("unfc", 2, ["no list of threads called `unfc`", "UNC"]),
        ("list.yaml", 1, ["list.yaml:6:5", "M8x9x9"]),
        ("lathe.yaml", 2, ["a list of threads belongs here"]),
        ("none.yaml", 2, ["there is no `none.yaml`"]),
    ],
)
def test_faults_are_told_at_their_place(
    threads: str, code: int, words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for path in (PROFILES / "starter").glob("*.yaml"):
        (tmp_path / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "list.yaml").write_text("schema: 1\nkind: thread-list\nname: Odd\nthreads:\n  - M8\n  - M8x9x9\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["chart", "lathe.yaml", "--threads", threads, "--format", "json"]) == code
    told = capsys.readouterr().err
    for word in words:
        assert word in told
    assert not (tmp_path / "out").exists()


def test_explain_walks_from_a_column_to_the_owners_lines(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(PROFILES.parent)
    assert main(["chart", "profiles/osier-lane", "--out", str(tmp_path), "--format", "json", "--quiet"]) == 0
    assert json.loads((tmp_path / "long-lathe-threads.json").read_text(encoding="utf-8"))["kind"] == "sheet"
    capsys.readouterr()
    assert main(["explain", str(tmp_path / "long-lathe-threads.json"), "setup-1.threads.error"]) == 0
    told = capsys.readouterr().out
    for line in ("leadscrew: {lead: 3 mm, hand: right}", "train: [40, 66, 40]"):
        assert line in told


def test_the_readme_shows_the_chart_as_it_is_and_every_list() -> None:
    readme = (PROFILES.parent / "README.md").read_text(encoding="utf-8")
    shown = readme.split("```text\nSet-up 1\n")[1].split("```")[0]
    assert shown in (Path(__file__).parent / "golden" / "long-lathe-threads.txt").read_text(encoding="utf-8")
    section = readme.split("## The chart beside the lathe")[1].split("\n## ")[0]
    listed = {name.strip() for line in section.splitlines() if line.startswith("| ") for name in line.split("|")[1].split(",")}
    assert set(known_sets()) <= listed


@pytest.mark.parametrize("name", MACHINES)
def test_a_box_too_large_to_list_is_searched_one_lead_after_the_other(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchleaf.kinematics.many.LARGEST_NUMBER_OF_RATIOS", 0)
    problem = problem_of(MACHINES[name])
    found = grouped(problem, TARGETS[::3], LIMIT)
    single = {target: search(problem, target[0], hand=target[1], limit=LIMIT, keep=1).best for target in TARGETS[::3]}
    trains = {target: train for group in found.groups for target, train in group.trains.items()}
    assert trains == {target: train for target, train in single.items() if train is not None}
    assert len(found.groups) == len({tuple(tuple(w.wheel.teeth for w in axis) for axis in train.axes) for train in trains.values()})


def test_a_lathe_with_nothing_mounted_needs_all_wheels_first(tmp_path: Path) -> None:
    write(tmp_path)
    machine = load_charts(tmp_path / "lathe.yaml", [], tmp_path).machines[0].inputs
    assert machine is not None
    changes = [row["change"] for row in cells(made(machine, "BSW")).values() if "change" in row]
    assert changes[0] == "all"
    assert "all" not in changes[1:]
