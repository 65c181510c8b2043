"""Names and writing of output files: no clash, nothing half-written, nothing outside the folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.cli.output import write_all
from benchleaf.workshop.names import Job, sheet_names

PATHS = st.text(st.sampled_from("aAbB-_./ ä"), max_size=6).map(lambda words: f"{words}x.yaml")


@pytest.mark.parametrize(
    ("jobs", "siblings", "names"),
    [
        ([("/w", "jobs/packing-tube.yaml")], [], ["packing-tube"]),
        ([("/w", "jobs/a/nut.yaml"), ("/w", "jobs/b/nut.yaml")], [], ["jobs-a-nut", "jobs-b-nut"]),
        ([("/w", "jobs/a/nut.yaml")], [("/w", "jobs/b/nut.yaml")], ["jobs-a-nut"]),
        ([("/w", "a/Nut.yaml"), ("/w", "b/nut.yaml")], [], ["a-Nut", "b-nut"]),
        ([("/w", "a/b-c.yaml"), ("/w", "a-b/c.yaml"), ("/w", "c.yaml")], [], ["b-c", "w-a-b-c", "c"]),
        ([("/v", "nut.yaml"), ("/w", "nut.yaml")], [], ["v-nut", "w-nut"]),
        ([("/v/x", "nut.yaml"), ("/w/x", "nut.yaml")], [], ["x-nut", "x-nut-2"]),
        ([("/w", "-rf ...yaml")], [], ["rf"]),
        ([("/w", "jobs/übermaß nut.yaml")], [], ["übermaß-nut"]),
        ([("/w", "x.yaml"), ("/w", "x.yml")], [], ["w-x", "w-x-2"]),
    ],
)
def test_names(jobs: list[Job], siblings: list[Job], names: list[str]) -> None:
    assert list(sheet_names(jobs, siblings).values()) == names


@given(st.lists(st.tuples(st.sampled_from(["/v", "/w", "/x/w"]), PATHS), min_size=1, max_size=8, unique=True))
def test_names_never_clash_and_never_hold_a_folder(jobs: list[Job]) -> None:
    names = list(sheet_names(jobs).values())
    assert len({name.casefold() for name in names}) == len(jobs)
    assert all(name == Path(name).name and name not in {"", ".", ".."} and not name.startswith(("-", ".")) for name in names)
    assert all(sheet_names([job], jobs)[job] == name for job, name in zip(jobs, names, strict=True))


def test_writes_all_with_ordinary_rights(tmp_path: Path) -> None:
    write_all(tmp_path / "new" / "out", {"x.json": b"{}", "x.txt": b"t"})
    assert sorted(path.name for path in (tmp_path / "new" / "out").iterdir()) == ["x.json", "x.txt"]
    plain = tmp_path / "plain"
    plain.write_bytes(b"")
    assert (tmp_path / "new" / "out" / "x.txt").stat().st_mode == plain.stat().st_mode


def test_old_output_stays_whole_when_one_file_cannot_be_written(tmp_path: Path) -> None:
    write_all(tmp_path, {"x.json": b"old", "x.txt": b"old"})
    (tmp_path / "x.html").mkdir()
    with pytest.raises(IsADirectoryError):
        write_all(tmp_path, {"x.json": b"new", "x.txt": b"new", "x.html": b"new"})
    assert (tmp_path / "x.json").read_bytes() == (tmp_path / "x.txt").read_bytes() == b"old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["x.html", "x.json", "x.txt"]


def test_a_symbolic_link_is_replaced_not_written_through(tmp_path: Path) -> None:
    secret = tmp_path / "elsewhere.txt"
    secret.write_bytes(b"mine")
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to("real")
    (tmp_path / "real" / "x.txt").symlink_to(secret)
    write_all(tmp_path / "out", {"x.txt": b"sheet"})
    assert secret.read_bytes() == b"mine"
    assert (tmp_path / "real" / "x.txt").read_bytes() == b"sheet"
    assert not (tmp_path / "real" / "x.txt").is_symlink()


@pytest.mark.parametrize("name", ["../x.txt", "/tmp/x.txt", "a/b.txt", ""])
def test_refuses_names_that_are_not_plain(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a plain file name"):
        write_all(tmp_path / "out", {name: b""})
    assert list((tmp_path / "out").iterdir()) == []
