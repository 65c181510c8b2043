"""Gearboxes told by their plates, through YAML: invented boxes come back whole, and slips are found at their rows."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import product
from pathlib import Path
from random import Random

import pytest
from small_shop import write

from benchleaf.cli import main
from benchleaf.compile import check_paths
from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.workshop.files import Library
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.links import Root
from benchleaf.workshop.plate import DerivedRow

F = Fraction
PROFILES = Path(__file__).resolve().parents[3] / "profiles"
Levers = tuple[str, ...]
NAMES = ("range", "side", "hole")


def lead_words(lead: F) -> str:
    """Exactly, as a decimal where there is one."""
    scaled = next((lead * 10**places for places in range(8) if (lead * 10**places).denominator == 1), None)
    return f"{float(lead):.7f}".rstrip("0").rstrip(".") + " mm" if scaled is not None else f"{lead} mm"


def read(folder: Path, gearbox: Sequence[str]) -> tuple[Mapping[Levers, F], tuple[Diagnostic, ...], list[str]]:
    """Ratios by lever positions, faults, and the lines of the lathe's file."""
    write(folder)
    path = folder / "lathe.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "\n".join(["gearbox:", *(f"  {line}" for line in gearbox)]) + "\n", encoding="utf-8")
    file = Library().read(path.resolve(), Root(folder.resolve(), folder.resolve()))
    lathe = file.value(Lathe)
    rows = [] if lathe is None or lathe.gearbox is None else [row for row in lathe.gearbox.rows if isinstance(row, DerivedRow)]
    return {tuple(word.value for word in row.levers.values()): row.ratio.value for row in rows}, file.diagnostics, path.read_text(encoding="utf-8").splitlines()


def row(lead: str, levers: Levers, wheels: str = "") -> str:
    return f"    - {{lead: {lead}, {f'wheels: {wheels}, ' if wheels else ''}levers: {{{', '.join(f'{name}: {at}' for name, at in zip(NAMES, levers, strict=False))}}}}}"


# An invented box of two levers of three positions and a selector of eight steps; a third of the rows missing, two misprinted.


@pytest.mark.parametrize("seed", range(20))
def test_a_third_missing_and_two_misprints(seed: int, tmp_path: Path) -> None:
    draw = Random(seed)
    teeth = (16, 18, 20, 24, 25, 30, 32, 36, 40)
    factors = [{str(n): F(draw.choice(teeth), draw.choice(teeth)) for n in range(1, count + 1)} for count in (3, 3, 8)]
    box = {levers: factors[0][levers[0]] * factors[1][levers[1]] * factors[2][levers[2]] for levers in product(*factors)}
    kept = draw.sample(sorted(box), len(box) * 2 // 3)
    often = [number for number, levers in enumerate(kept) if all(sum(other[at] == levers[at] for other in kept) >= 4 for at in range(3))]
    wrong = draw.sample(often, 2)  # of two or three rows nothing could say which is the wrong one
    leads = [3 * box[levers] * (F(21, 20) if number in wrong else 1) for number, levers in enumerate(kept)]
    plate = ["plate:", "  wheels: [40, 60, 40]", "  rows:", *(row(lead_words(lead), levers) for lead, levers in zip(leads, kept, strict=True))]
    _, faults, lines = read(tmp_path, plate)
    errors = [fault for fault in faults if fault.severity is Severity.ERROR]
    assert {fault.code for fault in errors} == {"plate/misprint"}
    named = {fault.span.line: fault for fault in errors if fault.span is not None}
    for number in wrong:
        line = next(at for at, text in enumerate(lines, 1) if text.strip() == plate[3 + number].strip())
        fit = re.search(r"make (\S+) mm of this row", named.pop(line).message)
        assert fit is not None
        assert float(fit[1]) == pytest.approx(float(3 * box[kept[number]]), rel=1e-4)
    assert named == {}
    mended = [*plate[:3], *(row(lead_words(3 * box[levers]), levers) for levers in kept)]
    ratios, faults, _ = read(tmp_path, mended)
    assert faults == ()
    assert ratios == box


# Leads that the wheels only come near to: an inch thread on a metric leadscrew with 63 teeth for 127 (80/63 for 127/100, common practice).

BOX = {(a, h): F(1, n) * r for (a, n), (h, r) in product((("A", 1), ("B", 2), ("C", 4)), (("1", F(1)), ("2", F(9, 8)), ("3", F(5, 4)), ("4", F(11, 8))))}
INCH = {(a, h): F(1, n) * r for (a, n), (h, r) in product((("A", 1), ("B", 2), ("C", 4)), (("1", F(1)), ("2", F(8, 9)), ("3", F(4, 5)), ("4", F(8, 11))))}


def tpi(ratio: F, wheels: F) -> str:
    """What a plate prints: the whole number of threads that is meant."""
    exact = F(127, 5) / (3 * wheels * ratio)
    assert abs(exact / round(exact) - 1) < F(1, 50)
    return f"{round(exact)} TPI"


def test_a_plate_in_inches_without_a_wheel_of_127(tmp_path: Path) -> None:
    wheels = F(80, 63)  # 40 driving 63, 60 driving 30: 25.4 / 16 = 1.5875 mm is meant, 1.5873 comes
    box = {levers: ratio * F(5, 12) for levers, ratio in INCH.items()}
    rows = [row(tpi(ratio, wheels), levers, "[40, [63, 60], 30]") for levers, ratio in list(box.items()) if levers not in {("B", "4"), ("C", "3")}]
    ratios, faults, _ = read(tmp_path, ["plate:", "  rows:", *rows])
    assert [(fault.code, fault.severity) for fault in faults] == [("plate/recovered", Severity.NOTE)]
    assert "0.0125 % off" in faults[0].message
    assert ratios == box


def test_exact_rows_tell_how_far_other_wheels_are_off(tmp_path: Path) -> None:
    metric = [row(lead_words(3 * INCH[levers]), levers) for levers in (("A", "1"), ("A", "2"), ("A", "3"), ("A", "4"), ("B", "1"))]
    inch = [row(tpi(INCH[levers], F(80, 63) * F(5, 12)), levers, "[25, [45, 60], 63]") for levers in (("B", "3"), ("C", "1"), ("C", "2"))]
    ratios, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", *metric, *inch])
    assert faults == ()
    assert ratios == INCH


def test_wheels_that_cannot_give_what_is_printed(tmp_path: Path) -> None:
    metric = [row(lead_words(3 * ratio), levers) for levers, ratio in INCH.items()]
    inch = [row(tpi(INCH["C", hole], F(80, 63) * F(5, 12)), ("C", hole), "[25, [45, 60], 62]") for hole in ("1", "2")]
    _, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", *metric, *inch])
    (fault,) = faults
    assert fault.code == "plate/wheels-off"
    assert "25, 45 + 60, 62" in fault.message
    assert "1.575 % off" in fault.message
    assert fault.notes == ("the same holds for 2 rows with these wheels",)


def test_rounded_leads_bear_out_the_others_and_are_no_misprints(tmp_path: Path) -> None:
    rows = [row(lead_words(3 * ratio), levers) for levers, ratio in BOX.items() if levers != ("C", "4")]
    ratios, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", *rows, row("1.031 mm", ("C", "4"))])  # 1.03125 exactly
    assert faults == ()
    assert ratios == BOX


# Slips


@pytest.mark.parametrize(
    ("levers", "lead", "notes", "hint"),
    [
        (("A", "2"), "3.735 mm", "two may have changed places", "write 3.375 mm"),
        (("B", "1"), "1.6 mm", "no position of the levers makes 1.6 mm", "write 1.5 mm"),
        (("B", "3"), "3.75 mm", "", "these wheels make 3.75 mm at range A, hole 3"),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_the_way_out(levers: Levers, lead: str, notes: str, hint: str, tmp_path: Path) -> None:
    names = ("range", "hole")
    rows = [f"    - {{lead: {lead if at == levers else lead_words(3 * ratio)}, levers: {{{names[0]}: {at[0]}, {names[1]}: {at[1]}}}}}" for at, ratio in BOX.items()]
    _, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", *rows])
    (fault,) = faults
    assert fault.code == "plate/misprint"
    assert any(notes in note for note in fault.notes) or not notes
    assert any(hint in words for words in fault.hints)


def test_two_rows_of_which_either_may_be_wrong(tmp_path: Path) -> None:
    _, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A",)), row("4 mm", ("A",))])
    (fault,) = faults
    assert fault.code == "plate/contradiction"
    assert len(fault.related) == 1


def test_levers_that_do_not_multiply_keep_the_ratios_of_their_rows(tmp_path: Path) -> None:
    odd = {(a, h): F(n) for (a, h), n in zip(product("AB", "123456"), (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37), strict=True)}
    ratios, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", *(row(lead_words(3 * ratio / 16), levers) for levers, ratio in odd.items() if levers != ("B", "6"))])
    assert [fault.code for fault in faults] == ["plate/not-factored", "plate/unknown"]
    assert ratios == {levers: ratio / 16 for levers, ratio in odd.items() if levers != ("B", "6")}


def test_what_no_row_settles_is_said_and_never_used(tmp_path: Path) -> None:
    ratios, faults, _ = read(tmp_path, ["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A", "1")), row("4 mm", ("A", "2")), row("1.5 mm", ("B", "1")), row("0.7 mm", ("C", "3"))])
    (fault,) = faults
    assert (fault.code, fault.severity) == ("plate/unknown", Severity.NOTE)
    assert fault.message.startswith("4 combinations of levers stay unknown: range A, side 3; range B, side 3; range C, side 1; range C, side 2")
    assert ratios == {("A", "1"): F(1), ("A", "2"): F(4, 3), ("B", "1"): F(1, 2), ("B", "2"): F(2, 3), ("C", "3"): F(7, 30)}


@pytest.mark.parametrize(
    ("gearbox", "code"),
    [
        (["plate:", "  rows:", row("3 mm", ("A",))], "plate/no-wheels"),
        (["plate: {wheels: [40, 60, 40], rows: [{lead: 3 mm, levers: {range: A}}]}", "levers: [{name: hole, positions: {1: 1}}]"], "plate/and-ratios"),
        (["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A", "1")), row("4 mm", ("A",))], "lever/row-incomplete"),
        (["plate:", "  wheels: [40, 60, 40]", "  rows:", *(row("3 mm", (str(n), str(n), str(n))) for n in range(18))], "plate/too-many"),
    ],
)  # fmt: skip
def test_rows_that_cannot_be_used(gearbox: list[str], code: str, tmp_path: Path) -> None:
    _, faults, _ = read(tmp_path, gearbox)
    assert {fault.code for fault in faults} == {code}


# Measuring


def measured(turns: int, travel: str, off: str, levers: Levers) -> str:
    return f"  - {{turns: {turns}, travel: {travel}, give-or-take: {off}, wheels: [40, 60, 40], levers: {{range: {levers[0]}, side: {levers[1]}}}}}"


def test_a_measurement_settles_a_gap(tmp_path: Path) -> None:
    plate = ["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A", "1")), row("1.5 mm", ("B", "1"))]
    ratios, faults, _ = read(tmp_path, [*plate, "measured:", measured(40, "89.97 mm", "0.05 mm", ("A", "2"))])  # 3/4 of 120 mm
    assert faults == ()
    assert ratios == {("A", "1"): 1, ("B", "1"): F(1, 2), ("A", "2"): F(3, 4), ("B", "2"): F(3, 8)}


@pytest.mark.parametrize(
    ("line", "code", "words"),
    [
        (measured(3, "6.8 mm", "0.3 mm", ("A", "2")), "plate/measure-again", "more than one ratio suits"),
        (measured(1, "0.2 mm", "0.3 mm", ("A", "2")), "plate/measure-again", "may be nothing at all"),
        (measured(40, "89.97 mm", "0.05 mm", ("B", "1")), "plate/measured-off", "40 turns make 60 mm"),
    ],
)
def test_a_measurement_that_settles_nothing(line: str, code: str, words: str, tmp_path: Path) -> None:
    plate = ["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A", "1")), row("1.5 mm", ("B", "1"))]
    _, faults, _ = read(tmp_path, [*plate, "measured:", line])
    found = [fault for fault in faults if fault.code != "plate/unknown"]
    assert [fault.code for fault in found] == [code]
    assert words in found[0].message


def test_the_turns_that_are_asked_for_settle_it(tmp_path: Path) -> None:
    """Whatever the ratio is, a second measurement over so many turns has one answer, and the right one."""
    plate = ["plate:", "  wheels: [40, 60, 40]", "  rows:", row("3 mm", ("A", "1")), row("1.5 mm", ("B", "1"))]
    for truth in (F(2, 3), F(5, 6), F(11, 12)):
        first = measured(2, lead_words(6 * truth), "0.4 mm", ("A", "2"))
        _, faults, _ = read(tmp_path, [*plate, "measured:", first])
        turns = next(int(found[1]) for fault in faults for hint in fault.hints if (found := re.search(r"over (\d+) turns", hint)))
        again = measured(turns, lead_words(F(round(3 * truth * turns * 20), 20)), "0.4 mm", ("A", "2"))
        ratios, _, _ = read(tmp_path, [*plate, "measured:", again])
        assert ratios["A", "2"] == truth


# From the plate to paper


def test_the_demo_lathe_told_by_its_plate_cuts_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    import shutil

    shutil.copytree(PROFILES / "osier-lane", tmp_path / "told")
    shutil.copytree(PROFILES / "osier-lane", tmp_path / "known")
    path = tmp_path / "told/lathes/long-lathe.yaml"
    text = path.read_text(encoding="utf-8")
    before, _, rest = text.partition("gearbox:\n")
    after = rest[rest.index("  forbidden:") :]
    holes = {"1": F(2, 3), "2": F(3, 4), "3": F(5, 6), "4": F(11, 12), "5": F(1), "6": F(7, 6), "7": F(5, 4)}
    settings = [(r, s, h) for r in "ABC" for s in ("I", "II") for h in holes if (r, s) != ("C", "II")]
    leads = {(r, s, h): 3 * {"A": F(1), "B": F(1, 2), "C": F(1, 4)}[r] * {"I": 1, "II": 2}[s] * holes[h] for r, s, h in settings}
    rows = "".join(f"  {row(lead_words(lead), levers)}\n" for number, (levers, lead) in enumerate(leads.items()) if number % 3 != 2)
    path.write_text(f"{before}gearbox:\n  plate:\n    wheels: [40, 66, 40]\n    rows:\n{rows}{after}", encoding="utf-8")
    told, known = (check_paths([tmp_path / name], tmp_path) for name in ("told", "known"))
    shown = [{planned.job.key: [(figure.id, figure.shown) for section in planned.sheet.sections for figure in section.figures()] for planned in checked.jobs if planned.sheet is not None} for checked in (told, known)]
    assert len(shown[0]) > 20
    assert shown[0] == shown[1]
    monkeypatch.chdir(tmp_path)
    assert main(["build", "told/jobs/packing-tube.yaml", "--format", "json", "-q"]) == 0
    capsys.readouterr()
    assert main(["explain", "out/packing-tube.json", "lead_actual", "--workshop", "told"]) == 0
    tree = capsys.readouterr().out
    assert "gearbox.plate.rows[" in tree
    figures = {f["id"]: f for s in json.loads(Path("out/packing-tube.json").read_text())["sections"] for f in s["figures"]}
    lines = path.read_text(encoding="utf-8").splitlines()
    for given in figures["lead_actual"]["basis"]["inputs"]:
        if str(given.get("path", "")).startswith("gearbox.plate"):
            assert given["words"] in lines[given["line"] - 1]
