"""Writing a profile by answering questions: what is asked, in which words, and what is written are all the schema's own."""

from __future__ import annotations

from benchleaf.describe.dialog import Dialog, Finished, Question
from benchleaf.describe.effective import shown_file
from benchleaf.describe.filling import filled
from benchleaf.describe.writing import document

__all__ = ["KINDS", "Dialog", "Finished", "Question", "document", "filled", "shown_file"]

KINDS = ("lathe", "shaper", "gear-set", "tooling", "material")
