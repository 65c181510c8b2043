"""Exact quantities: our own small grammar over raw text, then pint on Fractions."""

from benchleaf.units.grammar import FORMATS, Parsed, QuantityFault, parse
from benchleaf.units.registry import convert, quantity

__all__ = ["FORMATS", "Parsed", "QuantityFault", "convert", "parse", "quantity"]
