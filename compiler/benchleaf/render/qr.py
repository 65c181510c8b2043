"""The square code in the footer, which lets a phone tell which sheet this is."""

from __future__ import annotations

from benchleaf.render.svg import Svg
from benchleaf.sheet.model import Sheet

__all__ = ["sheet_code"]

QUIET = 4  # modules of white around the code (ISO/IEC 18004)
SIZE = 14.5  # mm, quiet zone included


def sheet_code(sheet: Sheet) -> Svg | None:
    """The sheet's name and the first 16 digits of its digest as a QR code; None where the encoder is not installed."""
    try:
        import segno
    except ImportError:
        return None
    words = f"{sheet.id[:60]}:{sheet.digest[:16]}".encode("utf-8", "replace")
    matrix = [list(row) for row in segno.make(words, error="m", micro=False, boost_error=False).matrix]
    module = SIZE / (len(matrix) + 2 * QUIET)
    alt = f"code of sheet {sheet.id[:60]}, {sheet.digest[:8]}"
    svg = Svg(SIZE, SIZE, alt)
    for y, row in enumerate(matrix):
        x = 0
        while x < len(row):
            run = next((n for n in range(x, len(row)) if not row[n]), len(row)) - x
            if run:
                svg.rect(((x + QUIET) * module, (y + QUIET) * module), run * module + 0.02, module + 0.02, 0, "black")
            x += max(run, 1)
    return svg
