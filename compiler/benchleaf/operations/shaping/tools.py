"""Shaping tools of the drawers, by what they are ground for."""

from __future__ import annotations

from benchleaf.operations.context import Context
from benchleaf.operations.cutting import tools
from benchleaf.operations.work import Made
from benchleaf.standards.speeds import material_group
from benchleaf.workshop.tooling import ShapingTool
from benchleaf.workshop.values import Word

__all__ = ["finisher", "owned", "rougher"]

_ROUGHING = ("round nose", "right-hand roughing", "left-hand roughing")


def owned(context: Context) -> list[ShapingTool]:
    """Every shaping tool of the drawers."""
    return [tool for drawer in context.inputs.toolings for tool in drawer.shaping_tools]


def rougher(wanted: Word | None, at: Made, context: Context) -> ShapingTool | None:
    """The tool that roughs a flat face; None after an error."""
    return tools.find(
        wanted, owned(context), _not_for_flats, "shaping tools", at, context, best=lambda item: _ROUGHING.index(item.shape.value)
    )


def _not_for_flats(tool: ShapingTool) -> str:
    return "" if tool.shape.value in _ROUGHING else f"a {tool.shape.value} tool does not rough flat faces"


def finisher(context: Context) -> ShapingTool | None:
    """The tool that finishes a flat face: a broad edge for iron, a shear edge for the rest; None where the roughing tool has to do."""
    group = material_group(context.material.group.value)
    shape = "broad finishing" if group is not None and group.family == "iron" else "shear finishing"
    return next((tool for tool in owned(context) if tool.shape.value == shape), None)


def side_tool(context: Context) -> ShapingTool | None:
    """A tool for the corner at a shoulder."""
    return next((tool for tool in owned(context) if tool.shape.value in ("right-hand side", "left-hand side")), None)
