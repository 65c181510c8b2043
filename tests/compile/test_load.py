"""Links between files: followed inside the workshop folder only, every fault of every file told once, at its place."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from small_shop import line_of, write

import benchleaf.workshop.files
from benchleaf.compile import check_paths
from benchleaf.diagnostics import Diagnostic, Severity
from benchleaf.workshop.load import Loaded, load_paths


def load(folder: Path, *names: str) -> Loaded:
    return load_paths([Path(name) for name in names or (".",)], folder)


def told(fault: Diagnostic) -> str:
    return " ".join([fault.message, *fault.notes, *fault.hints, *(words for _, words in fault.related)])


def codes(loaded: Loaded) -> list[tuple[str, str]]:
    return [(fault.code, str(fault.span).rsplit(":", 1)[0]) for fault in loaded.diagnostics]


def test_a_sound_shop_loads_whole_and_each_file_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    whole = benchleaf.workshop.files.load
    monkeypatch.setattr(benchleaf.workshop.files, "load", lambda path, shown: read.append(shown) or whole(path, shown))
    loaded = load(write(tmp_path))
    assert codes(loaded) == []
    assert loaded.files == ("gears.yaml", "job.yaml", "lathe.yaml", "steel.yaml", "tooling.yaml", "workshop.yaml")
    assert sorted(read) == list(loaded.files)
    inputs = loaded.jobs[0].inputs
    assert inputs is not None
    assert (inputs.machine.lathe.name.value, inputs.material.group.value, len(inputs.toolings)) == ("Small lathe", "mild steel", 1)
    assert sorted(loaded.jobs[0].files) == list(loaded.files)


@pytest.mark.parametrize("name", ["job.yaml", "lathe.yaml", "gears.yaml", "tooling.yaml", "steel.yaml", "workshop.yaml", "."])
def test_anything_may_be_named(tmp_path: Path, name: str) -> None:
    loaded = load(write(tmp_path), name)
    assert codes(loaded) == []
    assert len(loaded.jobs) == (name in ("job.yaml", "workshop.yaml", "."))


def test_paths_are_shown_from_where_the_user_stands(tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shop.mkdir()
    write(shop, ("lathe.yaml", "bore: 30 mm", "bore: 30"))
    outside = tmp_path / "desk"
    outside.mkdir()
    assert str(load_paths([Path("shop/job.yaml")], tmp_path).diagnostics[0].span) == "shop/lathe.yaml:8:9"
    assert str(load_paths([shop / "job.yaml"], shop).diagnostics[0].span) == "lathe.yaml:8:9"
    assert str(load_paths([Path("../shop/job.yaml")], outside).diagnostics[0].span) == f"{shop.as_posix()}/lathe.yaml:8:9"


CASES = [
    ("missing, one like it", ("job.yaml", "machine: lathe.yaml", "machine: lahte.yaml"), "link/missing", "job.yaml: machine", ["did you mean `lathe.yaml`"]),
    ("missing, none like it", ("job.yaml", "machine: lathe.yaml", "machine: zz.yaml"), "link/missing", "job.yaml: machine", ["gears.yaml", "lathe.yaml"]),
    ("missing folder", ("job.yaml", "machine: lathe.yaml", "machine: no/lathe.yaml"), "link/missing", "job.yaml: machine", []),
    ("a folder", ("job.yaml", "machine: lathe.yaml", "machine: ./"), "link/not-a-file", "job.yaml: machine", ["folder", "gears.yaml"]),
    ("wrong kind", ("job.yaml", "machine: lathe.yaml", "machine: gears.yaml"), "link/kind", "job.yaml: machine", ["is a gear-set file", "a lathe or shaper file belongs here"]),
    ("wrong kind in a list", ("lathe.yaml", "gears: [gears.yaml]", "gears: [tooling.yaml]"), "link/kind", "lathe.yaml: gears", ["tooling", "gear-set"]),
    ("itself", ("job.yaml", "machine: lathe.yaml", "machine: job.yaml"), "link/cycle", "job.yaml: machine", ["job.yaml -> job.yaml"]),
    ("backslashes", ("job.yaml", "machine: lathe.yaml", "machine: .\\lathe.yaml"), "link/backslash", "job.yaml: machine", ["./lathe.yaml"]),
    ("a wheel mounted but not owned", ("lathe.yaml", "stop-time: 1.5 s", "mounted: {train: [40, 62, 60]}"), "mounted/not-owned", "lathe.yaml: mounted", ["62"]),
    ("one wheel mounted twice", ("lathe.yaml", "stop-time: 1.5 s", "mounted: {train: [60, 50, 60]}"), "mounted/not-owned", "lathe.yaml: mounted", ["only 1 of 60"]),
    ("two tools of one name", ("tooling.yaml", "name: out-55", "name: out-60"), "name/twice", "tooling.yaml: angle: 55", ["`out-60`", "the first one"]),
    ("a dial that does not close", ("lathe.yaml", "{travel: 80 mm, dial: {division: 0.02 mm", "{travel: 80 mm, dial: {division: 0.03 mm"), "dial/uneven",
     "lathe.yaml: 0.03 mm", ["2 mm", "0.03 mm"]),
    ("swings swapped", ("lathe.yaml", "over-bed: 330 mm", "over-bed: 130 mm"), "size/order", "lathe.yaml: over-bed", ["cross-slide"]),
    ("a locked pair not owned", ("gears.yaml", "", "locked-pairs: [{wheels: [20, 127]}]\n"), "gears/pair-not-owned", "gears.yaml: locked", ["127"]),
]  # fmt: skip


@pytest.mark.parametrize(("title", "edit", "code", "place", "words"), CASES, ids=lambda value: value.replace(" ", "-") if isinstance(value, str) else "")
def test_reference_fault(tmp_path: Path, title: str, edit: tuple[str, str, str], code: str, place: str, words: list[str]) -> None:
    loaded = load(write(tmp_path, edit))
    found = [fault for fault in loaded.diagnostics if fault.code == code]
    file, line = place.split(": ", 1)
    where = [(fault.span.file, fault.span.line) for fault in found if fault.span]
    assert where == [(file, line_of(tmp_path, file, line))], [told(fault) for fault in loaded.diagnostics]
    for word in words:
        assert word in told(found[0])


# Names that are understood when a step is planned: the files are sound, the plan is not.
HELD, TOOL = "by: chuck", "tool: out-60"
PLANNED = [
    ("unknown holding", ((HELD, "by: chukc"),), "holding/unknown", "held", ["none of the ways of holding work is called `chukc`", "did you mean `chuck`"]),
    ("unknown holding, nothing near", ((HELD, "by: magnet"),), "holding/unknown", "held", ["`magnet`", "ways of holding work: `chuck`"]),
    ("no such gauge", ((TOOL, "tool: out-60\n      gauge: old nut"),), "gauge/unknown", "gauge",
     ["none of the thread gauges and mating parts is called `old nut`", "there are no thread gauges and mating parts"]),
    ("no such lever", ((TOOL, "tool: out-60\n      levers: {hole: 3}"),), "lever/unknown", "levers", ["no lever `hole`"]),
    ("a speed lever", ((TOOL, "tool: out-60\n      levers: {belt: 3}"),), "lever/unknown", "levers", ["ask for the speed"]),
]  # fmt: skip


@pytest.mark.parametrize(("title", "edits", "code", "place", "words"), PLANNED, ids=lambda value: value.replace(" ", "-") if isinstance(value, str) else "")
def test_a_name_that_a_step_uses_in_vain(tmp_path: Path, title: str, edits: tuple[tuple[str, str], ...], code: str, place: str, words: list[str]) -> None:
    write(tmp_path, *(("job.yaml", old, new) for old, new in edits))
    assert codes(load(tmp_path)) == []
    checked = check_paths([tmp_path], tmp_path)
    found = [fault for fault in checked.diagnostics if fault.severity is Severity.ERROR]
    assert [(fault.code, str(fault.span).rsplit(":", 1)[0]) for fault in found] == [(code, f"job.yaml:{line_of(tmp_path, 'job.yaml', place)}")]
    assert [job.sheet for job in checked.jobs] == [None]
    for word in words:
        assert word in told(found[0])


def test_levers_of_a_gearbox(tmp_path: Path) -> None:
    box = "gearbox: {levers: [{name: hole, positions: {1: 1, 2: 1/2}}], forbidden: [{hole: 3}]}\nmounted: {train: [40, 60], levers: {belt: 1, hoel: 1}}\n"
    wanted = ("job.yaml", "tool: out-60", "tool: out-60\n      levers: {hole: 4}")
    loaded = load(write(tmp_path, ("lathe.yaml", "", box), wanted))
    assert codes(loaded) == [("lever/position", f"lathe.yaml:{line_of(tmp_path, 'lathe.yaml', 'gearbox')}"),
                             ("lever/unknown", f"lathe.yaml:{line_of(tmp_path, 'lathe.yaml', 'mounted')}")]  # fmt: skip

    write(tmp_path, ("lathe.yaml", "", box.replace("hole: 3", "hole: 2").replace("hoel", "hole")), wanted)
    assert codes(load(tmp_path)) == []
    (fault,) = [fault for fault in check_paths([tmp_path], tmp_path).diagnostics if fault.severity is Severity.ERROR]
    assert (fault.code, str(fault.span).rsplit(":", 1)[0]) == ("lever/position", f"job.yaml:{line_of(tmp_path, 'job.yaml', 'levers')}")
    assert "positions of `hole`: `1`, `2`" in told(fault)


def test_faults_of_all_files_are_told_together_and_once(tmp_path: Path) -> None:
    write(tmp_path, ("lathe.yaml", "bore: 30 mm", "bore: 30"), ("gears.yaml", "[20, 25,", "[20.5, 25,"), ("job.yaml", "stands-out", "stand-out"))
    (tmp_path / "second.yaml").write_text((tmp_path / "job.yaml").read_text())
    loaded = load(tmp_path, ".", "job.yaml", "second.yaml", "lathe.yaml")
    assert [place for _, place in codes(loaded)] == ["gears.yaml:5", "job.yaml:7", "lathe.yaml:8", "second.yaml:7"]
    assert [job.inputs for job in loaded.jobs] == [None, None]


def test_a_job_is_kept_from_planning_only_by_its_own_files(tmp_path: Path) -> None:
    write(tmp_path, ("workshop.yaml", "jobs: [job.yaml]", "jobs: [job.yaml, other.yaml]"))
    (tmp_path / "other.yaml").write_text((tmp_path / "job.yaml").read_text().replace("steel.yaml", "gold.yaml"))
    (tmp_path / "gold.yaml").write_text("schema: 1\nkind: material\nname: Gold\n")
    loaded = load(tmp_path)
    assert [(job.key, job.inputs is not None) for job in loaded.jobs] == [("job.yaml", True), ("other.yaml", False)]
    assert [(fault.code, fault.span and fault.span.file) for fault in loaded.diagnostics] == [("schema/missing", "gold.yaml")]


def test_drawers_of_the_workshop_belong_to_every_job(tmp_path: Path) -> None:
    write(tmp_path, ("lathe.yaml", "tooling: [tooling.yaml]\n", ""))
    inputs = load(tmp_path, "job.yaml").jobs[0].inputs
    assert inputs is not None
    assert [drawer.name.value for drawer in inputs.toolings] == ["Drawer"]


# Climbing out


@pytest.mark.parametrize("link", ["../secret.yaml", "../../../../../../etc/passwd", "/etc/passwd", "a/../../secret.yaml", "~/x.yaml", "C:/x.yaml", "out.yaml", "d/secret.yaml"])
def test_a_link_that_leaves_the_workshop_is_refused_unseen(tmp_path: Path, link: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def outcome(there: bool) -> str:
        shop = tmp_path / str(there) / "shop"
        shop.mkdir(parents=True)
        if there:
            (shop.parent / "secret.yaml").write_text("top secret")
        write(shop, ("job.yaml", "machine: lathe.yaml", f"machine: {link}"))
        (shop / "out.yaml").symlink_to("../secret.yaml")
        (shop / "d").symlink_to(shop.parent)
        touched: list[str] = []

        def watch(name: str, whole: object) -> None:
            def seen(path: object, *rest: object, **more: object) -> object:
                touched.append(os.fspath(path))  # type: ignore[arg-type]
                return whole(path, *rest, **more)  # type: ignore[operator]

            monkeypatch.setattr(os, name, seen)

        for name in ("stat", "lstat", "open", "scandir", "readlink", "listdir"):
            watch(name, getattr(os, name))
        loaded = load(shop)
        monkeypatch.undo()
        inside = [path for path in touched if "shop" not in Path(path).parts and "schemas" not in path and not str(shop).startswith(path)]
        assert inside == []
        fault = next(fault for fault in loaded.diagnostics if fault.code == "link/outside")
        assert loaded.jobs[0].inputs is None
        assert str(fault.span) == "job.yaml:4:10"
        return "\n".join(f"{fault.code} {told(fault)}" for fault in loaded.diagnostics)

    assert outcome(True) == outcome(False)


def test_a_symbolic_link_inside_the_workshop_is_followed(tmp_path: Path) -> None:
    write(tmp_path, ("job.yaml", "machine: lathe.yaml", "machine: here/again.yaml"))
    (tmp_path / "here").symlink_to(".")
    (tmp_path / "again.yaml").symlink_to(tmp_path.resolve() / "lathe.yaml")
    loaded = load(tmp_path)
    assert codes(loaded) == []
    assert "again.yaml" not in loaded.files


def test_symbolic_links_that_go_in_circles_are_named(tmp_path: Path) -> None:
    write(tmp_path, ("job.yaml", "machine: lathe.yaml", "machine: p.yaml"))
    (tmp_path / "p.yaml").symlink_to("q.yaml")
    (tmp_path / "q.yaml").symlink_to("p.yaml")
    fault = next(fault for fault in load(tmp_path).diagnostics if fault.code == "link/loop")
    assert "p.yaml -> q.yaml -> p.yaml" in told(fault)
    assert [fault.code for fault in load(tmp_path, "p.yaml").diagnostics] == ["path/missing"]


# What the user names


@pytest.mark.parametrize(
    ("name", "code", "words"),
    [
        ("jobb.yaml", "path/missing", ["did you mean `job.yaml`"]),
        ("nowhere/at/all.yaml", "path/missing", ["spelling"]),
        ("empty", "path/no-workshop", ["holds nothing"]),
        ("loose", "path/no-workshop", ["`loose/a.yaml`"]),
        ("above", "path/no-workshop", ["did you mean `above/shop`"]),
        ("bare.yaml", "yaml/empty", ["nothing in this file"]),
        ("pipe", "path/not-a-file", ["ordinary"]),
    ],
)
def test_named_path_that_is_no_use(tmp_path: Path, name: str, code: str, words: list[str]) -> None:
    write(tmp_path)
    for folder in ("empty", "loose", "above/shop"):
        (tmp_path / folder).mkdir(parents=True)
    (tmp_path / "loose" / "a.yaml").write_text("x")
    (tmp_path / "above" / "shop" / "workshop.yaml").write_text("x")
    (tmp_path / "bare.yaml").write_text("")
    os.mkfifo(tmp_path / "pipe")
    fault = load(tmp_path, name).diagnostics[0]
    assert fault.code == code
    for word in words:
        assert word in told(fault)
