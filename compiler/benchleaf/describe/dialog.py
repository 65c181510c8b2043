"""The questions for one kind of file, in the order of its schema, and what is made of the answers.

What a schema requires is asked; what may be left out is asked when ``everything`` is wanted, groups and lists only after "describe it?".
An empty answer skips (or takes the default), ``?`` shows the whole description, ``.`` ends the questions.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from benchleaf.describe.reading import NotUnderstoodError, read_list, read_map, read_scalar
from benchleaf.record import record
from benchleaf.source.shapes import Schema, resolve, schema_of

__all__ = ["Dialog", "Finished", "Question"]

Plain = dict[str, Any]
_TRIES = 5  # wrong answers to one question before it is skipped, so that a piped script cannot go round for ever


class Finished(Exception):  # noqa: N818 - it is no error
    """Whoever answers has had enough, or the input has ended."""


@record
class Question:
    """One question: where the answer goes, its title, the whole description, examples, choices, and whether it must be answered."""

    path: str
    title: str
    description: str
    examples: tuple[str, ...]
    choices: tuple[str, ...]
    required: bool
    default: str
    form: str  # 'value', 'list', 'names' (name = value pairs) or 'yes or no'

    @property
    def short(self) -> str:
        """The first sentence of the description."""
        first, stop, _ = self.description.partition(". ")
        return first + "." if stop else first


Ask = Callable[[Question, str], str | None]  # the question, and why the last answer would not do; None when the input has ended


class Dialog:
    """Asks for one file.  ``missing`` are the required keys that were left unanswered."""

    def __init__(self, kind: str, ask: Ask, *, everything: bool = False) -> None:
        self.kind = kind
        self.ask = ask
        self.everything = everything
        self.missing: list[str] = []
        self._finished = False
        self._within: list[str] = []

    def run(self, existing: Plain | None = None) -> Plain:
        """The answers as plain data, what exists included."""
        return self._map(schema_of(self.kind), self.kind, "", existing or {}, required=True)

    def _map(self, schema: Schema, home: str, path: str, existing: Plain, *, required: bool) -> Plain:
        made: Plain = {}
        for key, part in schema.get("properties", {}).items():
            here = f"{path}.{key}" if path else key
            must = key in schema.get("required", ())
            sub, sub_home = _resolved(part, home)
            if key in existing:
                made[key] = self._gaps(sub, sub_home, here, existing[key])
                continue
            value = self._value(sub, sub_home, here, must=must and required)
            if value is not None:
                made[key] = value
        return made

    def _gaps(self, schema: Schema, home: str, path: str, value: Any) -> Any:
        """What is there, with the required keys that it lacks asked for."""
        if isinstance(value, dict) and schema.get("properties"):
            return self._map(schema, home, path, value, required=True)
        if isinstance(value, list) and isinstance(schema.get("items"), Mapping):
            element, element_home = _resolved(schema["items"], home)
            return [self._gaps(element, element_home, f"{path}[{number}]", item) for number, item in enumerate(value)]
        return value

    def _value(self, schema: Schema, home: str, path: str, *, must: bool) -> Any:
        if "const" in schema:
            return schema["const"]
        if path == "schema":
            return 1
        if self._finished:
            if must:
                self.missing.append(path)
            return None
        kind = _kind(schema)
        if not must and not self.everything and (kind == "value" or (kind in ("list", "names") and "default" in schema)):
            return None
        try:
            return self._asked(schema, home, path, kind, must=must)
        except Finished:
            self._finished = True
            if must:
                self.missing.append(path)
            return None

    def _asked(self, schema: Schema, home: str, path: str, kind: str, *, must: bool) -> Any:
        if kind == "map":
            if not must and not self._yes(schema, path, "Describe it?"):
                return None
            return self._inside(schema, path, partial(self._map, schema, home, path, {}, required=True))
        if kind == "maps":
            return self._several(schema, home, path, must=must)
        readers: dict[str, Callable[[str, Schema, str], Any]] = {"list": read_list, "names": read_map}
        reader = readers.get(kind, read_scalar)
        return self._answer(self._question(schema, path, kind, must), lambda words: reader(words, schema, home), path)

    def _inside(self, schema: Schema, path: str, ask: Callable[[], Plain]) -> Plain:
        """The answers about a part, whose title stands before those of its questions."""
        self._within.append(str(schema.get("title", path)))
        try:
            return ask()
        finally:
            self._within.pop()

    def _several(self, schema: Schema, home: str, path: str, *, must: bool) -> Any:
        element, element_home = _resolved(schema["items"], home)
        found: list[Any] = []
        while not self._finished:
            first = not found
            if not (must and first) and not self._yes(schema, path, "Describe one?" if first else "Another?"):
                break
            place = f"{path}[{len(found)}]"
            found.append(self._inside(element, place, partial(self._map, element, element_home, place, {}, required=True)))
        return found or None

    def _question(self, schema: Schema, path: str, kind: str, must: bool) -> Question:
        examples = tuple(_shown(item) for item in schema.get("examples", ())[:2] if not isinstance(item, dict) or kind == "names")
        choices = tuple(str(option["const"]) for option in schema.get("oneOf", ()) if "const" in option) or tuple(schema.get("enum", ()))
        if schema.get("type") == "boolean":
            choices = ("yes", "no")
        told = " ".join(f"{option['const']}: {option['description']}" for option in schema.get("oneOf", ()) if "const" in option)
        description = f"{schema.get('description', '')} {told}".strip()
        form = kind if kind in ("list", "names") else "value"
        title = ", ".join([*self._within, str(schema.get("title", path))])
        return Question(path, title, description, examples, choices, must, _shown(schema.get("default", "")), form)

    def _yes(self, schema: Schema, path: str, words: str) -> bool:
        title = ", ".join([*self._within, f"{schema.get('title', path)}: {words}"])
        question = Question(path, title, str(schema.get("description", "")), (), ("yes", "no"), False, "no", "yes or no")
        return self._answer(question, _yes_or_no, path) is True

    def _answer(self, question: Question, read: Callable[[str], Any], path: str) -> Any:
        """The answer as data; None when it is skipped."""
        why = ""
        for _ in range(_TRIES):
            words = self.ask(question, why)
            if words is None or words.strip() == ".":
                raise Finished
            words = words.strip()
            if words == "?":
                why = question.description
                continue
            if not words:
                if question.required:
                    self.missing.append(path)
                return None
            try:
                return read(words)
            except NotUnderstoodError as fault:
                why = str(fault)
        if question.required:
            self.missing.append(path)
        return None


def _yes_or_no(words: str) -> bool:
    if words.casefold() in ("y", "yes"):
        return True
    if words.casefold() in ("n", "no"):
        return False
    raise NotUnderstoodError("answer yes or no")


def _resolved(schema: Schema, home: str) -> tuple[Schema, str]:
    """The schema with its reference replaced by what it names; words beside the reference go first."""
    while "$ref" in schema:
        target, home = resolve(schema["$ref"], home)
        schema = {**target, **{key: value for key, value in schema.items() if key != "$ref"}}
    return schema, home


def _kind(schema: Schema) -> str:
    """How a value is asked for: 'value', 'list' of values, 'map' of known keys, 'names' (a map of free keys) or 'maps' (a list of maps)."""
    types = schema.get("type", "string")
    types = (types,) if isinstance(types, str) else tuple(types)
    if "array" in types:
        inner, _ = _resolved(schema.get("items", {}), "common")
        return "maps" if inner.get("type") == "object" else "list"
    if types == ("object",):
        return "map" if schema.get("properties") else "names"
    return "value"


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_shown(item) for item in value if not isinstance(item, (dict, list)))
    if isinstance(value, dict):
        return ", ".join(f"{key} = {item}" for key, item in value.items())
    return str(value)
