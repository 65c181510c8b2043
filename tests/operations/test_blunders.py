"""Classic blunders of screwcutting (those of other steps are files under ``cases``): each trips with its code at its line, and its near neighbour stays quiet.

The situations are common practice and plain arithmetic; limits come from ISO 965-1, ISO 228-1 and ASME B1.1 as the standards room
computes them (tested there).
"""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import NamedTuple

import pytest
from small_shop import BANJO, Edit, line_of, write

from benchleaf.compile import check_paths
from benchleaf.diagnostics import Diagnostic
from benchleaf.sheet.model import Box


class Blunder(NamedTuple):
    name: str
    edits: tuple[Edit, ...]
    code: str
    at: tuple[str, str]  # file and words on the line at fault
    tells: tuple[str, ...]  # words that the whole diagnostic must contain
    quiet: tuple[Edit, ...]  # the near neighbour


JOB, LATHE, TOOLS, GEARS = "job.yaml", "lathe.yaml", "tooling.yaml", "gears.yaml"
END = "ends-in: {relief: {width: 6 mm, diameter: 13.0 mm}}"
BLANK = "blank: {outside: 15.9 mm, length: 100 mm}"


def inside(
    bore: str, *, length: str = "20 mm", thread: str = "M10-6H", relief: str = "relief: {width: 6 mm, diameter: 11.5 mm}"
) -> tuple[Edit, ...]:
    return (
        (JOB, BLANK, f"blank: {{outside: 30 mm, bore: {bore}, length: 100 mm}}"),
        (JOB, "thread: M16x2-6g", f"thread: {thread}"),
        (JOB, "where: outside", "where: inside"),
        (JOB, "length: 20 mm", f"length: {length}"),
        (JOB, END, f"ends-in: {{{relief}}}"),
        (JOB, "tool: out-60", "tool: in-60"),
    )


def outside(thread: str, blank: str, tool: str = "out-60", relief: str = "13.0 mm") -> tuple[Edit, ...]:
    return (
        (JOB, "outside: 15.9 mm", f"outside: {blank}"),
        (JOB, "thread: M16x2-6g", f"thread: {thread}"),
        (JOB, "diameter: 13.0 mm", f"diameter: {relief}"),
        (JOB, "tool: out-60", f"tool: {tool}"),
    )


def step(words: str) -> Edit:
    return (JOB, "tool: out-60", f"tool: out-60\n      {words}")


FINE = outside("M20x0.9-6g", "19.9 mm", relief="18.0 mm")
BLUNDERS = [
    Blunder("idler counted in the ratio", (*FINE, step("train: [30, 50, 60]")), "train/wrong-lead", (JOB, "train:"),
            ("1.5", "0.9", "never changes the ratio"),
            (*outside("M20x1.5-6g", "19.9 mm", relief="17.5 mm"), step("train: [30, 50, 60]"))),
    Blunder("a locked pair taken apart", ((GEARS, "", "locked-pairs: [{wheels: [60, 63]}]\n"), step("train: [60, 50, 63]")),
            "train/locked-pair", (JOB, "train:"), ("60", "63", "one piece"),
            ((GEARS, "", "locked-pairs: [{wheels: [25, 50]}]\n"), step("train: [20, [25, 50], 60]"))),
    Blunder("wheel too big for the cover", ((GEARS, "75, 80]", "75, 80, 127]"), (LATHE, "slides:", BANJO.replace("165", "150") + "slides:"),
            step("train: [40, 127, 60]")), "train/does-not-fit", (JOB, "train:"), ("161.25", "150", "127"),
            ((GEARS, "75, 80]", "75, 80, 127]"), (LATHE, "slides:", BANJO + "slides:"), step("train: [40, 50, 60]"))),
    Blunder("levers that block each other", ((LATHE, "slides:", "gearbox:\n  levers:\n    - {name: one, positions: {A: 1, B: 2}}\n"
            "    - {name: two, positions: {C: 1, D: 1/2}}\n  forbidden: [{one: B, two: D}]\nslides:"), step("levers: {one: B, two: D}")),
            "train/levers-blocked", (JOB, "levers:"), ("B", "D"),
            ((LATHE, "slides:", "gearbox:\n  levers:\n    - {name: one, positions: {A: 1, B: 2}}\n"
             "    - {name: two, positions: {C: 1, D: 1/2}}\n  forbidden: [{one: B, two: D}]\nslides:"), step("levers: {one: B, two: C}"))),
    Blunder("a wheel that is not owned", (step("train: [37, 50, 60]"),), "train/wheel-not-owned", (JOB, "train:"), ("37",), (step("train: [40, 50, 60]"),)),
    Blunder("one wheel used twice", (step("train: [50, [60, 50], 40]"),), "train/wheel-not-owned", (JOB, "train:"), ("50",),
            (step("train: [20, [25, 50], 60]"),)),
    Blunder("tool angle is not the thread's", outside("1/4-20 UNC-2A", "6.3 mm", "out-55", "4.2 mm"), "tool/angle", (JOB, "tool:"),
            ("55", "60", "out-60"), outside("1/4-20 BSW", "6.3 mm", "out-55", "4.2 mm")),
    Blunder("pipe size taken for a diameter", outside("G 1/2", "12.7 mm", "out-55", "18 mm"), "thread/blank-small", (JOB, "outside: 12.7"),
            ("pipe bore", "20.955"), (*outside("G 1/2", "20.9 mm", "out-55", "18 mm"), (GEARS, "75, 80]", "75, 80, 42]"))),
    Blunder("bore taken from the bolt's table", inside("8.16 mm"), "thread/bore-small", (JOB, "bore:"), ("8.376", "8.676", "0.216", "different figures"),
            inside("8.50 mm")),
    Blunder("full-profile insert for another pitch", outside("M10x1", "9.9 mm", "full-15", "8.2 mm"), "tool/full-profile", (JOB, "tool:"),
            ("1.5", "1 mm", "part-15"), outside("M10x1", "9.9 mm", "part-15", "8.2 mm")),
    Blunder("relief not deep enough", ((JOB, "diameter: 13.0 mm", "diameter: 14.0 mm"),), "relief/shallow", (JOB, "diameter: 14.0"), ("13.",),
            ((JOB, "diameter: 13.0 mm", "diameter: 13.0 mm"),)),
    Blunder("bar shorter than the hole is deep", inside("8.5 mm", length="45 mm"), "tool/reach", (JOB, "tool:"), ("51", "40"),
            inside("8.5 mm", length="30 mm")),
    Blunder("passes too fine for carbide", ((TOOLS, "pitches: {finest: 0.5 mm, coarsest: 1.5 mm}", "pitches: {finest: 0.5 mm, coarsest: 1.5 mm}, least-cut: 0.04 mm"),
            *outside("M16x1.5", "15.9 mm", "part-15"), (JOB, END, END + "\n      passes: {last: 0.01 mm}")),
            "tool/least-cut", (JOB, "passes:"), ("0.04",),
            (step("passes: {last: 0.02 mm}"),)),
    Blunder("even number, any line", ((LATHE, "{lead: 3 mm, hand: right}", "{lead: 8 TPI, hand: right}"), *outside("7/8-14 UNF-2A", "22.1 mm", relief="19.5 mm"),
            (JOB, "length: 20 mm", "length: 20 mm\n      half-nuts: open at any mark")), "half-nuts/not-every-mark", (JOB, "half-nuts:"), ("every 2nd",),
            ((LATHE, "{lead: 3 mm, hand: right}", "{lead: 8 TPI, hand: right}"), *outside("7/8-16 UN-2A", "22.1 mm", relief="19.5 mm"),
             (JOB, "length: 20 mm", "length: 20 mm\n      half-nuts: open at any mark"))),
    Blunder("half-nuts opened on a foreign pitch", (*outside("7/8-16 UN-2A", "22.1 mm", relief="19.5 mm"), step("half-nuts: open at any mark")),
            "half-nuts/never", (JOB, "half-nuts:"), ("closed",), (step("half-nuts: open at any mark"),)),
    Blunder("thread up to a shoulder and nowhere to stop", ((JOB, END, "ends-in: shoulder"),), "stop/no-room", (JOB, "ends-in:"), ("shoulder", "relief"),
            ((JOB, END, "ends-in: free end"),)),
    Blunder("relief narrower than the stopping distance", ((JOB, "width: 6 mm", "width: 1.5 mm"),), "relief/narrow", (JOB, "width:"), ("30 rpm",),
            ((JOB, "width: 6 mm", "width: 3 mm"),)),
    Blunder("bar tool too fat for the bore", (*inside("8.5 mm"), (TOOLS, "smallest-bore: 7 mm", "smallest-bore: 9 mm")), "tool/bore", (JOB, "tool:"),
            ("9 mm", "8.5"), inside("8.5 mm")),
    Blunder("bar stock too fat for the spindle", ((JOB, BLANK, "blank: {outside: 31 mm, length: 900 mm}"), (JOB, "M16x2-6g", "M30x2-6g"),
            (JOB, "where: outside", "where: outside")), "holding/bar-fat", (JOB, "outside: 31"), ("30 mm",),
            ((JOB, BLANK, "blank: {outside: 15.9 mm, length: 400 mm}"),)),
    Blunder("thin bar out of the back of the spindle", ((JOB, BLANK, "blank: {outside: 9.9 mm, length: 900 mm}"), (JOB, "M16x2-6g", "M10-6g"),
            (JOB, "diameter: 13.0 mm", "diameter: 7.8 mm")), "holding/bar-tail", (JOB, "blank:"), ("440", "support"),
            ((JOB, BLANK, "blank: {outside: 9.9 mm, length: 450 mm}"), (JOB, "M16x2-6g", "M10-6g"), (JOB, "diameter: 13.0 mm", "diameter: 7.8 mm"))),
    Blunder("swings over the bed but not over the cross-slide", outside("M230x4", "229.8 mm", relief="223 mm"), "holding/swing", (JOB, "outside: 229.8"),
            ("cross-slide", "24.8"), outside("M200x4", "199.8 mm", relief="193 mm")),
    Blunder("a number without its unit", ((JOB, "outside: 15.9 mm", "outside: 1.16"),), "units/missing", (JOB, "outside:"), ("29.46 mm", "0.04567 in"),
            ((JOB, "outside: 15.9 mm", "outside: 15.9 mm"),)),
    Blunder("a tip too blunt for the pitch", (*outside("M20x0.75-6g", "19.95 mm", "full-15", "18.5 mm")[:3], (JOB, "tool: out-60", "tool: blunt"), (TOOLS, "wires:", "  - {name: blunt, where: outside, angle: 60 deg, tip: {radius: 0.25 mm}, cuts-with: HSS, beyond-tip: 1 mm}\nwires:")),
            "tool/blunt", (JOB, "tool:"), ("0.25",), outside("M20x0.75-6g", "19.95 mm", "part-15", "18.5 mm")),
    Blunder("a screwed nose in reverse", ((LATHE, "{fixing: bolts}", "{fixing: screwed}"), *outside("7/8-16 UN-2A", "22.1 mm", relief="19.5 mm")),
            "nose/reverse", (LATHE, "nose:"), ("unscrew",), ((LATHE, "{fixing: bolts}", "{fixing: screwed}"),)),
]  # fmt: skip


def found(folder: Path) -> list[Diagnostic]:
    return list(check_paths([folder], folder).diagnostics)


def told(diagnostic: Diagnostic) -> str:
    return " ".join(
        [diagnostic.message, diagnostic.label, *diagnostic.notes, *diagnostic.hints, *(words for _, words in diagnostic.related)]
    )


@pytest.mark.parametrize("blunder", BLUNDERS, ids=lambda blunder: blunder.name.replace(" ", "-"))
def test_blunder_trips_and_its_neighbour_stays_quiet(blunder: Blunder, tmp_path: Path) -> None:
    bad, good = tmp_path / "bad", tmp_path / "good"
    bad.mkdir()
    good.mkdir()
    write(bad, *blunder.edits)
    hits = [fault for fault in found(bad) if fault.code == blunder.code]
    assert hits, [f"{fault.code}: {fault.message}" for fault in found(bad)]
    file, words = blunder.at
    assert any(hit.span and (hit.span.file, hit.span.line) == (file, line_of(bad, file, words)) for hit in hits), hits
    for word in blunder.tells:
        assert any(word in told(hit) for hit in hits), f"{word!r} not in {[told(hit) for hit in hits]}"
    write(good, *blunder.quiet)
    assert [
        f"{fault.code}: {fault.message}" for fault in found(good) if fault.code == blunder.code or fault.severity.value == "error"
    ] == []


@pytest.mark.parametrize(("reads", "divisions"), [("depth", F(5, 2)), ("diameter", F(5))])
def test_a_reading_over_wires_is_not_fed_in_as_depth(reads: str, divisions: F, tmp_path: Path) -> None:
    """0.10 mm over the upper limit: 0.05 mm of depth, which is half the excess on a dial that reads depth and all of it on one that
    reads diameter (plane geometry); the sheet says so beside the box, and gives what a division of 0.02 mm is worth."""
    folder = write(tmp_path, step("infeed: straight"), (LATHE, "cross-slide: {travel: 160 mm, dial: {division: 0.02 mm, turn: 2 mm, reads: depth}",
                   f"cross-slide: {{travel: 160 mm, dial: {{division: 0.02 mm, turn: 2 mm, reads: {reads}}}"))  # fmt: skip
    sheet = check_paths([folder], folder).jobs[0].sheet
    assert sheet is not None
    section = next(section for section in sheet.sections if section.kind == "screwcut")
    worth = next(figure.value for figure in section.figures() if figure.id == "reading_per_division")
    assert isinstance(worth, F)
    assert F(1, 10) / worth == divisions
    rules = [block.rule.words for block in section.blocks if isinstance(block, Box)]
    assert any("{reading_per_division}" in rule and "half the excess in depth, never all of it" in rule for rule in rules)
