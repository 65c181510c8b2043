"""The tables of fault codes, one a room: what each means, with a snippet that has the fault and one that has not."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

__all__ = ["Code", "codes"]


@dataclass(frozen=True, slots=True)
class Code:
    """A code with its title (one line) and explanation (prose).  ``bad`` and ``good`` are snippets, '' where none would help."""

    code: str
    title: str
    explanation: str
    bad: str = ""
    good: str = ""


@cache
def codes() -> Mapping[str, Code]:
    """Every code by its name, in the order of the tables.  Raises ValueError when the table is at fault, which is a bug of ours."""
    from importlib.resources import files  # only those who ask for an explanation pay for it

    import yaml

    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    found: dict[str, Code] = {}
    # One table a room, so that each is short enough to read: codes.yaml, codes_operations.yaml, ...
    for table in sorted(
        (item for item in files("benchleaf.report").iterdir() if item.name.startswith("codes") and item.name.endswith(".yaml")),
        key=lambda item: item.name,
    ):
        for row in yaml.load(table.read_text(encoding="utf-8"), Loader=loader):
            if not {"code", "title", "explanation"} <= set(row) <= {"code", "title", "explanation", "bad", "good"}:
                raise ValueError(f"{table.name}: wrong keys in {row}")
            code = Code(**{key: " ".join(value.split()) if key == "explanation" else value for key, value in row.items()})
            if code.code in found:
                raise ValueError(f"{table.name}: {code.code} stands there twice")
            found[code.code] = code
    return found
