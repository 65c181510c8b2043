"""Parallel and Woodruff keys: which key a shaft takes, how wide and how deep its keyways are, and the sizes that can be checked.

Lengths in mm.  A depth in a shaft or hub is counted from the crown (where the tool first touches) unless its name says ``side``: the edge
of a keyway lies lower than the crown by the height of the chord.  Tables with source and status in ``data/keys.yaml``.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from benchleaf.exact import sqrt
from benchleaf.record import record
from benchleaf.standards.tables import Row, Rule, table

__all__ = [
    "CHORD", "SECTIONS", "SYSTEMS", "Fit", "Key", "Limits", "WoodruffKey", "chord_height", "hub_to_bottom", "key_for", "key_length",
    "shaft_to_bottom", "side_depth", "woodruff_for", "woodruff_keys",
]  # fmt: skip

CHORD = Rule("(diameter - sqrt(diameter^2 - width^2)) / 2", "plane geometry; as ANSI B17.1 has it", "derived")

SYSTEMS = ("metric", "inch", "BS 46")
SECTIONS = ("square", "rectangular")
_INCH = Fraction(127, 5)

Limits = tuple[Fraction, Fraction]  # smallest and largest, mm


@record
class Fit:
    """Limits of width of the keyways: ``name`` is 'free' (the hub slides), 'normal' or 'close'; classes of ISO 286, or ''."""

    name: str
    shaft: Limits
    hub: Limits
    shaft_class: str
    hub_class: str
    status: str


@record
class Key:
    """A parallel key for shafts over ``over``, up to and including ``to``.

    ``shaft_depth`` and ``hub_depth`` are limits from the crown of this shaft and of its bore; ``key_width`` and ``key_height`` those of the
    key itself, None where no figure was at hand; ``radius`` of the keyway's corners, ``lengths`` the shortest and longest key of that
    section.  ``status`` is of section and depths, ``rest_status`` of tolerances, radius and lengths.
    """

    system: str
    section: str
    over: Fraction
    to: Fraction
    width: Fraction
    height: Fraction
    shaft_depth: Limits
    hub_depth: Limits
    key_width: Limits | None
    key_height: Limits | None
    fits: tuple[Fit, ...]
    radius: Limits | None
    lengths: Limits | None
    source: str
    status: str
    rest_status: str

    def fit(self, name: str) -> Fit | None:
        """The fit of that name, None where the table has none."""
        return next((fit for fit in self.fits if fit.name == name), None)


def chord_height(diameter: Fraction, width: Fraction) -> Fraction:
    """How far the crown of a round stands above a chord, mm: what is left of the depth once a tool of that width cuts its full width.

    Raises ValueError for a chord longer than the diameter.  Source: plane geometry (:data:`CHORD`).
    """
    if not 0 <= width <= diameter:
        raise ValueError("a chord is no longer than the diameter")
    return (diameter - sqrt(diameter * diameter - width * width)) / 2


def side_depth(depth: Fraction, diameter: Fraction, width: Fraction) -> Fraction:
    """Depth of a shaft's keyway at its side, mm, from the depth under the crown.  Source: plane geometry."""
    return depth - chord_height(diameter, width)


def shaft_to_bottom(diameter: Fraction, key: Key) -> Limits:
    """What is measured from the bottom of the shaft's keyway to the far side of the shaft, mm: diameter - depth."""
    least, most = key.shaft_depth
    return diameter - most, diameter - least


def hub_to_bottom(bore: Fraction, key: Key) -> Limits:
    """What is measured from the bottom of the hub's keyway to the far side of the bore, mm: bore + depth."""
    least, most = key.hub_depth
    return bore + least, bore + most


def key_for(shaft: Fraction, system: str = "metric", section: str | None = None) -> Key | None:
    """The parallel key for a shaft's diameter, None where its table has none.

    Systems: 'metric' (ISO 773), 'inch' (ANSI B17.1), 'BS 46'.  ``section``: 'square' or 'rectangular' for the inch tables, whose
    first choice is square (rectangular above 6 1/2 in); a metric shaft has one key, of which that is not asked.  Raises ValueError for
    another system or section.
    """
    if system not in SYSTEMS or section not in (None, *SECTIONS):
        raise ValueError(f"systems: {', '.join(SYSTEMS)}; sections: {', '.join(SECTIONS)}")
    if system == "metric":
        return _metric(shaft)
    return _ansi(shaft, section) if system == "inch" else _bs46(shaft, section or "square")


def key_length(key: Key, wanted: Fraction) -> Fraction | None:
    """The longest standard length of a metric key that is not above ``wanted``, mm; None where there is none or it is not known."""
    if key.system != "metric" or key.lengths is None:
        return None
    shortest, longest = key.lengths
    lengths = table("keys", "lengths").rows[0].numbers("lengths")
    return max((length for length in lengths if shortest <= length <= min(longest, wanted)), default=None)


def _covering(name: str, value: Fraction) -> Row | None:
    return next((row for row in table("keys", name).rows if row.number("over") < value <= row.number("to")), None)


def _metric(shaft: Fraction) -> Key | None:
    row = _covering("metric", shaft)
    if row is None:
        return None
    width, height, t1, t2, above = (row.number(name) for name in ("b", "h", "t1", "t2", "above"))
    classes, heights = _covering("metric_widths", width), _covering("metric_heights", height)
    square = width == height
    lengths = row.span("lengths") if row.has("lengths") else None
    return Key(
        "metric", "square" if square else "rectangular", row.number("over"), row.number("to"), width, height, (t1, t1 + above),
        (t2, t2 + above), None if classes is None else _limits(width, classes, "h9"),
        None if heights is None else _limits(height, heights, "h9" if square else "h11"),
        () if classes is None else tuple(_fits(width, classes)), row.span("r"), lengths, row.source, row.status, row.text("rest"),
    )  # fmt: skip


def _fits(width: Fraction, classes: Row) -> Iterator[Fit]:
    for row in table("keys", "metric_fits").rows:
        shaft, hub = row.text("shaft"), row.text("hub")
        yield Fit(row.text("fit"), _limits(width, classes, shaft), _limits(width, classes, hub), shaft, hub, classes.status)


def _limits(nominal: Fraction, row: Row, name: str) -> Limits:
    """Limits from deviations in micrometres."""
    low, high = row.span(name)
    return nominal + low / 1000, nominal + high / 1000


def _inch(limits: Limits) -> Limits:
    return limits[0] * _INCH, limits[1] * _INCH


def _ansi(shaft: Fraction, section: str | None) -> Key | None:
    """Depths follow from those at the side of the keyway, hence from the shaft itself."""
    row = _covering("ansi", shaft / _INCH)
    if row is None:
        return None
    section = section or ("square" if shaft <= Fraction(13, 2) * _INCH else "rectangular")
    if not row.has(section):
        return None
    width, height = row.number("w") * _INCH, row.number(section) * _INCH
    depths = table("keys", "ansi_depths").rows[0]
    under, over, clearance = (depths.number(name) * _INCH for name in ("shaft_under", "hub_over", "clearance"))
    chord = chord_height(shaft, width)
    shaft_depth, hub_depth = height / 2 + chord, height / 2 - chord + clearance
    spread = _covering("ansi_widths", row.number("w"))
    fits: tuple[Fit, ...] = ()
    own = None
    if spread is not None:
        keyway = width, width + spread.number("keyway_over") * _INCH
        fits = (Fit("free", keyway, keyway, "", "", spread.status),)
        own = width - spread.number("key_under") * _INCH, width
    over_to = row.number("over") * _INCH, row.number("to") * _INCH
    return Key(
        "inch", section, *over_to, width, height, (shaft_depth, shaft_depth + under), (hub_depth, hub_depth + over), own, None, fits, None,
        None, row.source, row.status, depths.status,
    )  # fmt: skip


def _bs46(shaft: Fraction, section: str) -> Key | None:
    square = _covering("bs46_square", shaft / _INCH)
    row = square if section == "square" else _covering("bs46_rectangular", shaft / _INCH)
    if row is None or square is None:
        return None
    widths = Fit("normal", _inch(square.span("shaft_width")), _inch(square.span("hub_width")), "", "", square.status)
    own, radius = _inch(square.span("key")), square.number("radius") * _INCH
    over_to = row.number("over") * _INCH, row.number("to") * _INCH
    return Key(
        "BS 46", section, *over_to, row.number("w") * _INCH, row.number("h") * _INCH, _inch(row.span("shaft_depth")),
        _inch(row.span("hub_depth")), own, own if section == "square" else None, (widths,), (radius, radius), None, row.source, row.status,
        square.status,
    )  # fmt: skip


@record
class WoodruffKey:
    """A Woodruff key: a slice of ``diameter``, ``width`` thick and ``height`` high.

    ``from_side``: the depths are counted from the side of the keyseat (inch tables) and not from the crown (metric ones).  ``shafts``: the
    diameters it suits, None where no guidance was at hand.
    """

    name: str
    width: Fraction
    diameter: Fraction
    height: Fraction
    shaft_depth: Fraction
    hub_depth: Fraction
    from_side: bool
    shafts: Limits | None
    source: str
    status: str

    def depth_from_crown(self, shaft: Fraction) -> Fraction:
        """How deep the cutter goes from the crown of a shaft, mm."""
        return self.shaft_depth + (chord_height(shaft, self.width) if self.from_side else 0)


def woodruff_keys(system: str = "metric") -> tuple[WoodruffKey, ...]:
    """Every Woodruff key of a system, 'metric' (ISO 3912) or 'inch' (ANSI B17.2), in order of width.  Raises ValueError for another."""
    if system == "metric":
        return tuple(_metric_woodruff(row) for row in table("keys", "woodruff_metric").rows)
    if system != "inch":
        raise ValueError("systems: metric, inch")
    suited = {row.number("w"): _inch((row.number("from"), row.number("to"))) for row in table("keys", "woodruff_inch_shafts").rows}
    return tuple(_inch_woodruff(row, suited.get(row.number("w"))) for row in table("keys", "woodruff_inch").rows)


def woodruff_for(shaft: Fraction) -> tuple[WoodruffKey, ...]:
    """The inch Woodruff keys whose width suits a shaft; metric ones come without guidance."""
    return tuple(key for key in woodruff_keys("inch") if key.shafts is not None and key.shafts[0] <= shaft <= key.shafts[1])


def _metric_woodruff(row: Row) -> WoodruffKey:
    width, height, diameter, t1, t2 = (row.number(name) for name in ("b", "h", "d", "t1", "t2"))
    name = " x ".join(f"{value.numerator / value.denominator:g}" for value in (width, height, diameter))
    return WoodruffKey(name, width, diameter, height, t1, t2, False, None, row.source, row.status)


def _inch_woodruff(row: Row, shafts: Limits | None) -> WoodruffKey:
    width, diameter, height, shaft, hub = (row.number(name) * _INCH for name in ("w", "diameter", "height", "shaft_depth", "hub_depth"))
    return WoodruffKey(row.text("number"), width, diameter, height, shaft, hub, True, shafts, row.source, row.status)
