"""Files of a workshop, each read, validated and structured once in a run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from functools import cache, partial
from pathlib import Path
from typing import TypeVar

from benchleaf.diagnostics import Diagnostic, Span, has_errors
from benchleaf.record import record
from benchleaf.source.defaults import fill_defaults
from benchleaf.source.merge import merged
from benchleaf.source.node import Node
from benchleaf.source.schema import Formats, kind_of, validate
from benchleaf.source.yaml_ import load
from benchleaf.units import FORMATS, QuantityFault, parse
from benchleaf.workshop import checks
from benchleaf.workshop.gears import GearSet
from benchleaf.workshop.job import Job
from benchleaf.workshop.lathe import Lathe
from benchleaf.workshop.links import Root, follow
from benchleaf.workshop.material import Material
from benchleaf.workshop.plate import with_plate
from benchleaf.workshop.shaper import Shaper
from benchleaf.workshop.shaper_checks import check_shaper
from benchleaf.workshop.shop import Shop
from benchleaf.workshop.structure import structure
from benchleaf.workshop.threads import ThreadList
from benchleaf.workshop.tooling import Tooling
from benchleaf.workshop.values import Origin, Word

__all__ = ["EXTENDED", "AnyModel", "Library", "Model", "WorkshopFile"]

EXTENDED = ("lathe", "shaper", "gear-set", "tooling", "material")  # kinds that can be built on another file of the kind

Model = TypeVar("Model", Job, Lathe, Shaper, GearSet, Tooling, Material, Shop, ThreadList)
AnyModel = Job | Lathe | Shaper | GearSet | Tooling | Material | Shop | ThreadList

_MODELS: Mapping[str, type[AnyModel]] = {
    "job": Job, "lathe": Lathe, "shaper": Shaper, "gear-set": GearSet, "tooling": Tooling, "material": Material,
    "workshop": Shop, "thread-list": ThreadList,
}  # fmt: skip

# Keys whose values are paths of other files.
_LINKS: Mapping[str, tuple[str, ...]] = {
    "job": ("machine", "tooling", "material"),
    "lathe": ("gears", "tooling"),
    "shaper": ("tooling",),
    "workshop": ("machines", "tooling", "materials", "threads", "jobs"),
}


@record
class WorkshopFile:
    """One file: ``kind`` as it says itself (None when that cannot be told), its faults, and its model unless one of them is an error.

    ``links`` are the paths that it names, by key.  They are there even when something else is wrong with the file, so that one fault
    does not hide those of the files behind it.  ``bases`` are the files that it is built on; ``node`` is the document with them merged in.
    """

    path: Path
    shown: str
    kind: str | None
    model: AnyModel | None
    diagnostics: tuple[Diagnostic, ...]
    links: Mapping[str, tuple[Word, ...]] = field(default_factory=dict)
    bases: tuple[Path, ...] = ()
    node: Node | None = None

    def value(self, model: type[Model]) -> Model | None:
        """The model, when the file is sound and of that kind."""
        return self.model if isinstance(self.model, model) else None


class Library:
    """The files read so far in one run."""

    def __init__(self) -> None:
        self._files: dict[Path, WorkshopFile] = {}
        self._lines: dict[str, Sequence[str]] = {}
        self._paths: dict[str, Path] = {}
        self._open: list[Path] = []  # files whose bases are being read

    def read(self, path: Path, root: Root) -> WorkshopFile:
        """A file by its path without symbolic links: from memory when it was read before."""
        if path not in self._files:
            self._files[path] = self._read(path, root.shown(path), root)
        return self._files[path]

    def models(self) -> tuple[AnyModel, ...]:
        """What the sound ones of them hold."""
        return tuple(file.model for file in self._files.values() if file.model is not None)

    def paths(self) -> Mapping[str, Path]:
        """Where every file read is, by its shown path."""
        return dict(self._paths)

    def lines(self) -> Mapping[str, Sequence[str]]:
        """The text of every file read, by its shown path."""
        return dict(self._lines)

    def folder_of(self, link: Word) -> Path | None:
        """The folder of the file in which a link is written: links start there, also those that a file takes from its base."""
        path = self._paths.get(link.origin.span.file)
        return path.parent if path is not None else None

    def _read(self, path: Path, shown: str, root: Root) -> WorkshopFile:
        node, source, faults = load(path, shown)
        self._lines[shown] = source.lines if source is not None else ()
        self._paths[shown] = path
        if node is None:
            return WorkshopFile(path, shown, None, None, tuple(faults))
        kind, unkind = kind_of(node, shown)
        faults += unkind
        if kind is None:
            return WorkshopFile(path, shown, None, None, tuple(faults))
        bases: tuple[Path, ...] = ()
        if kind in EXTENDED and "extends" in node:
            node, bases, found = self._extended(node, kind, path, root)
            faults += found
        faults += [fault for fault in validate(node, kind, _formats()) if fault not in faults]
        if has_errors(faults):
            return WorkshopFile(path, shown, kind, None, tuple(faults), _links(node, kind), bases, node)
        model: AnyModel = structure(_MODELS[kind], fill_defaults(node, kind))
        faults += _check(model)
        if isinstance(model, Lathe) and not has_errors(faults):
            model, found = with_plate(model)
            faults += found
        return WorkshopFile(path, shown, kind, model, tuple(faults), _links(node, kind), bases, node)

    def _extended(self, node: Node, kind: str, path: Path, root: Root) -> tuple[Node, tuple[Path, ...], list[Diagnostic]]:
        """The document with that of the file it is built on merged in; ``extends`` itself is gone after that."""
        said = node["extends"]
        rest = Node(node.kind, node.span, items=tuple(item for item in node.items if item[0].text != "extends"))
        if said.kind != "text" or not said.text:
            return node, (), []  # the schema tells what is wrong with it
        target = follow(Word(said.text, Origin("extends", said.span)), path.parent, root)
        if isinstance(target, Diagnostic):
            return rest, (), [target]
        chain = (*self._open, path)
        if target in chain:
            names = " -> ".join(root.shown(each) for each in (*chain[chain.index(target) :], target))
            circle = Diagnostic("link/cycle", "files that are built on one another in a circle", said.span, notes=(names,))
            return rest, (), [circle]
        self._open.append(path)
        base = self.read(target, root)
        self._open.pop()
        if base.kind not in (kind, None):
            message = f"`{said.text}` is a {base.kind} file, and a {kind} can only be built on a {kind}"
            return rest, (), [Diagnostic("link/kind", message, said.span, related=((Span(base.shown), "the file it names"),))]
        if base.node is None:
            return rest, (target,), list(base.diagnostics)
        broken = [fault for fault in base.diagnostics if fault.code.startswith("link/")]
        return merged(base.node, rest), (target, *base.bases), broken


def _links(node: Node, kind: str) -> Mapping[str, tuple[Word, ...]]:
    found: dict[str, tuple[Word, ...]] = {}
    for key in _LINKS.get(kind, ()):
        value = node.get(key)
        if value is not None:
            texts = [item for item in (value.elements if value.kind == "seq" else (value,)) if item.kind == "text" and item.text]
            found[key] = tuple(Word(item.text, Origin(key, item.span)) for item in texts)
    if kind == "job":
        found["elsewhere"] = tuple(_moves(node))
    return found


def _moves(node: Node) -> Iterator[Word]:
    """The machines that the steps of a job move the work to."""
    steps = node.get("steps")
    for place, step in enumerate(steps.elements if steps is not None and steps.kind == "seq" else ()):
        for key, value in step.items:
            link = value.get("machine")
            if link is not None and link.kind == "text" and link.text:
                yield Word(link.text, Origin(f"steps[{place}].{key.text}.machine", link.span))


def _check(model: AnyModel) -> list[Diagnostic]:
    """What can be judged of one file on its own, beyond its shape."""
    match model:
        case GearSet():
            return checks.check_gears(model)
        case Tooling():
            return checks.check_drawers([model])
        case Lathe():
            return checks.check_lathe(model)
        case Shaper():
            return check_shaper(model)
        case _:
            return []


@cache
def _formats() -> Formats:
    """The grammar of quantities, as the schemas' formats."""
    return {name: partial(_fault, name) for name in FORMATS}


def _fault(name: str, text: str) -> QuantityFault | None:
    found = parse(name, text)
    return found if isinstance(found, QuantityFault) else None
