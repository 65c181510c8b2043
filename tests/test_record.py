"""Records against what the standard library's own frozen dataclasses do with the same fields."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.record import field, record

frozen = dataclasses.dataclass(frozen=True, slots=True)


class Fields:
    """The fields of both classes below."""

    a: int
    b: str
    c: tuple[int, ...] = ()
    d: list[int] = field(default_factory=list, compare=False)
    e: int = field(default=7, repr=False)
    f: int = field(default=3, init=False)

    def __post_init__(self) -> None:
        if self.a == 13:
            raise ValueError("thirteen")


def _made(by: Callable[[type], type], name: str) -> Any:
    """A class of these fields made by either; of the same name, which is shown."""
    body = {key: value for key, value in vars(Fields).items() if key not in ("__dict__", "__weakref__")}
    return by(type("Thing", (), {**body, "__qualname__": name, "__module__": __name__}))


Ours, Theirs = _made(record, "Ours"), _made(frozen, "Theirs")
ARGUMENTS = st.tuples(
    st.lists(st.integers(0, 2), max_size=6), st.dictionaries(st.sampled_from("abcdefg"), st.integers(0, 2) | st.just(13), max_size=4)
)


def _outcome(action: Callable[[], Any]) -> Any:
    try:
        return action()
    except Exception as error:
        return type(error)


def _told(made: type, arguments: tuple[list[int], dict[str, int]]) -> Any:
    """All that can be seen of an instance, or the exception."""

    def look() -> Any:
        thing = made(*arguments[0], **arguments[1])
        return [getattr(thing, part.name) for part in dataclasses.fields(thing)], repr(thing).removeprefix(made.__qualname__), hash(thing)

    return _outcome(look)


@given(ARGUMENTS)
def test_a_record_takes_the_same_arguments_and_tells_the_same(arguments: tuple[list[int], dict[str, int]]) -> None:
    assert _told(Ours, arguments) == _told(Theirs, arguments)


@given(ARGUMENTS, ARGUMENTS)
def test_records_are_equal_where_dataclasses_are(one: tuple[list[int], dict[str, int]], other: tuple[list[int], dict[str, int]]) -> None:
    ours, theirs = (_outcome(lambda made=made: made(*one[0], **one[1]) == made(*other[0], **other[1])) for made in (Ours, Theirs))
    assert ours == theirs


@given(ARGUMENTS, st.dictionaries(st.sampled_from("abcdefg"), st.integers(0, 2), max_size=2))
def test_replacing_does_the_same(arguments: tuple[list[int], dict[str, int]], changes: dict[str, int]) -> None:
    def values(made: Any) -> Any:
        return _outcome(lambda: [getattr(dataclasses.replace(made(*arguments[0], **arguments[1]), **changes), name) for name in "abcdef"])

    assert values(Ours) == values(Theirs)


@pytest.mark.parametrize("made", [Ours, Theirs])
def test_nothing_can_be_changed(made: Any) -> None:
    thing = made(1, "b")
    for name in ("a", "new"):
        with pytest.raises((dataclasses.FrozenInstanceError, TypeError)):
            setattr(thing, name, 2)
        with pytest.raises((dataclasses.FrozenInstanceError, TypeError)):
            delattr(thing, name)
    assert not hasattr(thing, "__dict__")
    assert thing != (1, "b")
    assert made.__match_args__ == ("a", "b", "c", "d", "e")


def test_copies_are_equal() -> None:
    thing = Ours(1, "b", d=[1, 2])
    for twin in (copy.copy(thing), copy.deepcopy(thing), pickle.loads(pickle.dumps(thing))):
        assert twin == thing
        assert twin.d == thing.d


def test_what_a_class_says_of_itself_stays() -> None:
    @record
    class Loud:
        a: int

        def __repr__(self) -> str:
            return "loud"

    assert repr(Loud(1)) == "loud"
    assert Loud(1) == Loud(1)
