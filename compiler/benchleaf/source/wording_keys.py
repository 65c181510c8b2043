"""Faults of keys in shop words: unknown, missing, too many, too few."""

from __future__ import annotations

from collections.abc import Sequence

from benchleaf.diagnostics import Diagnostic, close_matches
from benchleaf.source.finding import Finding, counted, either, first_sentence, flow, short
from benchleaf.source.shapes import root_shape

__all__ = ["made_up_name", "meant_keys", "missing", "too_few_keys", "too_many_keys", "unknown_keys"]


def _unknown(found: Finding) -> list[str]:
    known = found.part.get("properties", {})
    return [name.text for name, _ in found.node.items if name.text not in known]


def meant_keys(found: Finding) -> tuple[str, ...]:
    """The keys that the unknown ones stand for, as far as can be guessed."""
    return tuple(close[0] for key in _unknown(found) if (close := _close_keys(found, key)))


def _close_keys(found: Finding, key: str) -> list[str]:
    """Keys that are still to be given and look like this one."""
    return list(close_matches(key, [name for name in found.part.get("properties", {}) if name not in found.node], 2))


def unknown_keys(found: Finding) -> list[Diagnostic]:
    """Each key that the schema does not know."""
    known = list(found.part.get("properties", {}))
    where = f"a {found.kind} file" if not found.path else found.named()
    faults = []
    for key in _unknown(found):
        close = _close_keys(found, key)
        hints = (f"did you mean {either(close)}?",) if close else _elsewhere(key, found.kind)
        notes = (f"keys known here: {', '.join(f'`{name}`' for name in known)}",)
        faults += found.fault(
            "schema/unknown-key", f"there is no key `{short(key)}` in {where}", found.node.key_span(key), hints=hints, notes=notes
        )
    return faults


def _elsewhere(key: str, kind: str) -> tuple[str, ...]:
    """A key that is known in another place of this kind of file was probably indented wrongly."""
    homes: list[str] = []
    pending, seen = [(root_shape(kind), "", 0)], set()
    while pending:
        shape, name, depth = pending.pop(0)
        marks = frozenset(id(part) for part, _ in shape.parts)
        if marks in seen or depth > 12:
            continue
        seen.add(marks)
        for inner in shape.known():
            if inner == key and name not in homes:
                homes.append(name)
            pending.append((shape.child(inner), inner, depth + 1))
        if shape.element().parts:
            pending.append((shape.element(), name, depth + 1))
    homes = [home for home in homes if home]
    if not homes or len(homes) > 3:
        return ()
    return (f"it belongs under {either(homes)}: check the indentation",)


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
