"""What a job says about a screwcutting step."""

from __future__ import annotations

from collections.abc import Mapping

from benchleaf.record import record
from benchleaf.workshop.values import Angle, Count, Distance, Flag, Lead, Length, Origin, Share, Speed, Text

__all__ = ["Ending", "PassWishes", "Relief", "RunOut", "Screwcut", "ThreadByHand"]


@record
class Relief:
    """A groove the tool runs into: width along the axis and diameter at its bottom."""

    origin: Origin
    width: Length
    diameter: Length | None


@record
class RunOut:
    """The thread fades out over this length while the tool is drawn back."""

    origin: Origin
    length: Length


@record
class Ending:
    """How the thread ends, when it is not simply 'free end' or 'shoulder'."""

    origin: Origin
    relief: Relief | None
    run_out: RunOut | None


@record
class ThreadByHand:
    """A thread that no standard designates: a form by name, the major diameter, lead, starts and hand."""

    origin: Origin
    form: Text
    major: Length
    lead: Lead
    starts: Count
    hand: Text
    tolerance: Text | None


@record
class PassWishes:
    """What the job says about the cuts (depths are radial)."""

    origin: Origin
    count: Count | None
    first: Length | None
    last: Length | None
    spring: Count


@record
class Screwcut:
    """Cut a thread with a single-point tool."""

    origin: Origin
    thread: Text | ThreadByHand
    where: Text
    from_: Distance
    length: Length
    engagement: Length | None
    ends_in: Text | Ending
    stop_by: Text
    tool: Text
    infeed: Text
    speed: Speed | None
    lead_limit: Share
    train: tuple[Count | tuple[Count, ...], ...]
    levers: Mapping[str, Text]
    without: tuple[Count, ...]
    half_nuts: Text
    passes: PassWishes
    gauge: Text | None
    top_slide_angle: Angle | None
    bore_to_suit: Flag
    taper_by: Text | None
    tap_share: Share | None
    indexing: Text | None
