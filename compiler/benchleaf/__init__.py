"""Set-up sheets for manual machine tools, compiled from YAML and checked on paper before metal is touched."""

__all__ = ["__version__"]

__version__ = "0.1.0"
