"""Job files with one fault each: the expectation stands as a comment on the faulty line, in whichever file that is.

A case is a file under ``cases/bad`` (or ``cases/good``, where only notes may be expected); adding one is adding a file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from benchleaf.compile import check_paths

CASES = Path(__file__).parent / "cases"
EXPECTED = re.compile(r"(error|warning|note)\[([a-z-]+/[a-z-]+)\]")


def expected(lines: Mapping[str, Sequence[str]]) -> set[tuple[str, int, str, str]]:
    return {
        (file, number, severity, code)
        for file, text in lines.items()
        for number, line in enumerate(text, 1)
        for severity, code in EXPECTED.findall(line.partition("#")[2])
    }


@pytest.mark.parametrize(
    "case", sorted([*CASES.glob("bad/*.yaml"), *CASES.glob("good/*.yaml")]), ids=lambda path: f"{path.parent.name}-{path.stem}"
)
def test_every_fault_stands_at_its_line(case: Path) -> None:
    checked = check_paths([case], CASES)
    found = {(fault.span.file, fault.span.line, fault.severity.value, fault.code) for fault in checked.diagnostics if fault.span}
    assert found == expected(checked.lines), [f"{fault.span} {fault.code} {fault.message}" for fault in checked.diagnostics]
    for fault in checked.diagnostics:
        assert fault.severity.value != "error" or fault.hints or fault.label or fault.related, f"{fault.code} says nothing that helps"
