"""A sheet as plain data (dicts, lists, text) for JSON: versioned, in a stable order, exact.

The form is described by ``schemas/sheet.schema.json``; :mod:`benchleaf.sheet.from_json` reads it back.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from benchleaf.exact import decimal_string
from benchleaf.sheet.drawings import (
    DrawnArrow,
    DrawnCircle,
    DrawnLabel,
    DrawnLine,
    DrawnStretch,
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
    Figure,
    FigureGroup,
    FigureRef,
    Given,
    Input,
    Limits,
    Row,
    Say,
    Section,
    Sheet,
    Source,
    Steps,
    Sum,
    Table,
)
from benchleaf.sheet.words import figures_by_name, spoken_text

__all__ = ["VERSION", "to_data"]

VERSION = 1
Data = dict[str, Any]


def to_data(sheet: Sheet) -> Data:
    """The whole sheet.  Raises UnknownFigureError when a sentence names a figure that is not there."""
    names = figures_by_name(sheet)
    return {
        "schema": VERSION,
        "kind": "sheet",
        "id": sheet.id,
        "title": sheet.title,
        "subtitle": sheet.subtitle,
        "machine": sheet.machine,
        "material": sheet.material,
        "digest": sheet.digest,
        "program": sheet.program,
        "warnings": list(sheet.warnings),
        "sections": [_section(section, names) for section in sheet.sections],
        "closing": _caution(sheet.closing, names, ""),
        "glossary": [{"word": word, "meaning": meaning} for word, meaning in sheet.glossary],
        "files": list(sheet.files),
    }


def _section(section: Section, names: Mapping[str, Figure]) -> Data:
    return {
        "id": section.id,
        "kind": section.kind,
        "title": section.title,
        "subtitle": section.subtitle,
        "machine": section.machine,
        "added": section.added,
        "figures": [_figure(figure) for figure in section.figures()],
        "blocks": [_block(block, names, section.id) for block in section.blocks],
    }


def _source(source: Source) -> Data:
    return {"title": source.title, "status": source.status.value}


def _input(item: Input) -> Data:
    match item:
        case FigureRef():
            return {"figure": item.id}
        case Given():
            return {
                "path": item.path,
                "words": item.words,
                "file": item.file,
                "line": item.line,
                "column": item.column,
                "default": item.default,
            }
        case Source():
            return {"source": _source(item)}


def _basis(basis: Basis) -> Data:
    return {"formula": basis.formula, "inputs": [_input(item) for item in basis.inputs], "source": _source(basis.source)}


def _figure(figure: Figure) -> Data:
    data: Data = {"id": figure.id, "label": figure.label}
    if isinstance(figure.value, str):
        data |= {"is": "words", "value": figure.value}
    elif figure.rational:
        data |= {"is": "exact", "value": decimal_string(figure.value), "exact": str(figure.value)}
    else:
        data |= {"is": "approximate", "value": decimal_string(figure.value)}
    data |= {"unit": figure.unit, "shown": figure.shown, "also": figure.also}
    if figure.limits is not None:
        data["limits"] = _limits(figure.limits)
    return data | {"basis": _basis(figure.basis)}


def _limits(limits: Limits) -> Data:
    data: Data = {}
    for name, end in (("lower", limits.lower), ("upper", limits.upper)):
        if end is not None:
            data |= {name: decimal_string(end), f"exact_{name}": str(end)}
    return data


def _say(say: Say, names: Mapping[str, Figure], section: str) -> Data:
    return {"words": say.words, "reads": spoken_text(say, names, section)}


def _caution(caution: Caution, names: Mapping[str, Figure], section: str) -> Data:
    return {
        "kind": "caution",
        "severity": caution.severity,
        "say": _say(caution.words, names, section),
        "source": _source(caution.source),
    }


def _cell(value: Fraction | None, shown: str) -> Data:
    return {"shown": shown} if value is None else {"value": decimal_string(value), "exact": str(value), "shown": shown}


def _row(row: Row) -> Data:
    return {"cells": [_cell(value, shown) for value, shown in zip(row.values, row.shown, strict=True)], "note": row.note}


def _table(table: Table, names: Mapping[str, Figure], section: str) -> Data:
    columns = [
        {"id": column.id, "label": column.label, "unit": column.unit, "as": column.kind, "basis": _basis(column.basis)}
        for column in table.columns
    ]
    data: Data = {"kind": "table", "id": table.id, "title": table.title, "columns": columns, "rows": [_row(row) for row in table.rows]}
    return data if table.caption is None else data | {"caption": _say(table.caption, names, section)}


def _box(box: Box, names: Mapping[str, Figure], section: str) -> Data:
    data: Data = {"kind": "box", "id": box.id, "label": box.label, "unit": box.unit, "rule": _say(box.rule, names, section)}
    data["count"] = box.count
    return data if box.sum is None else data | {"sum": _sum(box.sum, names, section)}


SUM_WORDS = ("amount", "done", "fine", "spoilt", "odd")


def _sum(rule: Sum, names: Mapping[str, Figure], section: str) -> Data:
    data: Data = {
        "target": str(rule.target),
        "grows": rule.grows,
        "factor": str(rule.factor),
        "unit": rule.unit,
        "places": rule.places,
        "reads": rule.reads,
        "rounding": rule.rounding,
    }
    if rule.start is not None:
        data["start"] = str(rule.start)
    if rule.limits is not None:
        data["limits"] = _limits(rule.limits)
    if rule.collar is not None:
        collar = rule.collar
        data["collar"] = {"division": str(collar.division), "turn": str(collar.turn), "counts_down": collar.counts_down}
    return data | {"words": {name: _say(getattr(rule.words, name), names, section) for name in SUM_WORDS}}


def _block(block: Block, names: Mapping[str, Figure], section: str) -> Data:
    match block:
        case FigureGroup():
            return {"kind": "figures", "title": block.title, "weight": block.weight.value, "figures": [f.id for f in block.figures]}
        case Table():
            return _table(block, names, section)
        case Caution():
            return _caution(block, names, section)
        case Check():
            return {"kind": "check", "say": _say(block.words, names, section)}
        case Box():
            return _box(block, names, section)
        case Steps():
            return {"kind": "steps", "title": block.title, "steps": [_say(step, names, section) for step in block.steps]}
        case Say():
            return {"kind": "say", "say": _say(block, names, section)}
        case GearTrainDrawing():
            return _gear_train(block)
        case LeverPlateDrawing():
            levers = [{"name": lever.name, "positions": list(lever.positions), "chosen": lever.chosen} for lever in block.levers]
            return {"kind": "lever-plate", "id": block.id, "title": block.title, "levers": levers, "alt": block.alt}
        case ThreadProfileDrawing():
            return _thread_profile(block)
        case PartDrawing():
            return _part(block)
        case SketchDrawing():
            shapes = [_shape(shape) for shape in block.shapes]
            words: Data = {"to_scale": block.to_scale, "alt": block.alt}
            return {"kind": "sketch", "id": block.id, "title": block.title, "shapes": shapes} | words


def _length(value: float) -> float:
    """A drawn length to 0.1 um: the last bits of a float differ between machines and mean nothing."""
    return round(float(value), 4) + 0.0


def _gear_train(drawing: GearTrainDrawing) -> Data:
    return {
        "kind": "gear-train",
        "id": drawing.id,
        "title": drawing.title,
        "axes": [{"name": a.name, "x": _length(a.x), "y": _length(a.y), "bush_radius": _length(a.bush_radius)} for a in drawing.axes],
        "wheels": [
            {
                "name": wheel.name,
                "teeth": wheel.teeth,
                "role": wheel.role,
                "axis": wheel.axis,
                "layer": wheel.layer,
                "pitch_radius": _length(wheel.pitch_radius),
                "tip_radius": _length(wheel.tip_radius),
            }
            for wheel in drawing.wheels
        ],
        "slots": [
            {name: _length(getattr(slot, name)) for name in ("pivot_x", "pivot_y", "direction", "inner", "outer")} for slot in drawing.slots
        ],
        "to_scale": drawing.to_scale,
        "module": drawing.module,
        "alt": drawing.alt,
    }


PROFILE_LENGTHS = (
    "pitch", "half_angle", "major_radius", "pitch_radius", "minor_radius", "crest_radius", "root_radius", "tip_flat", "tip_radius",
)  # fmt: skip


def _thread_profile(drawing: ThreadProfileDrawing) -> Data:
    flanks = drawing.flanks
    lean: Data = {} if flanks is None else {"flanks": {"left": _length(flanks.left), "right": _length(flanks.right), "load": flanks.load}}
    return {
        "kind": "thread-profile",
        "id": drawing.id,
        "title": drawing.title,
        "inside": drawing.inside,
        **{name: _length(getattr(drawing, name)) for name in PROFILE_LENGTHS},
        **lean,
        "labels": [{"at": at, "words": words} for at, words in drawing.labels],
        "alt": drawing.alt,
    }


def _stretch(item: DrawnStretch) -> Data:
    lengths = {name: _length(getattr(item, name)) for name in ("start", "end", "near", "far", "thread")}
    return {**lengths, "as": item.kind, "words": item.words, "known": item.known}


def _part(drawing: PartDrawing) -> Data:
    return {
        "kind": "part",
        "id": drawing.id,
        "title": drawing.title,
        "outside": [_stretch(item) for item in drawing.outside],
        "bore": [_stretch(item) for item in drawing.bore],
        "length": _length(drawing.length),
        "whole": drawing.whole,
        "places": [{"at": _length(place.at), "words": place.words} for place in drawing.places],
        "centres": [_length(place) for place in drawing.centres],
        "note": drawing.note,
        "alt": drawing.alt,
    }


def _point(point: tuple[float, float]) -> Data:
    return {"x": _length(point[0]), "y": _length(point[1])}


def _shape(shape: Shape) -> Data:
    match shape:
        case DrawnLine():
            points = [_point(point) for point in shape.points]
            return {"shape": "line", "points": points, "look": shape.look, "closed": shape.closed, "fill": shape.fill}
        case DrawnCircle():
            centre = _point((shape.x, shape.y))
            return {"shape": "circle", **centre, "radius": _length(shape.radius), "look": shape.look, "fill": shape.fill}
        case DrawnArrow():
            return {"shape": "arrow", **{name: _length(getattr(shape, name)) for name in ("x1", "y1", "x2", "y2")}, "ends": shape.ends}
        case DrawnLabel():
            data = {"shape": "label", **_point((shape.x, shape.y)), "words": shape.words, "anchor": shape.anchor, "strong": shape.strong}
            return data if shape.point is None else data | {"point": _point(shape.point)}
