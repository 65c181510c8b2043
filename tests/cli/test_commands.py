"""The commands as a person (or a script) meets them: exit codes, what goes where, and calm failures."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from small_shop import write

import benchleaf.compile
import benchleaf.render.preflight
from benchleaf.cli import main
from benchleaf.cli.terminal import wants_colour

CHECKOUT = Path(__file__).resolve().parents[2]
TEXT = "html,json,text"  # what can be made without Pango


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "shop"
    folder.mkdir()
    write(folder)
    monkeypatch.chdir(tmp_path)
    return folder


def spawn(*arguments: str, cwd: Path, **more: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler"), **more}
    return subprocess.run([sys.executable, "-m", "benchleaf", *arguments], cwd=cwd, env=environment, capture_output=True, text=True, check=False)


def files(folder: Path) -> dict[str, bytes]:
    """What is in the folder, without its own notes and contents."""
    return {name: content for name, content in everything(folder).items() if Path(name).name not in (".benchleaf", "index.html")}


def everything(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.mark.parametrize("arguments", [["--help"], ["-h"], ["check", "--help"], ["build", "--help"], ["explain", "--help"]])
def test_help_shows_examples(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 0
    shown = capsys.readouterr().out
    assert "Example" in shown
    assert "benchleaf " in shown.split("Example")[1]


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip().endswith(benchleaf.__version__)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], ["Commands:", "Examples:"]),
        (["chekc", "shop"], ["chekc"]),
        (["check", ""], ["the path is empty"]),
        (["build", "shop", "--out", ""], ["the path is empty"]),
        (["check"], ["PATH"]),
        (["check", "--colour", "shop"], ["--colour"]),
        (["build", "shop", "--format", "pdf,doc"], ["'doc' is not a format", "pdf, html, json, text"]),
        (["build", "shop", "--format", ","], ["at least one format"]),
        (["build", "shop", "--out", "shop/job.yaml"], ["is a file", "name a folder"]),
        (["check", "shpo"], ["there is no `shpo`", "did you mean `shop`"]),
        (["build", "shop/jbo.yaml"], ["did you mean `shop/job.yaml`"]),
        (["check", "."], ["no workshop.yaml", "did you mean `shop`"]),
        (["explain", "none.json", "error"], ["there is no `none.json`"]),
        (["explain", "thread/bore-smal"], ["thread/bore-small"]),
    ],
)
def test_a_wrong_command_is_told_so(arguments: list[str], words: list[str], shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop.parent / "loose.yaml").write_text("x: y\n")
    before = files(shop.parent)
    assert main(arguments) == 2
    told = capsys.readouterr()
    assert told.out == ""
    for word in words:
        assert word in told.err
    assert "Traceback" not in told.err
    assert files(shop.parent) == before


def test_check_is_clean_or_tells_faults_and_writes_nothing(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "shop"]) == 0
    assert "1 of 1 job can be built" in capsys.readouterr().out
    write(shop, ("job.yaml", "thread: M16x2-6g", "thread: M16x2-6g\n      pitch: 2 mm"))
    before = files(shop.parent)
    assert main(["check", "shop/job.yaml"]) == 1
    told = capsys.readouterr().err
    assert "shop/job.yaml:11:7" in told
    assert "      pitch: 2 mm" in told, "the line itself is shown"
    assert files(shop.parent) == before


def test_warnings_count_when_asked(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(shop, ("lathe.yaml", "fixing: bolts", "fixing: screwed"), ("job.yaml", "M16x2-6g", "7/8-16 UN-2A"), ("job.yaml", "15.9 mm", "22.1 mm"),
          ("job.yaml", "diameter: 13.0 mm", "diameter: 19.5 mm"))  # fmt: skip
    assert main(["check", "shop"]) == 0
    assert "warning[" in capsys.readouterr().err
    assert main(["check", "shop", "--strict"]) == 1


def test_faults_for_a_program(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(shop, ("job.yaml", "by: chuck", "by: magnet"))
    assert main(["check", "shop", "--diagnostics", "json"]) == 1
    told = capsys.readouterr()
    report = json.loads(told.out)
    assert told.err == ""
    assert [fault["code"] for fault in report["diagnostics"] if fault["severity"] == "error"] == ["holding/unknown"]


def test_quiet_says_nothing_when_all_is_well(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "shop", "--quiet"]) == 0
    assert main(["build", "shop", "-q", "--format", TEXT]) == 0
    assert capsys.readouterr() == ("", ""), "a note is no fault"


def test_build_writes_all_formats_into_one_folder(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = files(shop)
    assert main(["build", "shop", "--out", "sheets/new"]) == 0
    made = files(shop.parent / "sheets")
    assert sorted(made) == ["new/job.html", "new/job.json", "new/job.pdf", "new/job.txt"]
    assert capsys.readouterr().out.splitlines() == [f"sheets/{name}" for name in ("new/job.pdf", "new/job.html", "new/job.json", "new/job.txt")]
    assert made["new/job.pdf"].startswith(b"%PDF-")
    assert json.loads(made["new/job.json"])
    assert files(shop) == before


def test_the_same_input_gives_the_same_bytes_wherever_one_stands(shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert main(["build", "shop", "--out", "a"]) == 0
    monkeypatch.chdir(shop)
    assert main(["build", "job.yaml", "--out", str(tmp_path / "b")]) == 0
    assert files(tmp_path / "a") == files(tmp_path / "b")
    fresh = spawn("build", str(shop), "--out", str(tmp_path / "c"), cwd=CHECKOUT, PYTHONHASHSEED="7", TZ="Asia/Tokyo", LC_ALL="C")
    assert fresh.returncode == 0, fresh.stderr
    assert files(tmp_path / "a") == files(tmp_path / "c")
    assert everything(tmp_path / "b")["index.html"] == everything(tmp_path / "c")["index.html"]
    monkeypatch.chdir(CHECKOUT)
    assert main(["build", str(shop), "--out", str(tmp_path / "d")]) == 0
    assert everything(tmp_path / "a") == everything(tmp_path / "d"), "the folder's own notes too"


def test_sound_jobs_are_built_beside_faulty_ones_and_old_sheets_stay(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write(shop, ("workshop.yaml", "jobs: [job.yaml]", "jobs: [job.yaml, second.yaml]"))
    (shop / "second.yaml").write_text((shop / "job.yaml").read_text())
    assert main(["build", "shop", "--format", TEXT]) == 0
    old = files(shop.parent / "out")
    (shop / "second.yaml").write_text((shop / "job.yaml").read_text().replace("outside: 15.9 mm", "outside: 17 mm"))
    (shop / "job.yaml").write_text((shop / "job.yaml").read_text().replace("Test stud", "New stud"))
    capsys.readouterr()
    assert main(["build", "shop", "--format", TEXT]) == 1
    told = capsys.readouterr()
    assert "1 of 2 jobs have faults" in told.err
    new = files(shop.parent / "out")
    assert new.keys() == old.keys()
    assert {name for name in new if new[name] != old[name]} == {"job.html", "job.json", "job.txt"}


def test_two_jobs_of_one_name_do_not_overwrite_each_other(shop: Path) -> None:
    write(shop, ("workshop.yaml", "jobs: [job.yaml]", "jobs: [job.yaml, other/job.yaml]"))
    (shop / "other").mkdir()
    other = (shop / "job.yaml").read_text().replace("machine: ", "machine: ../").replace("material: ", "material: ../")
    (shop / "other" / "job.yaml").write_text(other)
    assert main(["build", "shop", "--format", "text"]) == 0
    together = sorted(files(shop.parent / "out"))
    assert len(together) == 2
    assert main(["build", "shop/other/job.yaml", "--format", "text", "--out", "alone"]) == 0
    assert list(files(shop.parent / "alone")) == ["other-job.txt"]
    assert "other-job.txt" in together


def test_an_output_folder_that_cannot_be_written(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "shop", "--out", "shop/job.yaml/out", "--format", TEXT]) == 4
    told = capsys.readouterr().err
    assert "cannot be written" in told
    assert "--out" in told


def test_without_pango_all_else_is_built_and_one_line_says_what_to_install(
    shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    write(shop, ("workshop.yaml", "jobs: [job.yaml]", "jobs: [job.yaml, second.yaml]"))
    (shop / "second.yaml").write_text((shop / "job.yaml").read_text())
    (shop.parent / "out").mkdir()
    (shop.parent / "out" / "job.pdf").write_bytes(b"%PDF-old")
    monkeypatch.setattr(benchleaf.render.preflight, "_LIBRARIES", ("libnot-there.so.0",))
    assert main(["build", "shop"]) == 4
    told = capsys.readouterr()
    assert told.err.count("error[") == 1
    assert "libnot-there.so.0 is missing" in told.err
    assert "apt-get install" in told.err
    assert "not up to date: out/job.pdf" in told.err
    assert sorted(files(shop.parent / "out")) == ["job.html", "job.json", "job.pdf", "job.txt", "second.html", "second.json", "second.txt"]


def test_nothing_to_build_is_said(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "shop/lathe.yaml", "--format", TEXT]) == 0
    assert "no job to build" in capsys.readouterr().err
    assert not (shop.parent / "out").exists()


def test_a_fault_of_our_own_is_short_and_whole_on_request(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def broken(*_: object) -> None:
        raise KeyError("no such wheel")

    monkeypatch.setattr(benchleaf.compile, "_plan", broken)
    assert main(["check", "shop"]) == 3
    told = capsys.readouterr().err
    for words in ("fault of the program", "KeyError", "no such wheel", "compile/__init__.py", f"benchleaf {benchleaf.__version__}", "Python 3.", "--traceback"):
        assert words in told
    assert "Traceback" not in told
    assert len(told.splitlines()) <= 6
    assert main(["check", "shop", "--traceback"]) == 3
    assert "Traceback (most recent call last)" in capsys.readouterr().err


def test_an_interrupt_is_quiet_and_leaves_old_sheets(shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(benchleaf.compile, "_plan", interrupted)
    assert main(["build", "shop"]) == 130
    assert "Traceback" not in capsys.readouterr().err


def test_a_real_signal_in_the_middle_of_the_work(shop: Path) -> None:
    script = (
        "import os, signal, sys, benchleaf.compile; from benchleaf.__main__ import run;"
        "benchleaf.compile._plan = lambda job: os.kill(os.getpid(), signal.SIGINT);"
        "sys.argv = ['benchleaf', 'build', 'shop']; run()"
    )
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
    done = subprocess.run([sys.executable, "-c", script], cwd=shop.parent, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 130
    assert done.stderr.strip() == "benchleaf: interrupted; files in the output folder are whole"
    assert not (shop.parent / "out").exists()


def test_a_reader_that_goes_away_does_no_harm(shop: Path) -> None:
    assert main(["build", "shop", "--format", "json"]) == 0
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = subprocess.run([sys.executable, "-m", "benchleaf", "explain", "out/job.json"], cwd=shop.parent, env=environment, stdout=writing,
                              stderr=subprocess.PIPE, text=True, check=False)  # fmt: skip
    finally:
        os.close(writing)
    assert (done.returncode, done.stderr) == (141, "")


@pytest.mark.parametrize(
    ("environment", "terminal", "colour"),
    [
        ({}, True, True),
        ({}, False, False),
        ({"NO_COLOR": "1"}, True, False),
        ({"NO_COLOR": ""}, True, True),
        ({"FORCE_COLOR": "1"}, False, True),
        ({"FORCE_COLOR": ""}, False, False),
        ({"NO_COLOR": "1", "FORCE_COLOR": "1"}, True, False),
        ({"TERM": "dumb"}, True, False),
    ],
)
def test_colour_is_for_those_who_want_it(environment: dict[str, str], terminal: bool, colour: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal, raising=False)
    assert wants_colour(sys.stderr, environment) is colour


def test_colour_reaches_the_report(shop: Path) -> None:
    write(shop, ("job.yaml", "by: chuck", "by: magnet"))
    assert "\x1b[" in spawn("check", "shop", cwd=shop.parent, FORCE_COLOR="1", NO_COLOR="").stderr
    assert "\x1b[" not in spawn("check", "shop", cwd=shop.parent, FORCE_COLOR="", NO_COLOR="").stderr


def test_checking_loads_nothing_that_only_printing_needs(shop: Path) -> None:
    script = (
        "import sys; from benchleaf.cli import main; code = main(['check', 'shop', '-q']);"
        "print(code, sorted({'weasyprint', 'jinja2', 'segno', 'fontTools', 'PIL', 'urllib.request'} & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
    done = subprocess.run([sys.executable, "-c", script], cwd=shop.parent, env=environment, capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "0 []", done.stderr


def test_times_of_the_stages(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", "shop", "--verbose", "--format", "json"]) == 0
    times = [line for line in capsys.readouterr().err.splitlines() if line.endswith(" ms")]
    assert [line[:13].strip() for line in times] == ["load", "plan", "render json", "write"]
