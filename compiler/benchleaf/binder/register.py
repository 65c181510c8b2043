"""``printed.yaml``: what was printed, with enough of each sheet to say later what has changed.

The file is written block by block, a sheet or a file to each, in order of their names: a sheet printed again touches its own block, and
comments stay where they are.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml
from jsonschema import Draft202012Validator
from jsonschema.exceptions import best_match

from benchleaf.binder.figures import Origin, Shown
from benchleaf.binder.leaves import mark
from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.record import record
from benchleaf.source.shapes import schema_of
from benchleaf.source.text import read_text

__all__ = ["REGISTER_FILE", "Printed", "Register", "read", "state_key", "with_printed"]

REGISTER_FILE = "printed.yaml"
_HEAD = """\
# What hangs on the wall and lies in the drawer. `benchleaf printed` writes it, `benchleaf stale` compares it with the files as they are.
schema: 1
kind: register
"""
_SECTIONS = ("printed", "files")
_BLOCK = re.compile(r'  (?:- sheet: |)"(?P<key>(?:[^"\\]|\\.)*)"')


@record
class Printed:
    """A sheet as it was printed.  ``read`` names the state of each file that it was made from: the key of ``Register.files``."""

    sheet: str
    job: str
    day: str
    digest: str
    program: str
    figures: tuple[Shown, ...]
    read: Mapping[str, str]


@record
class Register:
    """Everything in the file: the sheets by id, and values of files by 'file@mark'."""

    printed: Mapping[str, Printed]
    files: Mapping[str, Mapping[str, str]]


def read(path: Path, shown: str) -> tuple[Register | None, list[Diagnostic]]:
    """The register; an empty one where there is no file, None with the fault of a broken one.

    It is read past the limits that hold for files written by hand: the sheets of a large workshop fill a long one.
    """
    if not path.exists():
        return Register({}, {}), []
    source, faults = read_text(path, shown)
    if source is None or faults:
        return None, faults
    try:
        data = yaml.load(source.text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    except (yaml.YAMLError, RecursionError, ValueError) as fault:
        mark = getattr(fault, "problem_mark", None)
        return None, [_broken("the file cannot be read as YAML", shown, 1 if mark is None else mark.line + 1)]
    wrong = best_match(Draft202012Validator(schema_of("register")).iter_errors(data))
    if wrong is not None:
        where = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in wrong.absolute_path).lstrip(".") or "the file"
        return None, [_broken(f"`{where[:80]}` is not as a register has it", shown, 1)]
    files = {name: dict(_pair(line) for line in text.splitlines()) for name, text in data.get("files", {}).items()}
    printed: dict[str, Printed] = {}
    for entry in data["printed"]:
        try:
            found = _printed(entry)
        except (ValueError, TypeError, IndexError):
            line = _line_of(entry["sheet"], source.text)
            return None, [_broken(f"the entry of `{entry['sheet'][:60]}` does not hang together", shown, line)]
        if found.sheet in printed:
            return None, [_broken(f"the sheet `{found.sheet[:60]}` is entered twice", shown, _line_of(found.sheet, source.text))]
        printed[found.sheet] = found
    return Register(printed, files), []


def _broken(message: str, shown: str, line: int) -> Diagnostic:
    return Diagnostic("register/broken", message, Span(shown, line, 1, line, 2), hints=_BROKEN)


def _line_of(sheet: str, text: str) -> int:
    place = text.find(f"- sheet: {_quoted(sheet)}")
    return text.count("\n", 0, max(place, 0)) + 1


_BROKEN = ("take the file back from an earlier state, or remove the entry and print the sheet again",)


def _pair(line: str) -> tuple[str, str]:
    path, _, words = line.partition(": ")
    return path, words


def _printed(entry: Mapping[str, Any]) -> Printed:
    """An entry; ValueError, TypeError or IndexError when its lines are not those that were written."""
    givens = [_origin(*json.loads(line)) for line in entry["givens"].splitlines()]
    figures = tuple(_figure(givens, *json.loads(line)) for line in entry["figures"].splitlines())
    sheet, job, day, digest, program = (entry[key] for key in ("sheet", "job", "day", "digest", "program"))
    return Printed(sheet, job, day, digest, program, figures, entry["read"])


def _origin(place: str, path: str, words: str) -> Origin:
    file, _, line = place.rpartition(":")
    return Origin(file, int(line), path, words)


def _figure(givens: Sequence[Origin], name: str, label: str, shown: str | list[str], unit: str, numbers: list[int]) -> Shown:
    rows = (shown,) if isinstance(shown, str) else tuple(shown)
    if not all(isinstance(words, str) for words in (name, label, unit, *rows)) or min(numbers, default=0) < 0:
        raise ValueError("not a figure")
    return Shown(name, label, rows, unit, tuple(givens[number] for number in numbers))


def with_printed(text: str, entries: Iterable[Printed], files: Mapping[str, Mapping[str, str]]) -> str:
    """The text of the register with sheets put in or replaced.  ``files`` are the values of the files that the new entries were made
    from, by 'file@mark'; those that no entry needs any more are dropped."""
    head, blocks = _taken_apart(text or _HEAD)
    for entry in entries:
        blocks["printed"][entry.sheet] = _comments(blocks["printed"].get(entry.sheet, [])) + _entry_lines(entry)
    for key, words in files.items():
        if key not in blocks["files"]:
            blocks["files"][key] = [f"  {_quoted(key)}: |2-", *(f"    {path}: {said}" for path, said in words.items())]
    said = "\n".join(line for block in blocks["printed"].values() for line in block)
    needed = set(re.findall(r'^      ("(?:[^"\\]|\\.)*"): "([0-9a-f]{10})"$', said, re.MULTILINE))
    wanted = {f"{json.loads(name)}@{state}" for name, state in needed}
    lines = [head.rstrip("\n")]
    for section in _SECTIONS:
        kept = {key: block for key, block in blocks[section].items() if section == "printed" or key in wanted}
        lines.append(f"{section}:" if kept else f"{section}: {'[]' if section == 'printed' else '{}'}")
        lines += [line for key in sorted(kept) for line in kept[key]]
    return "\n".join(lines) + "\n"


def _taken_apart(text: str) -> tuple[str, dict[str, dict[str, list[str]]]]:
    """The text before the first section, and the lines of every block with the comments above it."""
    blocks: dict[str, dict[str, list[str]]] = {section: {} for section in _SECTIONS}
    head: list[str] = []
    section, key = "", ""
    above: list[str] = []
    for line in text.splitlines():
        top = re.match(r"(printed|files):", line)
        block = _BLOCK.match(line) if section else None
        if top:
            section, key = top[1], ""
        elif not section:
            head.append(line)
        elif block:
            key = str(json.loads(f'"{block["key"]}"'))
            blocks[section][key] = [*above, line]
            above = []
        elif re.match(r" {0,2}#", line) or not key:
            above.append(line)
        elif line.strip():
            blocks[section][key].append(line)
    return "\n".join([*head, *above]), blocks


def _comments(block: Sequence[str]) -> list[str]:
    return [line for line in block if line.lstrip().startswith("#")]


def _entry_lines(entry: Printed) -> list[str]:
    givens = list(dict.fromkeys(origin for figure in entry.figures for origin in figure.origins))
    number = {origin: place for place, origin in enumerate(givens)}
    return [
        f"  - sheet: {_quoted(entry.sheet)}",
        *(f"    {key}: {_quoted(getattr(entry, key))}" for key in ("job", "day", "digest", "program")),
        "    figures: |2-" if entry.figures else '    figures: ""',
        *(
            "      "
            + _quoted([figure.id, figure.label, _rows(figure), figure.unit, [number[origin] for origin in figure.origins]])
            for figure in entry.figures
        ),
        "    givens: |2-" if givens else '    givens: ""',
        *(f"      {_quoted([f'{origin.file}:{origin.line}', origin.path, origin.words])}" for origin in givens),
        "    read:" if entry.read else "    read: {}",
        *(f"      {_quoted(name)}: {_quoted(state)}" for name, state in sorted(entry.read.items())),
    ]


def _rows(figure: Shown) -> str | list[str]:
    return figure.shown[0] if len(figure.shown) == 1 else list(figure.shown)


def _quoted(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)


def state_key(file: str, words: Mapping[str, str]) -> tuple[str, str]:
    """What a state of a file is called in ``read``, and its key in ``files``."""
    state = mark(words)
    return state, f"{file}@{state}"
