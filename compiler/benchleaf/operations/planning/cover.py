"""The fewest set-ups that serve every thread, and among such choices that which moves the fewest wheels; what is proved of both.

Set-ups stand for wheel ratios: those of one ratio serve the same threads.  The number is proved by integer programming.  Then every choice
of so few set-ups is gone through, with every train of each and every order; where there are too many, the best that was found stands beside
a number of wheels below which none can go.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchleaf.kinematics.choosing import Condition, minimise
from benchleaf.kinematics.many import SetUp
from benchleaf.operations.chart.order import cheapest_way
from benchleaf.operations.planning.sequence import FAR, LONGEST_PROVED, Steps, best_order

__all__ = ["Chosen", "choose", "fewest"]

WORK = 3_000_000  # steps from set-up to set-up looked at: some ten seconds
MOST_ASKED = 300
Serves = Mapping[int, frozenset[int]]
"""By set-up the threads that it serves, both by number."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """Set-ups in order, each with the number of its train.  ``least`` and ``least_moved`` are what no choice can go below."""

    order: tuple[tuple[int, int], ...]
    moved: int
    least: int
    least_moved: int

    @property
    def fewest_proved(self) -> bool:
        """No choice has fewer set-ups."""
        return len(self.order) <= self.least

    @property
    def moved_proved(self) -> bool:
        """No choice of so few set-ups moves fewer wheels, in whatever order and with whichever trains."""
        return self.fewest_proved and self.moved <= self.least_moved


def fewest(serves: Serves) -> tuple[list[int], int]:
    """So few set-ups that serve everything as can be found, and the number below which none can go."""
    columns = _undominated(serves)
    everything = sorted(frozenset().union(*serves.values()))
    if not everything:
        return [], 0
    needs = [Condition({at: 1 for at, key in enumerate(columns) if target in serves[key]}, least=1) for target in everything]
    greedy = _greedy(serves)
    try:
        solution = minimise([1] * len(columns), needs)
    except TimeoutError:
        return greedy, 1
    assert solution is not None, "every thread is served by some set-up"
    chosen = [columns[at] for at in sorted(solution.chosen)]
    return (chosen if len(chosen) <= len(greedy) else greedy), solution.bound


def choose(serves: Serves, variants: Mapping[int, Sequence[SetUp]], *, whole: bool = True, work: int = WORK) -> Chosen:
    """Fewest set-ups first, then fewest wheels moved.  ``whole``: the trains given of each set-up are all that there are;
    ``work``: how much is looked at before the best so far is taken."""
    first, least = fewest(serves)
    if not first:
        return Chosen((), 0, 0, 0)
    serves = _possible(serves, len(first)) if len(first) == least else serves
    keys = sorted(serves)
    steps = Steps([variants[key] for key in keys])
    place = {key: at for at, key in enumerate(keys)}
    hunt = _Hunt(serves, variants, steps, place, len(first), work)
    hunt.try_cover(first)
    greedy = _greedy(serves)
    if len(greedy) == len(first):
        hunt.try_cover(greedy)
    hunt.improve()
    complete = hunt.run()
    proved = complete and whole and len(first) <= LONGEST_PROVED
    order = tuple((keys[at], train) for at, train in hunt.order)
    return Chosen(order, hunt.moved, least, hunt.moved if proved else min(hunt.floor(), hunt.moved) if whole else 0)


class _Hunt:
    """Goes through covers of the smallest size, and keeps the one that moves the fewest wheels."""

    def __init__(
        self, serves: Serves, variants: Mapping[int, Sequence[SetUp]], steps: Steps, place: Mapping[int, int], size: int, work: int
    ) -> None:
        self._serves, self._variants, self._steps, self._place, self._size, self._work = serves, variants, steps, place, size, work
        self._everything: frozenset[int] = frozenset().union(*serves.values())
        self._by_target = {t: sorted((k for k in serves if t in serves[k]), key=lambda k: -len(serves[k])) for t in self._everything}
        self._tried: set[frozenset[int]] = set()
        self.moved = FAR
        self.order: list[tuple[int, int]] = []
        self._entry = self._entries()
        # One set-up is come to from what is mounted; that costs so much more, or less where what is mounted is not known.
        self._begin = min(int(steps.first[place[key]].min()) - entry for key, entry in self._entry.items())
        self._least_entry = min(self._entry.values())

    def _entries(self) -> dict[int, int]:
        """For each set-up the fewest wheels moved to come to it from any other."""
        found = {}
        keys = list(self._serves)
        small = sum(len(group) for group in self._variants.values()) <= 3000
        for key in keys:
            here = self._place[key]
            others = [self._steps.least(self._place[other], here) for other in keys if other != key] if small else [1]
            found[key] = min(others, default=0)  # two different sets of wheels differ by one at least
        return found

    def floor(self) -> int:
        """Wheels that any choice of this size moves at least."""
        needs = [Condition({at: 1 for at, k in enumerate(self._serves) if t in self._serves[k]}, least=1) for t in self._everything]
        try:
            solution = minimise(list(self._entry.values()), needs)
        except TimeoutError:
            return 0
        return 0 if solution is None else max(solution.bound + self._begin, 0)

    def try_cover(self, cover: Sequence[int]) -> None:
        """Order it, and keep it when it is the best so far."""
        if frozenset(cover) in self._tried:
            return
        self._tried.add(frozenset(cover))
        self._work -= 20 * len(cover) ** 2
        if self._steps.floor([self._place[key] for key in cover]) >= self.moved:
            return
        self._work -= len(cover) ** 2 << len(cover) if len(cover) <= LONGEST_PROVED else 50 * len(cover) ** 2
        if len(cover) <= LONGEST_PROVED:
            moved, order = best_order(self._steps, [self._place[key] for key in cover], self.moved)
        else:
            ways, _ = cheapest_way([self._variants[key][:24] for key in cover])
            order = [(self._place[cover[at]], list(self._variants[cover[at]]).index(set_up)) for at, set_up in ways]
            moved = int(self._steps.first[order[0][0]][order[0][1]])
            for (a, i), (b, j) in pairwise(order):
                moved += int(self._steps.between(a, b)[i, j])
        if moved < self.moved:
            self.moved, self.order = moved, order

    def improve(self) -> None:
        """Put another set-up in the place of one as long as that helps."""
        keys = list(self._serves)
        limit = self._work // 2
        better = True
        while better and self._work > limit:
            before = self.moved
            cover = [keys[at] for at, _ in self.order]
            for place, old in enumerate(cover):
                others = frozenset().union(*(self._serves[key] for key in cover if key != old))
                alone = self._serves[old] - others
                for key in self._by_target[min(alone)] if alone else ():
                    if key != old and alone <= self._serves[key] and self._work > limit:
                        self.try_cover([*cover[:place], key, *cover[place + 1 :]])
                if self.moved < before:
                    break
            better = self.moved < before

    def run(self) -> bool:
        """True when every cover of this size was gone through, or could not have been better."""
        for cover in self._covers((), self._everything, self._begin):
            if cover is None or self._work < 0:
                return False
            self.try_cover(cover)
        return True

    def _covers(self, taken: tuple[int, ...], left: frozenset[int], cost: int) -> Iterator[tuple[int, ...] | None]:
        """Covers that may move fewer wheels than the best so far; None when the work is used up."""
        room = self._size - len(taken)
        self._work -= 20
        if self._work < 0:
            yield None
            return
        if not left:
            yield taken
            return
        if not room or cost + room * self._least_entry >= self.moved:
            return
        target = min(left, key=lambda t: (len(self._by_target[t]), t))
        largest = max(len(self._serves[key] & left) for key in self._serves) if room > 1 else len(left)
        if largest * room < len(left):
            return
        for key in self._by_target[target]:
            rest = left - self._serves[key]
            if room == 1 and rest:
                continue
            after = cost + self._entry[key]
            if after + (room - 1) * self._least_entry < self.moved:
                yield from self._covers((*taken, key), rest, after)


def _possible(serves: Serves, size: int) -> Serves:
    """The set-ups that can be one of so few; all of them where there are too many to ask for each."""
    if len(serves) > MOST_ASKED:
        return serves
    kept = {}
    asked: dict[frozenset[int], bool] = {}
    everything = frozenset[int]().union(*serves.values())
    for key, served in serves.items():
        if served not in asked:
            others = {other: rest - served for other, rest in serves.items() if rest - served}
            asked[served] = served == everything or (size > 1 and _within(others, everything - served, size - 1))
        if asked[served]:
            kept[key] = served
    return kept


def _within(serves: Serves, targets: frozenset[int], size: int) -> bool:
    columns = _undominated(serves)
    needs = [Condition({at: 1 for at, key in enumerate(columns) if target in serves[key]}, least=1) for target in targets]
    try:
        solution = minimise([1] * len(columns), needs)
    except TimeoutError:
        return True
    return solution is not None and solution.bound <= size


def _undominated(serves: Serves) -> list[int]:
    """Set-ups that serve something which no other one serves along with all the rest."""
    kept: list[int] = []
    for key in sorted(serves, key=lambda key: (-len(serves[key]), key)):
        if not any(serves[key] <= serves[other] for other in kept):
            kept.append(key)
    return kept


def _greedy(serves: Serves) -> list[int]:
    left = frozenset[int]().union(*serves.values())
    chosen = []
    while left:
        key = max(serves, key=lambda key: (len(serves[key] & left), -key))
        chosen.append(key)
        left -= serves[key]
    return chosen
