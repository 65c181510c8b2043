"""The head of a sheet of several steps: what it says, and that it leaves room on its page."""

from __future__ import annotations

import dataclasses
import json
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path

import pytest
from small_shop import Edit, write

from benchleaf.operations.context import Context, Setup
from benchleaf.operations.desk import Faults
from benchleaf.operations.overview import head
from benchleaf.operations.work import Work
from benchleaf.render.html import to_html
from benchleaf.render.json_ import to_json
from benchleaf.render.layout import lay_out
from benchleaf.render.paper import A4
from benchleaf.render.text import to_text
from benchleaf.render.view import block_views
from benchleaf.sheet.drawings import PartDrawing
from benchleaf.sheet.from_json import from_json
from benchleaf.sheet.model import Caution, FigureGroup, Say, Section, Sheet, Source, Status, Table
from benchleaf.workshop.load import load_paths
from benchleaf.workshop.values import Origin, Word


def section(kind: str, title: str, subtitle: str = "", number: int = 1, *, added: bool = False) -> Section:
    return Section(kind if number == 1 else f"{kind}-{number}", kind, title, subtitle, (Say("x"),), added=added)


def context(folder: Path, *edits: Edit) -> Context:
    """The small shop's job, with a stud on the lathe as the last step left it."""
    job = load_paths([write(folder, *edits)], folder).jobs[0]
    assert job.inputs is not None
    work = Work(job.inputs.job.blank)
    here = Origin("steps", job.inputs.job.origin.span)
    work.cut("outside", F(0), F(40), F(12), "turned", Word("12 mm h9", here))
    work.cut("outside", F(0), F(20), F(12), "thread", Word("M12-6g", here))
    work.part_off(F(60), Word("60 mm", here))
    return Context(job.inputs, Faults([]), "part", Setup(job.inputs.machine, job.inputs.job.held, work))


STEPS = (
    section("face", "Face the end", "with knife"),
    section("turn", "Turn to 12 mm h9", "40 mm long, with knife"),
    section("screwcut", "Screwcut M12-6g outside", "20 mm long, with out-60"),
    section("part-off", "Part off", "3 mm blade"),
)


def test_a_sheet_of_one_step_has_no_head(tmp_path: Path) -> None:
    assert head(context(tmp_path), STEPS[:1]) == ()
    assert head(context(tmp_path), ()) == ()


def test_the_head_has_the_part_the_blank_and_every_step_with_its_tool(tmp_path: Path) -> None:
    (part,) = head(context(tmp_path), STEPS)
    drawing, group, table = part.blocks
    assert isinstance(drawing, PartDrawing)
    assert [item.words for item in drawing.outside] == ["M12-6g", "⌀12 h9", "⌀15.9 blank"]
    assert drawing.length == 60
    assert isinstance(group, FigureGroup)
    assert [(figure.id, figure.shown) for figure in group.figures] == [("blank", "⌀15.9 mm, 100 mm long"), ("held", "chuck, 60 mm out"), ("parted", "60.00")]
    assert isinstance(table, Table)
    assert [row.shown for row in table.rows][1] == ("", "2", "Turn to 12 mm h9")
    assert [row.note for row in table.rows] == ["with knife", "40 mm long, with knife", "20 mm long, with out-60", "3 mm blade"]


def test_steps_that_were_added_are_marked_once_and_those_on_another_machine_say_so(tmp_path: Path) -> None:
    added = section("drill", "Drill 10 mm", "20 mm deep; added, because a later step needs it", added=True)
    (part,) = head(context(tmp_path), (added, STEPS[2], dataclasses.replace(STEPS[3], machine="Old shaper")))
    first, second, third = next(part.tables()).rows
    assert (first.shown[2], first.note) == ("Drill 10 mm (added)", "20 mm deep")
    assert not second.shown[2].endswith("(added)")
    assert third.note == "on the Old shaper; 3 mm blade"


def test_what_is_not_said_is_left_out(tmp_path: Path) -> None:
    bare = context(tmp_path, ("job.yaml", "blank: {outside: 15.9 mm, length: 100 mm}", "blank: {bore: 8 mm}"), ("job.yaml", "held: {by: chuck, stands-out: 60 mm}", "held: {by: chuck}"))
    fresh = dataclasses.replace(bare, setup=Setup(bare.setup.machine, bare.setup.held, Work(bare.inputs.job.blank)))
    (part,) = head(fresh, STEPS)
    group, table = part.blocks
    assert isinstance(group, FigureGroup)
    assert [figure.shown for figure in group.figures] == ["bore 8 mm", "chuck"]
    assert isinstance(table, Table)


def sheet(part: Section) -> Sheet:
    closing = Caution(2, Say("local rules come first"), Source("common practice", Status.PRACTICE))
    return Sheet("stud", "Stud", "", "Small lathe", "Mild steel", (part, *STEPS), closing)


def test_every_back_end_takes_it_and_json_gives_it_back(tmp_path: Path) -> None:
    (part,) = head(context(tmp_path), STEPS)
    text = to_json(sheet(part))
    back, faults = from_json(text, "x.json")
    assert faults == []
    assert back is not None
    assert to_json(back) == text
    assert {block["kind"] for block in json.loads(text)["sections"][0]["blocks"]} == {"part", "figures", "table"}
    assert "⌀12 h9" in to_text(back)
    assert to_html(back).count("<tr") == len(STEPS)  # a list to tick off has no head


@pytest.mark.parametrize("count", [3, 6, 9])
def test_the_head_takes_the_upper_half_of_the_first_page(tmp_path: Path, count: int) -> None:
    steps = [section("turn", f"Turn to {20 + number} mm h9", "40 mm long, with the knife tool", number) for number in range(1, count + 1)]
    (part,) = head(context(tmp_path), steps)
    whole = sheet(part)
    rows, used = lay_out(block_views(whole, part), 37.0)  # below the sheet's and the section's heading
    assert rows[0].shape in ("pair", "full")
    assert used <= A4.tall * 0.55
