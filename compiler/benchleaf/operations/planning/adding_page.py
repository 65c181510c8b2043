"""Wheels to add, as a section: for so many wheels, with and without a 127, what they mend and what they cost; then how they are used."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

from benchleaf.kinematics.model import Problem
from benchleaf.kinematics.search import search
from benchleaf.operations.chart import Asked, Wish
from benchleaf.operations.chart.grouping import Target
from benchleaf.operations.desk import GEOMETRY, Desk, Value, basis, source
from benchleaf.operations.planning.adding import Choice, with_wheels
from benchleaf.operations.screwcut.words import lever_setting, train_words
from benchleaf.sheet.model import Block, Row, Say, Section, Source, Status, Table
from benchleaf.sheet.numbers import signed

__all__ = ["wheels_to_add"]

_PROGRAMMING = source("integer programming over every tooth count tried", "derived")
_SEARCH = source("exhaustive search in exact fractions", "derived")
_COMMAND = Source("the command line", Status.OWNER)
_METRIC = {True: "with", False: "without", None: ""}


def wheels_to_add(asked: Asked, problem: Problem, missing: Collection[Target], choices: Sequence[Choice]) -> Section:
    """The section; ``missing`` are the targets that are not cut now.  Says so when nothing is wanting."""
    title = "Wheels to add"
    if not missing:
        return Section("add", "chart", title, "", (Say("Every thread of the list is cut with the wheels that are owned."),))
    wanting = [wish for wish in asked.wishes if wish.target in missing]
    desk = Desk(asked.machine.lathe.system.value)
    blocks: list[Block] = [_choices(desk, asked, wanting, choices)]
    best = min(choices, key=lambda choice: (-len(choice.mended), choice.cost, choice.most), default=None)
    if best is not None and best.mended:
        blocks.append(_used(desk, asked, problem, wanting, best))
    words = "Tried: every tooth count alone in every kind of train, and two new wheels together in a train with one stud."
    return Section("add", "chart", title, "", (*blocks, Say(words)))


def _choices(desk: Desk, asked: Asked, wanting: Sequence[Wish], choices: Sequence[Choice]) -> Table:
    priced: tuple[Value, ...] = tuple(row.price for gears in asked.machine.gear_sets for row in gears.prices)
    rule = "of all choices of at most so many wheels that which mends most threads, then the cheapest"
    wheels = basis(rule, ("chart.limit", _COMMAND), _PROGRAMMING)
    count = basis("threads that come within the limit, of those that are not cut now", ("wheels", "chart.limit"), _SEARCH)
    sum_of = "sum of the prices given" if priced else "sum of the teeth, which stands for what they cost"
    cost = basis(sum_of, ("wheels", *priced), GEOMETRY)
    metric = basis("a 127 makes millimetre leads exact on an inch leadscrew, and the other way round", (_COMMAND,), GEOMETRY)
    proof = basis("no choice mends more, and none that mends as many costs less", ("wheels",), _PROGRAMMING)
    columns = (
        desk.column("most", "At most", "", basis("as asked for", (_COMMAND,), _COMMAND)),
        desk.column("metric", "127", "", metric, "text"),
        desk.column("wheels", "Wheels to add", "", wheels, "text"),
        desk.column("mended", "Mended", "", count),
        desk.column("left", "Still not cut", "", basis("threads not cut now, less those mended", ("mended",), GEOMETRY)),
        desk.column("cost", "Price" if priced else "Teeth in all", "", cost),
        desk.column("proof", "Proved", "", proof, "text"),
    )
    return Table("choices", "", columns, tuple(_row(choice, wanting) for choice in choices))


def _row(choice: Choice, wanting: Sequence[Wish]) -> Row:
    mended = sum(wish.target in choice.mended for wish in wanting)
    numbers = [Fraction(number) for number in (choice.most, mended, len(wanting) - mended, choice.cost)]
    words = (_METRIC[choice.metric_wheel], ", ".join(map(str, choice.wheels)) or "none", "yes" if choice.proved else "no")
    values = (numbers[0], None, None, *numbers[1:], None)
    return Row(values, (str(numbers[0]), *words[:2], *(str(number) for number in numbers[1:]), words[2]))


def _used(desk: Desk, asked: Asked, problem: Problem, wanting: Sequence[Wish], best: Choice) -> Table:
    machine = with_wheels(problem, best.wheels)
    why = basis("the train with the smallest lead error, with these wheels added", ("wheels", "chart.leadscrew"), _SEARCH)
    error = basis("(lead cut / lead wanted - 1) x 1 000 000", ("train",), GEOMETRY)
    columns = (
        desk.column("thread", "Thread", "", basis("the threads asked for", ("chart.lists",), _COMMAND), "text"),
        desk.column("train", f"Train with {', '.join(map(str, best.wheels))} added", "", why, "text"),
        desk.column("error", "Error", "ppm", error),
    )
    rows = []
    for wish in wanting:
        if wish.target not in best.mended:
            continue
        train = search(machine, wish.target[0], hand=wish.target[1], limit=asked.limit, keep=1).best
        if train is not None:
            parts = train.error * 1_000_000
            setting = f"{train_words(train)}{lever_setting(train, machine)}"
            words = (wish.thread.designation, setting, signed(parts, 0) if parts else "exact")
            rows.append(Row((None, None, parts), words))
    return Table("mended_threads", "", columns, tuple(rows))
