"""The table of fault codes: what each means, with a snippet that has the fault and one that has not."""

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
    """Every code by its name, in the order of the table.  Raises ValueError when the table is at fault, which is a bug of ours."""
    from importlib.resources import files  # only those who ask for an explanation pay for it

    import yaml

    text = (files("benchleaf.report") / "codes.yaml").read_text(encoding="utf-8")
    found: dict[str, Code] = {}
    for row in yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
        if not {"code", "title", "explanation"} <= set(row) <= {"code", "title", "explanation", "bad", "good"}:
            raise ValueError(f"codes.yaml: wrong keys in {row}")
        code = Code(**{key: " ".join(value.split()) if key == "explanation" else value for key, value in row.items()})
        if code.code in found:
            raise ValueError(f"codes.yaml: {code.code} stands there twice")
        found[code.code] = code
    return found
