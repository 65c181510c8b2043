"""Is the material one that the tables know?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchleaf.diagnostics import close_matches
from benchleaf.standards.speeds import material_group, material_names

if TYPE_CHECKING:  # a check of a drawer or a material alone has no job
    from benchleaf.operations.context import Context
    from benchleaf.operations.desk import Faults
    from benchleaf.workshop.values import Text

__all__ = ["group_known", "known"]


def known(context: Context) -> bool:
    """Whether the material's group is in the tables of cutting speeds: without it nothing can be planned.  False after an error."""
    return group_known(context.material.group, context.faults)


def group_known(group: Text, faults: Faults) -> bool:
    """Whether the words name a group of the tables of cutting speeds; False after an error."""
    if material_group(group.value) is not None:
        return True
    close = close_matches(group.value, list(material_names(aliases=True)))
    meant = "did you mean " + " or ".join(f"`{name}`" for name in close) + "?" if close else f"groups: {', '.join(material_names())}"
    words = group.value if len(group.value) <= 60 else f"{group.value[:57]}..."
    faults.error("material/unknown-group", f"no group of materials is called `{words}`", group, hint=meant)
    return False
