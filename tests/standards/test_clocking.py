"""Practice of clocking: figures that fit together, and with the acceptance charts."""

from __future__ import annotations

import pytest

from benchleaf.standards.acceptance import acceptance
from benchleaf.standards.clocking import clocking_practice


def test_a_lift_lies_between_a_new_nose_s_run_out_and_a_tired_bar() -> None:
    """A spindle that is set right lifts more than its nose runs out (ISO 1708: 0.01 mm) and less than a tired lathe's bar at 300 mm runs
    out (0.08 mm, common practice)."""
    plain, rolling = clocking_practice("lift_plain"), clocking_practice("lift_rolling")
    assert rolling.high <= plain.low
    assert acceptance("l_nose").high <= plain.high < acceptance("u_bar").high


def test_a_test_bar_is_as_stout_as_the_chart_s() -> None:
    """The chart's test piece stands out swing / 2 at a diameter of swing / 8, four diameters (ISO 1708, from memory)."""
    slender = clocking_practice("collar_slender")
    assert slender.low <= 4 <= slender.high


def test_collars_are_wider_than_anvils() -> None:
    """A micrometer's anvils are 6.5 mm across (common practice)."""
    assert clocking_practice("collar_width").low > 6.5


def test_what_is_not_there_is_said() -> None:
    with pytest.raises(LookupError, match="no practice of clocking humour"):
        clocking_practice("humour")
