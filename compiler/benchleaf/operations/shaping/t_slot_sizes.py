"""The four sizes of a T-slot, as said or by its nominal throat, and the straight slot that it starts from."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from benchleaf.operations.context import Context
from benchleaf.operations.cutting.sizes import Size, read_size
from benchleaf.operations.desk import length_text
from benchleaf.record import record
from benchleaf.sheet.numbers import fixed
from benchleaf.standards.shaping import TSlot, t_slot
from benchleaf.workshop.values import Length, Origin, Text, Word

__all__ = ["THROAT", "Asked", "Sizes", "read_sizes", "words_of"]

THROAT = "H12"  # of slots that only clamp; from memory, ISO 299


@record
class Asked:
    """What a job says of the sizes."""

    origin: Origin
    size: Length | None
    throat: Text | None
    base_width: Text | None
    base_height: Text | None
    depth: Text | None


@record
class Sizes:
    """All four, and the row of the table they are from, None where they were said one by one."""

    throat: Size
    base: Size
    height: Size
    depth: Size
    named: TSlot | None

    @property
    def undercut(self) -> Fraction:
        """How far the base goes under the lip at each side, mm."""
        return (self.base.aim - self.throat.aim) / 2


_Row = Callable[[TSlot], str]
_FROM_TABLE: dict[str, _Row] = {
    "throat": lambda row: f"{fixed(row.throat, 0)} {THROAT}",
    "base_width": lambda row: _span(row.width),
    "base_height": lambda row: _span(row.height),
    "depth": lambda row: _span(row.depth),
}


def _span(ends: tuple[Fraction, Fraction]) -> str:
    low, high = (fixed(end, 1) for end in ends)
    return f"{low} to {high} mm"


def words_of(asked: Asked) -> dict[str, Text]:
    """The words of each size that is known: as said, else from the table."""
    named = None if asked.size is None else t_slot(asked.size.value)
    found: dict[str, Text] = {}
    for name, row in _FROM_TABLE.items():
        said: Text | None = getattr(asked, name)
        if said is None and named is not None and asked.size is not None:
            origin = asked.size.origin
            said = Word(row(named), Origin(origin.path, origin.span, words=f"T-slot {asked.size.text}, {named.source} ({named.status})"))
        if said is not None:
            found[name] = said
    return found


def read_sizes(asked: Asked, context: Context) -> Sizes | None:
    """The sizes with their limits; None after an error."""
    named = None if asked.size is None else t_slot(asked.size.value)
    words = words_of(asked)
    missing = [name.replace("_", "-") for name in _FROM_TABLE if name not in words]
    if asked.size is not None and named is None and missing:
        context.faults.error(
            "t-slot/not-in-table", f"ISO 299 has no T-slot with a throat of {asked.size.text}", asked.size,
            hint=f"a size of the table (12 mm, 14 mm, 18 mm ...), or say also: {', '.join(missing)}",
        )  # fmt: skip
        return None
    if missing:
        context.faults.error(
            "t-slot/size-missing", f"the T-slot lacks {', '.join(missing)}", asked.origin.span,
            hint="say `size` with the nominal throat, as `size: 12 mm`, or all four sizes",
        )  # fmt: skip
        return None
    read = {name: read_size(text, "inside", context, "shaping") for name, text in words.items()}
    throat, base, height, depth = (read[name] for name in _FROM_TABLE)
    if throat is None or base is None or height is None or depth is None:
        return None
    sizes = Sizes(throat, base, height, depth, named)
    return sizes if _make_a_tee(sizes, context) else None


def _make_a_tee(sizes: Sizes, context: Context) -> bool:
    if sizes.undercut <= 0:
        context.faults.error(
            "t-slot/base-narrow",
            f"the base is {length_text(sizes.base.aim, context.system, 'caliper')} wide and the throat "
            f"{length_text(sizes.throat.aim, context.system, 'caliper')}: nothing is undercut",
            sizes.base.at,
            hint="the base is the wider of the two: see whether they are interchanged",
            related=((sizes.throat.at, "the throat"),),
        )
        return False
    if sizes.height.aim >= sizes.depth.aim:
        context.faults.error(
            "t-slot/no-lip",
            f"the base is {length_text(sizes.height.aim, context.system, 'caliper')} high and the whole slot "
            f"{length_text(sizes.depth.aim, context.system, 'caliper')} deep: no lip is left",
            sizes.height.at,
            hint="a lower base, or a deeper slot",
            related=((sizes.depth.at, "the depth"),),
        )
        return False
    return True
