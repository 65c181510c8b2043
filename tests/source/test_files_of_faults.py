"""Files that carry their expectation as a comment on the line at fault: ``# error[code]``.  Adding a case is adding a file."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path

import pytest
import yaml
from source.reading import HERE, TRIAL_SCHEMAS, expected, judge, schemas_from

from benchleaf.source.yaml_ import parse_text

BAD = sorted((HERE / "bad").glob("*.yaml"))
GOOD = sorted((HERE / "good").glob("*.yaml"))


def _faults(path: Path) -> list[tuple[int, str]]:
    with schemas_from(TRIAL_SCHEMAS) if path.name.startswith("toy") else nullcontext():
        faults = judge(path.read_text(encoding="utf-8"), path.name, shape=not path.name.startswith("yaml"))
    return sorted((fault.span.line, fault.code) for fault in faults if fault.span is not None)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_every_fault_is_found_on_its_line_and_no_other(path: Path) -> None:
    wanted = expected(path.read_text(encoding="utf-8"))
    assert wanted, "a bad file says what is bad in it"
    assert _faults(path) == wanted


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_sound_files_have_no_fault(path: Path) -> None:
    assert _faults(path) == []


@pytest.mark.parametrize("path", [path for path in BAD if path.name.startswith("yaml")], ids=lambda path: path.stem)
def test_the_pure_parser_explains_the_same_faults(path: Path) -> None:
    """Where libyaml is missing, the messages are the same."""
    text = path.read_text(encoding="utf-8")
    _, with_c = parse_text(text, "x", yaml.CSafeLoader)
    _, pure = parse_text(text, "x", yaml.SafeLoader)
    assert [(fault.code, fault.message, fault.span) for fault in pure] == [(fault.code, fault.message, fault.span) for fault in with_c]
