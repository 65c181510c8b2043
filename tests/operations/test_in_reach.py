"""How far a cut may go: up to the face of what holds the work and not into it (plain arithmetic; the jaws are where `stands-out` ends)."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from small_shop import line_of, write

from benchleaf.operations.context import Context, Setup
from benchleaf.operations.desk import Faults
from benchleaf.operations.holding import in_reach
from benchleaf.operations.work import Work
from benchleaf.report.codes import codes
from benchleaf.workshop.inputs import JobInputs
from benchleaf.workshop.load import load_paths

STANDS_OUT = ", stands-out: 60 mm"


def _inputs(folder: Path, stands_out: str) -> JobInputs:
    (job,) = load_paths([write(folder, ("job.yaml", STANDS_OUT, stands_out))], folder).jobs
    assert job.inputs is not None
    return job.inputs


def _context(inputs: JobInputs) -> Context:
    return Context(inputs, Faults([]), "turn", Setup(inputs.machine, inputs.job.held, Work(inputs.job.blank)))


@pytest.mark.parametrize(
    ("stands_out", "place", "over"),
    [
        (STANDS_OUT, "59.99", None),
        (STANDS_OUT, "60", None),
        (STANDS_OUT, "62", "2.0 mm"),
        (", stands-out: 2 in", "50.8", None),
        (", stands-out: 2 in", "53.8", "3.0 mm"),
        ("", "900", None),  # what is not said is not judged
    ],
)
def test_a_cut_may_end_at_the_jaws_and_not_behind_their_face(tmp_path: Path, stands_out: str, place: str, over: str | None) -> None:
    inputs = _inputs(tmp_path, stands_out)
    context, sent_by = _context(inputs), inputs.job.blank.length
    assert sent_by is not None
    assert in_reach(Fraction(place), sent_by, context) is (over is None)
    if over is None:
        assert context.faults.found == []
        return
    (fault,) = context.faults.found
    assert (fault.code, fault.severity.value) == ("holding/in-the-jaws", "error")
    assert fault.message.replace("\u00a0", " ") == f"the cut ends {over} behind the face of the chuck"
    assert fault.span is not None
    assert fault.span.line == line_of(tmp_path, "job.yaml", "blank:")
    assert [span.line for span, _ in fault.related if span is not None] == [line_of(tmp_path, "job.yaml", "stands-out")]
    assert "hold it anew" in " ".join(fault.hints)
    assert "hold" in codes()[fault.code].explanation


def test_work_that_is_held_anew_is_judged_as_it_is_held_now(tmp_path: Path) -> None:
    for name in ("short", "long"):
        (tmp_path / name).mkdir()
    short = _inputs(tmp_path / "short", STANDS_OUT)
    held_long = _inputs(tmp_path / "long", ", stands-out: 90 mm").job.held
    context, sent_by = _context(short), short.job.blank.length
    assert sent_by is not None
    assert not in_reach(Fraction(80), sent_by, context)
    context.setup.held = held_long
    assert in_reach(Fraction(80), sent_by, context)
    assert len(context.faults.found) == 1
