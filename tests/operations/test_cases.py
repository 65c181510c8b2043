"""Job files with one fault each: the expectation stands as a comment on the faulty line, in whichever file that is.

A case is a file under ``cases/bad`` (or ``cases/good``, where only notes may be expected); adding one is adding a file.  A case of ``good``
that bears the name of a bad one is its near neighbour: as alike as can be, and sound.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from importlib.resources import files
from pathlib import Path

import pytest
import yaml

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


def _codes(table: str) -> list[str]:
    text = (files("benchleaf.report") / table).read_text(encoding="utf-8")
    return [row["code"] for row in yaml.safe_load(text)]


@pytest.mark.parametrize("code", [*_codes("codes_route.yaml"), *_codes("codes_clock.yaml")])
def test_every_fault_of_a_step_has_a_case(code: str) -> None:
    texts = [path.read_text(encoding="utf-8") for folder in ("bad", "shop") for path in (CASES / folder).glob("*.yaml")]
    assert any(f"[{code}]" in text for text in texts)


def test_good_cases_expect_nothing_but_notes() -> None:
    said = {path.name: EXPECTED.findall(path.read_text(encoding="utf-8")) for path in CASES.glob("good/*.yaml")}
    assert {name: found for name, found in said.items() if any(severity != "note" for severity, _ in found)} == {}


@pytest.mark.parametrize("case", sorted(CASES.glob("bad/*.yaml")), ids=lambda path: path.stem)
def test_every_fault_of_a_step_names_a_way_out(case: Path) -> None:
    """A fault that only says no is no help at the machine: what to do instead stands beside it."""
    route = {*_codes("codes_route.yaml"), *_codes("codes_clock.yaml"), *_codes("codes_taper.yaml")}
    faults = [fault for fault in check_paths([case], CASES).diagnostics if fault.code in route]
    assert [f"{fault.code}: {fault.message}" for fault in faults if not fault.hints] == []
