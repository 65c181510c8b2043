"""From validated nodes to models: origins, words kept as written, and an outcry when a schema and a model part ways."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pytest

from benchleaf.diagnostics import Span
from benchleaf.operations.screwcut.model import Ending, Screwcut, ThreadByHand
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.node import Node
from benchleaf.source.yaml_ import parse_text
from benchleaf.workshop.gearbox import Lever
from benchleaf.workshop.gears import GearSet, WheelRow
from benchleaf.workshop.job import Job, Step
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.structure import StructureError, structure
from benchleaf.workshop.values import Count, Flag, Length, Number, Origin, Text, Word

JOB = """\
schema: 1
kind: job
name: on
machine: lathe.yaml
material: brass.yaml
blank: {outside: 1 7/16 in}
held: {by: 4}
steps:
  - screwcut:
      thread: {form: Whitworth, major: 1.02 in, lead: 26 TPI}
      where: outside
      length: 10 mm
      ends-in: {relief: {width: 5 mm}}
      tool: yes
      train: [40, [60, 20], 127]
      levers: {halver: off, hole: 6}
"""


def node_of(text: str) -> Node:
    node, faults = parse_text(text, "file.yaml")
    assert node is not None
    assert not faults
    return node


def first_step(text: str) -> Screwcut:
    """The first step of a job, read in two strokes as the program does: the job, then the step by the model of its operation."""
    step = structure(Job, fill_defaults(node_of(text), "job")).steps[0]
    return structure(Screwcut, step.node, step.operation.origin.path)


def test_words_stay_as_written_and_every_value_knows_its_place() -> None:
    job = structure(Job, fill_defaults(node_of(JOB), "job"))
    assert (job.name.value, job.held.by.value) == ("on", "4")
    outside = job.blank.outside
    assert outside is not None
    assert (outside.value, outside.unit, outside.text, outside.system) == (Fraction(23, 16) * Fraction(127, 5), "mm", "1 7/16 in", "inch")
    assert outside.origin == Origin("blank.outside", Span("file.yaml", 6, 18, 6, 27))
    step = structure(Screwcut, job.steps[0].node, job.steps[0].operation.origin.path)
    assert {name: (position.value, position.origin.path) for name, position in step.levers.items()} == {
        "halver": ("off", "steps[0].screwcut.levers.halver"),
        "hole": ("6", "steps[0].screwcut.levers.hole"),
    }
    assert step.tool.value == "yes"


def test_a_step_keeps_what_its_operation_takes_for_the_operation_to_read() -> None:
    (step,) = structure(Job, fill_defaults(node_of(JOB), "job")).steps
    assert isinstance(step, Step)
    assert step.origin == Origin("steps[0]", Span("file.yaml", 9, 5, 16, 37))
    assert (step.operation.value, step.operation.origin) == ("screwcut", Origin("steps[0].screwcut", Span("file.yaml", 9, 5, 9, 13)))
    written = node_of(JOB).at("steps[0].screwcut")
    assert written is not None
    assert [(key.text, value) for key, value in step.node.items if key.origin == "file" and key.text != "thread"] == [
        (key.text, value) for key, value in written.items if key.text != "thread"
    ]
    assert {key.text for key, _ in step.node.items if key.origin == "default"} >= {"from", "lead-limit", "passes"}
    assert "from" not in written, "a default is not taken for something written"


def test_each_alternative_becomes_the_model_of_its_shape() -> None:
    step = first_step(JOB)
    assert isinstance(step.thread, ThreadByHand)
    assert isinstance(step.ends_in, Ending)
    assert [[wheel.value for wheel in axis] if isinstance(axis, tuple) else axis.value for axis in step.train] == [40, [60, 20], 127]
    plain = JOB.replace("{form: Whitworth, major: 1.02 in, lead: 26 TPI}", "M10").replace("{relief: {width: 5 mm}}", "free end")
    step = first_step(plain)
    assert isinstance(step.thread, Word)
    assert isinstance(step.ends_in, Word)
    gears = structure(
        GearSet, fill_defaults(node_of("{schema: 1, kind: gear-set, name: a, tooth-size: 20 DP, wheels: [20, {teeth: 40}]}"), "gear-set")
    )
    assert isinstance(gears.wheels[0], Number)
    assert isinstance(gears.wheels[1], WheelRow)
    assert gears.wheels[1].copies.value == 1


def test_what_is_left_out_is_a_marked_default_nothing_or_empty() -> None:
    step = first_step(JOB)
    assert (step.lead_limit.value, step.lead_limit.origin.default) == (Fraction(1, 5000), True)
    assert step.lead_limit.origin.span.file == "schemas/steps/screwcut.schema.json"
    assert (step.from_.value, step.from_.origin.path, step.from_.origin.default) == (0, "steps[0].screwcut.from", True)
    assert (step.passes.spring.value, step.passes.count) == (2, None)
    assert (step.gauge, step.without) == (None, ())
    assert not step.length.origin.default


def test_tables_keep_their_order_and_cannot_be_changed() -> None:
    node = node_of("{name: hole, positions: {5: 1, 1: 2/3, A: 24:48}}")
    lever = structure(Lever, node, "gearbox.levers[0]")
    assert [(name, ratio.value) for name, ratio in lever.positions.items()] == [
        ("5", Fraction(1)),
        ("1", Fraction(2, 3)),
        ("A", Fraction(1, 2)),
    ]
    with pytest.raises(TypeError):
        lever.positions["5"] = lever.positions["1"]  # type: ignore[index]


@dataclass(frozen=True, slots=True)
class _Little:
    origin: Origin
    width: Length
    teeth: Count | None
    worn: Flag | None
    name: Text | tuple[Text, ...] | None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("{width: 5 mm, colour: red}", "does not"),
        ("{teeth: 4}", "neither required nor given a default"),
        ("{width: 5}", "does not ask for the format"),
        ("{width: 5 mm, name: {a: b}}", "nothing in"),
        ("[1, 2]", "a map is wanted"),
    ],
)
def test_a_schema_that_lets_too_much_pass_is_our_fault_and_is_told(text: str, says: str) -> None:
    with pytest.raises(StructureError, match=says):
        structure(_Little, node_of(text))


def test_a_lathe_of_required_keys_alone_has_everything_that_planning_reads() -> None:
    text = """
schema: 1
kind: lathe
name: least
system: inch
gears: [gears.yaml]
spindle: {bore: 1 in, nose: {fixing: cams}, speeds: [{speed: 60 rpm}]}
swing: {over-bed: 10 in, over-cross-slide: 6 in}
centres: 24 in
leadscrew: {lead: 8 TPI}
slides: {cross-slide: {travel: 6 in, dial: {division: 0.001 in, turn: 0.1 in, reads: depth}}}
workholding: [{name: chuck, kind: chuck}]
"""
    lathe = structure(Lathe, fill_defaults(node_of(text), "lathe"))
    assert (lathe.half_nuts.fitted.value, lathe.headstock.tumbler.value, lathe.leadscrew.hand.value) == (True, True, "right")
    assert [(row.position.value, row.ratio.value) for row in lathe.headstock.ratios] == [("plain", 1)]
    assert [word.value for word in lathe.arrangements] == ["simple", "compound"]
    assert (lathe.stop_time.value, lathe.banjo, lathe.gearbox, lathe.workholding[0].on_nose.value) == (Fraction(3, 2), None, None, True)
    assert all(
        value.origin.default for value in (lathe.stop_time, lathe.half_nuts.fitted, lathe.headstock.ratios[0].ratio, lathe.leadscrew.hand)
    )
