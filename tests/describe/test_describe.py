"""Profiles written by answering questions: what is written passes `check`, gaps are filled in place, and nothing that was there is lost."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchleaf.compile import check_paths
from benchleaf.describe import KINDS, Dialog, Question, document, filled
from benchleaf.describe.reading import NotUnderstoodError, plain, read_list, read_map, read_scalar
from benchleaf.source.schema import schema_of
from benchleaf.source.yaml_ import parse_text

CHECKOUT = Path(__file__).resolve().parents[2]
GEARS = {"name": "Wheels", "tooth-size": "module 1", "wheels": "20, 25, 30, 40, 40, 63"}
LATHE = {
    "name": "Shed lathe", "system": "metric", "gears": "gears.yaml", "spindle.bore": "26 mm", "spindle.nose.fixing": "bolts",
    "spindle.speeds[0].speed": "50 rpm", "spindle.speeds": "no", "swing.over-bed": "180 mm", "swing.over-cross-slide": "110 mm",
    "centres": "400 mm", "leadscrew.lead": "3 mm", "slides.cross-slide.travel": "90 mm", "slides.cross-slide.dial.division": "0.05 mm",
    "slides.cross-slide.dial.turn": "2 mm", "slides.cross-slide.dial.reads": "dep", "workholding[0].name": "on", "workholding[0].kind": "chuck",
}  # fmt: skip


def answers(given_answers: dict[str, str], told: list[str] | None = None):  # type: ignore[no-untyped-def]
    def ask(question: Question, why: str) -> str | None:
        if told is not None:
            told.append(question.path)
        assert not why, f"{question.path}: {why}"
        return given_answers.get(question.path, "")

    return ask


def written(kind: str, given_answers: dict[str, str]) -> str:
    dialog = Dialog(kind, answers(given_answers))
    return document(kind, dialog.run(), "../schemas", dialog.missing)


def test_what_the_answers_say_is_a_profile_that_passes(tmp_path: Path) -> None:
    (tmp_path / "gears.yaml").write_text(written("gear-set", GEARS), encoding="utf-8")
    (tmp_path / "lathe.yaml").write_text(written("lathe", LATHE), encoding="utf-8")
    assert check_paths([tmp_path / "lathe.yaml"], tmp_path).diagnostics == ()
    lathe = yaml.load((tmp_path / "lathe.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
    assert lathe["slides"]["cross-slide"]["dial"]["reads"] == "depth"
    assert lathe["workholding"] == [{"name": "on", "kind": "chuck"}]
    text = (tmp_path / "lathe.yaml").read_text(encoding="utf-8")
    assert text.startswith("# yaml-language-server: $schema=../schemas/lathe.schema.json\n")
    assert "# The largest work that turns free." in text


def test_only_gaps_are_asked_for_and_every_word_that_was_there_stays(tmp_path: Path) -> None:
    text = """\
# my lathe
schema: 1
kind: lathe
name: Shed lathe   # the grey one
system: metric
gears: [gears.yaml]
spindle:
  bore: 26 mm   # measured
  speeds: [{speed: 50 rpm}]
swing: {over-bed: 180 mm}   # to be measured
slides:
  cross-slide:
    travel: 90 mm
    dial: {division: 0.05 mm, turn: 2 mm, reads: depth}
# the end
"""
    node, _ = parse_text(text, "lathe.yaml")
    assert node is not None
    told: list[str] = []
    data = Dialog("lathe", answers(LATHE, told)).run(plain(node))
    new = filled(text, node, data)
    (tmp_path / "gears.yaml").write_text(written("gear-set", GEARS), encoding="utf-8")
    (tmp_path / "lathe.yaml").write_text(new, encoding="utf-8")
    assert check_paths([tmp_path / "lathe.yaml"], tmp_path).diagnostics == (), new
    assert "name" not in told
    assert "spindle.nose.fixing" in told
    assert "swing: {over-bed: 180 mm, over-cross-slide: 110 mm}   # to be measured" in new
    kept = [line for line in text.splitlines() if not line.startswith("swing")]
    assert [line for line in new.splitlines() if line in kept] == kept


@pytest.mark.parametrize("kind", KINDS)
def test_an_input_that_ends_at_once_leaves_a_file_that_names_what_is_missing(kind: str) -> None:
    dialog = Dialog(kind, lambda question, why: None)
    text = document(kind, dialog.run(), "..", dialog.missing)
    required = set(schema_of(kind)["required"]) - {"schema", "kind"}
    assert {path.split(".")[0].split("[")[0] for path in dialog.missing} == required
    assert all(f"#   {path}" in text for path in dialog.missing)
    assert yaml.load(text, yaml.BaseLoader) == {"schema": "1", "kind": kind}


@pytest.mark.parametrize(
    ("words", "schema", "says"),
    [
        ("26", {"type": "string", "format": "length"}, "unit"),
        ("left", {"type": "string", "oneOf": [{"const": "depth"}, {"const": "diameter"}]}, "choose one of"),
        ("d", {"type": "string", "oneOf": [{"const": "depth"}, {"const": "diameter"}]}, "choose one of"),
        ("7", {"type": "integer", "minimum": 8, "maximum": 400}, "from 8 to 400"),
        ("maybe", {"type": "boolean"}, "yes or no"),
    ],
)
def test_an_answer_that_will_not_do_is_told_why(words: str, schema: dict[str, object], says: str) -> None:
    with pytest.raises(NotUnderstoodError, match=says):
        read_scalar(words, schema, "lathe")


def test_lists_and_maps_are_answered_in_one_line() -> None:
    wheels = schema_of("gear-set")["properties"]["wheels"]
    assert read_list("20, 25", wheels, "gear-set") == [20, 25]
    assert read_list("[20, {teeth: 40, copies: 2}]", wheels, "gear-set") == [20, {"teeth": 40, "copies": 2}]
    train = schema_of("common")["$defs"]["train"]
    for words in ("40, [63, 60], 30", "[40, [63, 60], 30]"):
        assert read_list(words, train, "common") == [40, [63, 60], 30]
    assert read_list("[63, 60], 30", train, "common") == [[63, 60], 30]
    with pytest.raises(NotUnderstoodError, match="whole number"):
        read_list("range = A", train, "common")
    levers = schema_of("common")["$defs"]["levers"]
    assert read_map("belt = 2, back gear = in", levers, "common") == {"belt": 2, "back gear": "in"}


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data(), kind=st.sampled_from(KINDS))
def test_whatever_is_answered_the_file_can_be_read_back_and_filled_again(data: st.DataObject, kind: str) -> None:
    words = st.sampled_from(["", "y", "n", "?", "12 mm", "3 mm", "20, 25, 30", "a: b", "# no", "'", '"', "on", "metric", "1:2", "[1", "{a", "50 rpm", "HSS"])
    dialog = Dialog(kind, lambda question, why: data.draw(words), everything=data.draw(st.booleans()))
    made = dialog.run()
    text = document(kind, made, "..", dialog.missing)
    node, faults = parse_text(text, "made.yaml")
    assert node is not None, text
    assert faults == [], text
    again = Dialog(kind, lambda question, why: None).run(plain(node))
    assert filled(text, node, again) == text


def _run(folder: Path, *arguments: str, words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler")}
    command = [sys.executable, "-m", "benchleaf", "describe", *arguments]
    return subprocess.run(command, cwd=folder, env=environment, input=words, capture_output=True, text=True, timeout=60, check=False)


def test_it_works_in_a_pipe_and_a_second_run_fills_the_gaps(tmp_path: Path) -> None:
    first = _run(tmp_path, "gear-set", "gears.yaml", words="Wheels\nmodule\nmodule 1\n")
    assert first.returncode == 1, first.stderr
    assert "still missing: wheels" in first.stderr
    second = _run(tmp_path, "gear-set", "gears.yaml", words="20, 25, 30\n\n")
    assert second.returncode == 0, second.stderr
    assert yaml.load((tmp_path / "gears.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)["wheels"] == ["20", "25", "30"]
    other = _run(tmp_path, "lathe", "gears.yaml", words="")
    assert other.returncode == 2
    assert "is there already" in other.stderr


def test_it_works_at_a_terminal(tmp_path: Path) -> None:
    """A pseudo-terminal answers question by question, as a person would."""
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "compiler"), "NO_COLOR": "1"}
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "benchleaf", "describe", "material", "brass.yaml"]
    with subprocess.Popen(command, cwd=tmp_path, env=environment, stdin=theirs, stdout=theirs, stderr=theirs) as process:
        os.close(theirs)
        seen = ""
        for waits_for, answer in (("name (needed)> ", "Brass\n"), ("group (needed)> ", "?\n"), ("group (needed)> ", "free-cutting brass\n"), ("no]> ", "n\n")):
            while not seen.endswith(waits_for):
                seen += os.read(ours, 1024).decode()
            os.write(ours, answer.encode())
            seen += "\n"
        rest = b""
        while True:
            try:
                more = os.read(ours, 1024)
            except OSError:  # the other side has hung up
                break
            if not more:
                break
            rest += more
        assert process.wait(timeout=60) == 0, seen + rest.decode()
    os.close(ours)
    made = yaml.load((tmp_path / "brass.yaml").read_text(encoding="utf-8"), yaml.BaseLoader)
    assert made == {"schema": "1", "kind": "material", "name": "Brass", "group": "free-cutting brass"}
