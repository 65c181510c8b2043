"""Shape: one closed JSON Schema for each kind of file, and every way in which a file departs from it.

The kind is told apart here and not inside a schema, so that messages speak of the kind that was meant.  jsonschema is imported
on first use.

How a document becomes the plain data that JSON Schema speaks of, directed by the schema:

- text and numbers are strings as they were written (``bore: 1.16`` is "1.16"), so that quantities are judged by their format.  A schema
  may say ``["string", "number"]`` for the sake of editors, which see a number there;
- where the schema takes an integer and no string, a number in plain digits becomes an integer: ``40``, but not ``40.0``, ``4e1``,
  ``0x28``, ``040``, ``+40``, ``1_000`` nor anything in quotes, which stay strings and are then of the wrong type;
- where it takes a boolean, ``true`` and ``false`` become one, and their other spellings stay strings;
- what is left empty is null, which no schema takes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Protocol

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.record import record
from benchleaf.source.node import Node
from benchleaf.source.shapes import is_kind, kinds, schema_of, schema_path

__all__ = ["FormatFault", "Formats", "ScalarFault", "kind_of", "kinds", "schema_of", "schema_path", "validate"]

VERSION = "1"


class ScalarFault(Protocol):
    """What a format checker says of a scalar; :class:`FormatFault` is one, and anything of the same shape will do."""

    @property
    def code(self) -> str: ...  # noqa: D102
    @property
    def message(self) -> str: ...  # noqa: D102
    @property
    def hint(self) -> str: ...  # noqa: D102
    @property
    def offset(self) -> int: ...  # noqa: D102
    @property
    def length(self) -> int: ...  # noqa: D102


@record
class FormatFault:
    """A fault of a scalar: ``offset`` and ``length`` mark the characters at fault inside it (the whole when ``length`` is 0)."""

    code: str
    message: str
    hint: str = ""
    offset: int = 0
    length: int = 0


Formats = Mapping[str, Callable[[str], ScalarFault | None]]


def kind_of(node: Node, shown: str) -> tuple[str | None, list[Diagnostic]]:
    """The kind that a document names; None, with the reason, when it cannot be judged at all.

    ``shown`` is the file as the user would type it.  A missing ``schema`` key is reported here when the kind cannot be told,
    else by :func:`validate`.
    """
    start = f"start the file with `schema: {VERSION}` and `kind:`"
    if node.kind != "map":
        what = "a list" if node.kind == "seq" else "a single value"
        return None, [
            Diagnostic("schema/not-a-map", f"the file is {what}, not keys with their values", _first_line(node.span), hints=(start,))
        ]
    faults = []
    version, kind = node.get("schema"), node.get("kind")
    if version is not None and (version.text != VERSION or version.kind != "number"):
        faults.append(_version_fault(version, node))
    if version is None and (kind is None or not is_kind(kind.text)):
        faults.append(
            Diagnostic(
                "schema/missing",
                "the file does not say which version of the language it is in",
                Span(shown),
                hints=(f"write `schema: {VERSION}` on its first line",),
            )
        )
    if kind is None:
        faults.append(
            Diagnostic(
                "schema/kind",
                "the file does not say what it describes",
                Span(shown),
                hints=(f"write `kind: ` with one of {_listed(kinds())}",),
            )
        )
    elif kind.kind in ("map", "seq") or not is_kind(kind.text):
        faults.append(_kind_fault(kind, node))
    good = kind is not None and is_kind(kind.text) and not faults
    return (kind.text if good and kind is not None else None), faults


def _version_fault(version: Node, node: Node) -> Diagnostic:
    span = version.span if version.kind not in ("map", "seq", "null") else node.key_span("schema")
    message = f"version `{_short(version.text)}` of the language is not known" if version.text else "no version of the language is given"
    if version.quoted and version.text == VERSION:
        message = "the version of the language is a number, without quotes"
    older = version.kind == "number" and version.text.isdecimal() and int(version.text[:9]) < int(VERSION)
    later = version.kind == "number" and version.text.isdecimal() and not older and version.text != VERSION
    hint = f"write `schema: {VERSION}`"
    if older:
        message, hint = f"the file is in version {_short(version.text)} of the language", "`benchleaf migrate` brings it up to date"
    elif later:
        hint = f"the newest known here is {VERSION}: a later program may know it, else write `schema: {VERSION}`"
    return Diagnostic("schema/version", message, span, hints=(hint,))


def _kind_fault(kind: Node, node: Node) -> Diagnostic:
    close = close_matches(kind.text, kinds(), 1)
    span = kind.span if kind.kind not in ("map", "seq", "null") else node.key_span("kind")
    message = f"there is no kind of file called `{_short(kind.text)}`" if kind.text else "the file does not say what it describes"
    notes = (f"kinds of file: {_listed(kinds())}",)
    return Diagnostic(
        "schema/kind", message, span, notes=notes, hints=(f"did you mean `{close[0]}`?",) if close else ("write one of them",)
    )


def _listed(words: tuple[str, ...]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


def _first_line(span: Span) -> Span:
    """A place that begins where the span does, for what may go on for pages."""
    return span if span.line == span.end_line else Span(span.file, span.line, span.column, span.line, span.column + 1)


def validate(node: Node, kind: str, formats: Formats) -> list[Diagnostic]:
    """Every departure of a document (a map) from the schema of its kind, in the order of the file.

    ``formats`` judge the scalars for which a schema asks for that format; each returns None when it has no fault to find.
    """
    from benchleaf.source.validator import departures  # imports jsonschema

    return departures(node, kind, formats)
