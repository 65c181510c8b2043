"""Series and tables row by row against published lists (ASME B1.1, BS 84, BS 93, BS 811, ISO 261, ISO 228-1, ISO 7-1, ASME B1.20.1, ISO 2902 to 2904, ASME B1.5)."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from benchleaf.standards.threads import known_sets, parse_designation

INCH = Fraction(127, 5)
DATA = Path(__file__).parent / "data"


def _rows(file: str, table: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads((DATA / f"{file}.json").read_text(encoding="utf-8"))[table]["rows"]
    return rows


def _text(value: float) -> str:
    exact = Fraction(str(value))
    if exact.denominator not in (1, 2, 4, 8, 16, 32, 64):
        return str(value)
    whole, part = divmod(exact, 1)
    return " ".join(str(one) for one in (whole, part) if one)


@pytest.mark.parametrize(
    ("table", "set_name", "name"),
    [("UNC", "UNC", "UNC"), ("UNF", "UNF", "UNF"), ("UNEF", "UNEF", "UNEF"), ("BSW", "BSW", "BSW"), ("BSF", "BSF", "BSF"), ("BSB", "brass 26", "brass"),
     ("ME", "ME", "ME"), ("BSC", "BSC", "BSC")],
)  # fmt: skip
def test_inch_series(table: str, set_name: str, name: str) -> None:
    known = set(known_sets()[set_name])
    for row in _rows("series", table):
        size = row["size"][1:] if row["size"].startswith("#") else _text(row["D_in"])
        designation = f"{size}-{_text(row['tpi'])} {name}"
        assert designation in known
        thread = parse_designation(designation)
        assert (thread.major, thread.tpi) == (Fraction(str(row["D_in"])) * INCH, Fraction(str(row["tpi"])))


@pytest.mark.parametrize("tpi", [8, 12, 16, 20, 28, 32])
def test_constant_pitch_series_and_the_graded_series_they_meet(tpi: int) -> None:
    for row in _rows("series", f"{tpi}-UN"):
        assert parse_designation(f"{row['size']}-{tpi} UN").series == (row["graded_as"] or "UN"), row["size"]


def test_metric_series() -> None:
    known = {*known_sets()["metric coarse"], *known_sets()["metric fine"]}
    for row in _rows("series", "ISO261"):
        for pitch in [*([row["coarse"]] if row["coarse"] else []), *row["fine"]]:
            assert f"M{row['d']}x{_plain(pitch)}" in known
        if row["coarse"]:
            assert parse_designation(f"M{row['d']}").pitch == Fraction(str(row["coarse"]))


def _plain(value: float) -> str:
    return str(value).removesuffix(".0")


def test_ba_sizes() -> None:
    for row in _rows("series", "BA"):
        thread = parse_designation(row["size"])
        found = (thread.pitch, thread.major, thread.pitch_diameter, thread.minor_diameter)
        assert found == tuple(Fraction(str(row[key])) for key in ("pitch_mm", "D_mm", "effective_mm", "minor_mm"))


def test_parallel_pipe_sizes() -> None:
    for row in _rows("series", "BSP"):
        thread = parse_designation(row["size"])
        assert (thread.major, thread.tpi) == (Fraction(str(row["D_mm"])), row["tpi"])
        assert thread.size_is_nominal_bore


def test_parallel_pipe_limits() -> None:
    for row in _rows("pipe", "iso228_G"):
        thread = parse_designation(row["size"])
        outside, inside, loose = thread.limits(False), thread.limits(True), parse_designation(f"{row['size']} B").limits(False)
        found = {
            "ext_major_max": outside.major.upper, "ext_major_min": outside.major.lower, "ext_pd_max": outside.pitch.upper, "ext_pd_min_A": outside.pitch.lower,
            "ext_pd_min_B": loose.pitch.lower, "int_pd_min": inside.pitch.lower, "int_pd_max": inside.pitch.upper,
            "int_minor_min": inside.minor.lower, "int_minor_max": inside.minor.upper,
        }  # fmt: skip
        assert found == {key: Fraction(str(row[key])) for key in found}


def test_taper_pipe_sizes() -> None:
    for row in _rows("pipe", "iso7_R"):
        thread = parse_designation(f"R {row['size']}")
        figures = {item.name: item.value for item in thread.figures}
        assert (thread.major, thread.pitch_diameter, thread.minor_diameter) == tuple(Fraction(str(row[key])) for key in ("d_gauge", "d2_gauge", "d1_gauge"))
        assert figures["gauge length"] == Fraction(str(row["gauge_length"]))
        assert figures["useful length"] == Fraction(str(row["useful_length_min"]))
        assert abs(figures["major diameter at the small end"] - Fraction(str(row["d_small_end"]))) <= Fraction(1, 2000)
        assert thread.taper == Fraction(1, 16)


def test_american_taper_pipe_sizes() -> None:
    for row in _rows("pipe", "npt"):
        thread = parse_designation(f"{row['size']} NPT")
        figures = {item.name: item.value / INCH for item in thread.figures}
        assert thread.tpi == Fraction(str(row["tpi"]))
        assert float(thread.pitch_diameter / INCH) == pytest.approx(row["E1"], abs=2e-5)
        assert float(figures["pitch diameter at the small end E0"]) == pytest.approx(row["E0"], abs=2e-5)
        assert float(figures["effective thread length L2"]) == pytest.approx(row["L2"], abs=1.1e-4)


def test_trapezoidal_basic_sizes() -> None:
    for row in _rows("power", "iso2904_basic"):
        thread = parse_designation(row["designation"])
        assert thread.series == "ISO 2902"
        found = (thread.pitch_diameter, thread.root_diameter, thread.minor_diameter, thread.limits(True).major.lower)
        assert found == tuple(Fraction(str(row[key])) for key in ("d2_D2", "d3", "D1", "D4"))


def test_trapezoidal_limits() -> None:
    for row in _rows("power", "iso2903_7e_limits"):
        limits = parse_designation(f"{row['designation']}-7e").limits(False)
        for key, size in (("major", limits.major), ("pd", limits.pitch), ("minor", limits.minor)):
            # the table prints micrometres: 1.25 times an uneven tolerance may fall between two of them
            assert float(size.upper or 0) == pytest.approx(row[f"{key}_max"], abs=1e-3)
            assert float(size.lower or 0) == pytest.approx(row[f"{key}_min"], abs=1e-3)


def test_trapezoidal_tolerances_by_pitch() -> None:
    for row in _rows("power", "iso2903_by_pitch"):
        thread = parse_designation(f"Tr60x{_plain(row['P'])}")
        outside, inside = thread.limits(False), thread.limits(True)
        assert outside.allowance == Fraction(-row["e_um"], 1000)
        assert (outside.major.upper or 0) - (outside.major.lower or 0) == Fraction(row["Td_grade4_um"], 1000)
        assert (inside.minor.upper or 0) - (inside.minor.lower or 0) == Fraction(row["TD1_grade4_um"], 1000)


def test_acme_limits() -> None:
    for row in _rows("power", "acme_2G"):
        thread = parse_designation(f"{row['size']}-{row['tpi']} Acme-2G")
        for prefix, limits in (("ext", thread.limits(False)), ("int", thread.limits(True))):
            for key, size in (("major", limits.major), ("pd", limits.pitch), ("minor", limits.minor)):
                assert float((size.lower or 0) / INCH) == pytest.approx(row[f"{prefix}_{key}_min"], abs=1.6e-4)
                assert float((size.upper or 0) / INCH) == pytest.approx(row[f"{prefix}_{key}_max"], abs=1.6e-4)


def test_every_known_thread_is_read_back_as_it_is_printed() -> None:
    for name, designations in known_sets().items():
        assert designations, name
        for designation in designations:
            assert parse_designation(designation).designation == designation
