"""What every shaping section says alike: groups of figures, cautions, checks of the machine, room under the ram."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from benchleaf.operations.cautions import caution
from benchleaf.operations.context import Context
from benchleaf.operations.cutting.times import HANDLING
from benchleaf.operations.desk import GEOMETRY, PRACTICE, Desk, Value, basis, length_text, source
from benchleaf.operations.shaping import cuts, grip, stroke
from benchleaf.operations.shaping.travel import Run
from benchleaf.sheet.model import Block, Check, FigureGroup, Say, Weight
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.shaping import advice, clapper_tilt, fact
from benchleaf.workshop.values import Word

__all__ = ["BACKGROUND", "behind", "cautions", "estimate", "groups", "plain", "room_under_ram", "said", "set_ram", "tilt"]

BACKGROUND = (
    "rate_setting", "work_run", "approach", "overrun", "clapper",
    *stroke.FIGURES, *cuts.FIGURES, "roughing_feed", "finishing_feed", "strokes_rough", "strokes_fine", "dial_worth",
    "jaw_along_the_stroke", "jaw_across_the_stroke", "vice_bed", "jaw_upright", "tool_slide", "behind", "under_ram", "time",
)  # fmt: skip


def groups(desk: Desk, sizes: tuple[str, ...], set_too: tuple[str, ...] = ()) -> list[Block]:
    """Ram, dial, feed (with ``set_too``, other readings), sizes and holding, in the order in which they are set."""
    return [
        FigureGroup("Ram", desk.pick("stroke", "rate"), Weight.SET),
        FigureGroup(
            "Tool-head and feed",
            desk.pick("first_dial", "before_last", "roughing_notches", "finishing_notches", "down_feed", *set_too),
            Weight.SET,
        ),
        FigureGroup("Size", desk.pick(*sizes), Weight.WORK),
        FigureGroup("Hold", desk.pick(*grip.FIGURES), Weight.WORK),
    ]


def set_ram(context: Context, run: Run) -> list[Say]:
    """Steps that set stroke and rate."""
    ram = context.shaper.ram
    length = f": {plain(ram.stroke_set_by)}" if ram.stroke_set_by is not None else ", lock it"
    place = f" ({plain(ram.position_set_by)})" if ram.position_set_by is not None else ", lock it"
    stop = f"; {run.exit.what} stands there" if run.exit.room is not None else ""
    lies = "towards the column" if run.swapped else "away from the column"
    bounded = run.exit.room is not None or run.entry.room is not None
    return [
        *([Say(f"Work with its front face {lies}, so that the tool runs out where there is room.")] if bounded else []),
        Say(f"Motor isolated: stroke to {{stroke}}{length}."),
        Say(f"Place it{place}: tool {{overrun}} past the work at the front end of the stroke{stop}. A full stroke by hand."),
    ]


def plain(words: Word) -> str:
    """A name or note of the owner's inside a sentence, where braces would stand for figures."""
    return words.value.replace("{", "(").replace("}", ")")


def tilt(desk: Desk, face: str, context: Context) -> str:
    """Write down how the clapper box is set for a face; returns the words."""
    found, swings = clapper_tilt(face), context.shaper.head.clapper_tilt
    if swings.value < found.low:
        context.faults.warning(
            "shaping/clapper-tilt",
            f"the clapper box swings {swings.text} on the head, and this face wants {found.low} to {found.high} degrees",
            swings,
            hint="feed finely and ease the tool off by hand on the return; or hold the work so that this face lies level",
            note=f"{found.source} ({found.status})",
        )
    desk.words(
        "clapper",
        "Clapper box",
        found.words,
        basis(
            f"practice for this face, {found.low} to {found.high} deg",
            (swings,),
            source(found.source, found.status),
        ),
    )
    return found.words


def room_under_ram(desk: Desk, context: Context, top: Fraction, at: Value) -> bool:
    """Whether work whose top stands ``top`` mm over the table goes under tool-head and ram with the tool in; False after an error."""
    space, tool = context.shaper.space, fact("tool_overhang")
    hangs = space.head_below_ram.value if space.head_below_ram is not None else Fraction(0)
    wanted = top + hangs + tool.low
    inputs: tuple[Value | str, ...] = (space.under_ram, *((space.head_below_ram,) if space.head_below_ram is not None else ()))
    left = space.under_ram.value - top
    desk.length(
        "under_ram",
        "From the top of the work to the ram, table down",
        left,
        basis("room under the ram - height of the work over the table", inputs, GEOMETRY),
        read_by="rule",
        rational=False,
    )
    if wanted <= space.under_ram.value:
        return True
    context.faults.error(
        "shaping/under-ram",
        f"work that stands {length_text(top, context.system, 'caliper')} over the table does not go under the tool",
        at,
        f"with head and tool it wants {length_text(wanted, context.system, 'caliper')}",
        hint="hold it lower: less packing, a lower vice, or clamped to the table",
        note=f"{tool.about}: {length_text(tool.low, context.system, 'caliper')} at the least ({tool.source})",
        related=((space.under_ram, "the room there is"),),
    )
    return False


def behind(desk: Desk, context: Context) -> None:
    """Write down how far the ram comes out behind, if the profile says."""
    room = context.shaper.ram.room_behind
    if room is not None:
        why = basis("as the profile says, at the longest stroke", (room,), source("the shaper's profile", "owner"))
        desk.length("behind", "Ram stands out behind, at most", room.value, why, read_by="rule")


def estimate(desk: Desk, strokes: Fraction, rate: Fraction, cuts_: int, inputs: tuple[str, ...]) -> None:
    """Write down the figure ``time``: strokes / rate, and handling of each cut, to the next whole minute."""
    whole = strokes / rate + cuts_ * HANDLING
    shown = str(max(1, -(-whole.numerator // whole.denominator)))
    why = basis(f"strokes of all cuts / rate, and {fixed(HANDLING, 1)} min of handling a cut", inputs, PRACTICE)
    desk.number("time", "Time, an estimate", whole, "min", shown, why)


def cautions(context: Context, *, vice: bool, clapper: bool = True, inside: bool = False, indexed: bool = False) -> Iterable[Block]:
    """The cautions that hold, and the checks before the first stroke."""
    shaper = context.shaper
    out: list[Block] = [Check(Say("A full stroke turned by hand: ram, tool and head clear the work and what holds it, at both ends."))]
    if vice:
        out.append(Check(said("way clear")))
    if shaper.table.support.value:
        out.append(Check(Say("Rail locked; table support nipped up after the table was moved.")))
    names = ["ram_env", "ram_set", "ram_chip"]
    names += ["ram_rear"] if shaper.ram.room_behind is not None else []
    names += ["clapper"] if clapper else []
    names += ["internal_shape"] if inside else []
    names += ["vice"] if vice else []
    names += ["index_lock"] if indexed else []
    return [*out, *(caution(name) for name in names)]


def said(topic: str) -> Say:
    """A rule of the trade as a step."""
    return Say(advice(topic).words)
