"""A sheet read back from its JSON, for ``explain`` and for any back end.  A broken file is a diagnostic, never a traceback."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import NoReturn

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.sheet.drawings import (
    DrawnArrow,
    DrawnAxis,
    DrawnCircle,
    DrawnFlanks,
    DrawnLabel,
    DrawnLever,
    DrawnLine,
    DrawnPlace,
    DrawnSlot,
    DrawnStretch,
    DrawnWheel,
    GearTrainDrawing,
    LeverPlateDrawing,
    PartDrawing,
    Shape,
    SketchDrawing,
    ThreadProfileDrawing,
)
from benchleaf.sheet.model import (
    Basis,
    Block,
    Box,
    Caution,
    Check,
    Column,
    Figure,
    FigureGroup,
    FigureRef,
    Given,
    Graduation,
    Input,
    Limits,
    Row,
    Say,
    Section,
    Sheet,
    Source,
    Status,
    Steps,
    Sum,
    SumWords,
    Table,
    Weight,
)
from benchleaf.sheet.node import BrokenError, Node
from benchleaf.sheet.plain import PROFILE_LENGTHS, SUM_WORDS, VERSION
from benchleaf.sheet.words import UnknownFigureError, figures_by_name, sayings, spoken

__all__ = ["from_json"]

_MEND = "build the sheet again from its job file"


def from_json(text: str, file: str) -> tuple[Sheet | None, list[Diagnostic]]:
    """The sheet that ``text`` describes; None, and why, when it cannot be read.  ``file`` is named in the diagnostic."""
    try:
        data = json.loads(text, parse_constant=_refuse)
    except json.JSONDecodeError as fault:
        span = Span(file, fault.lineno, fault.colno, fault.lineno, fault.colno + 1)
        return None, [Diagnostic("sheet/not-json", "the file is not JSON", span, label="broken here", hints=(_MEND,))]
    except (BrokenError, RecursionError, ValueError):
        return None, [Diagnostic("sheet/not-json", "the file is not JSON that a sheet can hold", Span(file), hints=(_MEND,))]
    if not isinstance(data, dict) or data.get("kind") != "sheet":
        hints = ("name a .json file that `build` wrote",)
        return None, [Diagnostic("sheet/not-a-sheet", "the file is JSON but not a set-up sheet", Span(file), hints=hints)]
    if data.get("schema") != VERSION:
        message = f"the sheet has schema version {str(data.get('schema'))[:20]}, this program reads version {VERSION}"
        return None, [Diagnostic("sheet/version", message, Span(file), hints=(_MEND,))]
    try:
        return _sheet(Node(data, "")), []
    except UnknownFigureError as fault:
        message = f"the sheet is damaged: a sentence uses the figure `{str(fault)[:60]}`, which is not there"
    except (BrokenError, ValueError, TypeError, RecursionError) as fault:
        message = f"the sheet is damaged: {str(fault)[:200]}"
    return None, [Diagnostic("sheet/damaged", message, Span(file), hints=(_MEND,))]


def _refuse(word: str) -> NoReturn:
    raise BrokenError(word)


def _sheet(node: Node) -> Sheet:
    sheet = Sheet(
        id=node.text("id"),
        title=node.text("title"),
        subtitle=node.text("subtitle"),
        machine=node.text("machine"),
        material=node.text("material"),
        sections=node.each("sections", _section),
        closing=_caution(node.at("closing")),
        warnings=node.texts("warnings"),
        glossary=node.each("glossary", lambda item: (item.text("word"), item.text("meaning"))),
        files=node.texts("files"),
        program=node.text("program"),
        digest=node.text("digest"),
    )
    names = figures_by_name(sheet)
    for section, say in sayings(sheet):
        spoken(say, names, section)
    return sheet


def _section(node: Node) -> Section:
    figures = {figure.id: figure for figure in node.each("figures", _figure)}
    blocks = node.each("blocks", lambda block: _block(block, figures))
    head = (node.text("id"), node.text("kind"), node.text("title"), node.text("subtitle"))
    return Section(*head, blocks, node.text("machine"), node.flag("added"))


def _source(node: Node) -> Source:
    return Source(node.text("title"), Status(node.text("status")))


def _input(node: Node) -> Input:
    if node.has("figure"):
        return FigureRef(node.text("figure"))
    if node.has("source"):
        return _source(node.at("source"))
    place = node.text("file"), node.whole("line"), node.whole("column")
    return Given(node.text("path"), node.text("words"), *place, node.flag("default"))


def _basis(node: Node) -> Basis:
    return Basis(node.text("formula"), node.each("inputs", _input), _source(node.at("source")))


def _figure(node: Node) -> Figure:
    sort = node.text("is")
    value = node.text("value") if sort == "words" else node.exact("exact" if sort == "exact" else "value")
    return Figure(
        id=node.text("id"),
        label=node.text("label"),
        value=value,
        unit=node.text("unit"),
        shown=node.text("shown"),
        basis=_basis(node.at("basis")),
        rational=sort != "approximate",
        limits=_limits(node),
        also=node.text("also"),
    )


def _limits(node: Node) -> Limits | None:
    if not node.has("limits"):
        return None
    ends = node.at("limits")
    return Limits(*(ends.exact(name) if ends.has(name) else None for name in ("exact_lower", "exact_upper")))


def _say(node: Node) -> Say:
    return Say(node.text("words"))


def _caution(node: Node) -> Caution:
    return Caution(node.whole("severity"), _say(node.at("say")), _source(node.at("source")))


def _row(node: Node) -> Row:
    cells = node.each("cells", lambda cell: (cell.exact("exact") if cell.has("exact") else None, cell.text("shown")))
    return Row(tuple(value for value, _ in cells), tuple(shown for _, shown in cells), node.text("note"))


def _column(node: Node) -> Column:
    return Column(node.text("id"), node.text("label"), node.text("unit"), _basis(node.at("basis")), node.text("as"))


def _table(node: Node) -> Table:
    caption = _say(node.at("caption")) if node.has("caption") else None
    return Table(node.text("id"), node.text("title"), node.each("columns", _column), node.each("rows", _row), caption)


def _block(node: Node, figures: dict[str, Figure]) -> Block:
    kind = node.text("kind")
    if kind == "figures":
        ids = node.texts("figures")
        lost = [name for name in ids if name not in figures]
        if lost:
            raise UnknownFigureError(lost[0])
        return FigureGroup(node.text("title"), tuple(figures[name] for name in ids), Weight(node.text("weight")))
    if kind not in _BLOCKS:
        node.at("kind").fail("a kind of block that is known")
    return _BLOCKS[kind](node)


def _box(node: Node) -> Box:
    rule = _sum(node.at("sum")) if node.has("sum") else None
    return Box(node.text("id"), node.text("label"), node.text("unit"), _say(node.at("rule")), node.whole("count"), rule)


def _sum(node: Node) -> Sum:
    collar = None
    if node.has("collar"):
        dial = node.at("collar")
        collar = Graduation(dial.exact("division"), dial.exact("turn"), dial.flag("counts_down"))
    places, reads = node.whole("places"), node.whole("reads")
    if not (0 <= places <= 9 and 0 <= reads <= 9):
        node.fail("shown with decimals that a dial could have")
    words = SumWords(*(_say(node.at("words").at(name)) for name in SUM_WORDS))
    start = node.exact("start") if node.has("start") else None
    how = node.flag("grows"), node.text("rounding"), _limits(node), start, collar
    return Sum(node.exact("target"), node.exact("factor"), node.text("unit"), places, reads, words, *how)


def _wheel(node: Node) -> DrawnWheel:
    radii = node.length("pitch_radius"), node.length("tip_radius")
    return DrawnWheel(node.whole("teeth"), node.text("role"), node.whole("axis"), node.whole("layer"), *radii, node.text("name"))


def _gear_train(node: Node) -> GearTrainDrawing:
    axes = node.each("axes", lambda a: DrawnAxis(a.text("name"), a.length("x"), a.length("y"), a.length("bush_radius")))
    wheels = node.each("wheels", _wheel)
    if any(not 0 <= wheel.axis < len(axes) for wheel in wheels):
        node.at("wheels").fail("on the axes that are drawn")
    slots = node.each("slots", lambda s: DrawnSlot(*(s.length(name) for name in ("pivot_x", "pivot_y", "direction", "inner", "outer"))))
    words = node.text("module"), node.text("alt")
    return GearTrainDrawing(node.text("id"), node.text("title"), axes, wheels, slots, node.flag("to_scale"), *words)


def _lever_plate(node: Node) -> LeverPlateDrawing:
    levers = node.each("levers", lambda lever: DrawnLever(lever.text("name"), lever.texts("positions"), lever.text("chosen")))
    return LeverPlateDrawing(node.text("id"), node.text("title"), levers, node.text("alt"))


def _thread_profile(node: Node) -> ThreadProfileDrawing:
    lengths = {name: node.length(name) for name in PROFILE_LENGTHS}
    labels = node.each("labels", lambda label: (label.text("at"), label.text("words")))
    flanks = _flanks(node.at("flanks")) if node.has("flanks") else None
    name, title, inside, alt = node.text("id"), node.text("title"), node.flag("inside"), node.text("alt")
    return ThreadProfileDrawing(id=name, title=title, inside=inside, labels=labels, alt=alt, flanks=flanks, **lengths)


def _flanks(node: Node) -> DrawnFlanks:
    load = node.text("load")
    if load not in ("left", "right"):
        node.at("load").fail("left or right")
    return DrawnFlanks(node.length("left"), node.length("right"), load)


def _stretch(node: Node) -> DrawnStretch:
    start, end, near, far, thread = (node.length(name) for name in ("start", "end", "near", "far", "thread"))
    if not start < end or min(near, far, thread) < 0:
        node.fail("a stretch with a length and with diameters")
    return DrawnStretch(start, end, near, far, node.text("as"), node.text("words"), thread, node.flag("known"))


def _number(node: Node) -> float:
    return Node({"": node.value}, node.path).length("")


def _part(node: Node) -> PartDrawing:
    outside, bore = node.each("outside", _stretch), node.each("bore", _stretch)
    places = node.each("places", lambda place: DrawnPlace(place.length("at"), place.text("words")))
    rest = node.length("length"), node.flag("whole"), places, node.each("centres", _number)
    return PartDrawing(node.text("id"), node.text("title"), outside, bore, *rest, node.text("note"), node.text("alt"))


def _point(node: Node) -> tuple[float, float]:
    return node.length("x"), node.length("y")


def _shape(node: Node) -> Shape:
    match node.text("shape"):
        case "line":
            return DrawnLine(node.each("points", _point), node.text("look"), node.flag("closed"), node.text("fill"))
        case "circle":
            return DrawnCircle(*_point(node), node.length("radius"), node.text("look"), node.text("fill"))
        case "arrow":
            return DrawnArrow(node.length("x1"), node.length("y1"), node.length("x2"), node.length("y2"), node.text("ends"))
        case "label":
            point = _point(node.at("point")) if node.has("point") else None
            return DrawnLabel(*_point(node), node.text("words"), node.text("anchor"), node.flag("strong"), point)
    return node.at("shape").fail("a shape that is known")


def _sketch(node: Node) -> SketchDrawing:
    return SketchDrawing(node.text("id"), node.text("title"), node.each("shapes", _shape), node.text("alt"), node.flag("to_scale"))


_BLOCKS: dict[str, Callable[[Node], Block]] = {
    "table": _table,
    "caution": _caution,
    "check": lambda node: Check(_say(node.at("say"))),
    "box": _box,
    "steps": lambda node: Steps(node.text("title"), node.each("steps", _say)),
    "say": lambda node: _say(node.at("say")),
    "gear-train": _gear_train,
    "lever-plate": _lever_plate,
    "thread-profile": _thread_profile,
    "part": _part,
    "sketch": _sketch,
}
