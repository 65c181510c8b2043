"""Faults of keys in shop words: unknown, missing, too many, too few."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import islice

from benchleaf.diagnostics import Diagnostic, close_matches
from benchleaf.source.finding import Finding, counted, either, first_sentence, flow, short
from benchleaf.source.node import Node
from benchleaf.source.shapes import Shape, root_shape

__all__ = ["made_up_name", "meant_keys", "missing", "too_few_keys", "too_many_keys", "unknown_keys"]


MOST_KEYS = 101  # unknown keys of one map that are looked into: one more than there are faults reported


def meant_keys(found: Finding) -> tuple[str, ...]:
    """The keys that the unknown ones stand for, as far as can be guessed."""
    return tuple(close[0] for _, close in _unknown(found) if close)


def _unknown(found: Finding) -> list[tuple[Node, tuple[str, ...]]]:
    """The keys that the schema does not know, each with those that are still to be given and look like it."""
    known = found.part.get("properties", {})
    given = {name.text for name, _ in found.node.items}
    open_keys = [name for name in known if name not in given]
    strangers = (name for name, _ in found.node.items if name.text not in known)
    return [(name, close_matches(name.text, open_keys, 2)) for name in islice(strangers, MOST_KEYS)]


def unknown_keys(found: Finding) -> list[Diagnostic]:
    """Each key that the schema does not know."""
    where = f"a {found.kind} file" if not found.path else found.named()
    notes = (f"keys known here: {', '.join(f'`{name}`' for name in found.part.get('properties', {}))}",)
    faults = []
    for key, close in _unknown(found):
        homes = _homes(root_shape(found.kind)).get(key.text, ())
        hints: tuple[str, ...] = ()
        name, colon, rest = key.text.partition(":")
        if colon and rest and name in found.part.get("properties", {}):
            hints = (f"put a space after the colon: `{name}: {short(rest.strip())}`",)
        elif close:
            hints = (f"did you mean {either(close)}?",)
        elif 0 < len(homes) <= 3:
            hints = (f"it belongs under {either(homes)}: check the indentation",)
        faults += found.fault("schema/unknown-key", f"there is no key `{short(key.text)}` in {where}", key.span, hints=hints, notes=notes)
    return faults


@lru_cache(maxsize=16)
def _homes(root: Shape) -> Mapping[str, tuple[str, ...]]:
    """For each key of a kind of file the keys under which it is known, nearest to the top first."""
    found: dict[str, dict[str, None]] = {}
    pending, seen = [(root, "")], set()
    for shape, owner in pending:  # grows while it is gone through
        marks = frozenset(id(part) for part, _ in shape.parts)
        if not marks or (marks, owner) in seen:
            continue
        seen.add((marks, owner))
        for key in shape.known():
            if owner:
                found.setdefault(key, {})[owner] = None
            pending.append((shape.child(key), key))
        pending.append((shape.element(), owner))
    return {key: tuple(owners) for key, owners in found.items()}


def missing(found: Finding, mistyped: Sequence[str]) -> list[Diagnostic]:
    """All keys that are missing, though jsonschema finds them one by one: what is said twice is dropped later."""
    faults = []
    for key in found.wanted:
        if key in found.node or key in mistyped:
            continue
        inner = found.shape.child(key)
        said, examples, const = inner.said("description"), inner.said("examples"), inner.said("const")
        sample = flow(examples[0]) if examples else flow(const) if const is not None else ""
        faults += found.fault(
            "schema/missing", f"{found.named()} lacks `{key}`", found.key_span(), f"needs `{key}`",
            hints=(f"for example `{key}: {sample}`" if sample else f"add `{key}:`",),
            notes=(f"`{key}`: {first_sentence(said)}",) if said else (),
        )  # fmt: skip
    return faults


def too_many_keys(found: Finding) -> list[Diagnostic]:
    """More keys than can stand together."""
    limit, known = int(found.wanted), found.shape.known()
    names = [name for name, _ in found.node.items if not known or name.text in known]
    if len(names) <= limit:
        return []  # those too many are not known here, which is said already
    hints = (f"choose one of {either(known)}",) if limit == 1 and known else ()
    return found.fault(
        "schema/too-many", f"{found.named()} takes {counted(limit, 'key', 'keys')}, not {len(names)}", names[limit].span, hints=hints
    )


def too_few_keys(found: Finding) -> list[Diagnostic]:
    """A map that says too little."""
    known = found.shape.known()
    hints = (f"give {'one' if found.wanted == 1 else 'some'} of {', '.join(f'`{key}`' for key in known)}",) if known else ()
    if not found.node.items:
        return found.fault("schema/too-few", f"nothing is given in {found.named()}", found.node.span, hints=hints)
    return found.fault(
        "schema/too-few", f"{found.named()} needs at least {counted(found.wanted, 'key', 'keys')}", found.key_span(), hints=hints
    )


def made_up_name(found: Finding) -> list[Diagnostic]:
    """A name that the user chose does not suit: the finding is about the map, its instance is the name."""
    name = str(found.error.instance)
    what = f"`{short(name)}` in {found.named()} is not a name that can stand there"
    if not name:
        what = f"a name in {found.named()} is empty"
    elif found.word == "maxLength":
        what = f"the name `{short(name)}` in {found.named()} has {len(name)} characters, {found.wanted} at most are taken"
    return found.fault("schema/name", what, found.node.key_span(name))
