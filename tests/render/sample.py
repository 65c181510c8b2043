"""A sheet with every kind of block: an inch thread in a tube, on a lathe with a metric screw.  All invented but the thread itself.

Limits of 1 1/8-16 UN-2B: ASME B1.1, from memory.  The train 40/63 x 50/60 on a 3 mm screw cuts 100/63 mm for 127/80 mm, -125 ppm.
"""

from __future__ import annotations

import dataclasses
import math
from fractions import Fraction

from benchleaf.exact import sqrt
from benchleaf.sheet.drawings import (
    DrawnArrow,
    DrawnAxis,
    DrawnCircle,
    DrawnLabel,
    DrawnLever,
    DrawnLine,
    DrawnPlace,
    DrawnSlot,
    DrawnStretch,
    DrawnWheel,
    GearTrainDrawing,
    LeverPlateDrawing,
    PartDrawing,
    SketchDrawing,
    ThreadProfileDrawing,
)
from benchleaf.sheet.model import (
    Basis,
    Box,
    Caution,
    Check,
    Column,
    Figure,
    FigureGroup,
    FigureRef,
    Given,
    Graduation,
    Limits,
    Row,
    Say,
    Section,
    Sheet,
    Source,
    Status,
    Steps,
    Sum,
    SumWords,
    Table,
    Weight,
)
from benchleaf.sheet.numbers import fixed, in_steps, signed

B11 = Source("ASME B1.1, 1 1/8-16 UN-2B", Status.STANDARD)
GEOMETRY = Source("plane geometry", Status.DERIVED)
PRACTICE = Source("workshop practice", Status.PRACTICE)
TRAIN = Source("train search", Status.DERIVED)
JOB = "profiles/osier-lane/jobs/packing-tube.yaml"
LATHE = "profiles/osier-lane/lathes/long-lathe.yaml"


def given(path: str, words: str, line: int, file: str = JOB, *, default: bool = False) -> Given:
    return Given(path, words, file, line, 9, default)


def because(formula: str, *inputs: Given | FigureRef | Source, source: Source = GEOMETRY) -> Basis:
    return Basis(formula, inputs, source)


def words(name: str, label: str, value: str, why: Basis, also: str = "") -> Figure:
    return Figure(name, label, value, "", value, why, also=also)


def number(name: str, label: str, value: Fraction, unit: str, places: int, why: Basis, *, rational: bool = True, also: str = "") -> Figure:
    return Figure(name, label, value, unit, fixed(value, places), why, rational, None, also)


def limits(name: str, label: str, low: str, high: str, why: Basis) -> Figure:
    """Limits in inches, worked in mm."""
    lower, upper = Fraction(low) * Fraction("25.4"), Fraction(high) * Fraction("25.4")
    shown = f"{fixed(lower, 3)} to {fixed(upper, 3)}"
    return Figure(name, label, (lower + upper) / 2, "mm", shown, why, True, Limits(lower, upper), f"{low} to {high} in")


WANTED = Fraction(127, 80)
ACTUAL = 3 * Fraction(40, 63) * Fraction(50, 60)
DEPTH = Fraction("0.94")
PASSES = 12
SPRING = 1


def wheel(place: str, teeth: int, what: str) -> Figure:
    return Figure(f"wheel_{place.lower()}", f"{place} {what}", Fraction(teeth), "", str(teeth), because("best train that fits the banjo", source=TRAIN))


def lever(name: str, position: str) -> Figure:
    return words(f"lever_{name}", name, position, because("lever positions on the plate", given(f"mounted.levers.{name}", position, 51, LATHE)))


SET_GROUPS = (
    FigureGroup("Wheels", (wheel("A", 40, "drives"), wheel("B", 63, "driven"), wheel("C", 50, "drives"), wheel("D", 60, "driven")), Weight.SET),
    FigureGroup("Levers", (lever("lead", "PLAIN"), lever("range", "A"), lever("side", "I"), lever("hole", "5")), Weight.SET),
    FigureGroup(
        "Spindle",
        (
            number("rpm", "speed", Fraction(52), "rpm", 0, because("nearest speed not above", given("spindle.speeds", "52 rpm", 15, LATHE), source=PRACTICE), also="belt 2, back gear in"),
        ),
        Weight.SET,
    ),
    FigureGroup(
        "Half-nuts",
        (words("half_nuts", "throughout", "keep closed", because("no mark of the dial serves: a = 100", FigureRef("lead"))),),
        Weight.SET,
    ),
    FigureGroup(
        "Cross-slide",
        (
            Figure("first_dial", "first pass", Fraction("0.55"), "mm", "0.55", because("in sqrt(1/12)", FigureRef("infeed")), also="out from touch"),
            Figure("last_dial", "last pass", Fraction("1.90"), "mm", "1.90", because("the infeed in whole divisions", FigureRef("infeed")), also="dial reads diameter"),
        ),
        Weight.SET,
    ),
)  # fmt: skip

SIZES = FigureGroup(
    "Sizes",
    (
        limits("minor", "bore before threading", "1.0570", "1.0710", because("minor diameter limits", given("thread", "1 1/8-16 UN-2B", 12), source=B11)),
        limits("pitch_diameter", "pitch diameter", "1.0844", "1.0899", because("pitch diameter limits", given("thread", "1 1/8-16 UN-2B", 12), source=B11)),
        number("major", "major, at least", Fraction("28.575"), "mm", 3, because("basic major diameter", source=B11), also="1 1/8 in"),
        number("relief", "relief bore", Fraction("29.6"), "mm", 1, because("as in the job", given("ends-in.relief.diameter", "29.6 mm", 16))),
    ),
)  # fmt: skip

KNOW = FigureGroup(
    "Why these wheels",
    (
        number("infeed", "whole infeed, radial", DEPTH, "mm", 2, because("from the bore to the target with this tip", FigureRef("minor"), FigureRef("pitch_diameter"), given("tool", "inside-60", 17))),
        number("lead", "lead cut", ACTUAL, "mm", 5, because("leadscrew lead x 40/63 x 50/60", given("leadscrew.lead", "3 mm", 24, LATHE), FigureRef("wheel_a"), source=TRAIN)),
        number("wanted", "lead wanted", WANTED, "mm", 4, because("25.4 mm / 16", given("thread", "1 1/8-16 UN-2B", 12), source=B11)),
        Figure("error", "lead error", (ACTUAL / WANTED - 1) * 10**6, "ppm", signed((ACTUAL / WANTED - 1) * 10**6, 0), because("actual lead / wanted lead - 1", FigureRef("lead"), FigureRef("wanted"))),
        number("grows", "costs on pitch diameter", 15 * Fraction(1, 8001) * sqrt(Fraction(3)), "mm", 4, because("15 mm x error x sqrt 3", FigureRef("error"), given("engagement", "15 mm", 15)), rational=False),
    ),
    Weight.KNOW,
)  # fmt: skip


def axes_and_wheels() -> tuple[tuple[DrawnAxis, ...], tuple[DrawnWheel, ...], float]:
    """Where the stud of 40/63 x 50/60 stands between shafts 128 mm apart, module 1.25: two circles cross."""
    module, centre, direction = 1.25, 128.0, math.radians(70)
    first, second = module * (40 + 63) / 2, module * (50 + 60) / 2
    x1, y1 = centre * math.cos(direction), centre * math.sin(direction)
    along = (centre**2 + second**2 - first**2) / (2 * centre)
    aside = math.sqrt(second**2 - along**2)
    ux, uy = x1 / centre, y1 / centre
    stud = DrawnAxis("banjo stud", along * ux + aside * uy, along * uy - aside * ux, 8.0)
    axes = (DrawnAxis("first shaft", x1, y1, 9.0), stud, DrawnAxis("gearbox", 0.0, 0.0, 9.0))

    def drawn(name: str, teeth: int, role: str, axis: int, layer: int) -> DrawnWheel:
        return DrawnWheel(teeth, role, axis, layer, module * teeth / 2, module * (teeth + 2) / 2, name)

    wheels = (drawn("A", 40, "driver", 0, 0), drawn("B", 63, "driven", 1, 0), drawn("C", 50, "driver", 1, 1), drawn("D", 60, "driven", 2, 1))
    return axes, wheels, math.degrees(math.atan2(stud.y, stud.x))


def gear_drawing() -> GearTrainDrawing:
    axes, wheels, swing = axes_and_wheels()
    slot = DrawnSlot(0.0, 0.0, swing, 36.0, 150.0)
    alt = "A with 40 teeth on the first shaft drives B with 63 on the banjo stud; C with 50 outside B drives D with 60 on the gearbox."
    return GearTrainDrawing("train", "Change wheels", axes, wheels, (slot,), True, "1.25", alt)


LEVERS = LeverPlateDrawing(
    "levers",
    "Levers",
    (
        DrawnLever("lead", ("PLAIN", "COARSE"), "PLAIN"),
        DrawnLever("range", ("A", "B", "C"), "A"),
        DrawnLever("side", ("I", "II"), "I"),
        DrawnLever("hole", tuple("1234567"), "5"),
    ),
    "lead on PLAIN, range on A, side on I, hole on 5.",
)

PROFILE = ThreadProfileDrawing(
    id="profile",
    title="The thread with this tool",
    inside=True,
    pitch=1.5875,
    half_angle=30.0,
    major_radius=14.2875,
    pitch_radius=13.808,
    minor_radius=13.513,
    crest_radius=13.5,
    root_radius=14.44,
    tip_flat=0.0,
    tip_radius=0.11,
    labels=(
        ("pitch", "1.588 mm"),
        ("major", "28.575 mm"),
        ("pitch_diameter", "27.544 to 27.683 mm"),
        ("minor", "26.848 to 27.203 mm"),
        ("angle", "60°"),
        ("tip", "tip radius 0.11 mm"),
        ("infeed", "0.94 mm"),
    ),
    alt="Two pitches of the thread in the bore, with the tool at full depth.",
)

PART = PartDrawing(
    id="part",
    title="As it will be",
    outside=(
        DrawnStretch(0.0, 1.0, 36.0, 38.0, "chamfer", "1 x 45°"),
        DrawnStretch(1.0, 20.0, 38.0, 38.0, "knurl", "⌀38 knurled"),
        DrawnStretch(20.0, 24.0, 30.0, 30.0, "groove", "⌀30, 4 wide"),
        DrawnStretch(24.0, 40.0, 33.249, 33.249, "thread", "G 1 A", 30.291),
        DrawnStretch(40.0, 52.0, 28.0, 24.0, "taper", "taper ⌀28 to ⌀24"),
        DrawnStretch(52.0, 60.0, 24.0, 24.0, "plain", "⌀24 blank", known=False),
    ),
    bore=(
        DrawnStretch(0.0, 17.0, 27.0, 27.0, "thread", "1 1/8-16 UN-2B, 17 deep", 28.575),
        DrawnStretch(17.0, 22.0, 29.6, 29.6, "groove", "⌀29.6, 5 wide"),
        DrawnStretch(22.0, 60.0, 12.0, 12.0, "plain", "⌀12 H7 from 22"),
    ),
    length=60.0,
    whole=True,
    places=(DrawnPlace(20.0, "20"), DrawnPlace(24.0, "24"), DrawnPlace(40.0, "40"), DrawnPlace(52.0, "52"), DrawnPlace(60.0, "60")),
    centres=(),
    note="mm; lengths from the front face",
    alt="The part with its front face to the right.",
)

SKETCH = SketchDrawing(
    id="clocking",
    title="Clock the tube",
    shapes=(
        DrawnLine(((0.0, -8.0), (40.0, -8.0), (40.0, 8.0), (0.0, 8.0)), "thick", True, "hatch"),
        DrawnLine(((-5.0, 0.0), (45.0, 0.0)), "centre"),
        DrawnLine(((40.0, 12.0), (40.0, -12.0)), "hidden"),
        DrawnCircle(30.0, 20.0, 6.0, "thick", "white"),
        DrawnLine(((30.0, 14.0), (30.0, 8.0))),
        DrawnArrow(48.0, -6.0, 48.0, 6.0, "both"),
        DrawnLabel(46.0, 20.0, "0.02 mm at most", "start", strong=True),
        DrawnLabel(46.0, 20.0, "turned by hand", "start"),
        DrawnLabel(5.0, 14.0, "tube", point=(8.0, 8.0)),
    ),
    alt="The indicator stands on the tube from above.",
)


def pass_table() -> Table:
    why = because("infeed x sqrt(pass / passes), running totals rounded to divisions", FigureRef("infeed"), source=PRACTICE)
    columns = (
        Column("done", "done", "", because("to tick", source=PRACTICE), "tick"),
        Column("number", "pass", "", because("counted", source=PRACTICE), "text"),
        Column("cross", "cross-slide", "mm", why, "dial"),
        Column("top", "top slide", "mm", because("cross travel x tan 29.5°", FigureRef("infeed"), source=PRACTICE), "dial"),
        Column("depth", "depth so far", "mm", why, "number"),
        Column("chip", "this pass", "mm", why, "number"),
        Column("read", "measured", "", because("to write in", source=PRACTICE), "blank"),
    )
    rows = []
    before = Fraction(0)
    for n in range(1, PASSES + SPRING + 1):
        total = DEPTH * sqrt(Fraction(min(n, PASSES), PASSES))
        dial = in_steps(total * 2, Fraction("0.05")) * Fraction("0.05")
        depth = dial / 2
        top = in_steps(depth * Fraction("0.566"), Fraction("0.02")) * Fraction("0.02")
        note = "scratch pass" if n == 1 else "spring pass" if n > PASSES else "try the gauge" if n == PASSES else ""
        rows.append(
            Row(
                (None, None, dial, top, depth, depth - before, None),
                ("", str(n), fixed(dial, 2), fixed(top, 2), fixed(depth, 3), fixed(depth - before, 3), ""),
                note,
            )
        )
        before = depth
    return Table("passes", "Passes", columns, tuple(rows), Say("Return the spindle in reverse after each pass, past the start by 3 mm, at {rpm}."))


def wheels_table() -> Table:
    why = because("train on the lathe now against the train wanted", given("mounted.train", "[40, 66, 40]", 50, LATHE))
    columns = (Column("place", "place", "", why, "text"), Column("off", "take off", "teeth", why), Column("on", "put on", "teeth", why))
    rows = tuple(
        Row((None, None if off == "" else Fraction(off), Fraction(on)), (place, off, on))
        for place, off, on in (("first shaft", "40", "40"), ("banjo stud, inner", "66", "63"), ("banjo stud, outer", "", "50"), ("gearbox", "40", "60"))
    )
    return Table("change", "Take off, put on", columns, rows)


def caution(severity: int, sentence: str) -> Caution:
    return Caution(severity, Say(sentence), PRACTICE)


# A dial that reads diameter, 0.05 mm a division, 4 mm a turn, drawn outwards.
BORE_SUM = Sum(
    Fraction("27.025"), Fraction(1), "mm", 2, 3,
    SumWords(
        Say("Wind towards you"), Say("To size."), Say("Off by less than one division."), Say("Larger than {minor} may be."),
        Say("Smaller than before any cut: misread."),
    ),
    True, "nearest", Limits(Fraction("26.848"), Fraction("27.203")), Fraction(25), Graduation(Fraction("0.05"), Fraction(4), counts_down=True),
)  # fmt: skip

SECTION = Section(
    "screwcut",
    "screwcut",
    "Cut the thread 1 1/8-16 UN-2B inside",
    "17 mm long, ends in a relief 5 mm wide; right hand, one start",
    (
        *SET_GROUPS,
        caution(3, "Isolate before the gear cover is opened; cover shut before it turns."),
        caution(3, "Screwed nose: locking ring tight, start reverse gently, {rpm} at most."),
        gear_drawing(),
        LEVERS,
        wheels_table(),
        SIZES,
        Steps(
            "Before the first cut",
            (
                Say("Set the top slide 29.5° from square to the bed."),
                Say("Bore to {minor} and bore the relief to {relief}."),
                Say("Touch the bore, set both dials to zero, backlash taken up outwards."),
            ),
        ),
        pass_table(),
        PROFILE,
        PART,
        SKETCH,
        Check(Say("Gear cover shut, chuck key out")),
        Check(Say("Pitch of the scratch checked with a thread gauge")),
        Check(Say("Relief deeper than {major}")),
        Box("bore", "bore as measured", "mm", Say("Above 27.203 the crests are thin; below 26.848 bore again."), 1, BORE_SUM),
        Box("trial", "gland on trial", "turns", Say("Tight: one division more on the cross-slide, then two spring passes."), 3),
        caution(2, "No finger, rag or brush in the bore while the spindle turns."),
        caution(1, "Opening the half-nuts once spoils the thread."),
        Say("Done when the old gland screws in by hand over its whole length."),
        KNOW,
    ),
)

SAMPLE = Sheet(
    id="packing-tube",
    title="Packing tube",
    subtitle="pump barrel, upper end",
    machine="Long lathe",
    material="gunmetal",
    sections=(SECTION,),
    closing=Caution(
        2,
        Say(
            "Local rules and the machine maker's instructions come first. Work that carries load, pressure or people is for a qualified person to approve."
        ),
        PRACTICE,
    ),
    warnings=("the train cuts 125 ppm short: 3.2 µm on the pitch diameter",),
    glossary=(("banjo", "quadrant (US)"), ("top slide", "compound rest (US)"), ("saddle", "carriage (US)")),
    files=(JOB, LATHE),
    program="benchleaf 0.1.0",
)

HOSTILE_WORDS = '<script>alert(1)</script><img src=x onerror=alert(2)> & "quotes" \'and\' {{ 7*7 }} {% raw %} \x1b[31mred\x00 \u202egnp.exe'


def hostile() -> Sheet:
    """The sample with markup, template code, control characters and very long words where a name can stand."""
    long = "Unbreakable" * 11
    strange = words("strange", HOSTILE_WORDS[:80], HOSTILE_WORDS, because(HOSTILE_WORDS))
    levers = LeverPlateDrawing("plate", HOSTILE_WORDS, (DrawnLever(long, ("</svg><script>", long, *"ABCDEFGHIJKLMNOPQRSTUVWX"), "</svg><script>"),), HOSTILE_WORDS)
    axes, wheels, _ = axes_and_wheels()
    odd = tuple(dataclasses.replace(wheel, name="<b>&") for wheel in wheels)
    train = GearTrainDrawing("odd", long, tuple(dataclasses.replace(axis, name=long) for axis in axes), odd, (), True, "<i>", HOSTILE_WORDS)
    profile = dataclasses.replace(PROFILE, id="other", labels=tuple((at, f"{long}<&") for at, _ in PROFILE.labels), alt=HOSTILE_WORDS)
    part = dataclasses.replace(
        PART, id="odd_part", title=long, outside=tuple(dataclasses.replace(item, words=f"{long}<&") for item in PART.outside),
        places=tuple(dataclasses.replace(place, words=HOSTILE_WORDS) for place in PART.places), note=HOSTILE_WORDS, alt=HOSTILE_WORDS,
    )  # fmt: skip
    label = DrawnLabel(0.0, 0.0, HOSTILE_WORDS, "start", point=(50.0, 5.0))
    sketch = dataclasses.replace(SKETCH, id="odd_sketch", shapes=(*SKETCH.shapes, label, label, dataclasses.replace(label, words=long)), alt=HOSTILE_WORDS)
    blocks = (
        FigureGroup(HOSTILE_WORDS, (strange, words("lengthy", long, long, because("x"))), Weight.SET),
        levers,
        train,
        profile,
        part,
        sketch,
        Box("written", long, HOSTILE_WORDS, Say(HOSTILE_WORDS), 40, dataclasses.replace(BORE_SUM, unit=HOSTILE_WORDS, words=SumWords(*[Say(HOSTILE_WORDS)] * 5))),
        Check(Say(f"{long} {HOSTILE_WORDS} {{strange}}")),
        caution(3, f"{long} {{lengthy}}"),
    )
    section = Section("other", "screwcut", HOSTILE_WORDS, long, blocks)
    return dataclasses.replace(
        SAMPLE,
        id=HOSTILE_WORDS,
        title=f"{HOSTILE_WORDS} {long}",
        subtitle=HOSTILE_WORDS,
        machine=long,
        material=HOSTILE_WORDS,
        sections=(SECTION, section),
        warnings=(HOSTILE_WORDS, long),
        glossary=((HOSTILE_WORDS, long),),
    )
