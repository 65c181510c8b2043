"""Exact quantities: our own small grammar over raw text, then pint on Fractions."""

from benchleaf.units.formats import FORMATS
from benchleaf.units.grammar import Parsed, parse
from benchleaf.units.number import QuantityFault
from benchleaf.units.registry import convert, quantity

__all__ = ["FORMATS", "Parsed", "QuantityFault", "convert", "parse", "quantity"]
