"""The sum of a box as its page wants it: every number whole or a fraction, every word as it is said."""

from __future__ import annotations

import json
from collections.abc import Mapping
from fractions import Fraction

from benchleaf.render.clean import clean
from benchleaf.sheet.model import Box, Figure, Limits, Sum
from benchleaf.sheet.plain import SUM_WORDS
from benchleaf.sheet.words import spoken_text

__all__ = ["sum_json"]


def sum_json(box: Box, rule: Sum, names: Mapping[str, Figure], section: str) -> str:
    """JSON for ``templates/sheet.js``; what is not there is an empty text."""
    ends = Limits(None, None) if rule.limits is None else rule.limits
    collar = rule.collar
    data = {
        "target": _exact(rule.target),
        "factor": _exact(rule.factor),
        "grows": rule.grows,
        "rounding": rule.rounding,
        "lower": _exact(ends.lower),
        "upper": _exact(ends.upper),
        "start": _exact(rule.start),
        "division": _exact(None if collar is None else collar.division),
        "turn": _exact(None if collar is None else collar.turn),
        "down": collar is not None and collar.counts_down,
        "unit": clean(rule.unit),
        "places": rule.places,
        "readUnit": clean(box.unit),
        "reads": rule.reads,
        "words": {name: clean(spoken_text(getattr(rule.words, name), names, section)) for name in SUM_WORDS},
    }
    return json.dumps(data, ensure_ascii=False)


def _exact(value: Fraction | None) -> str:
    return "" if value is None else str(value)
