"""Records: frozen slotted dataclasses that share their methods.

:func:`dataclasses.dataclass` writes and compiles half a dozen methods for each class.  For the hundreds of classes that describe machines,
jobs and sheets this takes longer than a whole check.  A record is a dataclass to :mod:`dataclasses` (fields, replace, is_dataclass) and to
type checkers, and behaves like one made with ``frozen=True, slots=True``; only its methods are the same few functions for all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, field, fields
from typing import Any, NoReturn, TypeVar, dataclass_transform

__all__ = ["field", "record"]

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(cls: type[T]) -> type[T]:
    """Make a class of annotated fields a record.  Fields may have defaults, and ``field()`` its usual ways of making or hiding one."""
    made: Any = dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    methods = {
        "__init__": _initialiser(made), "__eq__": _equal, "__hash__": _hash, "__repr__": _text, "__setattr__": _set, "__delattr__": _delete,
        "__getstate__": _state, "__setstate__": _restore, "_compared": tuple(part.name for part in fields(made) if part.compare),
    }  # fmt: skip
    for name, method in methods.items():
        if name not in cls.__dict__ or (name == "__hash__" and cls.__dict__[name] is None):
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _initialiser(made: Any) -> Callable[..., None]:
    parts = [part for part in fields(made) if part.init]
    names = [part.name for part in parts]
    ready = {part.name: part.default for part in fields(made) if part.default is not MISSING}
    makers = {part.name: part.default_factory for part in fields(made) if part.default_factory is not MISSING}
    late = [part.name for part in fields(made) if not part.init and (part.name in ready or part.name in makers)]
    setters = [getattr(made, name).__set__ for name in names]
    after = getattr(made, "__post_init__", None)

    def default(name: str) -> Any:
        if name not in ready and name not in makers:
            raise TypeError(f"{made.__qualname__} is not given its {name}")
        return ready[name] if name in ready else makers[name]()

    def __init__(self: Any, *values: Any, **named: Any) -> None:  # noqa: N807 - becomes the method of that name
        if named or len(values) != len(names):
            values = (*values, *(named.pop(name) if name in named else default(name) for name in names[len(values) :]))
            if named or len(values) > len(names):
                raise TypeError(f"{made.__qualname__} has no {', '.join(named) or 'so many fields'}, or is given it twice")
        for put, value in zip(setters, values, strict=True):
            put(self, value)
        for name in late:
            object.__setattr__(self, name, default(name))
        if after is not None:
            after(self)

    return __init__


def _values(of: Any) -> tuple[Any, ...]:
    return tuple([getattr(of, name) for name in of._compared])


def _equal(self: Any, other: object) -> bool:
    return _values(self) == _values(other) if other.__class__ is self.__class__ else NotImplemented


def _hash(self: Any) -> int:
    return hash(_values(self))


def _text(self: Any) -> str:
    shown = (f"{part.name}={getattr(self, part.name)!r}" for part in fields(self) if part.repr)
    return f"{self.__class__.__qualname__}({', '.join(shown)})"


def _set(self: Any, name: str, value: object) -> NoReturn:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(self: Any, name: str) -> NoReturn:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, part.name) for part in fields(self)]


def _restore(self: Any, state: list[Any]) -> None:
    for part, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, part.name, value)
