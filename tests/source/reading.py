"""What the tests of this room share: documents judged from their text, with the grammar of quantities or the trial schemas."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source import defaults, shapes, validator
from benchleaf.source.schema import Formats, kind_of, validate
from benchleaf.source.yaml_ import parse_text
from benchleaf.units import FORMATS, Parsed, QuantityFault, parse

HERE = Path(__file__).parent
TRIAL_SCHEMAS = HERE / "data" / "schemas"
_EXPECTED = re.compile(r"error\[([a-z/-]+)\]")


def _format(name: str, text: str) -> QuantityFault | None:
    found = parse(name, text)
    return None if isinstance(found, Parsed) else found


UNITS: Formats = {name: (lambda text, name=name: _format(name, text)) for name in FORMATS}


def judge(text: str, shown: str = "x.yaml", shape: bool = True) -> list[Diagnostic]:
    """Every fault of a text; those of its shape only where ``shape`` is asked for."""
    node, faults = parse_text(text, shown)
    if node is None or not shape:
        return faults
    kind, unkind = kind_of(node, shown)
    return [*faults, *unkind, *(validate(node, kind, UNITS) if kind is not None else ())]


def expected(text: str) -> list[tuple[int, str]]:
    """The faults that a text announces by comments such as ``# error[yaml/tab]``: line and code, in order."""
    return sorted((number, code) for number, line in enumerate(text.split("\n"), 1) for code in _EXPECTED.findall(line))


def words_at(text: str, span: Span) -> str:
    """What a span covers."""
    lines = text.split("\n")[span.line - 1 : span.end_line]
    lines[-1] = lines[-1][: span.end_column - 1]
    lines[0] = lines[0][span.column - 1 :]
    return "\n".join(lines)


def _forget() -> None:
    for kept in (
        shapes.schema_text,
        shapes.schema_of,
        shapes.names,
        shapes.kinds,
        shapes.root_shape,
        validator.registry,
        validator.validator,
        defaults._places,
    ):
        kept.cache_clear()


@contextmanager
def schemas_from(folder: Path) -> Iterator[None]:
    """Let the schemas be those of another folder."""
    before = shapes.data_folder
    shapes.data_folder = lambda name: folder  # type: ignore[assignment]
    _forget()
    try:
        yield
    finally:
        shapes.data_folder = before  # type: ignore[assignment]
        _forget()
