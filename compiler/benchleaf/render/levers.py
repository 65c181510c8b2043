"""The levers that decide the feed: every position in the plate's order, the one to choose in solid black."""

from __future__ import annotations

from benchleaf.render.svg import POINT, Svg, text_width
from benchleaf.sheet.drawings import DrawnLever, LeverPlateDrawing

__all__ = ["draw_levers"]

WIDTH = 85.0
NAME = 20.0  # room for the lever's name
TAG = 7.8  # height of a tag
GAP = 1.4
LINE = TAG + 1.8


def _rows(lever: DrawnLever) -> list[list[tuple[str, float]]]:
    """Positions with the width of their tags, in lines that fit."""
    rows: list[list[tuple[str, float]]] = [[]]
    used = 0.0
    for position in lever.positions:
        width = min(max(text_width(position, 15 * POINT, bold=True) + 3.2, 7.4), WIDTH - NAME - 1)
        if rows[-1] and used + width > WIDTH - NAME - 0.6:
            rows.append([])
            used = 0.0
        rows[-1].append((position, width))
        used += width + GAP
    return rows


def draw_levers(drawing: LeverPlateDrawing) -> Svg:
    """The whole drawing, 85 mm wide."""
    laid = [(lever, _rows(lever)) for lever in drawing.levers]
    svg = Svg(WIDTH, max(sum(len(rows) * LINE + 0.6 for _, rows in laid), 1.0), drawing.alt)
    top = 0.0
    for lever, rows in laid:
        svg.text((0, top + 6.0), lever.name, 12, room=NAME - 1.5)
        for row in rows:
            x = NAME
            svg.line((x, top + 0.6 + TAG / 2), (x + sum(width + GAP for _, width in row) - GAP, top + 0.6 + TAG / 2), 0.3)
            for position, width in row:
                chosen = position == lever.chosen
                svg.rect((x + 0.3, top + 0.6), width - 0.6, TAG, 0.6 if chosen else 0.25, "black" if chosen else "white")
                svg.text(
                    (x + width / 2, top + 0.6 + TAG / 2 + 2.0),
                    position,
                    16 if chosen else 12,
                    bold=chosen,
                    anchor="middle",
                    fill="white" if chosen else "black",
                    room=width - 2,
                )
                x += width + GAP
            top += LINE
        top += 0.6
    return svg
