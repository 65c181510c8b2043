"""Trains, covers and moves worked out plainly, from wheels and levers alone: what plans are checked against."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import permutations, product
from random import Random

from benchleaf.kinematics.evaluate import Stated, evaluate
from benchleaf.kinematics.model import Arm, Banjo, Gearbox, Lever, Mounted, Problem, Slot, Train, Wheel, WheelRef
from benchleaf.operations.planning.plan import Plan

Axes = tuple[tuple[int, ...], ...]
Target = tuple[Fraction, str]
LIMIT = Fraction(200, 10**6)
BANJO = Banjo(
    centre_distance=Fraction(150),
    direction=Fraction(90),
    arms=(Arm(Fraction(0), Fraction(180), (Slot(Fraction(30), Fraction(160)),)),),
    bush_first=Fraction(8),
    bush_last=Fraction(8),
    bush_stud=Fraction(8),
)


def random_machine(random: Random, wheels: int, *, banjo: bool) -> Problem:
    """A box of wheels, one or two levers, and something mounted."""
    teeth = random.sample(range(20, 81, 2 if random.random() < 0.5 else 5), wheels)
    levers = [Lever("range", (("A", Fraction(1)), ("B", Fraction(1, 2)), ("C", Fraction(2))))]
    if random.random() < 0.6:
        steps = sorted(random.sample(range(16, 29), 4))
        levers.append(Lever("hole", tuple((str(at), Fraction(step, 20)) for at, step in enumerate(steps, 1))))
    mounted = Mounted(tuple((WheelRef(one),) for one in random.sample(teeth, 3)), (("range", "A"),)) if random.random() < 0.7 else None
    return Problem(
        leadscrew_lead=random.choice((Fraction(3), Fraction(127, 40), Fraction(6))),
        wheels=tuple(Wheel(one, Fraction(5, 4), copies=random.choice((1, 1, 2))) for one in teeth),
        arrangements=("simple", "compound"),
        gearbox=Gearbox(tuple(levers)),
        banjo=BANJO if banjo else None,
        mounted=mounted,
    )


def drives(problem: Problem) -> list[Fraction]:
    """What the levers multiply to, in every combination."""
    found = []
    for positions in product(*(lever.positions for lever in problem.gearbox.levers)):
        ratio = Fraction(1)
        for _, step in positions:
            ratio *= step
        found.append(ratio)
    return found


def every_train(problem: Problem) -> Iterator[tuple[Axes, Fraction]]:
    """Every way to put up three or four wheels of the box, and its ratio."""
    box = [wheel.teeth for wheel in problem.wheels for _ in range(wheel.copies)]
    yield from {((a,), (b,), (c,)): Fraction(a, c) for a, b, c in permutations(box, 3)}.items()
    yield from {((a,), (b, c), (d,)): Fraction(a * c, b * d) for a, b, c, d in permutations(box, 4)}.items()


def goes_on(problem: Problem, axes: Axes) -> bool:
    """Owned, meshing, and on the banjo: by the check of trains that somebody wrote down."""
    levers = tuple((lever.name, lever.positions[0][0]) for lever in problem.gearbox.levers)
    stated = Stated(tuple(tuple(WheelRef(teeth) for teeth in axis) for axis in axes), levers)
    return evaluate(problem, stated, Fraction(1)).fits is not False


def spots(axes: Sequence[Sequence[int]]) -> Counter[tuple[int, int, int]]:
    """Which wheel sits where."""
    return Counter((axis, row, teeth) for axis, wheels in enumerate(axes) for row, teeth in enumerate(wheels))


def moved(before: Sequence[Sequence[int]] | None, after: Sequence[Sequence[int]]) -> int:
    """Wheels off and wheels on; nothing where what is on is not known."""
    if before is None:
        return 0
    one, other = spots(before), spots(after)
    return (one - other).total() + (other - one).total()


def mounted_axes(problem: Problem) -> Axes | None:
    """What is on at the beginning."""
    return tuple(tuple(ref.teeth for ref in axis) for axis in problem.mounted.axes) if problem.mounted else None


def axes_of(train: Train) -> Axes:
    """The teeth by axis."""
    return tuple(tuple(item.wheel.teeth for item in axis) for axis in train.axes)


def check(problem: Problem, targets: Sequence[Target], found: Plan) -> int:
    """Recompute everything that a plan says; the wheels moved."""
    ratios = dict(every_train(problem))
    cut: set[Target] = set()
    standing, total = mounted_axes(problem), 0
    for group in found.grouping.groups:
        (axes,) = {axes_of(train) for train in group.trains.values()}
        assert goes_on(problem, axes)
        total += moved(standing, axes)
        standing = axes
        for target, train in group.trains.items():
            step = Fraction(1)
            for lever in problem.gearbox.levers:
                step *= dict(lever.positions)[dict(train.levers)[lever.name]]
            lead = problem.leadscrew_lead * step * ratios[axes]
            assert (train.lead, train.error) == (lead, lead / target[0] - 1)
            assert abs(train.error) <= LIMIT
            assert target not in cut
            cut.add(target)
    assert cut | set(found.grouping.missing) == set(targets)
    assert not cut & set(found.grouping.missing)
    assert found.grouping.changes == total
    return total


def covering(problem: Problem, targets: Sequence[Target]) -> dict[Axes, frozenset[Target]]:
    """Every train that goes on and cuts some target within the limit, with those that it cuts."""
    steps = drives(problem)
    by_ratio: dict[Fraction, frozenset[Target]] = {}
    found = {}
    for axes, ratio in every_train(problem):
        if ratio not in by_ratio:
            leads = [problem.leadscrew_lead * step * ratio for step in steps]
            by_ratio[ratio] = frozenset(target for target in targets if any(abs(lead / target[0] - 1) <= LIMIT for lead in leads))
        if by_ratio[ratio] and (problem.banjo is None or goes_on(problem, axes)):
            found[axes] = by_ratio[ratio]
    return found


def greedily(problem: Problem, trains: dict[Axes, frozenset[Target]]) -> tuple[int, int]:
    """Set-ups and wheels moved when always the train that cuts most of what is left goes up next, of equal ones that nearest to what is on."""
    left = set().union(*trains.values())
    standing, number, total = mounted_axes(problem), 0, 0
    while left:
        axes = min(trains, key=lambda axes: (-len(trains[axes] & left), moved(standing, axes), axes))
        total += moved(standing, axes)
        standing, number = axes, number + 1
        left -= trains[axes]
    return number, total


def random_targets(random: Random, problem: Problem, number: int) -> list[Target]:
    """Leads of which most can be cut."""
    ratios = sorted({ratio for _, ratio in every_train(problem)})
    steps = drives(problem)
    leads = [problem.leadscrew_lead * random.choice(steps) * random.choice(ratios) for _ in range(number)]
    return list(dict.fromkeys((lead, "right") for lead in [*leads, Fraction(random.randint(20, 400), 100)]))
