"""Knurl blanks and pitches against values whose source stands beside each in the data file."""

from __future__ import annotations

import json
import re
from fractions import Fraction as F  # noqa: N817 - the sums read better
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.exact import PI, cos_degrees
from benchleaf.standards import knurling as k
from benchleaf.standards.tables import STATUSES, load, table

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parent / "data" / "knurl_cases.json").read_text("utf-8"))["cases"]
THIRTY = F(30)


def exact(value: float) -> F:
    return F(str(value))


def of(prefix: str) -> list[dict[str, Any]]:
    return [case for case in CASES if re.match(prefix, case["id"])]


def knurl(words: str) -> k.Knurl:
    found = k.parse_knurl(words)
    assert found is not None, words
    return found


@pytest.mark.parametrize("case", of("track"), ids=lambda case: case["id"])
def test_tracking_blanks(case: dict[str, Any]) -> None:
    spiral = THIRTY if case["id"].startswith("track30") else F(0)
    found = k.tracking_blank(exact(case["given"]["near"]), exact(case["given"]["pitch"]), spiral=spiral)
    assert found.teeth == case["value"]["teeth"]
    assert abs(found.diameter - exact(case["value"]["D"])) <= F("0.0006")


@pytest.mark.parametrize("case", of("blankx_"), ids=lambda case: case["id"])
def test_blank_under_the_finished_diameter(case: dict[str, Any]) -> None:
    p = case["given"]
    assert k.knurl_blank(exact(p["finished"]), knurl(f"{p['pitch']} mm"), p["profile"]).plain == exact(case["value"])


@pytest.mark.parametrize("case", of("blank_"), ids=lambda case: case["id"])
def test_rise_of_the_profiles(case: dict[str, Any]) -> None:
    assert k.knurl_profile(case["profile"]).rise == exact(case["value"])


@pytest.mark.parametrize("case", of("tpimm_"), ids=lambda case: case["id"])
def test_pitch_of_teeth_per_inch(case: dict[str, Any]) -> None:
    assert abs(k.pitch_from_tpi(F(case["given"]["tpi"])) - exact(case["value"])) <= F("0.0001")
    assert knurl(f"{case['given']['tpi']} TPI").pitch == k.pitch_from_tpi(F(case["given"]["tpi"]))


@pytest.mark.parametrize("case", of("dpt_"), ids=lambda case: case["id"])
def test_diametral_pitch_in_teeth_per_inch(case: dict[str, Any]) -> None:
    pitch = k.pitch_from_dp(F(case["given"]["DP"]))
    straight, diagonal = (exact(value) for value in case["value"])
    assert abs(F(127, 5) / pitch - straight) <= F("0.001")
    assert abs(F(127, 5) / (pitch * cos_degrees(THIRTY)) - diagonal) <= F("0.001")


@pytest.mark.parametrize("case", of(r"dp_\d"), ids=lambda case: case["id"])
def test_published_diametral_pitches_hold_an_allowance(case: dict[str, Any]) -> None:
    row = table("knurling", "diametral").where("dp", F(case["given"]["DP"]))[0]
    assert (row.number("straight"), row.number("diagonal")) == tuple(exact(value) for value in case["value"])
    # The published figures are a little more than DP / pi and DP / (pi cos 30): an allowance for tracking.
    bare = F(127, 5) / k.pitch_from_dp(F(case["given"]["DP"]))
    assert 1 < row.number("straight") / bare < F("1.02")
    assert 1 < row.number("diagonal") / (bare / cos_degrees(THIRTY)) < F("1.02")


def test_teeth_of_a_half_inch_blank() -> None:
    # 96 DP on 1/2 in: 48 teeth, a published table.
    assert [case["value"] for case in of("dp_ex")] == [48]
    found = k.tracking_blank(F(127, 10), k.pitch_from_dp(F(96)))
    assert (found.teeth, found.off) == (48, 0)


def test_every_case_is_used() -> None:
    assert all(re.match(r"track|blankx?_|tpimm_|dpt?_", case["id"]) for case in CASES)


@given(st.fractions(min_value=5, max_value=120, max_denominator=20), st.sampled_from(k.knurl_pitches()), st.sampled_from(k.knurl_profiles()), st.booleans())
def test_a_whole_number_of_teeth_goes_round(finished: F, pitch: F, profile: k.KnurlProfile, not_above: bool) -> None:
    found = k.knurl_blank(finished, knurl(f"{pitch} mm"), profile.profile, not_above=not_above)
    step = pitch / cos_degrees(profile.spiral)
    assert abs(PI * found.blank - found.teeth * step) < F(1, 10**30)
    assert found.off == found.blank - found.plain == found.finished - finished
    bound = step / PI
    assert (-bound < found.off <= 0) if not_above else (abs(found.off) <= bound / 2)
    assert found.rise == profile.rise * pitch == finished - found.plain


@pytest.mark.parametrize(
    ("words", "name"), [("1 mm", "1 mm"), ("1.2 mm pitch", "1.2 mm"), ("21 tpi", "21 TPI"), ("33 teeth per inch", "33 TPI"), ("96DP", "96 DP"), ("Medium", "medium")]
)
def test_names_of_knurls(words: str, name: str) -> None:
    assert knurl(words).name == name


@pytest.mark.parametrize("words", ["", "0 mm", "mm", "rough", "21", "-1 mm", "0 DP"])
def test_what_is_no_knurl(words: str) -> None:
    assert k.parse_knurl(words) is None


def test_classes_profiles_and_practice() -> None:
    # Common practice: fine 0.5 to 0.6 and 33 TPI, medium 0.8 to 1.0 and 21, coarse 1.2 to 1.6 and 14.
    assert [k.coarseness(F(pitch)) for pitch in ("0.4", "0.5", "0.6", "0.8", "1", "1.2", "1.6", "2")] == ["fine"] * 3 + ["medium"] * 2 + ["coarse"] * 3
    assert [k.coarseness(k.pitch_from_tpi(F(tpi))) for tpi in (33, 21, 14)] == ["medium", "coarse", "coarse"]  # inch sets run coarser than their names
    assert (k.traverse(F("0.5")).high, k.traverse(F(1)).high) == (F("0.3"), F("0.6"))
    assert k.tooth_depth(F(1)).low == F("0.35")
    assert k.knurl_profile("straight").profile == "RAA"
    assert k.knurl_profile("diamond").profile == "RGE"
    assert k.knurl_profile("rkv").rise == F("0.33")
    # What is seen to grow lies about the standard's shares: common practice against DIN 82.
    seen = k.knurl_rule("growth")
    assert all(seen.low <= each.rise <= F("0.67") for each in k.knurl_profiles())
    assert "oil" in k.knurl_note("fluid")
    for look in (k.knurl_profile, k.knurl_rule, k.knurl_note):
        with pytest.raises(LookupError):
            look("none")
    with pytest.raises(ValueError, match="round"):
        k.tracking_blank(F(1, 10), F(1), not_above=True)
    with pytest.raises(ValueError, match="nought"):
        k.tracking_blank(F(0), F(1))
    for rows in load("knurling").values():
        assert all(row.source and row.status in STATUSES for row in rows.rows)
