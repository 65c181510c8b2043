"""From the train on the machine to another: what comes off and what goes on."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from benchleaf.kinematics.model import Change, Mounted, Train, Wheel, WheelRef
from benchleaf.kinematics.wheels import matches

__all__ = ["changes_between", "mounted_after", "swap_list"]

_ROWS = ("inner", "outer")


def changes_between(mounted: Mounted | None, axes: Sequence[Sequence[Wheel]]) -> tuple[Change, ...]:
    """Wheels to take off, outer row first, then wheels to put on; wheels that stay are not named.  Empty when nothing is mounted."""
    if mounted is None or not mounted.axes:
        return ()
    before = {(axis, row): ref for axis, refs in enumerate(mounted.axes) for row, ref in enumerate(refs[:2])}
    after = {(axis, row): wheel for axis, wheels in enumerate(axes) for row, wheel in enumerate(wheels)}
    stays = {at for at, wheel in after.items() if at in before and matches(before[at], wheel)}
    outer_first = sorted(before, key=lambda at: (-at[1], at[0]))
    off = [_change("off", at, before[at].teeth, before[at].module) for at in outer_first if at not in stays]
    on = [_change("on", at, after[at].teeth, after[at].module) for at in sorted(after, key=lambda at: (at[1], at[0])) if at not in stays]
    return tuple(off + on)


def _change(action: str, at: tuple[int, int], teeth: int, module: Fraction | None) -> Change:
    return Change(action, at[0], _ROWS[at[1]], teeth, module)


def swap_list(mounted: Mounted | None, train: Train) -> tuple[Change, ...]:
    """The changes that put up ``train``."""
    return changes_between(mounted, [[item.wheel for item in axis] for axis in train.axes])


def mounted_after(train: Train, headstock_lever: str = "headstock") -> Mounted:
    """What is on the machine once ``train`` is up: the start of the next swap."""
    axes = tuple(tuple(WheelRef(item.wheel.teeth, item.wheel.module) for item in axis) for axis in train.axes)
    return Mounted(axes, train.levers + (((headstock_lever, train.headstock),) if train.headstock else ()))
