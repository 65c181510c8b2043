"""The layout of files made even: nothing said is lost, and once is enough."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.source.layout import laid_out

PROFILES = Path(__file__).resolve().parents[2] / "profiles"
FILES = sorted(PROFILES.rglob("*.yaml"))
TEXTS = [path.read_text(encoding="utf-8") for path in FILES]
COMMENT = re.compile(r"(?:^|\s)#\s*(.*?)\s*$", re.MULTILINE)


def said(text: str) -> tuple[object, list[str]]:
    """What a file says, by a reader of another make, and its comments; no word of the demo holds a `#`."""
    return yaml.load(text, Loader=yaml.BaseLoader), COMMENT.findall(text)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_demo_is_laid_out_as_it_should_be(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert laid_out(text) == text


def spoilt(text: str, chance: random.Random) -> str:
    """The same file as somebody else would have typed it."""
    step = chance.choice((2, 3, 4))
    lines = []
    for line in text.split("\n"):
        words = line.lstrip(" ")
        depth = (len(line) - len(words)) // 2
        if words and chance.random() < 0.3 and not words.startswith("#"):
            words = re.sub(r"([:,]) (?=[\w{\[])", lambda found: found[1] + " " * chance.randint(1, 3), words)
            words = re.sub(r"([{\[])(?=\w)", lambda found: found[1] + " " * chance.randint(0, 2), words)
            words = re.sub(r"(?<=\w)([}\]])", lambda found: " " * chance.randint(0, 2) + found[1], words)
        if words.startswith("- "):
            words = f"-{' ' * (step - 1)}{words[2:]}"  # what follows stands level with its own next line
        lines.append(" " * step * depth + words + " " * chance.choice((0, 0, 0, 1, 3)) if words else "")
        lines += [""] * chance.choice((0,) * 8 + (1, 3))
    return "\n".join(lines) + "\n" * chance.randint(0, 3)


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(TEXTS), st.integers(0, 10**6))
def test_whatever_it_was_the_layout_is_even_and_the_words_are_the_same(text: str, seed: int) -> None:
    other = spoilt(text, random.Random(seed))
    made = laid_out(other)
    assert made is not None
    assert said(made) == said(other)
    assert laid_out(made) == made
    assert not re.search(r"[ \t]\n|\n\n\n|\A\n|\n\n\Z", made)
    assert all((len(line) - len(line.lstrip(" "))) % 2 == 0 for line in made.splitlines())


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("a:    1\n", "a: 1\n"),
        ("a: {b :  1,c: [ 1,2 ,3 ]}\n", "a: {b: 1, c: [1, 2, 3]}\n"),
        ("a:\n- 1\n-   2\nb: 3\n", "a:\n  - 1\n  - 2\nb: 3\n"),
        ("a:\n- b: 1\n  c:\n  - 2\n- d: 3\n", "a:\n  - b: 1\n    c:\n      - 2\n  - d: 3\n"),
        ("a:\n    b:\n        c: 1\n", "a:\n  b:\n    c: 1\n"),
        ("\n\n#one\n\n\n\na: 1 #two\n#three\n\n", "# one\n\na: 1 # two\n# three\n"),
        ("a:\n    # inside\n    b: 1\n    # still inside\n# outside\nc: 2\n", "a:\n  # inside\n  b: 1\n  # still inside\n# outside\nc: 2\n"),
        ("a: [\n1,\n   2, # two\n  ]\n", "a: [\n  1,\n  2, # two\n]\n"),
        ("a: one\n     two\n\n     three\nb: 2\n", "a: one\n  two\n\n  three\nb: 2\n"),
        ("a: |\n      one\n        two\n\n      three\nb: 2\n", "a: |\n  one\n    two\n\n  three\nb: 2\n"),
        ("a:\n    b: >-\n        one\n        two\n", "a:\n  b: >-\n    one\n    two\n"),
        ("a: 'it''s'\nb: \"x:  y\"\n", "a: 'it''s'\nb: \"x:  y\"\n"),
        ("#!shebang\n#: marked\na: 1\n", "#!shebang\n#: marked\na: 1\n"),
        ("? a\n: 1\n", "? a\n: 1\n"),
        ("a: &x 1\nb: *x\n", "a: &x 1\nb: *x\n"),
        ("- 1\n-\n  a: 2\n", "- 1\n-\n  a: 2\n"),
    ],
)  # fmt: skip
def test_one_thing_at_a_time(before: str, after: str) -> None:
    assert laid_out(before) == after
    assert laid_out(after) == after


@pytest.mark.parametrize("text", ["", "a: [1\n", "a: 1\na: 2\n", "a: 1\n---\nb: 2\n"])
def test_what_cannot_be_read_is_left_alone(text: str) -> None:
    assert laid_out(text) is None
