"""What jsonschema finds, in shop words and at the words at fault.  Neither its messages nor the data it shows are used."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence

from jsonschema.exceptions import ValidationError

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.source.finding import Finding, FormatRefusal, counted, either, first_sentence, flow, now, quoted, short, word
from benchleaf.source.node import Node
from benchleaf.source.schema import ScalarFault
from benchleaf.source.shapes import root_shape

__all__ = ["meant_keys", "words_for"]

_SHAPES = {
    "object": "keys with their values",
    "array": "a list",
    "string": "words",
    "integer": "a whole number",
    "boolean": "`true` or `false`",
    "null": "nothing",
}
_TRUTHS = {"true": "true", "yes": "true", "on": "true", "y": "true", "false": "false", "no": "false", "off": "false", "n": "false"}


def words_for(found: Finding, mistyped: Sequence[str] = ()) -> list[Diagnostic]:
    """The diagnostics for one finding.  ``mistyped`` are keys that are there under a mistyped name."""
    if found.word == "required":
        return _missing(found, mistyped)
    if found.node.kind == "map" and isinstance(found.error.instance, str):
        return _name(found)
    return _KEYWORDS.get(found.word, _other)(found)


# Keys


def _unknown(found: Finding) -> list[str]:
    known = found.part.get("properties", {})
    return [name.text for name, _ in found.node.items if name.text not in known]


def meant_keys(found: Finding) -> tuple[str, ...]:
    """The keys that the unknown ones stand for, as far as can be guessed."""
    return tuple(close[0] for key in _unknown(found) if (close := _close_keys(found, key)))


def _close_keys(found: Finding, key: str) -> list[str]:
    """Keys that are still to be given and look like this one."""
    return list(close_matches(key, [name for name in found.part.get("properties", {}) if name not in found.node], 2))


def _unknown_keys(found: Finding) -> list[Diagnostic]:
    known = list(found.part.get("properties", {}))
    where = f"a {found.kind} file" if not found.path else found.named()
    faults = []
    for key in _unknown(found):
        close = _close_keys(found, key)
        hints = (f"did you mean {either(close)}?",) if close else _elsewhere(key, found.kind)
        notes = (f"keys known here: {', '.join(f'`{name}`' for name in known)}",)
        faults += found.fault(
            "unknown-key", f"there is no key `{short(key)}` in {where}", found.node.key_span(key), hints=hints, notes=notes
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


def _missing(found: Finding, mistyped: Sequence[str]) -> list[Diagnostic]:
    """All keys that are missing, though jsonschema finds them one by one: what is said twice is dropped later."""
    faults = []
    for key in found.wanted:
        if key in found.node or key in mistyped:
            continue
        inner = found.shape.child(key)
        said, examples, const = inner.said("description"), inner.said("examples"), inner.said("const")
        sample = flow(examples[0]) if examples else flow(const) if const is not None else ""
        faults += found.fault(
            "missing", f"{found.named()} lacks `{key}`", found.key_span(), f"needs `{key}`",
            hints=(f"for example `{key}: {sample}`" if sample else f"add `{key}:`",),
            notes=(f"`{key}`: {first_sentence(said)}",) if said else (),
        )  # fmt: skip
    return faults


def _too_many_keys(found: Finding) -> list[Diagnostic]:
    limit, known = int(found.wanted), found.shape.known()
    names = [name for name, _ in found.node.items if not known or name.text in known]
    if len(names) <= limit:
        return []  # those too many are not known here, which is said already
    hints = (f"choose one of {either(known)}",) if limit == 1 and known else ()
    return found.fault(
        "too-many", f"{found.named()} takes {counted(limit, 'key', 'keys')}, not {len(names)}", names[limit].span, hints=hints
    )


def _too_few_keys(found: Finding) -> list[Diagnostic]:
    known = found.shape.known()
    hints = (f"give {'one' if found.wanted == 1 else 'some'} of {', '.join(f'`{key}`' for key in known)}",) if known else ()
    if not found.node.items:
        return found.fault("too-few", f"nothing is given in {found.named()}", found.node.span, hints=hints)
    return found.fault("too-few", f"{found.named()} needs at least {counted(found.wanted, 'key', 'keys')}", found.key_span(), hints=hints)


# Kinds of value


def _type(found: Finding) -> list[Diagnostic]:
    wanted = [found.wanted] if isinstance(found.wanted, str) else list(found.wanted)
    node = found.node
    examples = found.shape.said("examples")
    sample = (f"write it like `{flow(examples[0])}`",) if examples else ()
    if node.kind == "null":
        return found.fault(
            "no-value",
            f"{found.named()} has no value",
            hints=sample or (f"write {either([_SHAPES[name] for name in wanted], '')} there, or take the line out",),
        )
    scalar = node.kind not in ("map", "seq")
    if scalar and "integer" in wanted and (node.kind == "number" or _WHOLE_IN_QUOTES.fullmatch(node.text)):
        return _whole(found)
    if scalar and "boolean" in wanted and (node.kind == "boolean" or node.text.lower() in _TRUTHS):
        return found.fault(
            "type",
            f"{found.named()} is `true` or `false`, not {quoted(node)}",
            hints=(f"write `{_TRUTHS[node.text.lower()]}`, without quotes",),
        )
    if node.kind == "boolean" and "string" in wanted:
        message = f"{found.named()} is a word, but `{node.text}` means yes or no"
        return found.fault(
            "type",
            message.replace("means yes or no", f"means {'yes' if node.text.lower() == 'true' else 'no'}"),
            hints=(f"write `'{node.text}'` in quotes if the word itself is meant",),
        )
    now = "keys with their values" if node.kind == "map" else "a list" if node.kind == "seq" else quoted(node)
    hints = sample
    if wanted == ["array"] and scalar and not found.shape.element().types <= {"array", "object"}:
        hints = (f"write `[{short(node.text)}]`",)
    elif wanted == ["object"] and found.shape.known():
        hints = (f"give its keys on lines of their own below it: {', '.join(f'`{key}`' for key in found.shape.known())}",)
    span = found.span() if scalar else found.key_span()
    return found.fault("type", f"{found.named()} takes {either([_SHAPES[name] for name in wanted], '')}, not {now}", span, hints=hints)


_WHOLE_IN_QUOTES = re.compile(r"[-+]?[0-9][0-9_.eExX]*")


def _whole(found: Finding) -> list[Diagnostic]:
    node = found.node
    if len(node.text) > 15 and re.fullmatch(r"-?[0-9]+", node.text):
        return found.fault("whole-number", f"{found.named()} has {len(node.text)} digits, at most 15 are read")
    if node.quoted:
        message = f"{found.named()} is a number, but {quoted(node)} is in quotes"
    else:
        message = f"{quoted(node)} is not a whole number in plain digits"
    return found.fault(
        "whole-number",
        message,
        hints=(
            "a whole number is written in digits alone, as 40 is: no point, exponent, sign in front, leading zero, underscore or quotes",
        ),
    )


# Values


def _choices(found: Finding) -> list[str]:
    return [word(choice) for choice in (found.wanted if found.word == "enum" else [found.wanted])]


def _choice(found: Finding, choices: list[str] | None = None) -> list[Diagnostic]:
    choices = _choices(found) if choices is None else choices
    if not found.path and found.word == "const":
        return _other(found)
    close = close_matches(found.node.text, choices, 1)
    several = [f"`{choice}`" for choice in choices]
    blocks = found.shape.known()
    if blocks and "object" in found.shape.types:
        several.append(f"keys of its own: {', '.join(f'`{key}`' for key in blocks)}")
    notes = (f"it may be {either(several, '')}",) if close else ()
    hint = f"did you mean `{close[0]}`?" if close else f"write {either(several, '')}"
    return found.fault("choice", f"{found.named()} cannot be {quoted(found.node)}", hints=(hint,), notes=notes)


def _range(found: Finding) -> list[Diagnostic]:
    least = found.word == "minimum"
    why = "under the least" if least else "over the most"
    message = f"{found.named()} cannot be {short(found.node.text)}, which is {why} there can be, {found.wanted}"
    return found.fault("range", message, label=f"at {'least' if least else 'most'} {found.wanted}", notes=_described(found))


def _entries(found: Finding) -> list[Diagnostic]:
    few, number = found.word == "minItems", len(found.node.elements)
    span = found.node.span if few else found.node.elements[int(found.wanted)].span
    limit = counted(found.wanted, "entry", "entries")
    message = f"{found.named()} takes at {'least' if few else 'most'} {limit}, not {number}"
    return found.fault("too-few" if few else "too-many", message, span, notes=_described(found))


def _length(found: Finding) -> list[Diagnostic]:
    if found.word == "minLength":
        return found.fault("empty", f"{found.named()} is empty", hints=_sample(found))
    return found.fault("too-long", f"{found.named()} has {len(found.node.text)} characters, it takes {found.wanted} at most")


def _name(found: Finding) -> list[Diagnostic]:
    """A name that the user makes up does not suit: the finding is about the map, its instance is the name."""
    name = str(found.error.instance)
    what = (
        "is empty"
        if not name
        else f"has {len(name)} characters, {found.wanted} at most are taken"
        if found.word == "maxLength"
        else "is not written as it should be"
    )
    return found.fault("name", f"the name `{short(name)}` in {found.named()} {what}", found.node.key_span(name))


def _pattern(found: Finding) -> list[Diagnostic]:
    return found.fault(
        "pattern", f"{found.named()} cannot be written as {quoted(found.node)}", hints=_sample(found), notes=_described(found)
    )


def _repeated(found: Finding) -> list[Diagnostic]:
    faults: list[Diagnostic] = []
    seen: dict[str, Span] = {}
    for element in found.node.elements:
        mark = _sameness(element)
        if mark in seen:
            message = (
                f"{quoted(element)} stands in {found.named()} twice" if element.text else f"{found.named()} holds the same entry twice"
            )
            faults.append(
                Diagnostic(
                    "schema/repeated", message, element.span, hints=("take one of them out",), related=((seen[mark], "first given here"),)
                )
            )
        seen.setdefault(mark, element.span)
    return faults


def _sameness(node: Node) -> str:
    if node.kind == "map":
        return json.dumps(sorted((name.text, _sameness(value)) for name, value in node.items))
    return json.dumps([_sameness(element) for element in node.elements]) if node.kind == "seq" else node.text


def _format(found: Finding) -> list[Diagnostic]:
    assert isinstance(found.error.cause, FormatRefusal), "only our checker judges formats"
    fault = found.error.cause.fault
    return [Diagnostic(fault.code, fault.message, _inside(found.node, fault), hints=(fault.hint,) if fault.hint else ())]


def _inside(node: Node, fault: ScalarFault) -> Span:
    """The characters at fault; the whole value where what stands in the file is not letter by letter what it means."""
    span = node.span
    width = span.end_column - span.column
    opening = 1 if node.quoted and width == len(node.text) + 2 else 0
    if not fault.length or span.line != span.end_line or width != len(node.text) + 2 * opening:
        return span
    start = min(span.column + opening + fault.offset, span.end_column - 1)
    return Span(span.file, span.line, start, span.line, max(min(start + fault.length, span.end_column - opening), start + 1))


# Conditions and alternatives


def _not(found: Finding) -> list[Diagnostic]:
    """Something that may not be: keys that cannot stand together, as a rule."""
    extra = [key for key in found.wanted.get("required", ()) if key in found.node] if isinstance(found.wanted, dict) else []
    if not extra:
        return _other(found)
    beside = _condition(found)
    message = f"`{extra[0]}` cannot stand beside `{beside}`" if beside else f"`{extra[0]}` cannot stand in {found.named()}"
    return found.fault("together", message, found.node.key_span(extra[0]), hints=("take one of them out",) if beside else ())


def _condition(found: Finding) -> str:
    """The key whose presence brought a ``then`` into force."""
    for part, _ in found.shape.parts:
        if part.get("then") is found.part and isinstance(part.get("if"), dict):
            return next((key for key in part["if"].get("required", ()) if key in found.node), "")
    return ""


def _alternatives(found: Finding) -> list[Diagnostic]:
    """None of several alternatives fits: speak of the one that was meant, told by what the node is and by the words it has."""
    branches: dict[int, list[ValidationError]] = {}
    for inner in found.error.context or ():
        branches.setdefault(int(inner.schema_path[0]), []).append(inner)
    if not branches:
        return _other(found)
    values = [branch[keyword] for branch in found.wanted for keyword in ("const", "enum") if keyword in branch]
    if len(values) == len(found.wanted):
        choices = [word(choice) for value in values for choice in (value if isinstance(value, list) else [value])]
        return _choice(found, choices)
    meant = min(branches.values(), key=lambda errors: _distance(errors, found))
    if all(_at_top(error) and error.validator == "type" for error in meant):
        wanted = dict.fromkeys(
            name
            for errors in branches.values()
            for error in errors
            if error.validator == "type" and _at_top(error)
            for name in _names(error)
        )
        return found.fault(
            "type", f"{found.named()} takes {either([_SHAPES[name] for name in wanted], '')}, not {now(found.node)}", hints=_sample(found)
        )
    return [fault for error in meant for fault in words_for(Finding(error, found.root, [*found.path, *error.relative_path], found.kind))]


def _distance(errors: list[ValidationError], found: Finding) -> tuple[int, int, int, int]:
    """How far the node is from an alternative: another type first, then another tell-tale word, then foreign keys, then mere number."""
    types = sum(error.validator == "type" and _at_top(error) for error in errors)
    words = sum(error.validator in ("const", "enum") and len(error.relative_path) == 1 for error in errors)
    foreign = sum(error.validator == "additionalProperties" for error in errors)
    return types, words, foreign, len(errors)


def _at_top(error: ValidationError) -> bool:
    return not error.relative_path


def _names(error: ValidationError) -> list[str]:
    return [error.validator_value] if isinstance(error.validator_value, str) else list(error.validator_value)  # type: ignore[arg-type]


def _other(found: Finding) -> list[Diagnostic]:
    return found.fault("shape", f"{found.named()} does not have the shape that it should have", found.key_span(), notes=_described(found))


def _described(found: Finding) -> tuple[str, ...]:
    said = found.part.get("description") or found.shape.said("description")
    return (first_sentence(said),) if said else ()


def _sample(found: Finding) -> tuple[str, ...]:
    examples = found.part.get("examples") or found.shape.said("examples")
    return (f"write it like `{flow(examples[0])}`",) if examples else ()


_KEYWORDS: dict[str, Callable[[Finding], list[Diagnostic]]] = {
    "additionalProperties": _unknown_keys, "type": _type, "enum": _choice, "const": _choice, "minimum": _range, "maximum": _range,
    "minItems": _entries, "maxItems": _entries, "minProperties": _too_few_keys, "maxProperties": _too_many_keys, "minLength": _length,
    "maxLength": _length, "pattern": _pattern, "uniqueItems": _repeated, "format": _format, "not": _not, "oneOf": _alternatives,
    "anyOf": _alternatives,
}  # fmt: skip
