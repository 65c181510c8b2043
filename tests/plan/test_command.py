"""``benchleaf plan`` from the command line: its sheets, and the mistakes of newcomers."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from small_shop import write

from benchleaf.cli import main
from benchleaf.operations.chart import named_set
from benchleaf.resources import data_folder

LONG = str(data_folder("profiles") / "osier-lane" / "lathes" / "long-lathe.yaml")
GOLDEN = Path(__file__).parent / "golden" / "long-lathe-plan.txt"


def planned(folder: Path, *arguments: str, form: str = "text,json,csv") -> int:
    return main(["plan", *arguments, "--out", str(folder), "--format", form])


def test_the_plan_of_the_demo(tmp_path: Path) -> None:
    """Word for word; the file is replaced by hand once the new one was read."""
    assert planned(tmp_path, LONG, "--threads", "UNC,BA", "--add", "1", "--without", "63", "--stuck", "range=A", form="text") == 0
    assert (tmp_path / "long-lathe-plan.txt").read_text(encoding="utf-8") == GOLDEN.read_text(encoding="utf-8")


def test_what_is_said_of_a_plan(tmp_path: Path) -> None:
    assert planned(tmp_path, LONG, "--threads", "metric coarse", "UNC") == 0
    sheet = json.loads((tmp_path / "long-lathe-plan.json").read_text(encoding="utf-8"))
    ids = [section["id"] for section in sheet["sections"]]
    assert ids[0] == "start"
    assert ids[-1] == "chart"
    assert "setup-1" in ids
    words = json.dumps(sheet["sections"][-1])
    assert "Proved: with fewer set-ups than" in words
    rows = list(csv.reader(io.StringIO((tmp_path / "long-lathe-plan.csv").read_text(encoding="utf-8-sig"))))
    names = [row[rows[0].index("Thread")] for row in rows[1:]]
    assert sorted(names) == sorted({wish.thread.designation for name in ("metric coarse", "UNC") for wish in named_set(name)})


@pytest.mark.parametrize("figure", ["chart.set_ups", "chart.changes", "setup-1.wheels", "setup-2.change"])
def test_figures_of_a_plan_are_explained(tmp_path: Path, capsys: pytest.CaptureFixture[str], figure: str) -> None:
    assert planned(tmp_path, LONG, "--threads", "UNC", form="json") == 0
    capsys.readouterr()
    assert main(["explain", str(tmp_path / "long-lathe-plan.json"), figure]) == 0
    assert "integer programming" in capsys.readouterr().out or figure != "chart.set_ups"


BLUNDERS = [
    (["--threads", "UNK"], 2, "there is no list of threads called `UNK`", "UNC"),
    (["--threads", "UNC", "--without", "46"], 2, "a wheel of 46 teeth is to be left out, and there is none in the box", "45"),
    (["--threads", "UNC", "--without", "45", "--without", "45"], 2, "2 wheels of 45 teeth are to be left out, and there is one in the box", "45"),
    (["--threads", "UNC", "--stuck", "rang=A"], 2, "this lathe has no lever `rang`", "did you mean `range`?"),
    (["--threads", "UNC", "--stuck", "range=Q"], 2, "lever `range` has no position `Q`", "A, B, C"),
    (["--threads", "UNC", "--stuck", "range"], 2, "'range' is not a lever and its position", "range=A"),
    (["--threads", "UNC", "--add", "4"], 2, "4 is not in the range 1<=x<=3", "plan"),
]


@pytest.mark.parametrize(("arguments", "code", "message", "hint"), BLUNDERS)
def test_mistakes_are_told(tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], code: int, message: str, hint: str) -> None:
    assert planned(tmp_path, LONG, *arguments) == code
    said = capsys.readouterr()
    assert message in said.out + said.err
    assert hint in said.out + said.err
    assert list(tmp_path.iterdir()) == []


def test_prices_decide_what_is_thought_of(tmp_path: Path) -> None:
    prices = "prices: [{teeth: 127, price: 35}, {teeth: 38, price: 9}]\n"
    shop = write(tmp_path, ("gears.yaml", "", prices))
    out = tmp_path / "out"
    assert planned(out, str(shop / "lathe.yaml"), "--threads", "BSW", "--limit", "20 ppm", "--add", "2", form="json") == 0
    sheet = json.loads((out / "lathe-plan.json").read_text(encoding="utf-8"))
    (section,) = [section for section in sheet["sections"] if section["id"] == "add"]
    table = next(block for block in section["blocks"] if block.get("id") == "choices")
    shown = [[cell["shown"] for cell in row["cells"]] for row in table["rows"]]
    assert [column["label"] for column in table["columns"]][5] == "Price"
    assert {wheel for row in shown for wheel in row[2].split(", ")} <= {"127", "38", "none"}
    assert next(row for row in shown if row[1] == "with")[2] == "127"
