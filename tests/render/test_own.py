"""Templates of the user's own: what they may do, and that a stranger's can do nothing else."""

from __future__ import annotations

import json
import time
from pathlib import Path

import pytest
from render.sample import SAMPLE

from benchleaf.cli import main
from benchleaf.render import own
from benchleaf.render.json_ import to_json
from benchleaf.render.own import SECONDS, filled

DEEP = "{% for a in [1, 2, 3, 4, 5, 6, 7, 8, 9, 10] %}" * 9 + "{% endfor %}" * 9
DOUBLED = "{% set a = 'xxxxxxxxxxxxxxxx' %}" + "{% set a = a ~ a ~ a ~ a %}" * 20 + "{{ a | length }}"


def test_a_template_sees_the_json_of_the_sheet_and_all_of_it() -> None:
    names = sorted(json.loads(to_json(SAMPLE)))
    text, faults = filled("".join(f"{{% if {name} is defined %}}{name} {{% endif %}}" for name in names), "x.txt.j2", SAMPLE)
    assert (text or "").split() == names
    assert not faults


@pytest.mark.parametrize(
    ("template", "wanted"),
    [
        ("{{ title | upper }}", "TITLE"),
        ("{% for s in sections %}{{ loop.index }}{% if not loop.last %},{% endif %}{% endfor %}", None),
        ("{% macro m(x) %}<{{ x }}>{% endmacro %}{{ m(2 * 3 - 1) }}", "<5>"),
        ("{{ 2.5 | round(1) }} {{ [3, 1, 2] | sort | join('-') }}", "2.5 1-2-3"),
    ],
)
def test_what_a_card_needs_can_be_done(template: str, wanted: str | None) -> None:
    text, faults = filled(template, "x.txt.j2", SAMPLE)
    wanted = ",".join(str(n + 1) for n in range(len(SAMPLE.sections))) if wanted is None else wanted.replace("TITLE", SAMPLE.title.upper())
    assert (text, faults) == (wanted, [])


def test_html_is_escaped_and_text_is_not() -> None:
    template = "{{ '<b>' }}"
    assert filled(template, "x.html.j2", SAMPLE)[0] == "&lt;b&gt;"
    assert filled(template, "x.txt.j2", SAMPLE)[0] == "<b>"


@pytest.mark.parametrize(
    ("template", "code"),
    [
        ("{% if %}", "template/syntax"),
        ("{% include '/etc/passwd' %}", "template/syntax"),
        ("{% import 'x' as y %}", "template/syntax"),
        ("{% extends 'sheet.html.j2' %}", "template/syntax"),
        ("{{ title | center(1000000000) }}", "template/syntax"),
        ("{{ title | attr('__class__') }}", "template/syntax"),
        ("{{ titel }}", "template/missing"),
        ("{{ ''.__class__ }}", "template/missing"),
        ("{{ title['__class__'] }}", "template/missing"),
        ("{{ sections[999] }}", "template/missing"),
        ("{{ title.upper() }}", "template/refused"),
        ("{{ range(10) }}", "template/refused"),
        ("{{ lipsum() }}", "template/refused"),
        ("{{ self.__init__() }}", "template/refused"),
        ("{{ 'a' * 1000000000 }}", "template/refused"),
        ("{{ '%9999999999d' % 3 }}", "template/refused"),
        ("{{ 9 ** 9 ** 9 }}", "template/refused"),
        ("{{ 1 | round(-999999999) }}", "template/refused"),
        ("{% for s in sections recursive %}{{ loop(sections) }}{% endfor %}", "template/refused"),
        ("{% macro m(n) %}{{ m(n) }}{{ m(n) }}{% endmacro %}{{ m(1) }}", "template/too-much"),
        ("{{ 'a' | batch(1000000000, 'x') | list }}", "template/too-much"),
        (DOUBLED, "template/too-much"),
        (DEEP.replace("{% endfor %}", "{{ title }}{% endfor %}", 1), "template/too-much"),
        ("{{ 1 / 0 }}", "template/failed"),
        ("{{ 'x' | sum }}", "template/failed"),
    ],
)
def test_what_a_template_may_not_do_is_a_fault_at_its_line(template: str, code: str) -> None:
    start = time.process_time()
    text, faults = filled(f"first line\n{template}\n", "x.txt.j2", SAMPLE)
    assert text is None
    assert [fault.code for fault in faults] == [code]
    assert faults[0].span is not None
    assert faults[0].span.line == (1 if code == "template/too-much" else 2), faults[0]
    assert time.process_time() - start < SECONDS + 1


def test_a_loop_that_writes_nothing_is_stopped_by_the_clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own, "SECONDS", 0.2)
    start = time.process_time()
    text, faults = filled(DEEP, "x.txt.j2", SAMPLE)
    assert (text, [fault.code for fault in faults]) == (None, ["template/too-much"])
    assert time.process_time() - start < 1


def test_the_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(tmp_path)
    Path("one.json").write_text(to_json(SAMPLE), encoding="utf-8")
    Path("card.txt.j2").write_text("{{ title }}", encoding="utf-8")
    Path("bad.txt.j2").write_text("{{ titel }}", encoding="utf-8")
    assert main(["fill", "card.txt.j2", "one.json", "--out", "cards"]) == 0
    assert Path("cards/one.card.txt").read_text(encoding="utf-8") == SAMPLE.title
    assert main(["fill", "bad.txt.j2", "one.json"]) == 1
    told = capsys.readouterr().err
    assert "bad.txt.j2:1" in told
    assert "did you mean `title`" in told
    assert main(["fill", "one.json", "one.json"]) == 2
    assert main(["fill", "card.txt.j2", "two.json"]) == 2
    assert sorted(path.name for path in Path().iterdir()) == ["bad.txt.j2", "card.txt.j2", "cards", "one.json"]
