"""Where words stand in a drawing, read back from its SVG."""

from __future__ import annotations

from xml.etree import ElementTree

from benchleaf.render.svg import Svg, text_width

SPACE = "{http://www.w3.org/2000/svg}"
SHIFT = {"start": 0.0, "middle": 0.5, "end": 1.0}

Box = tuple[float, float, float, float, str]  # left, top, right, bottom (y down), words


def root_of(svg: Svg) -> ElementTree.Element:
    return ElementTree.fromstring(svg.document(alone=True))


def words_of(svg: Svg) -> list[Box]:
    """The room of capitals and figures of every text: from its baseline up 0.73 of its size."""
    found = []
    for text in root_of(svg).iter(f"{SPACE}text"):
        size, words = float(text.attrib["font-size"]), text.text or ""
        width = text_width(words, size, bold="font-weight" in text.attrib) * 0.93  # estimated a little large
        left = float(text.attrib["x"]) - width * SHIFT[text.attrib["text-anchor"]]
        bottom = float(text.attrib["y"])
        found.append((left, bottom - size * 0.73, left + width, bottom, words))
    return found


def overlaps(boxes: list[Box]) -> list[tuple[str, str]]:
    return [
        (a[4], b[4])
        for number, a in enumerate(boxes)
        for b in boxes[number + 1 :]
        if a[0] < b[2] - 0.05 and b[0] < a[2] - 0.05 and a[1] < b[3] - 0.05 and b[1] < a[3] - 0.05
    ]


def outside_paper(svg: Svg, boxes: list[Box]) -> list[str]:
    return [words for left, top, right, bottom, words in boxes if left < -0.3 or top < -0.3 or right > svg.width + 0.3 or bottom > svg.height + 0.3]


def lines_of(svg: Svg, weight: str = "") -> list[tuple[float, float, float, float]]:
    """Straight lines of a weight (any if not given)."""
    lines = [line for line in root_of(svg).iter(f"{SPACE}line") if not weight or line.attrib["stroke-width"] == weight]
    return [tuple(float(line.attrib[name]) for name in ("x1", "y1", "x2", "y2")) for line in lines]  # type: ignore[misc]
