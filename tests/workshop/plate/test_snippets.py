"""The examples of `explain` for plates: each bad one has its fault, each good one has none."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_shop import write

from benchleaf.report.codes import codes
from benchleaf.workshop.files import Library
from benchleaf.workshop.links import Root

CODES = sorted(code for code in codes() if code.startswith("plate/"))
LEAVE_A_GAP = {"plate/measure-again"}  # what is not settled is told as unknown besides


def found(folder: Path, gearbox: str) -> set[str]:
    write(folder)
    path = folder / "lathe.yaml"
    path.write_text(path.read_text(encoding="utf-8") + gearbox, encoding="utf-8")
    return {fault.code for fault in Library().read(path.resolve(), Root(folder.resolve(), folder.resolve())).diagnostics}


@pytest.mark.parametrize("name", CODES)
def test_the_examples_do_what_they_show(name: str, tmp_path: Path) -> None:
    code = codes()[name]
    assert found(tmp_path, code.bad) - ({"plate/unknown"} if name in LEAVE_A_GAP else set()) == {name}
    assert found(tmp_path, code.good) == set()
