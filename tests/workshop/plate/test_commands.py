"""The commands on lathes that are told by their plates."""

from __future__ import annotations

import json
import shutil
from fractions import Fraction
from itertools import product
from pathlib import Path
from random import Random
from typing import Any

import pytest
from small_shop import write

from benchleaf.cli import main

F = Fraction
Capture = pytest.CaptureFixture[str]
PROFILES = Path(__file__).resolve().parents[3] / "profiles"
HOLES = {"1": F(2, 3), "2": F(3, 4), "3": F(5, 6), "4": F(11, 12), "5": F(1), "6": F(7, 6), "7": F(5, 4)}
FACTORS = (
    {"A": F(1), "B": F(1, 2), "C": F(1, 4)},
    {"I": F(1), "II": F(2), "III": F(3)},
    {"1": F(1), "2": F(9, 8), "3": F(10, 8), "4": F(11, 8), "5": F(3, 2), "6": F(13, 8), "7": F(7, 4), "8": F(15, 8)},
)
BOX = {each: FACTORS[0][each[0]] * FACTORS[1][each[1]] * FACTORS[2][each[2]] for each in product(*FACTORS)}


def words(lead: F) -> str:
    return f"{float(lead):.7f}".rstrip("0").rstrip(".") + " mm" if (lead * 10**7).denominator == 1 else f"{lead} mm"


def row(lead: str, levers: tuple[str, ...], wheels: str = "") -> str:
    return f"      - {{lead: {lead}, {wheels and f'wheels: {wheels}, '}levers: {{range: {levers[0]}, side: {levers[1]}, hole: {levers[2]}}}}}\n"


def lathe(folder: Path, rows: list[str]) -> Path:
    write(folder)
    path = folder / "lathe.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(f"{text}gearbox:\n  plate:\n    wheels: [40, 60, 40]\n    rows:\n{''.join(rows)}", encoding="utf-8")
    return path


def checked(path: Path, capsys: Capture) -> tuple[int, list[dict[str, Any]]]:
    capsys.readouterr()
    status = main(["check", str(path), "--diagnostics", "json"])
    return status, json.loads(capsys.readouterr().out)["diagnostics"]


def test_two_misprints_on_a_plate_with_a_third_of_its_rows_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """Two levers of three positions and a selector of eight steps: named where they stand, and when mended every ratio is recovered."""
    monkeypatch.chdir(tmp_path)
    kept = Random(6).sample(sorted(BOX), 48)
    slips = {kept[10]: F(11, 10), kept[30]: F(9, 10)}
    rows = [row(words(3 * BOX[each] * slips.get(each, 1)), each) for each in kept]
    lines = lathe(tmp_path, rows).read_text(encoding="utf-8").splitlines(keepends=True)
    status, faults = checked(Path("lathe.yaml"), capsys)
    assert status == 1
    assert {(f["code"], f["place"]["file"], f["place"]["line"], f["place"]["column"]) for f in faults} == {
        ("plate/misprint", "lathe.yaml", lines.index(row(words(3 * BOX[each] * by), each)) + 1, len("      - {lead: ") + 1) for each, by in slips.items()
    }
    for each in slips:
        assert any(f"the other rows of the plate make {words(3 * BOX[each])} of this row" in f["message"] for f in faults)
    lathe(tmp_path, [row(words(3 * BOX[each]), each) for each in kept])
    assert checked(Path("lathe.yaml"), capsys) == (0, [])
    assert main(["show", "lathe.yaml"]) == 0
    shown = capsys.readouterr().out.splitlines()
    told = {line[4:].split(": ")[0]: dict(part.split(" = ") for part in line.split(": ")[1].split(", ")) for line in shown[-3:]}
    assert list(told) == ["range", "side", "hole"]
    assert {at: F(told["range"][at[0]]) * F(told["side"][at[1]]) * F(told["hole"][at[2]]) for at in product(*FACTORS)} == BOX


def test_a_wheel_that_was_copied_wrongly(tmp_path: Path, capsys: Capture) -> None:
    odd = ("B", "II", "4")
    rows = [row(words(3 * ratio), each) for each, ratio in BOX.items() if each != odd]
    path = lathe(tmp_path, [*rows, row(words(3 * BOX[odd] * F(45, 60)), odd, "[40, 66, 60]")])
    _, (fault,) = checked(path, capsys)
    assert fault["code"] == "plate/misprint"
    assert any("45 in place of 40" in hint for hint in fault["hints"])


def test_levers_that_do_not_multiply_are_shown_row_by_row(tmp_path: Path, capsys: Capture) -> None:
    leads = (2, 3, 5, 7, 11, 13, 17, 19, 23)
    path = lathe(tmp_path, [row(f"{lead} mm", (a, "I", b)) for lead, (a, b) in zip(leads, product("ABC", "123"), strict=True)])
    capsys.readouterr()
    assert main(["show", str(path)]) == 0
    assert capsys.readouterr().out.splitlines()[-9] == "#   range A, side I, hole 1 = 2/3"


def told_by_its_plate(folder: Path, wheels: str = "[40, 66, 40]", times: F | int = 1) -> None:
    """The demo's long lathe, its ratios replaced by two thirds of the rows of its plate."""
    path = folder / "lathes/long-lathe.yaml"
    before, _, rest = path.read_text(encoding="utf-8").partition("gearbox:\n")
    after = rest[rest.index("  forbidden:") :]
    settings = [(r, s, h) for r in "ABC" for s in ("I", "II") for h in HOLES if (r, s) != ("C", "II")]
    leads = [3 * times * FACTORS[0][r] * FACTORS[1][s] * HOLES[h] for r, s, h in settings]
    rows = "".join(row(words(lead), levers) for number, (levers, lead) in enumerate(zip(settings, leads, strict=True)) if number % 3 != 2)
    path.write_text(f"{before}gearbox:\n  plate:\n    wheels: {wheels}\n    rows:\n{rows}{after}", encoding="utf-8")


def test_the_chart_of_a_lathe_told_by_its_plate_is_that_of_its_ratios(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    cells = []
    for name in ("known", "told"):
        shutil.copytree(PROFILES / "osier-lane", tmp_path / name)
        if name == "told":
            told_by_its_plate(tmp_path / name)
        assert main(["chart", f"{name}/lathes/long-lathe.yaml", "--threads", "metric coarse,UNC", "--format", "csv", "--out", f"out-{name}", "-q"]) == 0
        (table,) = (tmp_path / f"out-{name}").glob("*.csv")
        cells.append(table.read_text(encoding="utf-8"))
    assert len(cells[0].splitlines()) > 30
    assert cells[0] == cells[1]


def test_a_nominal_lead_is_told_by_check_and_by_the_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    """Leads in terms of 127 teeth that wheels of 63 stand in for (80/63 for 127/100, common practice): a note, and a reason in the sheet."""
    monkeypatch.chdir(tmp_path)
    shutil.copytree(PROFILES / "osier-lane", tmp_path / "told")
    told_by_its_plate(tmp_path / "told", "[80, 66, 63]", F(127, 100))
    _, faults = checked(Path("told/lathes/long-lathe.yaml"), capsys)
    assert [(f["code"], f["severity"]) for f in faults] == [("plate/recovered", "note")]
    assert main(["build", "told/jobs/packing-tube.yaml", "--format", "json", "-q"]) == 0
    figures = {f["id"]: f for s in json.loads(Path("out/packing-tube.json").read_text(encoding="utf-8"))["sections"] for f in s["figures"]}
    lines = Path("told/lathes/long-lathe.yaml").read_text(encoding="utf-8").splitlines()
    why = "the wheels 80, 66, 63 only come near to the leads printed for them (0.0125 % off), so the simplest ratio is taken"
    for name in ("lead_actual", "levers"):
        basis = figures[name]["basis"]
        assert why in basis["formula"]
        rows = [given for given in basis["inputs"] if str(given.get("path", "")).startswith("gearbox.plate.rows")]
        assert rows
        assert all(given["words"] in lines[given["line"] - 1] for given in rows)
