"""The command line: parse the arguments, call one function, turn faults into an exit code."""

from benchleaf.cli.commands import main

__all__ = ["main"]
