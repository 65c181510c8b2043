"""Scales that a drawing may have: those of ISO 5455."""

from __future__ import annotations

from collections.abc import Iterator

__all__ = ["scale_words", "standard_scale"]

_STEPS = (5, 2, 1)


def _scales() -> Iterator[float]:
    """50:1, 20:1, 10:1, 5:1, 2:1, 1:1, 1:2, 1:5 ... (ISO 5455, table 1; beyond it on in the same steps, as its clause 4 allows)."""
    for power in (10, 1):
        yield from (float(step * power) for step in _STEPS)
    for power in (10, 100, 1000, 10000, 100000, 1000000):
        yield from (step / power for step in _STEPS)


def standard_scale(largest: float) -> float:
    """The largest standard scale that is not above ``largest`` (paper / thing)."""
    return next((scale for scale in _scales() if scale <= largest * (1 + 1e-9)), 1e-6)


def scale_words(scale: float) -> str:
    """As it is printed: '2:1', '1:5'."""
    return f"{round(scale)}:1" if scale >= 1 else f"1:{round(1 / scale)}"
