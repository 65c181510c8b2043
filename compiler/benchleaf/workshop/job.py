"""A job: a blank, and what to do to it."""

from __future__ import annotations

from collections.abc import Mapping

from benchleaf.record import record
from benchleaf.workshop.values import Angle, Count, Distance, Flag, Lead, Length, Link, Origin, Share, Speed, Text

__all__ = ["Blank", "Ending", "Held", "Job", "PassWishes", "Relief", "RunOut", "Screwcut", "Step", "ThreadByHand"]


@record
class Blank:
    """The workpiece before the first step."""

    origin: Origin
    outside: Length | None
    bore: Length | None
    length: Length | None


@record
class Held:
    """How the work is held: the name of one of the machine's workholding devices and what stands out of it, front and back."""

    origin: Origin
    by: Text
    stands_out: Length | None
    behind_spindle: Distance | None


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


@record
class Step:
    """One step: exactly one operation."""

    origin: Origin
    screwcut: Screwcut | None


@record
class Job:
    """One part to be made."""

    origin: Origin
    name: Text
    part: Text | None
    note: Text | None
    machine: Link
    tooling: tuple[Link, ...]
    material: Link
    blank: Blank
    held: Held
    steps: tuple[Step, ...]
