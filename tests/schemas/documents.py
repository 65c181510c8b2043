"""Documents that a schema allows, made at random: every optional key may be missing, every alternative may be taken."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st
from schemas.schema_reading import Schema, resolved

# Ways to write each kind of quantity; plain numerals are written without quotation marks, as people do.
QUANTITIES = {
    "length": ["12.5 mm", "1/2 in", "1 7/16 in", "4 thou", '3"'],
    "distance": ["0 mm", "0.05 mm", "2 thou"],
    "position": ["-12 mm", "0 mm", "1/2 in"],
    "lead": ["1.5 mm", "16 TPI", "11 1/2 TPI", "1/8 in"],
    "tooth-size": ["module 1.25", "20 DP", "14 1/2 DP"],
    "angle": ["-40 deg", "29.5 deg", "1\u00b026'16\"", "0 deg"],
    "positive-angle": ["60 deg", "14 1/2 deg", "1 deg"],
    "stroke-rate": ["28 strokes/min", "33 1/3 strokes/min"],
    "speed": ["52 rpm", "33 1/3 rpm"],
    "cutting-speed": ["30 m/min", "100 ft/min"],
    "time": ["1.5 s", "1 min"],
    "ratio": ["1", "4", "1/2", "24:48", "24:72", "1.25", "0.5"],
    "taper": ["1:20", "0.602 in/ft"],
    "share": ["200 ppm", "5 %", "0 ppm"],
    "power": ["0.55 kW", "370 W"],
}
# Names that a careless reader of YAML turns into something else.
WORDS = [
    *("A", "on", "off", "yes", "no", "true", "null", "1", "0.5", "1e3", "0x10", "24:48", "2024-01-02", "~", "x y", "I-II"),
    *("\u00fc", "#1", "a: b", "- 3", "'", '"'),
]


class Plain(str):
    """Text that is written without quotation marks."""

    __slots__ = ()


def documents(schema: Schema, home: str) -> st.SearchStrategy[Any]:
    """Values that the schema allows.  Text is ``str`` (to be quoted), quantities are :class:`Plain`."""
    schema, home = resolved(schema, home)
    if "const" in schema:
        return st.just(schema["const"])
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    if "oneOf" in schema:
        return st.sampled_from([option["const"] for option in schema["oneOf"]])
    kinds = schema["type"]
    if "string" in kinds and not {"object", "array"} & set(kinds):
        kinds = "string"  # plain numerals are among the texts
    return st.one_of([_of(kind, schema, home) for kind in ([kinds] if isinstance(kinds, str) else kinds)])


def _of(kind: str, schema: Schema, home: str) -> st.SearchStrategy[Any]:
    if kind == "boolean":
        return st.booleans()
    if kind == "integer":
        return st.integers(schema["minimum"], schema["maximum"])
    if kind == "string":
        if "format" in schema:
            return st.sampled_from([Plain(text) for text in QUANTITIES[schema["format"]]])
        if "pattern" in schema:
            return st.from_regex(schema["pattern"].removeprefix("^").removesuffix("$"), fullmatch=True, alphabet=st.characters(max_codepoint=0x7E))
        if "enum" in schema.get("then", ()):
            return st.sampled_from(schema["then"]["enum"])
        words = [word for word in WORDS if schema.get("minLength", 0) <= len(word) <= schema["maxLength"]]
        return st.sampled_from([*words, Plain("6"), Plain("on")]) if "integer" in schema["type"] else st.sampled_from(words)
    if kind == "array":
        items = documents(schema["items"], home)
        least = schema.get("minItems", 0)
        unique = (lambda value: json.dumps(value)) if schema.get("uniqueItems") else None
        return st.lists(items, min_size=least, max_size=min(schema["maxItems"], max(least, 2)), unique_by=unique)
    return _maps(schema, home)


@st.composite
def _maps(draw: st.DrawFn, schema: Schema, home: str) -> dict[str, Any]:
    if not schema.get("properties"):
        names = draw(st.lists(st.sampled_from(WORDS), min_size=schema.get("minProperties", 0), max_size=3, unique=True))
        return {name: draw(documents(schema["additionalProperties"], home)) for name in names}
    known, needed = schema["properties"], set(schema.get("required", ()))
    if "else" in schema:  # a gearbox is described in one of two ways
        one, other = draw(st.permutations(["levers", "rows"]))
        needed, known = needed | {one}, {key: value for key, value in known.items() if key != other}
    spare = [key for key in known if key not in needed]
    least = max(0, schema.get("minProperties", 0) - len(needed))
    most = min(len(spare), schema.get("maxProperties", len(known)) - len(needed))
    chosen = draw(st.lists(st.sampled_from(spare), min_size=least, max_size=most, unique=True)) if spare else []
    return {key: draw(documents(known[key], home)) for key in known if key in needed or key in chosen}


def as_yaml(value: Any) -> str:
    """The document as YAML in flow style: words quoted, quantities and numbers plain where YAML lets them be."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key, ensure_ascii=False)}: {as_yaml(inner)}" for key, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_yaml(item) for item in value) + "]"
    if isinstance(value, Plain) and '"' not in value:
        return str(value)
    return json.dumps(value, ensure_ascii=False)
