"""A few hundred mutants in every run of the tests; tests/fuzz/run.py makes as many as one likes."""

from __future__ import annotations

from pathlib import Path

from fuzz.mutants import WAYS, mutant
from fuzz.run import LIMIT, attack, shop_copy


def test_mutants_are_answered_with_faults_and_never_with_a_crash(tmp_path: Path) -> None:
    tally = attack(shop_copy(tmp_path), range(150))
    assert tally.failures == []
    assert tally.mutants == 150
    assert len(tally.codes) > 10
    assert tally.slowest[0] < LIMIT


def test_a_seed_makes_the_same_mutant_again() -> None:
    data = b"schema: 1\nkind: lathe\nname: x\n"
    made = {seed: mutant(data, seed) for seed in range(60)}
    assert {way for way, _ in made.values()} == set(WAYS)
    assert all(mutant(data, seed) == one for seed, one in made.items())
    assert sum(content != data for _, content in made.values()) > 50
