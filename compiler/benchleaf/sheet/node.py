"""A value of a JSON file with the path to it, which says what is wrong where it is not what it should be."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any, NoReturn, TypeVar

__all__ = ["BrokenError", "Node"]

T = TypeVar("T")
_EXACT = re.compile(r"-?[0-9]{1,2000}(?:/[0-9]{1,2000}|\.[0-9]{1,2000})?")  # no exponents: 1e999999999 would never end


class BrokenError(Exception):
    """Something in the file is not as the schema says; the message names the place."""


class Node:
    """A value of the file with the path to it."""

    def __init__(self, value: Any, path: str) -> None:
        self.value = value
        self.path = path

    def fail(self, wanted: str) -> NoReturn:
        """Refuse the value: it is not what was wanted."""
        raise BrokenError(f"`{self.path or 'the file'}` is not {wanted}")

    def has(self, key: str) -> bool:
        """Whether it is a map with that key."""
        return isinstance(self.value, dict) and key in self.value

    def at(self, key: str) -> Node:
        """The value at a key that must be there."""
        if not self.has(key):
            raise BrokenError(f"`{f'{self.path}.{key}'.lstrip('.')}` is missing")
        return Node(self.value[key], f"{self.path}.{key}".lstrip("."))

    def text(self, key: str) -> str:
        """The text at a key."""
        node = self.at(key)
        return node.value if isinstance(node.value, str) else node.fail("text")

    def whole(self, key: str) -> int:
        """The whole number at a key."""
        node = self.at(key)
        if not isinstance(node.value, int) or isinstance(node.value, bool) or abs(node.value) >= 10**9:
            node.fail("a whole number")
        return int(node.value)

    def flag(self, key: str) -> bool:
        """True or false at a key."""
        node = self.at(key)
        return node.value if isinstance(node.value, bool) else node.fail("true or false")

    def length(self, key: str) -> float:
        """The number at a key, such as can be drawn."""
        node = self.at(key)
        ok = isinstance(node.value, (int, float)) and not isinstance(node.value, bool) and abs(node.value) < 1e6
        return float(node.value) if ok and math.isfinite(node.value) else node.fail("a number that can be drawn")

    def exact(self, key: str) -> Fraction:
        """The exact number at a key: whole, decimal or a fraction."""
        words, node = self.text(key), self.at(key)
        if not _EXACT.fullmatch(words) or ("/" in words and not words.rpartition("/")[2].strip("0")):
            node.fail("an exact number")
        return Fraction(words)

    def each(self, key: str, read: Callable[[Node], T]) -> tuple[T, ...]:
        """Every item of the list at a key, read."""
        node = self.at(key)
        if not isinstance(node.value, list):
            node.fail("a list")
        return tuple(read(Node(item, f"{node.path}[{number}]")) for number, item in enumerate(node.value))

    def texts(self, key: str) -> tuple[str, ...]:
        """The list of texts at a key."""
        return self.each(key, lambda node: node.value if isinstance(node.value, str) else node.fail("text"))
