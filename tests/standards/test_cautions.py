"""The cautions: what any careful shop expects to find where it applies, and nowhere else."""

from __future__ import annotations

import re

import pytest

from benchleaf.standards.cautions import caution, caution_ids, closing_line, for_operation


@pytest.mark.parametrize(
    ("operation", "machine", "ids"),
    # Common practice, and the guidance of the regulators that the rows name.
    [
        ("change wheels", "lathe", {"iso_gears", "cover", "mesh", "guard"}),
        ("chucking", "lathe", {"key", "bar_len", "bar_behind", "gloves"}),
        ("threading", "lathe", {"thread_rag", "thread_stop", "thread_halfnut", "gloves", "eyes", "swarf"}),
        ("internal threading", "lathe", {"thread_int", "eyes"}),
        ("reverse or threading in reverse", "lathe", {"nose_rev"}),
        ("speed", "lathe", {"speed_chuck", "speed_ci"}),
        ("polishing", "lathe", {"emery", "emery_gloves"}),
        ("measuring", "lathe", {"measure"}),
        ("shaping", "shaper", {"ram_env", "ram_set", "clapper", "gloves"}),
        ("dividing", "dividing head", {"index_lock"}),
    ],
)
def test_what_applies_is_there(operation: str, machine: str, ids: set[str]) -> None:
    found = for_operation(operation, machine)
    assert ids <= {each.id for each in found}
    assert [each.severity for each in found] == sorted((each.severity for each in found), reverse=True)
    assert all(each.machine in (machine, "any") for each in found)


def test_a_lathe_sheet_does_not_speak_of_rams() -> None:
    assert not [each for each in for_operation("threading") if "ram" in each.words.split()]
    assert "thread_rag" not in {each.id for each in for_operation("shaping", "shaper")}


def test_conditions_can_be_told_from_what_always_holds() -> None:
    always, other = for_operation("threading", always=True), for_operation("threading", always=False)
    assert {"gloves", "eyes"} <= {each.id for each in always}
    assert "thread_stop" in {each.id for each in other}
    assert set(always) | set(other) == set(for_operation("threading"))
    assert not set(always) & set(other)


@pytest.mark.parametrize("name", caution_ids())
def test_each_can_stand_on_a_sheet(name: str) -> None:
    found = caution(name)
    assert re.fullmatch(r"[a-z][a-z0-9_]*", found.id)
    assert found.severity in (1, 2, 3)
    assert found.words[0].isupper()
    assert found.words.endswith(".")
    assert len(found.words) <= 170
    assert found.when
    assert found.source
    if found.bounds is not None:
        assert found.unit


def test_what_can_kill_is_graded_so() -> None:
    for name in ("iso_gears", "cover", "key", "nose_rev", "speed_chuck", "bar_behind", "rag", "thread_rag", "gloves", "swarf", "ram_env", "emery", "eyes", "guard", "measure"):
        assert caution(name).severity == 3, name
    bounds = caution("bar_len").bounds
    assert bounds is not None
    assert bounds[0] == 3  # diameters out of the chuck


def test_the_closing_line_defers() -> None:
    assert "local rule" in closing_line()
    assert "qualified person" in closing_line()
    with pytest.raises(LookupError, match="no caution"):
        caution("luck")
