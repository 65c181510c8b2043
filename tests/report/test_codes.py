"""The table of codes: complete both ways for reading and shape, and every snippet does what it is there to show."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from source.reading import judge

import benchleaf
from benchleaf.report.codes import Code, codes

PACKAGE = Path(benchleaf.__file__).parent
# Snippets would be pages long, or no schema of today asks for what they show.
WITHOUT = {
    "yaml/syntax", "yaml/too-many", "yaml/too-deep", "yaml/scalar-long", "yaml/many-faults", "schema/many-faults", "schema/name", "schema/pattern",
    "schema/shape", "schema/together", "schema/too-short",
}  # fmt: skip
SNIPPETS = [code for code in codes().values() if code.bad]


def _raised(room: str) -> set[str]:
    return {
        code
        for path in (PACKAGE / room).glob("*.py")
        for code in re.findall(r'"((?:source|yaml|schema)/[a-z-]+)"', path.read_text(encoding="utf-8"))
    }


def test_every_code_that_can_be_raised_is_explained_and_no_other() -> None:
    assert _raised("source") == {code for code in codes() if code.startswith(("source/", "yaml/", "schema/"))}


def test_every_table_of_the_room_is_read_and_no_code_stands_in_two() -> None:
    """A new operation brings its own table; nothing else has to name it."""
    tables = {path.name: yaml.safe_load(path.read_text(encoding="utf-8")) for path in (PACKAGE / "report").glob("*.yaml")}
    assert {"codes.yaml", "codes_operations.yaml", "codes_workshop.yaml"} <= set(tables)
    written = [row["code"] for rows in tables.values() for row in rows]
    assert sorted(written) == sorted(codes())
    assert len(set(written)) == len(written)


def test_codes_are_never_put_together_from_parts() -> None:
    """Else the test above could not find them."""
    for path in (PACKAGE / "source").glob("*.py"):
        assert not re.findall(r'f"(?:source|yaml|schema)/', path.read_text(encoding="utf-8")), path.name


def test_titles_and_explanations_are_words_to_read() -> None:
    for code in codes().values():
        assert re.fullmatch(r"[a-z0-9-]+/[a-z0-9-]+", code.code)
        assert code.title[:1].islower() or not code.title[:1].isalpha(), code.code
        assert not code.title.endswith(".")
        assert code.explanation.endswith("."), code.code
        assert len(code.title) < 80
        assert "  " not in code.explanation


def test_reading_and_shape_have_snippets() -> None:
    wanted = {name for name in codes() if name.startswith(("yaml/", "schema/"))} - WITHOUT
    assert wanted <= {code.code for code in SNIPPETS}


@pytest.mark.parametrize("code", [code for code in SNIPPETS if code.code.startswith(("yaml/", "schema/"))], ids=lambda code: code.code)
def test_a_bad_snippet_has_its_fault_alone_and_a_good_one_has_none(code: Code) -> None:
    shape = code.code.startswith("schema/")
    assert {fault.code for fault in judge(code.bad, shape=shape)} == {code.code}
    assert judge(code.good, shape=shape) == []
    assert code.good
