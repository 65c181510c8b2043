"""Whatever steps a job strings together, planning them ends in a sheet or in faults with their places, never in a fault of the program's own."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from route_shop import job

LENGTHS = st.integers(1, 120).map(lambda half: f"{half / 2} mm")
SIZES = st.integers(8, 90).map(lambda half: f"{half / 2} mm")
TO = st.one_of(SIZES, st.integers(5, 40).map(lambda mm: f"{mm} h9"), st.integers(5, 40).map(lambda mm: f"{mm} H8"), st.just("9.9 mm"), st.just("15.9 mm"))
SIDES = st.sampled_from(["outside", "inside"])
DRILLS = st.sampled_from(["5 mm", "8.5 mm", "11.8 mm", "20 mm", "25 mm", "27 mm"])
STEPS = st.one_of(
    st.just("face: {}"),
    LENGTHS.map(lambda off: f"face: {{take-off: {off}}}"),
    LENGTHS.map(lambda left: f"face: {{to-length: {left}}}"),
    st.tuples(TO, LENGTHS, LENGTHS).map(lambda step: f"turn: {{to: {step[0]}, from: {step[1]}, length: {step[2]}}}"),
    st.tuples(TO, LENGTHS).map(lambda step: f"turn: {{to: {step[0]}, length: {step[1]}}}"),
    st.just("centre-drill: {}"),
    st.tuples(DRILLS, LENGTHS).map(lambda step: f"drill: {{diameter: {step[0]}, depth: {step[1]}}}"),
    DRILLS.map(lambda size: f"drill: {{diameter: {size}}}"),
    st.tuples(TO, LENGTHS, LENGTHS).map(lambda step: f"bore: {{to: {step[0]}, from: {step[1]}, length: {step[2]}}}"),
    TO.map(lambda size: f"bore: {{to: {size}}}"),
    st.just("ream: {diameter: 12 mm}"),
    LENGTHS.map(lambda deep: f"ream: {{diameter: 12 mm, depth: {deep}}}"),
    LENGTHS.map(lambda deep: f"tap: {{thread: M10, depth: {deep}}}"),
    LENGTHS.map(lambda long: f"die: {{thread: M10, length: {long}}}"),
    st.tuples(SIDES, TO, LENGTHS, LENGTHS).map(lambda step: f"groove: {{where: {step[0]}, to: {step[1]}, from: {step[2]}, width: {step[3]}}}"),
    st.tuples(SIDES, LENGTHS, LENGTHS).map(lambda step: f"chamfer: {{where: {step[0]}, from: {step[1]}, width: {step[2]}}}"),
    LENGTHS.map(lambda long: f"knurl: {{pattern: diamond, length: {long}}}"),
    LENGTHS.map(lambda long: f"part-off: {{length: {long}}}"),
    st.integers(2, 60).map(lambda parts: f"divide: {{into: {parts}}}"),
    st.sampled_from([
        "hold: {by: chuck, stands-out: 30 mm}", "hold: {by: chuck, stands-out: 20 mm, end-for-end: true}", "hold: {by: centres}", "hold: {by: mandrel}",
        "hold: {by: chuck, stands-out: 60 mm, supported-by: tailstock}", "hold: {by: chuck, supported-by: fixed steady}",
        "screwcut: {thread: M16x2-6g, where: outside, length: 20 mm, ends-in: relief, tool: thread tool}",
        "taper: {taper: '1:10', where: outside, large: 30 mm, length: 20 mm}", "taper: {taper: '1:10', where: inside, large: 24 mm, length: 20 mm}",
    ]),
)  # fmt: skip
BLANKS = st.sampled_from(
    ["outside: 40 mm, length: 60 mm", "outside: 40 mm", "length: 60 mm", "outside: 40 mm, bore: 10 mm, length: 60 mm", "outside: 14 mm, length: 200 mm"]
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(STEPS, min_size=1, max_size=6), BLANKS, st.sampled_from(["plan", "refuse"]), st.sampled_from(["lathe-route", "lathe-route-coarse"]))
def test_any_route_is_planned_or_refused(steps: list[str], blank: str, missing: str, lathe: str) -> None:
    with TemporaryDirectory() as folder:
        done = job(Path(folder), "\n".join(steps), blank=blank, held="by: chuck, stands-out: 40 mm", missing=missing, lathe=lathe)
    errors = [fault for fault in done.faults if fault.severity.value == "error"]
    assert bool(done.sections) != bool(errors), "either a sheet or errors"
    for fault in done.faults:
        assert fault.span is not None
        assert fault.span.file, fault.code
    ids = [section.id for section in done.sections]
    assert len(set(ids)) == len(ids)
