"""What jsonschema finds, in shop words and at the words at fault.  Neither its messages nor the data it shows are used."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Sequence

from jsonschema.exceptions import ValidationError

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.source.finding import Finding, FormatRefusal, counted, either, first_sentence, flow, now, quoted, short, word
from benchleaf.source.node import Node
from benchleaf.source.schema import ScalarFault
from benchleaf.source.wording_keys import made_up_name, meant_keys, missing, too_few_keys, too_many_keys, unknown_keys

__all__ = ["words_for"]

_SHAPES = {
    "object": "keys with their values",
    "array": "a list",
    "string": "words",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "`true` or `false`",
    "null": "nothing",
}
_TRUTHS = {"true": "true", "yes": "true", "on": "true", "y": "true", "false": "false", "no": "false", "off": "false", "n": "false"}


def words_for(found: Finding, mistyped: Sequence[str] = ()) -> list[Diagnostic]:
    """The diagnostics for one finding.  ``mistyped`` are keys that are there under a mistyped name."""
    if found.word == "required":
        return missing(found, mistyped)
    if found.node.kind == "map" and isinstance(found.error.instance, str):
        return made_up_name(found)
    return _KEYWORDS.get(found.word, _other)(found)


# Kinds of value


def _type(found: Finding) -> list[Diagnostic]:
    wanted = _taken([found.wanted] if isinstance(found.wanted, str) else found.wanted)
    node = found.node
    sample = _samples(found)
    if node.kind == "null":
        return found.fault("schema/no-value", f"{found.named()} has no value", hints=sample or ("write its value, or take the line out",))
    scalar = node.kind not in ("map", "seq")
    if scalar and "integer" in wanted and (node.kind == "number" or _WHOLE_IN_QUOTES.fullmatch(node.text)):
        return _whole(found)
    if scalar and "boolean" in wanted and (node.kind == "boolean" or node.text.lower() in _TRUTHS):
        written = f"but {quoted(node)} is in quotes" if node.text in ("true", "false") else f"not {quoted(node)}"
        hint = f"write `{_TRUTHS[node.text.lower()]}`, without quotes"
        return found.fault("schema/type", f"{found.named()} is `true` or `false`, {written}", hints=(hint,))
    if node.kind == "boolean" and "string" in wanted:
        message = f"{found.named()} is a word, but `{node.text}` means yes or no"
        return found.fault(
            "schema/type",
            message.replace("means yes or no", f"means {'yes' if node.text.lower() == 'true' else 'no'}"),
            hints=(f"write `'{node.text}'` in quotes if the word itself is meant",),
        )
    now = "keys with their values" if node.kind == "map" else "a list" if node.kind == "seq" else quoted(node)
    hints = sample
    if wanted == ["array"] and scalar and not found.shape.element().types <= {"array", "object"}:
        hints = (f"write `[{short(node.text)}]`",)
    elif wanted == ["boolean"]:
        hints = ("write `true` or `false`, without quotes",)
    elif wanted == ["array"] and node.kind == "map":
        hints = ("begin each entry with `- `, on a line of its own",)
    elif wanted == ["object"] and found.shape.known():
        hints = (f"give its keys on lines of their own below it: {', '.join(f'`{key}`' for key in found.shape.known())}",)
    span = found.span() if scalar else found.key_span()
    return found.fault(
        "schema/type", f"{found.named()} takes {either([_SHAPES[name] for name in wanted], '')}, not {now}", span, hints=hints
    )


_WHOLE_IN_QUOTES = re.compile(r"[-+]?[0-9][0-9_.eExX]*")


def _whole(found: Finding) -> list[Diagnostic]:
    node = found.node
    if len(node.text) > 15 and re.fullmatch(r"-?[0-9]+", node.text):
        return found.fault("schema/whole-number", f"{found.named()} has {len(node.text)} digits, at most 15 are read")
    if node.quoted:
        message = f"{found.named()} is a number, but {quoted(node)} is in quotes"
    else:
        message = f"{quoted(node)} is not a whole number in plain digits"
    return found.fault(
        "schema/whole-number",
        message,
        hints=(
            "a whole number is written in digits alone, as 40 is: no point, exponent, sign in front, leading zero, underscore or quotes",
        ),
    )


def _taken(types: Iterable[str]) -> list[str]:
    """The types without those that are there for editors: a number is among the words where words are taken."""
    names = list(dict.fromkeys(types))
    return [name for name in names if name not in ("integer", "number")] if "string" in names else names


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
    return found.fault("schema/choice", f"{found.named()} cannot be {quoted(found.node)}", hints=(hint,), notes=notes)


def _range(found: Finding) -> list[Diagnostic]:
    least = found.word == "minimum"
    why = "under the least" if least else "over the most"
    message = f"{found.named()} cannot be {short(found.node.text)}, which is {why} there can be, {found.wanted}"
    return found.fault("schema/range", message, label=f"at {'least' if least else 'most'} {found.wanted}", notes=_described(found))


def _entries(found: Finding) -> list[Diagnostic]:
    few, number = found.word == "minItems", len(found.node.elements)
    span = found.node.span if few else found.node.elements[int(found.wanted)].span
    limit = counted(found.wanted, "entry", "entries")
    message = f"{found.named()} takes at {'least' if few else 'most'} {limit}, not {number}"
    return found.fault("schema/too-few" if few else "schema/too-many", message, span, notes=_described(found))


def _length(found: Finding) -> list[Diagnostic]:
    number = counted(len(found.node.text), "character", "characters")
    if found.word == "maxLength":
        return found.fault("schema/too-long", f"{found.named()} has {number}, it takes {found.wanted} at most")
    if not found.node.text:
        return found.fault("schema/empty", f"{found.named()} is empty", hints=_sample(found))
    return found.fault("schema/too-short", f"{found.named()} has {number}, it takes {found.wanted} at least", hints=_sample(found))


def _pattern(found: Finding) -> list[Diagnostic]:
    return found.fault(
        "schema/pattern", f"{found.named()} cannot be written as {quoted(found.node)}", hints=_sample(found), notes=_described(found)
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
    hints = (fault.hint,) if fault.hint else _samples(found)
    return [Diagnostic(fault.code, fault.message, _inside(found.node, fault), hints=hints)]


def _samples(found: Finding) -> tuple[str, ...]:
    """How it may be written: an example of each kind of value that it takes, as the schema gives them."""
    kinds = {type(example): example for example in reversed(found.shape.said("examples") or [])}
    return ("write it like " + " or ".join(f"`{flow(example)}`" for example in reversed(kinds.values())),) if kinds else ()


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
    return found.fault("schema/together", message, found.node.key_span(extra[0]), hints=("take one of them out",) if beside else ())


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
            "schema/type",
            f"{found.named()} takes {either([_SHAPES[name] for name in _taken(wanted)], '')}, not {now(found.node)}",
            hints=_sample(found),
        )
    findings = [Finding(error, found.root, [*found.path, *error.relative_path], found.kind) for error in meant]
    mistyped = {finding.place: meant_keys(finding) for finding in findings if finding.word == "additionalProperties"}
    return [fault for finding in findings for fault in words_for(finding, mistyped.get(finding.place, ()))]


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
    return found.fault(
        "schema/shape", f"{found.named()} does not have the shape that it should have", found.key_span(), notes=_described(found)
    )


def _described(found: Finding) -> tuple[str, ...]:
    said = found.part.get("description") or found.shape.said("description")
    return (first_sentence(said),) if said else ()


def _sample(found: Finding) -> tuple[str, ...]:
    examples = found.part.get("examples") or found.shape.said("examples")
    return (f"write it like `{flow(examples[0])}`",) if examples else ()


_KEYWORDS: dict[str, Callable[[Finding], list[Diagnostic]]] = {
    "additionalProperties": unknown_keys, "type": _type, "enum": _choice, "const": _choice, "minimum": _range, "maximum": _range,
    "minItems": _entries, "maxItems": _entries, "minProperties": too_few_keys, "maxProperties": too_many_keys, "minLength": _length,
    "maxLength": _length, "pattern": _pattern, "uniqueItems": _repeated, "format": _format, "not": _not, "oneOf": _alternatives,
    "anyOf": _alternatives,
}  # fmt: skip
