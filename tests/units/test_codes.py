"""The codes of quantities are explained, all of them and no other, and each snippet has its fault alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

import benchleaf.units
from benchleaf.report.codes import Code, codes
from benchleaf.units import Parsed, QuantityFault, parse

MINE = [code for name, code in codes().items() if name.startswith("units/")]


def test_every_code_that_can_be_raised_is_explained_and_no_other() -> None:
    sources = [path.read_text(encoding="utf-8") for path in Path(benchleaf.units.__file__).parent.glob("*.py")]
    assert {code for text in sources for code in re.findall(r'"(units/[a-z-]+)"', text)} == {code.code for code in MINE}
    assert not any(re.search(r'f"units/', text) for text in sources)  # never put together from parts


@pytest.mark.parametrize("code", MINE, ids=lambda code: code.code)
def test_the_bad_snippet_has_the_fault_and_the_good_one_has_none(code: Code) -> None:
    bad, good = (yaml.load(text, yaml.BaseLoader)["outside"] for text in (code.bad, code.good))
    fault = parse("length", bad)
    assert isinstance(fault, QuantityFault)
    assert fault.code == code.code
    assert isinstance(parse("length", good), Parsed)
