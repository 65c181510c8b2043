"""A file as the compiler sees it: what it is built on merged in, defaults filled in, each value with the place it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from benchleaf.describe.writing import scalar
from benchleaf.diagnostics import Diagnostic, has_errors, ordered
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.node import Node
from benchleaf.workshop.files import Library
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.links import Root, find_root
from benchleaf.workshop.plate import worked_out

__all__ = ["effective", "shown_file"]

_COLUMN = 48  # where the places stand


def shown_file(path: Path, cwd: Path, *, origins: bool) -> tuple[str | None, tuple[Diagnostic, ...], Mapping[str, Sequence[str]]]:
    """A file that is there, as :func:`effective` writes it, with what its plate comes to in comments below.

    None with the faults that keep it from being read.  Last, the text of every file read.  ``cwd`` is where the user stands.
    """
    library = Library()
    file = library.read(path, Root(find_root(path.parent), cwd))
    if has_errors(file.diagnostics) or file.node is None or file.kind is None:
        return None, ordered(file.diagnostics), library.lines()
    text = effective(fill_defaults(file.node, file.kind), origins=origins)
    lathe = file.value(Lathe)
    derived = worked_out(lathe.gearbox) if lathe is not None else ()
    return text + "".join(f"# {line}\n" for line in derived), (), library.lines()


def effective(node: Node, *, origins: bool) -> str:
    """The document as YAML in block style, one value a line; with ``origins`` a comment says the file and line of each."""
    lines = list(_map(node, 0))
    if not origins:
        return "".join(f"{words}\n" for words, _ in lines)
    return "".join(f"{words:<{_COLUMN}}  # {place}\n" if place else f"{words}\n" for words, place in lines)


def _place(node: Node) -> str:
    where = f"{node.span.file}:{node.span.line}"
    return f"{where} (default)" if node.origin == "default" else where


def _map(node: Node, indent: int) -> Iterator[tuple[str, str]]:
    for key, value in node.items:
        yield from _value(f"{' ' * indent}{scalar(key.text)}:", value, indent)


def _value(head: str, value: Node, indent: int) -> Iterator[tuple[str, str]]:
    if value.kind == "map" and value.items:
        yield head, ""
        yield from _map(value, indent + 2)
    elif value.kind == "seq" and value.elements:
        yield head, ""
        for element in value.elements:
            yield from _element(element, indent + 2)
    else:
        empty = {"map": "{}", "seq": "[]"}.get(value.kind)
        words = value.text if value.kind in ("number", "boolean") and not value.quoted else scalar(value.text)
        yield f"{head} {empty or words}", _place(value)


def _element(element: Node, indent: int) -> Iterator[tuple[str, str]]:
    if element.kind != "map" or not element.items:
        yield from _value(f"{' ' * indent}-", element, indent)
        return
    lines = list(_map(element, indent + 2))
    first, place = lines[0]
    yield f"{' ' * indent}- {first.strip()}", place
    yield from lines[1:]
