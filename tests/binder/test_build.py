"""A folder brought up to date is the folder made from nothing, whatever happened before; and it is never half of each."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from small_shop import FILES, write

from benchleaf.binder.ledger import LEDGER
from benchleaf.binder.swap import locked
from benchleaf.cli import main

CHECKOUT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
FORMATS = "html,json,text"
JOBS = ("one", "two", "three")


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small workshop with three jobs."""
    folder = tmp_path / "shop"
    folder.mkdir()
    write(folder, ("workshop.yaml", "jobs: [job.yaml]", f"jobs: [{', '.join(f'{name}.yaml' for name in JOBS)}]"))
    (folder / "job.yaml").unlink()
    for name in JOBS:
        (folder / f"{name}.yaml").write_text(FILES["job.yaml"].replace("Test stud", f"Stud {name}"), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return folder


def state(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file()}


def build(*more: str, out: str = "out") -> int:
    return main(["build", "shop", "--format", FORMATS, "--out", out, *more])


def written(capsys: pytest.CaptureFixture[str], *more: str) -> set[str]:
    """The names of the sheets that a build makes."""
    capsys.readouterr()
    assert build(*more) == 0
    return {Path(line).stem for line in capsys.readouterr().out.splitlines()}


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def _rename(shop: Path) -> None:
    (shop / "two.yaml").rename(shop / "zwei.yaml")
    edit(shop / "workshop.yaml", "two.yaml", "zwei.yaml")


def _take_away(shop: Path) -> None:
    (shop / "three.yaml").unlink()
    edit(shop / "workshop.yaml", ", three.yaml", "")


def _bring(shop: Path) -> None:
    (shop / "four.yaml").write_text((shop / "one.yaml").read_text(encoding="utf-8").replace("Stud one", "Stud four"), encoding="utf-8")
    edit(shop / "workshop.yaml", "jobs: [", "jobs: [four.yaml, ")


def _clash(shop: Path) -> None:
    (shop / "more").mkdir()
    text = (shop / "one.yaml").read_text(encoding="utf-8").replace("machine: ", "machine: ../").replace("material: ", "material: ../")
    (shop / "more/one.yaml").write_text(text, encoding="utf-8")
    edit(shop / "workshop.yaml", "jobs: [", "jobs: [more/one.yaml, ")


EVERY = set(JOBS)


@pytest.mark.parametrize(
    ("change", "made"),
    [
        (lambda shop: None, set()),
        (lambda shop: edit(shop / "two.yaml", "Stud two", "Stud 2"), {"two"}),
        (lambda shop: edit(shop / "two.yaml", "kind: job\n", "kind: job\n# a remark, so all lines below move\n"), {"two"}),
        (lambda shop: edit(shop / "gears.yaml", "75, 80", "75, 80, 127"), EVERY),
        (lambda shop: edit(shop / "tooling.yaml", "0.29 mm", "0.3 mm"), EVERY),
        (lambda shop: edit(shop / "workshop.yaml", "name: Small shop", "name: Smaller shop"), EVERY),
        (_rename, {"zwei"}),
        (_take_away, set()),
        (_bring, {"four"}),
        (_clash, {"more-one"}),
        (lambda shop: os.utime(shop / "lathe.yaml", (1, 1)), set()),
        (lambda shop: Path("out/two.html").unlink(), {"two"}),
        (lambda shop: Path("out/one.txt").write_text("scribbled over"), {"one"}),
        (lambda shop: Path("out/index.html").write_text("scribbled over"), set()),
    ],
    ids=["nothing", "a job", "a remark", "a wheel", "a wire", "the name", "a job renamed", "a job gone", "a new job", "two of a name", "a date", "a sheet lost", "a sheet spoilt", "contents spoilt"],
)  # fmt: skip
def test_what_changed_is_made_anew_and_nothing_else(shop: Path, capsys: pytest.CaptureFixture[str], change: Callable[[Path], object], made: set[str]) -> None:
    assert build() == 0
    change(shop)
    assert written(capsys) == made
    assert build("-q", out="fresh") == 0
    left, right = state(Path("out")), state(Path("fresh"))
    assert {name: text for name, text in left.items() if name != LEDGER} == {name: text for name, text in right.items() if name != LEDGER}
    assert written(capsys) == set()


def test_a_run_with_nothing_to_do_says_the_same_and_imports_no_back_end(shop: Path) -> None:
    edit(shop / "one.yaml", "{by: chuck, stands-out: 60 mm}", "{by: chuck, stands-out: 95 mm}")  # a note, to be told each time
    ask = ["build", "shop", "--format", "pdf,html,json,text"]
    first = subprocess.run([sys.executable, "-m", "benchleaf", *ask], env=ENVIRONMENT, capture_output=True, text=True, check=False)
    code = f"import sys; from benchleaf.cli import main; code = main({ask!r}); print(code, *sorted(set(sys.modules) & {{'weasyprint', 'jinja2', 'benchleaf.operations'}}))"
    again = subprocess.run([sys.executable, "-c", code], env=ENVIRONMENT, capture_output=True, text=True, check=False)
    assert again.stdout.split() == ["0"]
    assert "note[" in first.stderr
    assert again.stderr == f"{first.stderr}3 sheets are up to date\n"
    elsewhere = subprocess.run([sys.executable, "-m", "benchleaf", "build", ".", "--out", "../out", *ask[2:]], cwd=shop, env=ENVIRONMENT, capture_output=True, text=True, check=False)
    assert elsewhere.stderr == again.stderr.replace("shop/", ""), "faults are told from where one stands"


def test_fresh_takes_nothing_from_before(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert build() == 0
    before = state(Path("out"))
    assert written(capsys, "--fresh") == EVERY
    assert state(Path("out")) == before


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text[: len(text) // 2],
        lambda text: "",
        lambda text: "[" * 100_000,
        lambda text: text.replace('"version": 1', '"version": 99'),
        lambda text: text.replace('"one.html": "', '"../one.html": "'),
        lambda text: json.dumps({**json.loads(text), "entries": 7}),
        lambda text: json.dumps({**json.loads(text), "last": {"asked": []}}),
    ],
    ids=["half", "empty", "deep", "version", "outside", "entries", "last"],
)
def test_notes_that_say_nothing_sound_are_no_harm(shop: Path, capsys: pytest.CaptureFixture[str], spoil: Callable[[str], str]) -> None:
    assert build() == 0
    before = state(Path("out"))
    notes = Path("out") / LEDGER
    notes.write_text(spoil(notes.read_text(encoding="utf-8")), encoding="utf-8")
    assert written(capsys) == EVERY
    assert state(Path("out")) == before


def test_what_others_put_into_the_folder_stays(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert build() == 0
    (Path("out") / "notes.txt").write_text("mine")
    (Path("out") / "away").symlink_to("nowhere")
    edit(shop / "two.yaml", "Stud two", "Stud 2")
    assert written(capsys) == {"two"}
    (Path("out") / "photographs").mkdir()
    (Path("out") / "photographs/pump.jpg").write_bytes(b"jpg")
    edit(shop / "two.yaml", "Stud 2", "Stud II")
    assert written(capsys) == {"two"}
    assert "Stud II" in (Path("out") / "two.txt").read_text(encoding="utf-8")
    assert (Path("out") / "notes.txt").read_text() == "mine"
    assert (Path("out") / "away").is_symlink()
    assert (Path("out") / "photographs/pump.jpg").read_bytes() == b"jpg"


def test_formats_made_one_after_another_stand_side_by_side(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "shop", "--format", "html"]) == 0
    assert main(["build", "shop", "--format", "json,text"]) == 0
    assert written(capsys) == set()
    index = (Path("out") / "index.html").read_text(encoding="utf-8")
    assert all(f'"{name}.{suffix}"' in index for name in JOBS for suffix in ("html", "json", "txt"))


def test_a_chart_stands_in_the_contents_beside_the_sheets(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["chart", "shop", "--threads", "BA", "--out", "out", "--format", "html,csv"]) == 0
    assert build() == 0
    assert written(capsys) == set()
    index = (Path("out") / "index.html").read_text(encoding="utf-8")
    assert all(f'"{name}.html"' in index for name in (*JOBS, "lathe-threads"))
    assert (Path("out") / "lathe-threads.csv").is_file()


def test_two_runs_at_once_do_no_harm(shop: Path) -> None:
    ask = [sys.executable, "-m", "benchleaf", "build", "shop", "--format", FORMATS]
    running = [subprocess.Popen(ask, env=ENVIRONMENT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(3)]
    told = [process.communicate() for process in running]
    assert [process.returncode for process in running] == [0, 0, 0]
    assert sorted(len(out.splitlines()) for out, _ in told) == [0, 0, 9], "one makes them all, the others find them made"
    assert build("-q", out="fresh") == 0
    assert state(Path("out")) == state(Path("fresh"))
    assert sorted(path.name for path in Path().iterdir()) == ["fresh", "out", "shop"]


def test_a_run_that_waits_says_so(shop: Path) -> None:
    with locked(Path("out").resolve(), lambda: pytest.fail("nobody else is there")):
        process = subprocess.Popen([sys.executable, "-m", "benchleaf", "build", "shop", "--format", "text"], env=ENVIRONMENT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)  # fmt: skip
        assert process.stderr is not None
        assert process.stderr.readline() == "another run is writing to out; waiting for it to end (Ctrl-C stops)\n"
        assert not Path("out").exists()
    assert process.communicate()[0].split() == ["out/one.txt", "out/two.txt", "out/three.txt"]


@pytest.mark.parametrize(("many", "mode"), [("100", []), ("30", ["piecewise"])], ids=["exchanged", "piecewise"])
def test_a_sudden_end_at_any_of_a_hundred_moments(shop: Path, many: str, mode: list[str]) -> None:
    assert main(["build", "shop", "--out", "old", "--format", "json,text", "-q"]) == 0
    shutil.copytree("old", "out")
    edit(shop / "gears.yaml", "75, 80", "75, 127")
    _take_away(shop)
    _bring(shop)
    done = subprocess.run([sys.executable, str(HERE / "sudden_ends.py"), "shop", "old", "out", many, "7", *mode], env=ENVIRONMENT, capture_output=True, text=True, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    old, new, ends = told["old"], told["new"], told["ends"]
    assert len(ends) == int(many)
    assert old.keys() != new.keys()
    if mode:  # file by file: each is whole, old or new
        for end in ends:
            assert all(text in (old.get(name), new.get(name)) for name, text in end.items() if not name.endswith(".part") and not name.startswith(".out."))
    else:
        assert all(end in (old, new) for end in ends)
        assert {end == new for end in ends} == {False, True}
