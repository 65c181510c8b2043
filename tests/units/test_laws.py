"""Laws of the grammar over generated text: what is printed is read back exactly, and nothing a user writes raises."""

from __future__ import annotations

from fractions import Fraction as F  # noqa: N817 - sums read better

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchleaf.units import FORMATS, Parsed, QuantityFault, parse

MM = {"mm": F(1), "cm": F(10), "m": F(1000), "um": F(1, 1000), "in": F(127, 5), '"': F(127, 5), "thou": F(127, 5000)}
FORM = st.sampled_from(sorted(FORMATS))


@st.composite
def decimals(draw: st.DrawFn) -> tuple[str, F]:
    """A decimal with its value, put together from its digits."""
    whole, places = draw(st.integers(0, 9999)), draw(st.integers(0, 6))
    if places == 0:
        return str(whole), F(whole)
    part = draw(st.integers(0, 10**places - 1))
    lead = draw(st.sampled_from(["", str(whole)])) if whole == 0 else str(whole)
    return f"{lead}.{part:0{places}d}", F(whole * 10**places + part, 10**places)


@st.composite
def fractions(draw: st.DrawFn) -> tuple[str, F]:
    """A plain or mixed fraction with its value."""
    bottom = draw(st.integers(2, 128))
    top = draw(st.integers(1, bottom - 1))
    whole = draw(st.integers(0, 999))
    if whole == 0:
        return f"{top}/{bottom}", F(top, bottom)
    return f"{whole}{draw(st.sampled_from([' ', '-', '  ']))}{top}/{bottom}", whole + F(top, bottom)


NUMBERS = st.one_of(decimals(), fractions())


@given(NUMBERS, st.sampled_from(sorted(MM)), st.sampled_from(["", " ", "\u00a0", "  "]))
def test_what_is_printed_is_read_back_exactly(number: tuple[str, F], unit: str, gap: str) -> None:
    text, value = number
    parsed = parse("distance", f"{text}{gap}{unit}")
    if value * MM[unit] > 100_000:
        assert isinstance(parsed, QuantityFault)
        assert parsed.code == "units/range"
    else:
        assert parsed == Parsed(value * MM[unit], "mm", "inch" if unit in ("in", '"', "thou") else "metric")


@given(NUMBERS)
def test_turns_per_inch_and_diametral_pitch_are_reciprocals_of_the_inch(number: tuple[str, F]) -> None:
    text, value = number
    assume(F(127, 250) < value < 5000)  # inside what either format reads
    lead, size = parse("lead", f"{text} TPI"), parse("tooth-size", f"{text} DP")
    assert isinstance(lead, Parsed)
    assert isinstance(size, Parsed)
    assert lead.value * value == size.value * value == F(127, 5)


@given(st.integers(0, 359), st.integers(0, 59), st.integers(0, 59))
def test_degrees_minutes_seconds_count_in_sixties(degrees: int, minutes: int, seconds: int) -> None:
    parsed = parse("angle", f"{degrees}\u00b0{minutes:02d}'{seconds:02d}\"")
    assert isinstance(parsed, Parsed)
    assert parsed.value * 3600 == degrees * 3600 + minutes * 60 + seconds


@given(st.integers(1, 400), st.integers(1, 400))
def test_a_pair_of_teeth_is_the_first_over_the_second(first: int, second: int) -> None:
    for text in (f"{first}:{second}", f"{first}/{second}"):
        assert parse("ratio", text) == Parsed(F(first, second), "")


@settings(max_examples=400)
@given(FORM, st.one_of(st.text(max_size=45), st.text(alphabet="0123456789./-:,'\"eE+\u2212\u00b0 mintTPIDPdeg%\u00a0", max_size=20)))
def test_nothing_a_user_writes_raises_and_every_fault_lies_inside_the_text(form: str, raw: str) -> None:
    read = parse(form, raw)
    if isinstance(read, Parsed):
        assert type(read.value) is F
        assert abs(read.value) <= FORMATS[form].largest
        assert FORMATS[form].sign == "any" or read.value >= 0
        assert FORMATS[form].sign != "positive" or read.value > 0
        return
    assert read.code.startswith("units/")
    assert read.length >= 1
    assert 0 <= read.offset <= len(raw)
    assert read.offset + read.length <= max(len(raw), 1) or not raw.strip("\u00a0\u2009\u202f ")
    assert "\n" not in read.message + read.hint


@given(FORM, NUMBERS, st.sampled_from(sorted({unit for form in FORMATS.values() for unit in form.units})))
def test_a_unit_is_read_only_where_its_kind_of_quantity_is_wanted(form: str, number: tuple[str, F], unit: str) -> None:
    text = f"{unit} {number[0]}" if unit == "module" else f"{number[0]} {unit}"
    read = parse(form, text)
    if isinstance(read, Parsed):
        assert unit in FORMATS[form].units
    elif unit not in FORMATS[form].units:
        assert read.code in ("units/dimension", "units/unknown", "units/number")
