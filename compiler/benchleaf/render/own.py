"""A template of the user's own, filled from a sheet: it sees the sheet as plain data and nothing else.

The template may come from a stranger, so it runs in a sandbox that is closed further than the library's: data has no attributes, only
entries; nothing is called but the template's own macros; no other file is read; and what it may use is bounded: computing, memory, and
the length of what it writes.
"""

from __future__ import annotations

import contextlib
import math
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from types import FrameType
from typing import Any

from jinja2 import StrictUndefined, TemplateError, TemplateSyntaxError, UndefinedError
from jinja2.exceptions import SecurityError
from jinja2.nodes import Extends, FromImport, Import, Include
from jinja2.nodes import Template as Tree
from jinja2.runtime import Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment

from benchleaf.diagnostics import Diagnostic, Span, close_matches
from benchleaf.sheet.model import Sheet
from benchleaf.sheet.plain import to_data

__all__ = ["LONGEST", "MEMORY", "SECONDS", "filled"]

SECONDS = 5.0  # of computing
MEMORY = 256 * 2**20  # bytes more than the program has when it begins
LONGEST = 4_000_000  # characters written
_NUMBERS = 1e12  # larger ones are not reckoned with
_PLACES = 12
_FILTERS = (
    "abs", "batch", "capitalize", "count", "d", "default", "dictsort", "e", "escape", "first", "float", "forceescape", "groupby", "int",
    "join", "last", "length", "list", "lower", "map", "max", "min", "reject", "rejectattr", "reverse", "select", "selectattr",
    "slice", "sort", "string", "sum", "title", "trim", "unique", "upper",
)  # fmt: skip
_TESTS = ("defined", "undefined", "none", "string", "number", "mapping", "iterable", "even", "odd", "in", "eq", "equalto", "==", "!=", "ne",
          "<", ">", "<=", ">=", "lt", "gt", "le", "ge", "true", "false", "divisibleby", "lower", "upper")  # fmt: skip


class _OutOfBoundsError(BaseException):
    """Not an Exception: nothing on the way may take it for a fault of its own."""


class _Closed(ImmutableSandboxedEnvironment):
    """Entries only; no calls but of macros; sums of moderate numbers only."""

    intercepted_binops = frozenset({"*", "**", "%", "//", "/", "-", "+"})

    def getattr(self, obj: Any, attribute: str) -> Any:
        """An entry: data has no attributes here."""
        return self.getitem(obj, attribute)

    def getitem(self, obj: Any, argument: Any) -> Any:
        """The entry, or what stands for one that is missing."""
        if isinstance(obj, (dict, list, tuple, str)):
            with contextlib.suppress(LookupError, TypeError):
                return obj[argument]
        elif obj.__class__.__name__ == "LoopContext" and argument in ("index", "index0", "first", "last", "length", "revindex"):
            return getattr(obj, argument)
        return self.undefined(obj=obj, name=argument)

    def call(self, context: Any, obj: Any, *args: Any, **kwargs: Any) -> Any:
        """Only macros of the template itself."""
        if not isinstance(obj, Macro):
            raise SecurityError("nothing can be called here but the template's own macros")
        return super().call(context, obj, *args, **kwargs)

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Numbers by numbers; text is put together with ``~``."""
        for value in (left, right):
            if isinstance(value, bool) or not isinstance(value, (int, float)) or abs(value) > _NUMBERS:
                raise SecurityError(f"`{operator}` is for numbers up to 1e12; text is put together with `~`")
        if operator == "**" and (abs(right) > 64 or abs(left) > 1e6 or abs(right) * math.log10(abs(left) + 1) > 12):
            raise SecurityError("`**` is for numbers up to 1e12")
        return super().call_binop(context, operator, left, right)


def _rounded(value: float, precision: int = 0) -> float:
    """To so many places, and no absurd number of them."""
    if not isinstance(precision, int) or abs(precision) > _PLACES or abs(value) > _NUMBERS:
        raise SecurityError(f"`round` goes to {_PLACES} places, for numbers up to 1e12")
    return round(value, precision)


def filled(text: str, name: str, sheet: Sheet) -> tuple[str | None, list[Diagnostic]]:
    """The template filled from the sheet as described by ``schemas/sheet.schema.json``, each key a variable; None with its faults.

    ``name`` is the template's path as the user typed it; where it ends in ``.html.j2`` what is filled in is escaped for HTML.
    """
    escaped = name.endswith(".html.j2")
    environment = _Closed(autoescape=escaped, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, cache_size=0)
    environment.globals.clear()
    environment.filters = {filter_: environment.filters[filter_] for filter_ in _FILTERS} | {"round": _rounded}
    environment.tests = {test: environment.tests[test] for test in _TESTS}
    data = to_data(sheet)
    try:
        with _bounds():
            return _run(environment, text, name, data), []
    except TemplateSyntaxError as fault:
        return None, [_fault("template/syntax", f"the template cannot be read: {_plain(fault.message)}", name, fault.lineno)]
    except SecurityError as fault:
        return None, [_fault("template/refused", _plain(fault.message), name, _line(fault, name))]
    except UndefinedError as fault:
        return None, [_fault("template/missing", _plain(fault.message), name, _line(fault, name), _known(fault, data))]
    except (_OutOfBoundsError, MemoryError, RecursionError):
        bounds = f"{SECONDS:g} s of computing, {MEMORY >> 20} MB, or {LONGEST // 1_000_000} million characters"
        return None, [_fault("template/too-much", f"the template takes more than it may: {bounds}", name, 1)]
    except (TemplateError, ArithmeticError, TypeError, ValueError, LookupError) as fault:
        return None, [_fault("template/failed", f"the template fails: {_plain(str(fault))}", name, _line(fault, name))]


def _run(environment: _Closed, text: str, name: str, data: dict[str, Any]) -> str:
    tree: Tree = environment.parse(text, name, name)
    for node in tree.find_all((Include, Import, FromImport, Extends)):
        raise TemplateSyntaxError("another template cannot be read from here", node.lineno)
    template = environment.template_class.from_code(environment, environment.compile(tree, name, name), {})
    written, length = [], 0
    for piece in template.generate(data):
        length += len(piece)
        if length > LONGEST:
            raise _OutOfBoundsError
        written.append(piece)
    return "".join(written)


def _plain(words: str | None) -> str:
    words = (words or "").strip().rstrip(".")
    return words[:1].lower() + words[1:200]


def _line(fault: BaseException, name: str) -> int:
    """The last line of the template that the fault went through."""
    line, at = 1, fault.__traceback__
    while at is not None:
        if at.tb_frame.f_code.co_filename == name:
            line = at.tb_lineno
        at = at.tb_next
    return line


def _fault(code: str, message: str, name: str, line: int | None, hints: tuple[str, ...] = ()) -> Diagnostic:
    return Diagnostic(code, message, Span(name, line or 1, 1, line or 1, 1), hints=hints)


def _known(fault: UndefinedError, data: dict[str, Any]) -> tuple[str, ...]:
    words = (fault.message or "").split("'")
    close = close_matches(words[1], list(data)) if len(words) == 3 else ()
    if close:
        return ("did you mean " + " or ".join(f"`{name}`" for name in close) + "?",)
    return ("schemas/sheet.schema.json tells what a sheet holds; `is defined` asks whether something is there",)


@contextlib.contextmanager
def _bounds() -> Iterator[None]:
    """Computing and memory bounded while the block runs, as far as the system can."""
    with _memory(), _clock():
        yield


@contextlib.contextmanager
def _clock() -> Iterator[None]:
    if threading.current_thread() is not threading.main_thread() or not hasattr(signal, "setitimer"):
        yield
        return

    def stop(_: int, __: FrameType | None) -> None:
        raise _OutOfBoundsError

    before: Callable[[int, FrameType | None], Any] | int | None = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@contextlib.contextmanager
def _memory() -> Iterator[None]:
    if not sys.platform.startswith("linux"):  # elsewhere the limit is not kept by the system
        yield
        return
    import resource

    with open("/proc/self/statm", encoding="ascii") as file:  # noqa: PTH123
        used = int(file.read().split()[0]) * resource.getpagesize()
    soft, hard = resource.getrlimit(resource.RLIMIT_AS)
    most = used + MEMORY
    resource.setrlimit(resource.RLIMIT_AS, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (soft, hard))
