"""How trains, levers and short numbers are said."""

from __future__ import annotations

from fractions import Fraction

from benchleaf.kinematics.model import Problem, Train
from benchleaf.sheet.numbers import fixed

__all__ = ["LETTERS", "lever_setting", "lever_words", "plain", "train_words"]

LETTERS = "ABCDEFGH"  # wheels are lettered in the order in which the motion passes through them


def plain(value: Fraction, places: int = 4) -> str:
    """A short decimal without trailing zeros, for messages."""
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def train_words(train: Train) -> str:
    """The wheels in the order the motion passes: 'A 40 - B 63 / C 50 - D 60'; wheels on one stud are joined by a stroke."""
    letters = iter(LETTERS)
    return " \u2013 ".join(" / ".join(f"{next(letters)} {item.wheel.teeth}" for item in axis) for axis in train.axes)


def lever_words(train: Train, problem: Problem) -> tuple[tuple[str, str], ...]:
    """Every lever that decides the lead and the position to set, the headstock's first."""
    head = ((problem.headstock_lever, train.headstock),) if train.headstock and len(problem.headstock) > 1 else ()
    return (*head, *train.levers)


def lever_setting(train: Train, problem: Problem) -> str:
    """The levers as an addition to the train's words; empty when there are none."""
    words = ", ".join(f"{name} {position}" for name, position in lever_words(train, problem))
    return f" with {words}" if words else ""
