"""The demo workshop from YAML to paper and back: every sheet is built, and every figure is walked back to its lines and sources."""

from __future__ import annotations

import contextlib
import io
import re
import shutil
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from pypdf import PdfReader

from benchleaf.cli import main
from benchleaf.cli.answers import find_workshop
from benchleaf.explain import Entry, Library, entries, explain, find
from benchleaf.sheet.from_json import from_json
from benchleaf.sheet.model import FigureRef, Given, Sheet, Source

CHECKOUT = Path(__file__).resolve().parents[2]
SHOPS = ("osier-lane", "starter")
JOBS = [(shop, path.stem) for shop in SHOPS for path in sorted((CHECKOUT / "profiles" / shop).rglob("*.yaml")) if "kind: job" in path.read_text()]


# `describe` waits for answers and `preview` runs until it is stopped: tests/describe and tests/preview run those.
WAITING = ("describe", "preview")
SUMMARY = [
    line.removeprefix("$ benchleaf ").split(" #")[0].split()
    for line in re.findall(r"^```console\n(.*?)^```$", (CHECKOUT / "README.md").read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)[0].splitlines()
    if not line.startswith(tuple(f"$ benchleaf {command}" for command in WAITING))
]


@dataclass
class Ran:
    """The commands of the README run one after the other beside a copy of the profiles, and what came of them."""

    out: Path
    """What `build` wrote, a folder for each workshop, as it was before other commands wrote theirs."""
    told: list[tuple[str, int, str]] = field(default_factory=list)


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> Ran:
    folder = tmp_path_factory.mktemp("readme")
    shutil.copytree(CHECKOUT / "profiles", folder / "profiles")
    result = Ran(folder / "built")
    with contextlib.chdir(folder):
        for command in [*SUMMARY, ["build", "profiles/starter", "--out", "built/starter"]]:
            with contextlib.redirect_stdout(io.StringIO()) as told, contextlib.redirect_stderr(told):
                result.told.append((" ".join(command), main(command), told.getvalue()))
            if command[:2] == ["build", "profiles/osier-lane"]:
                shutil.copytree("out", "built/osier-lane")
    return result


@pytest.fixture(scope="module")
def out(ran: Ran) -> Path:
    return ran.out


def test_every_command_of_the_readme_runs(ran: Ran) -> None:
    assert len(ran.told) >= 10
    for command, code, told in ran.told:
        assert code == 0, f"{command}: {told}"


def sheet_of(out: Path, shop: str, job: str) -> Sheet:
    sheet, faults = from_json((out / shop / f"{job}.json").read_text(encoding="utf-8"), job)
    assert (faults, sheet is None) == ([], False)
    assert sheet is not None
    return sheet


def test_every_job_has_a_sheet_in_every_format(out: Path) -> None:
    assert len(JOBS) >= 8
    wanted = {f"{shop}/{job}{suffix}" for shop, job in JOBS for suffix in (".pdf", ".html", ".json", ".txt")}
    about = {f"{shop}/{name}" for shop in SHOPS for name in ("index.html", ".benchleaf")}
    assert {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()} == wanted | about


@pytest.mark.parametrize(("shop", "job"), JOBS)
def test_what_must_be_set_is_on_paper_and_in_every_other_format(out: Path, shop: str, job: str) -> None:
    sheet = sheet_of(out, shop, job)
    pages = PdfReader(io.BytesIO((out / shop / f"{job}.pdf").read_bytes())).pages
    texts = {
        "pdf": "".join("".join(page.extract_text().split()) for page in pages),
        "html": "".join((out / shop / f"{job}.html").read_text(encoding="utf-8").split()),
        "text": "".join((out / shop / f"{job}.txt").read_text(encoding="utf-8").split()),
    }
    for section in sheet.sections:
        for figure in section.figures():
            for name in ("pdf", "text"):
                assert "".join(figure.shown.split()) in texts[name], f"{section.id}.{figure.id} is not in the {name}"
    assert "localrules" in texts["text"].lower() or "maker" in texts["text"].lower()
    assert all(sheet.digest[:8] in text for text in texts.values())


@pytest.mark.parametrize(("shop", "job"), JOBS)
def test_every_figure_walks_back_to_lines_and_sources(out: Path, shop: str, job: str) -> None:
    sheet = sheet_of(out, shop, job)
    library = Library([CHECKOUT / "profiles" / shop], CHECKOUT)
    everything = entries(sheet)
    assert len(everything) >= 10
    for entry in everything:
        text = explain(sheet, entry, library)
        for remark in ("not here any more", "has changed", "not on this sheet", "among its own reasons"):
            assert remark not in text, text
        grounds, seen, pending = [], set(), [entry]
        while pending:
            current = pending.pop()
            if current.name in seen:
                continue
            seen.add(current.name)
            for reason in current.item.basis.inputs:
                if isinstance(reason, FigureRef):
                    found = find(sheet, reason.id, current.section)
                    assert isinstance(found, Entry), f"{current.name} rests on {reason.id}, which is not there"
                    pending.append(found)
                else:
                    grounds.append(reason)
        assert any(isinstance(ground, Given | Source) for ground in grounds), f"{entry.name} rests on nothing that anyone wrote"


def test_explain_finds_the_workshop_from_the_checkout_and_from_elsewhere(out: Path, tmp_path: Path) -> None:
    sheet = sheet_of(out, "osier-lane", "packing-tube")
    assert find_workshop(sheet, out, CHECKOUT)[0] == CHECKOUT / "profiles" / "osier-lane"
    assert find_workshop(sheet, CHECKOUT / "profiles" / "osier-lane" / "out", tmp_path)[0] == CHECKOUT / "profiles" / "osier-lane"
    assert find_workshop(sheet, tmp_path, tmp_path) == []


def test_a_copy_of_the_starter_builds_the_same_sheet(out: Path, tmp_path: Path) -> None:
    shutil.copytree(CHECKOUT / "profiles" / "starter", tmp_path / "mine")
    assert main(["build", str(tmp_path / "mine"), "--out", str(tmp_path / "out"), "--quiet"]) == 0
    files = [path for path in (tmp_path / "out").iterdir() if path.name != ".benchleaf"]  # where things are differs, what they say does not
    assert len(files) > 4
    for path in files:
        assert path.read_bytes() == (out / "starter" / path.name).read_bytes()
