"""A small SVG writer for drawings on paper: millimetres, black and white, every number checked, every word escaped."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from html import escape

from benchleaf.render.clean import clean

__all__ = ["POINT", "Point", "Svg", "text_width"]

Point = tuple[float, float]
POINT = 25.4 / 72  # mm
FONTS = "Sheet, 'DejaVu Sans Condensed', 'Arial Narrow', 'Liberation Sans Narrow', Arial, sans-serif"
# Widths in ems of the bold cut, by kind of character, a little large; the regular cut is narrower by _REGULAR.
_KINDS = (("ijlIJ.,:;'|![]()/\\ \u00a0", 0.39), ('frt*-"_`°', 0.45), ("<>=+±×−^~#&", 0.78), ("mwMW@%—…½¼¾", 0.97))
_WIDTHS = {char: em for chars, em in _KINDS for char in chars}
_CAPITAL, _OTHER, _FOREIGN, _REGULAR = 0.73, 0.64, 1.0, 0.93
_WIDE = 100.0  # mm: wider than a column of the sheet
_NEARER, _CAPITALS = 0.93, 0.73  # real widths against the estimate; height of capitals and figures in ems
_SLACK = 0.3  # mm
_MOST = 1e5  # no drawing is 100 m wide: beyond that the numbers are nonsense


def text_width(words: str, size: float, *, bold: bool = False) -> float:
    """Room that ``words`` take at font size ``size`` (mm) in the bundled typeface, estimated a little large."""
    em = sum(_WIDTHS.get(char) or (_CAPITAL if char.isupper() else _OTHER if ord(char) < 0x2000 else _FOREIGN) for char in words)
    return em * size * (1.0 if bold else _REGULAR)


def _n(value: float) -> str:
    """A number for an attribute, to 0.01 mm.  Raises ValueError for what cannot be drawn."""
    if not math.isfinite(value) or abs(value) > _MOST:
        raise ValueError(f"{value!r} cannot be drawn")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _size(value: float) -> str:
    """A length, nothing where it is negative.  Raises ValueError as :func:`_n` does."""
    text = _n(value)
    return "0" if text.startswith("-") else text


class Svg:
    """A drawing of ``width`` x ``height`` mm; y runs down.  ``alt`` is the drawing in words."""

    def __init__(self, width: float, height: float, alt: str) -> None:
        self.width, self.height, self.alt = width, height, clean(alt)
        self.parts: list[str] = []
        self._words: list[tuple[float, float, float, float, str]] = []  # left, top, right, bottom, words

    def line(self, start: Point, end: Point, weight: float = 0.25, dash: Sequence[float] = ()) -> None:
        """A straight line."""
        (x1, y1), (x2, y2) = start, end
        self.parts.append(f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}"{_stroke(weight, dash)}/>')

    def circle(self, centre: Point, radius: float, weight: float = 0.25, fill: str = "none", dash: Sequence[float] = ()) -> None:
        """A circle; ``fill`` is 'none', 'black' or 'white'."""
        x, y = centre
        self.parts.append(f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_size(radius)}" fill="{fill}"{_stroke(weight, dash)}/>')

    def polygon(self, points: Sequence[Point], weight: float = 0.25, fill: str = "none", *, closed: bool = True) -> None:
        """Straight lines through ``points``."""
        d = "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points) + ("Z" if closed else "")
        self.parts.append(f'<path d="{d}" fill="{fill}"{_stroke(weight, ())} stroke-linejoin="round"/>')

    def rect(
        self, corner: Point, width: float, height: float, weight: float = 0.25, fill: str = "none", dash: Sequence[float] = ()
    ) -> None:
        """A rectangle from its upper left corner."""
        x, y = corner
        size = f'width="{_size(width)}" height="{_size(height)}"'
        self.parts.append(f'<rect x="{_n(x)}" y="{_n(y)}" {size} fill="{fill}"{_stroke(weight, dash)}/>')

    def arrow(self, tip: Point, direction: float, size: float = 1.6) -> None:
        """A solid arrow head; ``direction`` in degrees clockwise from the right."""
        (x, y), turn = tip, math.radians(direction)
        ends = [(x - size * math.cos(turn + side), y - size * math.sin(turn + side)) for side in (0.35, -0.35)]
        self.polygon([tip, *ends], 0, "black")

    def arrow_from(self, start: Point, tip: Point, size: float = 2.0) -> None:
        """A solid arrow head at ``tip`` of a line that comes from ``start``."""
        self.arrow(tip, math.degrees(math.atan2(tip[1] - start[1], tip[0] - start[0])), size)

    def text(
        self, at: Point, words: str, points: float, *, bold: bool = False, anchor: str = "start", fill: str = "black", room: float = 0
    ) -> None:
        """Words with their baseline at ``at``, ``points`` pt high.

        Where ``room`` mm are given and not enough, the type gets smaller, to 6/10; what is longer still ends in an ellipsis.
        """
        words, size = clean(words), points * POINT
        if room and text_width(words, size, bold=bold) > room:
            size *= max(0.6, room / text_width(words, size, bold=bold))
            if text_width(words, size, bold=bold) > room * 1.001:
                while words and text_width(words + "…", size, bold=bold) > room:
                    words = words[:-1]
                words += "…"
        x, y = at
        weight = ' font-weight="bold"' if bold else ""
        attributes = f'x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}" fill="{fill}"{weight}'
        self.parts.append(f"<text {attributes}>{escape(words)}</text>")
        wide = text_width(words, size, bold=bold) * _NEARER
        left = x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        self._words.append((left, y - size * _CAPITALS, left + wide, y, words))

    def cut_words(self) -> Iterator[str]:
        """Words that reach past an edge of the drawing, where nothing is shown."""
        for left, top, right, bottom, words in self._words:
            if words and (min(left, top) < -_SLACK or right > self.width + _SLACK or bottom > self.height + _SLACK):
                yield words

    def hatch(self, outline: Sequence[Point], spacing: float = 2.2, weight: float = 0.25, *, mirrored: bool = False) -> None:
        """Lines at 45 degrees inside a closed outline: metal that is cut through; ``mirrored`` they lean the other way."""
        sign = -1 if mirrored else 1
        for (x1, y1), (x2, y2) in _hatch([(x, sign * y) for x, y in outline], spacing):
            self.line((x1, sign * y1), (x2, sign * y2), weight)

    def document(self, *, alone: bool = False) -> str:
        """The drawing as an ``svg`` element; ``alone`` as a file of its own, with size and without description for an ``img``."""
        look = "drawing wide" if self.width > _WIDE else "drawing"
        size = f'width="{_n(self.width)}mm" height="{_n(self.height)}mm"' if alone else f'class="{look}"'
        role = "" if alone else f' role="img" aria-label="{escape(self.alt)}"'
        title = "" if alone else f"<title>{escape(self.alt)}</title>"
        box = f'viewBox="0 0 {_n(self.width)} {_n(self.height)}"'
        fonts = f'font-family="{escape(FONTS)}"'
        return f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box}{role} {fonts}>{title}{"".join(self.parts)}</svg>'


def _stroke(weight: float, dash: Sequence[float]) -> str:
    if weight <= 0:
        return ' stroke="none"'
    dashes = f' stroke-dasharray="{" ".join(_n(length) for length in dash)}"' if dash else ""
    return f' stroke="black" stroke-width="{_n(weight)}"{dashes}'


def _hatch(outline: Sequence[Point], spacing: float) -> Iterator[tuple[Point, Point]]:
    """45 degree lines x - y = c clipped to the outline by the even-odd rule."""
    offsets = [x - y for x, y in outline]
    count = int((max(offsets) - min(offsets)) / (spacing * math.sqrt(2))) + 1
    for number in range(min(count, 500)):
        c = min(offsets) + (number + 0.5) * spacing * math.sqrt(2)
        crossings = []
        for (x1, y1), (x2, y2) in zip(outline, [*outline[1:], outline[0]], strict=True):
            d1, d2 = x1 - y1 - c, x2 - y2 - c
            if (d1 < 0) != (d2 < 0):
                crossings.append(x1 + (x2 - x1) * d1 / (d1 - d2))
        crossings.sort()
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            if end - start > 0.2:
                yield (start, start - c), (end, end - c)
