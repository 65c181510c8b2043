"""Every way to write a quantity, against plain arithmetic and against a general-purpose units library with its own definitions.

The inch is 25.4 mm exactly (international yard and pound agreement of 1959; ISO 31-1); the degree has 60 minutes of 60 seconds (BIPM, SI
brochure, non-SI units); module m and diametral pitch P are tied by m = 25.4 mm / P (ISO 54).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction as F  # noqa: N817 - tables of sums read better
from functools import cache
from typing import Any

import pint
import pytest

from benchleaf.units import FORMATS, Parsed, QuantityFault, convert, parse, quantity
from benchleaf.units.registry import SIZES

READ = [
    # format, text, value, system
    ("length", "1.27 mm", F(127, 100), "metric"),
    ("length", "1.27mm", F(127, 100), "metric"),
    ("length", "12 mm", F(12), "metric"),
    ("length", "2.5 cm", F(25), "metric"),
    ("length", "0.75 m", F(750), "metric"),
    ("length", "400 um", F(2, 5), "metric"),
    ("length", "400 \u00b5m", F(2, 5), "metric"),  # micro sign
    ("length", "400 \u03bcm", F(2, 5), "metric"),  # Greek mu
    ("length", "1 7/16 in", F(23, 16) * F(127, 5), "inch"),
    ("length", '1-7/16"', F(23, 16) * F(127, 5), "inch"),
    ("length", "1 7/16\u2033", F(23, 16) * F(127, 5), "inch"),  # double prime
    ("length", "5/32 in", F(5, 32) * F(127, 5), "inch"),
    ("length", ".005 in", F(127, 1000), "inch"),
    ("length", "0.64 inch", F(16256, 1000), "inch"),
    ("length", "4 thou", F(1016, 10000), "inch"),
    ("length", "25.4\u00a0mm", F(254, 10), "metric"),  # no-break space
    ("length", "25.4\u202fmm", F(254, 10), "metric"),  # narrow no-break space
    ("length", "25.4\u2009mm", F(254, 10), "metric"),  # thin space
    ("length", "  1   7/16   in ", F(23, 16) * F(127, 5), "inch"),
    ("distance", "0 mm", F(0), "metric"),
    ("position", "-12 mm", F(-12), "metric"),
    ("position", "\u22121/2 in", F(-127, 10), "inch"),  # minus sign
    ("position", "+3 mm", F(3), "metric"),
    ("lead", "1.5 mm", F(3, 2), "metric"),
    ("lead", "1/8 in", F(127, 40), "inch"),
    ("lead", "16 TPI", F(127, 80), "inch"),
    ("lead", "16 tpi", F(127, 80), "inch"),
    ("lead", "11 1/2 TPI", F(127, 5) / F(23, 2), "inch"),
    ("lead", "11.5 TPI", F(127, 5) / F(23, 2), "inch"),
    ("tooth-size", "20 DP", F(127, 100), "inch"),
    ("tooth-size", "module 1.25", F(5, 4), "metric"),
    ("tooth-size", "module 1 1/4 mm", F(5, 4), "metric"),
    ("angle", "29.5 deg", F(59, 2), ""),
    ("angle", "29.5\u00b0", F(59, 2), ""),
    ("angle", "47 1/2 deg", F(95, 2), ""),
    ("angle", "1\u00b026'16\"", 1 + F(26, 60) + F(16, 3600), ""),
    ("angle", "1\u00b0 26\u2032 16.5\u2033", 1 + F(26, 60) + F(33, 7200), ""),
    ("angle", "1\u00b008'", 1 + F(8, 60), ""),
    ("angle", "30 deg 15 min", F(121, 4), ""),
    ("angle", "1\u00b026.5'", 1 + F(53, 120), ""),
    ("angle", "-2\u00b030'", F(-5, 2), ""),
    ("angle", "-40 deg", F(-40), ""),
    ("positive-angle", "60 deg", F(60), ""),
    ("speed", "120 rpm", F(120), ""),
    ("stroke-rate", "28 strokes/min", F(28), ""),
    ("stroke-rate", "1 stroke/min", F(1), ""),
    ("cutting-speed", "30 m/min", F(30), "metric"),
    ("cutting-speed", "100 ft/min", F(3048, 100), "inch"),
    ("time", "1.5 s", F(3, 2), ""),
    ("time", "2 min", F(120), ""),
    ("ratio", "24:48", F(1, 2), ""),
    ("ratio", "24 : 72", F(1, 3), ""),
    ("ratio", "1/2", F(1, 2), ""),
    ("ratio", "1.25", F(5, 4), ""),
    ("ratio", "4", F(4), ""),
    ("taper", "1:20", F(1, 20), ""),
    ("taper", "1 : 19.212", F(1000, 19212), ""),
    ("taper", "0.602 in/ft", F(602, 12000), "inch"),
    ("share", "200 ppm", F(1, 5000), ""),
    ("share", "5 %", F(1, 20), ""),
    ("share", "0 ppm", F(0), ""),
    ("power", "550 W", F(11, 20), ""),
    ("power", "0.55 kW", F(11, 20), ""),
]


@pytest.mark.parametrize(("form", "text", "value", "system"), READ, ids=[f"{form}-{text}" for form, text, *_ in READ])
def test_each_spelling_reads_exactly(form: str, text: str, value: F, system: str) -> None:
    assert parse(form, text) == Parsed(value, FORMATS[form].unit, system)
    assert type(parse(form, text).value) is F  # type: ignore[union-attr]


def test_a_pair_of_teeth_reads_alike_whatever_its_digits() -> None:
    """YAML 1.1 reads 24:48 as a number in base sixty and 24:72 as text; here both are a ratio."""
    assert [parse("ratio", text).value for text in ("24:48", "24:72", "1/2", "1/3")] == [F(1, 2), F(1, 3), F(1, 2), F(1, 3)]  # type: ignore[union-attr]


REFUSED = [
    # format, text, code, words at fault, part of message or hint
    ("length", "1,5 mm", "units/decimal-comma", ",", "write 1.5 mm"),
    ("length", "1,000.5 mm", "units/decimal-comma", ",", "write 1000.5 mm"),
    ("length", "1.000,5 mm", "units/decimal-comma", ",", "write 1000.5 mm"),
    ("length", "1,000 mm", "units/decimal-comma", ",", "1.000 mm or 1000 mm"),
    ("position", "-1,5 mm", "units/decimal-comma", ",", "1.5"),
    ("lead", "11,5 TPI", "units/decimal-comma", ",", "write 11.5 TPI"),
    ("length", "1.16", "units/missing", "1.16", "write `1.16 mm` (= 0.04567 in) or `1.16 in` (= 29.46 mm)"),
    ("length", "  1.16 ", "units/missing", "1.16", "29.46 mm"),
    ("speed", "120", "units/missing", "120", "120 rpm"),
    ("lead", "16", "units/missing", "16", "mm"),
    ("tooth-size", "1.25", "units/missing", "1.25", "module 1.25"),
    ("length", "12 rpm", "units/dimension", "rpm", "measures a spindle speed, but a length is wanted"),
    ("speed", "30 m/min", "units/dimension", "m/min", "measures a cutting speed, but a spindle speed is wanted"),
    ("length", "16 TPI", "units/dimension", "TPI", "measures a lead or pitch"),
    ("ratio", "1/2 mm", "units/dimension", "mm", "measures a length, but a ratio is wanted"),
    ("angle", "29.5", "units/missing", "29.5", "deg"),
    ("angle", "5 rad", "units/unknown", "rad", "units known here: deg"),
    ("length", "25 MM", "units/unknown", "MM", "write mm"),
    ("length", "3 Mm", "units/unknown", "Mm", "write mm"),
    ("length", "20 mil", "units/unknown", "mil", "write thou"),
    ("length", "1 inchs", "units/unknown", "inchs", "did you mean inches?"),
    ("length", "25 mn", "units/unknown", "mn", "| units known here: mm"),
    ("length", "3' 6\"", "units/unknown", "' 6\"", "write 42 in"),
    ("length", "3 ft", "units/unknown", "ft", "write 36 in"),
    ("length", "1' 0 1/2\"", "units/unknown", "' 0 1/2\"", "write 12.5 in"),
    ("lead", "3 mm/turn", "units/unknown", "mm/turn", "write mm"),
    ("tooth-size", "1.25 mod", "units/unknown", "mod", "module 1.25"),
    ("speed", "120 rev/min", "units/unknown", "rev/min", "write rpm"),
    ("angle", "26'", "units/unknown", "'", "write 0\u00b026'"),
    ("taper", "1 in 20", "units/unknown", "in 20", "write 1:20"),
    ("length", "nan", "units/number", "nan", "12.5 mm"),
    ("length", "nan mm", "units/number", "nan mm", "12.5 mm"),
    ("length", ".nan", "units/number", ".nan", "12.5 mm"),
    ("lead", ".inf", "units/number", ".inf", "1.5 mm"),
    ("length", "inf mm", "units/number", "inf mm", "12.5 mm"),
    ("length", "mm", "units/number", "mm", "12.5 mm"),
    ("length", "", "units/number", "", "12.5 mm"),
    ("length", "1e3 mm", "units/number", "1e3", "exponent"),
    ("ratio", "4e1", "units/number", "4e1", "exponent"),
    ("length", "5. mm", "units/number", "5.", "cannot be read"),
    ("length", "0.5.5 mm", "units/number", "0.5.5", "cannot be read"),
    ("length", "1/2/3 in", "units/number", "1/2/3", "cannot be read"),
    ("ratio", "24:48:2", "units/number", "24:48:2", "cannot be read"),
    ("length", "1 7 mm", "units/number", "1 7 mm", "two numbers"),
    ("length", "1 17/16 in", "units/number", "1 17/16", "not less than one"),
    ("length", "1/0 in", "units/number", "1/0", "fraction over zero"),
    ("ratio", "24:0", "units/number", "24:0", "ratio to zero"),
    ("taper", "1:0", "units/number", "1:0", "over no length"),
    ("angle", "1\u00b060'", "units/number", "1\u00b060'", "0 to 59"),
    ("angle", "1\u00b00.5'30\"", "units/number", "1\u00b00.5'30\"", "broken number of minutes"),
    ("length", "007 mm", "units/leading-zero", "007", "write 7"),
    ("length", "010 mm", "units/leading-zero", "010", "write 10"),
    ("length", "00.5 mm", "units/leading-zero", "00.5", "write 0.5"),
    ("length", "1 03/16 in", "units/leading-zero", "1 03/16", "write 1 3/16"),
    ("ratio", "024:48", "units/leading-zero", "024", "write 24"),
    ("lead", "0 TPI", "units/range", "0 TPI", "no turns to the inch"),
    ("lead", "0 mm", "units/range", "0 mm", "more than nothing"),
    ("tooth-size", "0 DP", "units/range", "0 DP", "zero"),
    ("tooth-size", "module 0", "units/range", "module 0", "more than nothing"),
    ("length", "-5 mm", "units/range", "-5 mm", "more than nothing"),
    ("distance", "-5 mm", "units/range", "-5 mm", "cannot be negative"),
    ("lead", "-16 TPI", "units/range", "-16 TPI", "sign"),
    ("ratio", "-1/2", "units/range", "-1/2", "sign"),
    ("share", "-5 %", "units/range", "-5 %", "sign"),
    ("positive-angle", "0 deg", "units/range", "0 deg", "more than nothing"),
    ("angle", "400 deg", "units/range", "400 deg", "360 deg"),
    ("length", "5000 m", "units/range", "5000 m", "100000 mm"),
    ("length", "1000000000000000 mm", "units/number-size", "1000000000000000", "15 digits"),
    ("length", "\uff11\uff12 mm", "units/character", "\uff11", "U+FF11"),  # full-width digits
    ("length", "\u0661\u0662 mm", "units/character", "\u0661", "U+0661"),  # Arabic-Indic digits
    ("length", "25\u200b mm", "units/character", "\u200b", "U+200B"),  # zero-width space
    ("length", "1\u00bd in", "units/character", "\u00bd", "write 1/2"),
    ("length", "3 \u201d", "units/character", "\u201d", 'write "'),
    ("length", "3\tmm", "units/character", "\t", "U+0009"),
    ("length", "1 mm; 2 mm", "units/unknown", "mm; 2 mm", "unit of length"),
    ("length", "25.4 mm (1 in)", "units/unknown", "mm (1 in)", "unit of length"),
]


@pytest.mark.parametrize(("form", "text", "code", "words", "says"), REFUSED, ids=[f"{form}-{text!a}" for form, text, *_ in REFUSED])
def test_each_refusal_points_at_the_words_and_says_what_to_write(form: str, text: str, code: str, words: str, says: str) -> None:
    fault = parse(form, text)
    assert isinstance(fault, QuantityFault)
    assert fault.code == code
    assert text[fault.offset : fault.offset + fault.length] == words
    assert says in f"{fault.message} | {fault.hint}"
    assert fault.message[0].islower() or not fault.message[0].isalpha()
    assert not fault.message.endswith(".")


def test_a_number_as_long_as_a_book_is_refused_without_being_echoed() -> None:
    for raw in (str(9**30) + " mm", "9" * 10_000_000, "1 " * 1_000_000, "/" * 100_000):
        fault = parse("length", raw)
        assert isinstance(fault, QuantityFault)
        assert len(fault.message) + len(fault.hint) < 200


# --- the general-purpose library -----------------------------------------------------------------------------------------------------


@cache
def _library() -> Any:
    """The library's own default registry, on exact fractions: its definitions are not ours."""
    return pint.UnitRegistry(non_int_type=F)


@pytest.mark.parametrize(
    ("form", "text", "number", "unit", "to"),
    [
        ("length", "1 7/16 in", F(23, 16), "inch", "millimeter"),
        ("length", "4 thou", F(4), "thou", "millimeter"),
        ("length", "0.75 m", F(3, 4), "meter", "millimeter"),
        ("length", "400 um", F(400), "micrometer", "millimeter"),
        ("cutting-speed", "100 ft/min", F(100), "foot / minute", "meter / minute"),
        ("time", "2 min", F(2), "minute", "second"),
        ("power", "550 W", F(550), "watt", "kilowatt"),
        ("taper", "0.602 in/ft", F(602, 1000), "inch / foot", "dimensionless"),
        ("share", "200 ppm", F(200), "ppm", "dimensionless"),
    ],
)
def test_values_agree_with_a_general_purpose_library(form: str, text: str, number: F, unit: str, to: str) -> None:
    assert parse(form, text).value == _library().Quantity(number, unit).to(to).magnitude  # type: ignore[union-attr]


def test_a_turn_never_becomes_radians() -> None:
    """3 mm/turn at 120 turn/min is 360 mm/min; registries where a turn is 2 pi of nothing make it 57.3 or 2262."""
    assert (quantity(F(3), "mm/turn") * quantity(F(120), "turn/min")).to("mm/min").magnitude == 360
    with pytest.raises(pint.DimensionalityError):
        quantity(F(3), "mm/turn").to("mm")
    assert convert(F(127), "mm", "in") == 5
    assert type(convert(F(1, 3), "in", "mm")) is F


@pytest.mark.parametrize("sizes", SIZES, ids=lambda sizes: "-".join(sizes).replace("/", " per "))
def test_the_sizes_at_hand_are_those_of_the_registry(sizes: Mapping[str, F]) -> None:
    for unit, size in sizes.items():
        for other in sizes:
            assert convert(size, other, unit) == quantity(size, other).to(unit).magnitude


def test_units_without_a_size_at_hand_are_left_to_the_registry() -> None:
    assert convert(F(2), "turn/s", "turn/min") == 120
    with pytest.raises(pint.DimensionalityError):
        convert(F(1), "mm", "s")


def test_every_unit_that_can_be_written_has_its_size_at_hand() -> None:
    """So that reading a file never waits for the registry to be built."""
    written = {(unit, "mm" if form.unit == "mm/turn" else form.unit) for form in FORMATS.values() for unit in form.units.values() if unit}
    assert {(unit, to) for unit, to in written if unit != to and not any({unit, to} <= sizes.keys() for sizes in SIZES)} == set()
