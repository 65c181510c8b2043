"""What was worked out from a plate, for whoever wants to see it: a ratio for each position where the levers multiply, else one a row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import prod

from benchleaf.workshop.gearbox import Gearbox
from benchleaf.workshop.plate.entries import DerivedRow

__all__ = ["factors", "worked_out"]

Factors = Mapping[str, Mapping[str, Fraction]]


def factors(rows: Sequence[DerivedRow]) -> Factors | None:
    """Lever to position to ratio, the first position of every lever but the last being 1.  None unless there is a row for every
    combination and their product is the ratio of every row."""
    ratios = {tuple(word.value for word in row.levers.values()): row.ratio.value for row in rows}
    if not ratios:
        return None
    first, names = next(iter(ratios)), tuple(rows[0].levers)
    positions = [tuple(dict.fromkeys(setting[place] for setting in ratios)) for place in range(len(names))]
    if len(ratios) != prod(map(len, positions)):
        return None
    found: list[dict[str, Fraction]] = []
    for place, written in enumerate(positions):
        by = Fraction(1) if place == len(names) - 1 else ratios[first]
        found.append({at: ratios[(*first[:place], at, *first[place + 1 :])] / by for at in written})
    if any(prod((found[place][at] for place, at in enumerate(setting)), start=Fraction(1)) != ratio for setting, ratio in ratios.items()):
        return None
    return dict(zip(names, found, strict=True))


def worked_out(box: Gearbox | None) -> Iterator[str]:
    """Lines of text; none for a gearbox that is told by its ratios."""
    rows = [row for row in box.rows if isinstance(row, DerivedRow)] if box is not None else []
    if not rows:
        return
    yield "Worked out from the gearbox's plate, or by measuring: turns of the leadscrew for one turn of the last wheel."
    levers = factors(rows)
    if levers is not None:
        for name, positions in levers.items():
            yield f"  {name}: {', '.join(f'{at} = {ratio}' for at, ratio in positions.items())}"
    else:
        for row in rows:
            yield f"  {', '.join(f'{name} {word.value}' for name, word in row.levers.items())} = {row.ratio.value}"
    for taken in dict.fromkeys(row.taken for row in rows if row.taken):
        yield f"  {taken}"
