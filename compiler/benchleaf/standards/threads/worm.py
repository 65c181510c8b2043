"""Worms, by module in mm or by diametral pitch: the lead has pi in it and is never rational."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.exact import PI
from benchleaf.standards.threads.basic import basic_thread
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.model import DesignationError, Thread
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, size_text
from benchleaf.standards.threads.tables import number, table

__all__ = ["read_worm"]

_EXAMPLE = "worm module 1 x 2 starts, 18 mm outside, or worm 20 DP, 1 in outside"


def read_worm(reader: Reader) -> Thread | None:
    """Read 'worm module 1 x 2 starts, 18 mm outside, LH', 'worm 20 DP x 1 start'; None when the text is not of this family."""
    # 'worm 40, 20 mm x 3 mm' is a form spelled out by hand.
    if reader.look(r"worm(?:\s+[\d.]+)?\s*,\s*[\d./ ]+(?:mm|in)\s*x") or reader.take(r"worm\b") is None:
        return None
    reader.skip()
    match = reader.take(rf"(?:module|mod\.?|m)\s*(?P<module>{MIXED})(?:\s*mm)?(?![a-z\d])") or reader.take(
        rf"(?P<dp>{MIXED})\s*(?:D\.?P\.?|diametral pitch)(?![a-z])|(?:D\.?P\.?|diametral pitch)\s*(?P<dp_after>{MIXED})"
    )
    if match is None:
        raise reader.fault("the module or diametral pitch of the worm is missing", f"write {_EXAMPLE}")
    found = match.groupdict()
    if found.get("module"):
        size, system = reader.value(match, "module", "module"), "metric"
        pitch, name = PI * size, f"worm module {size_text(size)}"
        module = size
    else:
        group = "dp" if found["dp"] else "dp_after"
        size, system = reader.value(match, "diametral pitch", group), "inch"
        pitch, name = PI * INCH / size, f"worm {size_text(size)} DP"
        module = INCH / size
    starts, hand = 1, "right"
    outside: Fraction | None = None
    angle = number(table("worm")["usual angle"])
    angles = {number(degrees): shape for degrees, shape in table("worm")["forms"].items()}
    unit = "mm"
    reader.take(r"[\s,\-x]+")
    while not reader.done:
        if (match := reader.take(r"(\d{1,2})[\s-]*starts?\b")) is not None and 1 <= int(match.group(1)) <= 24:
            starts = int(match.group(1))
        elif (match := reader.take(rf"(?P<size>{MIXED})\s*(?P<unit>mm|in|\")?\s*(?:outside|o\.?d\.?)(?![a-z])")) is not None:
            unit = "in" if match.group("unit") not in (None, "mm") else "mm"
            outside = reader.value(match, "outside diameter", "size") * (INCH if unit == "in" else 1)
        elif (match := reader.take(rf"({MIXED})\s*deg(?:rees)?\b")) is not None and reader.value(match, "pressure angle", 1) in angles:
            angle = reader.value(match, "pressure angle", 1)
        elif (match := reader.take(r"(LH|RH)\b")) is not None:
            hand = "left" if match.group(1).upper() == "LH" else "right"
        else:
            word, _ = reader.word()
            raise reader.fault(f"{word[:20]!r} means nothing in a worm designation", f"write {_EXAMPLE}; LH for left hand; 20 or 14.5 deg")
        reader.take(r"[\s,\-x]+")
    shape = form(angles[angle])
    notes: tuple[str, ...] = ()
    reason = "the class of a worm is that of its drive, not of the thread"
    if outside is None:
        quotient = number(table("worm")["diametral quotient"])
        major = (quotient + 2) * module
        reason = "the outside diameter of the worm is not given"
        notes = (f"outside diameter not given: {quotient} modules of pitch diameter assumed, for the lead angle only (common practice)",)
    else:
        major = outside
        if 2 * shape.design_depth(pitch) >= major:
            raise DesignationError(f"{name} leaves no core in this outside diameter", "the outside diameter is some 12 modules")
    size_words = [] if outside is None else [f"{size_text(outside / INCH) if unit == 'in' else size_text(outside)} {unit} outside"]
    words = [
        name + (f" x {starts} starts" if starts > 1 else ""),
        *size_words,
        *([f"{size_text(angle)} deg"] if angle != number(table("worm")["usual angle"]) else []),
    ]
    return basic_thread(
        shape,
        major,
        pitch,
        starts,
        hand,
        designation=", ".join([*words, *(["LH"] if hand == "left" else [])]),
        family="worm",
        series="module" if system == "metric" else "diametral pitch",
        system=system,
        reason=reason,
        notes=notes,
        lead_rational=False,
    )
