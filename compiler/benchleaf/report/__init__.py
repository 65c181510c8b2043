"""Diagnostics shown: as text with excerpts, as JSON, and the table of codes."""
