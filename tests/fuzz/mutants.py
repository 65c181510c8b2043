"""Mutants of the demo's files: bytes, words and structure spoilt at random, each from a seed that makes it again."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from typing import Any

import yaml

__all__ = ["WAYS", "mutant"]

NASTY = [
    *("0 mm", "-3 mm", "1e999 mm", "999999999999999999999 mm", "1/0 in", "0.0000000000000001 mm", "1,5 mm", "12.5", "NaN mm", "1000000 TPI", "0 TPI", "0 rpm"),
    *("A" * 5000, "{{ 7 * 7 }}", "{% include '/etc/passwd' %}", "<script>alert(1)</script>", "</style><style>*{display:none}", "]]>", "../../../etc/passwd"),
    *("/etc/passwd", "~/.ssh/id", "file:///etc/passwd", "http://127.0.0.1/x", "*a", "&a [*a, *a]", "!!python/object:os.system x", "on", "yes", "null", "~"),
    *("[]", "{}", "[[[[[[[[]]]]]]]]", "{a: {b: {c: {d: 1}}}}", '"', "'", "|", ">", "%", "@x", "`", "\u202e", "\u0000", "\ufeff", "M999x0.0001", "G 99/1", "16 g99"),
    *("24:48", "2026-02-30", "0x7f", "1_000", "+1", ".5 mm", "5. mm", "1 mm 2 mm", "unknown", "job", "lathe"),
]


def _bytes(data: bytes, dice: random.Random) -> bytes:
    made = bytearray(data)
    for _ in range(dice.randint(1, 6)):
        place = dice.randrange(len(made) + 1)
        match dice.randrange(4):
            case 0 if place < len(made):
                made[place] = dice.randrange(256)
            case 1:
                made[place:place] = bytes(dice.choices(range(256), k=dice.randint(1, 4)))
            case 2:
                del made[place : place + dice.randint(1, 20)]
            case _:
                made[place:place] = made[max(0, place - 30) : place] * dice.randint(1, 3)
    return bytes(made)


def _words(data: bytes, dice: random.Random) -> bytes:
    text = data.decode("utf-8", "replace")
    values = list(re.finditer(r"(?<=: )[^,{}\[\]\n#]+|(?<=- )[^,{}\[\]\n#:]+|[A-Za-z-]+(?=:)", text))
    if not values:
        return data
    for _ in range(dice.randint(1, 3)):
        found = dice.choice(values)
        new = dice.choice(NASTY) if dice.random() < 0.7 else dice.choice(values).group()
        text = text[: found.start()] + new + text[found.end() :]
    return text.encode("utf-8", "surrogatepass")


def _lines(data: bytes, dice: random.Random) -> bytes:
    lines = data.decode("utf-8", "replace").splitlines()
    for _ in range(dice.randint(1, 4)):
        if not lines:
            break
        one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
        match dice.randrange(7):
            case 0:
                del lines[one]
            case 1:
                lines.insert(other, lines[one])
            case 2:
                lines[one], lines[other] = lines[other], lines[one]
            case 3:
                lines[one] = " " * dice.randint(1, 8) + lines[one]
            case 4:
                lines[one] = lines[one].lstrip()
            case 5:
                lines[one:one] = [lines[one]] * dice.randint(1, 200)
            case _:
                lines[one] = lines[one] + dice.choice([" {", " [", " }", "]", ":", " #", " &a", " *a", ",", "\t"])
    return ("\n".join(lines) + "\n").encode("utf-8", "surrogatepass")


def _places(value: Any) -> list[tuple[Any, Any]]:
    """Every place inside a value: the map or list, and the key or number in it."""
    inside = list(value.items()) if isinstance(value, dict) else list(enumerate(value)) if isinstance(value, list) else []
    return [found for key, child in inside for found in [(value, key), *_places(child)]]


def _nodes(data: bytes, dice: random.Random) -> bytes:
    """The file as it was meant, with branches taken out, put elsewhere, wrapped, repeated or spoilt."""
    whole = yaml.load(data, Loader=yaml.BaseLoader)  # BaseLoader: every scalar stays the text that it is
    for _ in range(dice.randint(1, 4)):
        places = _places(whole)
        if not places:
            break
        (home, key), (other, there) = dice.choice(places), dice.choice(places)
        branch = yaml.load(yaml.dump(other[there]), Loader=yaml.BaseLoader)  # a copy, so that nothing holds itself
        match dice.randrange(8):
            case 0:
                del home[key]
            case 1:
                home[key] = branch
            case 2:
                home[key], other[there] = branch, yaml.load(yaml.dump(home[key]), Loader=yaml.BaseLoader)
            case 3:
                home[key] = [home[key]] * dice.choice([1, 2, 30])
            case 4:
                home[key] = {dice.choice(["from", "length", "name", "steps", "by", "x"]): home[key]}
            case 5 if isinstance(home, dict):
                home[str(there)] = home.pop(key)
            case 6 if isinstance(home, list):
                home[key:key] = [branch] * dice.choice([1, 2, 100])
            case _:
                home[key] = dice.choice(NASTY)
    return yaml.dump(whole, allow_unicode=True, sort_keys=False, default_flow_style=dice.choice([None, True, False])).encode("utf-8", "replace")


_SIZE = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)( (?:mm|in|thou|deg|rpm|TPI|s|m/min|kg)\b)?(?=[ ,}\]\n])")


def _sizes(data: bytes, dice: random.Random) -> bytes:
    """Sizes that are still sizes, of the wrong size: these get past the language and into the planning."""
    text = data.decode("utf-8", "replace")
    for _ in range(dice.randint(1, 3)):
        found = list(_SIZE.finditer(text))
        if not found:
            break
        one = dice.choice(found)
        number, unit = float(one[1]), one[2] or ""
        alike = [other[1] for other in found if (other[2] or "") == unit]
        factor = dice.choice([0.001, 0.01, 0.1, 0.5, 0.9, 0.99, 1.01, 1.1, 2, 3, 10, 100, 1000])
        new = dice.choice(alike) if dice.random() < 0.3 else dice.choice(["0", "1", "-1"]) if dice.random() < 0.1 else f"{number * factor:.6g}"
        text = text[: one.start()] + new + unit + text[one.end() :]
    return text.encode("utf-8", "replace")


WAYS: dict[str, Callable[[bytes, random.Random], bytes]] = {"bytes": _bytes, "words": _words, "lines": _lines, "nodes": _nodes, "sizes": _sizes}


def mutant(data: bytes, seed: int) -> tuple[str, bytes]:
    """The way and the spoilt file."""
    dice = random.Random(seed)
    way = dice.choice(list(WAYS))
    return way, WAYS[way](data, dice)
