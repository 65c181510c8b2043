"""ISO metric threads: designation, series, and limits by ISO 965-1."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from typing import Any

from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.metric_limits import MetricRule
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, rounded, size_text
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["metric_sets", "metric_thread", "read_metric", "usual_tolerance"]

SOURCE = "ISO 261"
_CLASS = r"\d{1,2}[a-z](?:\d{1,2}[a-z])?(?![a-z])"


@lru_cache(maxsize=1)
def _series() -> Mapping[Fraction, Mapping[str, Any]]:
    return {number(row["d"]): row for row in table("metric")["series"]["rows"]}


def metric_sets() -> dict[str, tuple[str, ...]]:
    """The coarse and the fine series of ISO 261 as designations."""
    coarse = tuple(f"M{size_text(d)}x{row['coarse']}" for d, row in _series().items() if "coarse" in row)
    fine = tuple(f"M{size_text(d)}x{pitch}" for d, row in _series().items() for pitch in row["fine"])
    return {"metric coarse": coarse, "metric fine": fine}


def usual_tolerance(major: Fraction) -> str:
    """The inside and outside class that is meant when none is written, as '6H/6g'."""
    rows = table("metric")["usual classes"]["rows"]
    row = next((row for row in rows if major <= number(row["to"])), rows[-1])
    return f"{row['inside']}/{row['outside']}"


def metric_thread(
    major: Fraction,
    pitch: Fraction,
    starts: int,
    hand: str,
    tolerance: str | None,
    engagement: str = "",
    *,
    named: str = "",
    system: str = "metric",
    notes: tuple[str, ...] = (),
) -> Thread:
    """An ISO metric thread of any diameter and pitch (mm), for a class as written or the usual one.

    ``named`` replaces the designation that ISO 965-1 would give.  Raises DesignationError for sizes that cannot be cut and
    classes that do not exist.
    """
    shape = form("metric 60")
    if 2 * shape.design_depth(pitch) >= major:
        raise DesignationError(
            f"a pitch of {size_text(pitch)} mm leaves no core in a diameter of {size_text(major)} mm", "check the pitch and the diameter"
        )
    given = tolerance is not None
    rule = MetricRule.read(tolerance if tolerance is not None else usual_tolerance(major), engagement)
    body = f"M{size_text(major)}x" + (f"Ph{size_text(starts * pitch)}P" if starts > 1 else "") + size_text(pitch)
    suffix = [*([rule.words] if given else []), *([engagement] if engagement else []), *(["LH"] if hand == "left" else [])]
    row = _series().get(major)
    listed = row is not None and (("coarse" in row and number(row["coarse"]) == pitch) or pitch in numbers(row["fine"]))
    if not listed:
        notes = (*notes, f"M{size_text(major)}x{size_text(pitch)} is not among the diameters and pitches of {SOURCE}")
    return Thread(
        designation=named or "-".join([body, *suffix]),
        family="metric",
        series="not listed" if not listed else "coarse" if row and number(row.get("coarse", 0)) == pitch else "fine",
        form=shape,
        major=major,
        pitch=pitch,
        starts=starts,
        hand=hand,
        tolerance=rule.words,
        tolerance_given=given,
        system=system,
        pitch_diameter=rounded(major - 2 * shape.addendum(pitch), 3),
        minor_diameter=rounded(major - 2 * shape.basic_depth(pitch), 3),
        root_diameter=rounded(major - 2 * shape.design_depth(pitch), 3),
        rule=rule,
        tpi=INCH / pitch if system == "inch" else None,
        notes=notes,
    )


def read_metric(reader: Reader) -> Thread | None:
    """Read 'M10', 'M10x1-6g-LH', 'M16xPh3P1.5-4g6g-L'; None when the text is not of this family."""
    if reader.take(rf"M\s*(?={MIXED})") is None:
        return None
    start = reader.at
    major = reader.number("diameter", "write the diameter after M: M10x1.5-6g")
    starts = 1
    notes: tuple[str, ...] = ()
    if reader.take(r"\s*x\s*Ph\s*") is not None:
        lead = reader.number("lead", "write the lead after Ph and the pitch after P: M16xPh3P1.5")
        if reader.take(r"\s*-?\s*P\s*") is None:
            raise reader.fault(
                "the pitch of a thread with several starts is missing",
                f"write it after the lead: M{size_text(major)}xPh{size_text(lead)}P...",
            )
        place = reader.at
        pitch = reader.number("pitch", "write the pitch after P: M16xPh3P1.5")
        if (lead / pitch).denominator != 1 or lead / pitch > 24:
            raise reader.fault(
                "the lead is not a whole number of pitches", "lead = starts x pitch; the lead stands first: M16xPh3P1.5", place, reader.at
            )
        starts = int(lead / pitch)
        reader.take(r"\s*\((?:\w+)\s+starts?\)")
    elif reader.take(r"\s*x\s*") is not None:
        pitch = reader.number("pitch", "write the pitch after x: M10x1.5")
        reader.take(r"\s*mm\b")
    else:
        pitch, notes = _coarse(reader, major, start)
    tolerance, engagement, hand = _suffix(reader, major)
    try:
        return metric_thread(major, pitch, starts, hand, tolerance, engagement, notes=notes)
    except DesignationError as error:
        raise error if error.length else reader.fault(error.message, error.hint, start, reader.at) from None


def _coarse(reader: Reader, major: Fraction, start: int) -> tuple[Fraction, tuple[str, ...]]:
    row = _series().get(major)
    size = f"M{size_text(major)}"
    if row is not None and "coarse" in row:
        return number(row["coarse"]), (f"{size} without a pitch means the coarse one, {row['coarse']} mm ({SOURCE})",)
    end = reader.at
    if row is not None:
        listed = " or ".join(f"{size}x{pitch}" for pitch in row["fine"])
        why = "there is no coarse pitch above M68" if major > 68 else f"{size} has no coarse pitch"
        raise reader.fault(f"{why}, so {size} alone does not say its pitch", f"write the pitch: {listed}", start, end)
    near = sorted((size for size in _series() if "coarse" in _series()[size]), key=lambda other: abs(other - major))[:2]
    hint = " or ".join(f"M{size_text(other)}" for other in sorted(near))
    raise reader.fault(
        f"{size} is not a listed diameter, so its pitch must be written",
        f"write the pitch, as in {size}x1, or take a listed size: {hint}",
        start,
        end,
    )


def _suffix(reader: Reader, major: Fraction) -> tuple[str | None, str, str]:
    tolerance: str | None = None
    engagement, hand = "", "right"
    reader.skip()
    while not reader.done:
        if (match := reader.take(rf"{_CLASS}(?:\s*/\s*{_CLASS})?")) is not None and tolerance is None:
            tolerance = "".join(match.group().split())
            MetricRule.check(tolerance, reader, match.start(), match.end())
        elif (match := reader.take(r"[SNL](?![a-z])")) is not None and not engagement:
            engagement = match.group().upper()
        elif (match := reader.take(r"([LR])H?(?![a-z])|(left|right)\b(?:[ -]hand)?")) is not None:
            hand = "left" if match.group().upper().startswith("L") else "right"
        else:
            word, _ = reader.word()
            bare = word.replace(".", "").isdigit()
            raise reader.fault(
                f"{word[:20]!r} is not a tolerance class, an engagement group or a hand",
                f"write the pitch after x: M{size_text(major)}x{word}"
                if bare
                else "after the pitch: a class (6g, 4g6g, 6H), S, N or L, and LH for left hand, each after a hyphen",
            )
        reader.skip()
    return tolerance, engagement, hand
