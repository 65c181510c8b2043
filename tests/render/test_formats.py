"""JSON, text and HTML of the sample against golden files, and what every format must hold."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import re
import sys
from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from render.sample import HOSTILE_WORDS, SAMPLE, hostile

from benchleaf.render import FORMATS
from benchleaf.render.clean import clean, columns
from benchleaf.render.html import to_html
from benchleaf.render.json_ import to_json
from benchleaf.render.text import to_text
from benchleaf.render.words import train_strip
from benchleaf.sheet.model import Figure, Say, Section, Sheet
from benchleaf.sheet.words import shown_with_unit


def figures(sheet: Sheet) -> list[Figure]:
    return [figure for section in sheet.sections for figure in section.figures()]


@pytest.mark.parametrize(("name", "make"), [("packing-tube.json", to_json), ("packing-tube.txt", to_text), ("packing-tube.html", to_html)])
def test_the_sample_is_as_last_looked_at(name: str, make: Callable[[Sheet], str], golden: Callable[[str, str], None]) -> None:
    golden(name, make(SAMPLE))


@pytest.mark.parametrize("name", ["json", "text", "html"])
def test_formats_give_bytes_and_no_faults(name: str) -> None:
    suffix, make = FORMATS[name]
    content, faults = make(SAMPLE)
    assert content is not None
    assert faults == []
    assert suffix.startswith(".")
    assert make(SAMPLE)[0] == content
    for figure in figures(SAMPLE):
        assert figure.shown in content.decode("utf-8")


class Reader(HTMLParser):
    """What a browser would make of the page, as far as text, elements and attributes go."""

    def __init__(self) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        self.style = tag in ("style", "script")

    def handle_data(self, data: str) -> None:
        if not self.style:
            self.words.append(data)


def read(sheet: Sheet) -> Reader:
    reader = Reader()
    reader.feed(to_html(sheet))
    return reader


@pytest.mark.parametrize("sheet", [SAMPLE, hostile()], ids=["sample", "hostile"])
def test_the_page_runs_its_own_script_and_fetches_nothing(sheet: Sheet) -> None:
    page, text = read(sheet), to_html(sheet)
    assert not {"link", "iframe", "object", "embed", "base", "form", "img", "a", "image", "use"} & set(page.elements)
    assert not [name for name, _ in page.attributes if name.startswith("on") or name in ("href", "src", "xlink:href", "style", "action")]
    inner = {name: re.findall(f"<{name}>(.*?)</{name}>", text, re.DOTALL) for name in ("style", "script")}
    assert [page.elements.count(name) for name in inner] == [len(found) for found in inner.values()] == [1, 1]
    hashes = {name: base64.b64encode(hashlib.sha256(found[0].encode()).digest()).decode() for name, found in inner.items()}
    policy = [value for name, value in page.attributes if name == "content" and "default-src" in value]
    assert policy == [
        f"default-src 'none'; script-src 'sha256-{hashes['script']}'; style-src 'sha256-{hashes['style']}'; img-src data:; base-uri 'none'; form-action 'none'"
    ]
    assert "url(" not in inner["style"][0]
    assert "@import" not in inner["style"][0]
    assert not re.search(r"\beval\b|\bFunction\b|innerHTML|document\.write|import\(|fetch\(|https?:", inner["script"][0])


def test_markup_in_names_stays_text() -> None:
    page = read(hostile())
    seen = "".join(page.words)
    assert seen.count(clean(HOSTILE_WORDS)) >= 8
    assert "\x1b" not in seen + to_text(hostile())
    assert "\u202e" not in seen + to_text(hostile())
    assert "49" not in {word.strip() for word in page.words}  # {{ 7*7 }} is not worked out


def test_every_name_on_the_page_is_there_once_and_every_drawing_has_words() -> None:
    page = read(SAMPLE)
    ids = [value for name, value in page.attributes if name == "id"]
    assert len(ids) == len(set(ids))
    assert {f"screwcut.{figure.id}" for figure in figures(SAMPLE)} <= set(ids)
    assert page.elements.count("title") == 1 + page.elements.count("svg")


def test_the_page_is_black_on_white() -> None:
    page = read(SAMPLE)
    assert {value for name, value in page.attributes if name in ("fill", "stroke")} <= {"black", "white", "none"}


@pytest.mark.parametrize("sheet", [SAMPLE, hostile()], ids=["sample", "hostile"])
def test_text_fits_a_terminal(sheet: Sheet) -> None:
    assert max(columns(line) for line in to_text(sheet).splitlines()) <= 96


def test_text_says_the_drawings_in_words() -> None:
    text = to_text(SAMPLE)
    assert "A 40 -> B 63 / C 50 -> D 60" in text
    assert "1  2  3  4  [5]  6  7" in text
    assert train_strip(next(block for block in SAMPLE.sections[0].blocks if hasattr(block, "wheels"))) in text


def test_figures_in_sentences_come_with_their_unit_in_every_format() -> None:
    said = next(block for block in SAMPLE.sections[0].blocks if isinstance(block, Say))
    sheet = dataclasses.replace(SAMPLE, sections=(dataclasses.replace(SAMPLE.sections[0], blocks=(*SAMPLE.sections[0].blocks, Say("turn at {rpm}, {rpm}"))),))
    assert said in sheet.sections[0].blocks
    rpm = next(figure for figure in figures(SAMPLE) if figure.id == "rpm")
    assert f"turn at {shown_with_unit(rpm)}, {shown_with_unit(rpm)}" in to_text(sheet)
    assert f"turn at <b>{shown_with_unit(rpm)}</b>, <b>{shown_with_unit(rpm)}</b>" in to_html(sheet)
    assert '"reads": "turn at 52\u00a0rpm, 52\u00a0rpm"' in to_json(sheet)


def test_without_the_encoder_there_is_no_code_and_nothing_else_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = read(SAMPLE)
    monkeypatch.setitem(sys.modules, "segno", None)
    bare = read(SAMPLE)
    assert whole.elements.count("svg") == bare.elements.count("svg") + 1
    assert "".join(whole.words).replace("code of sheet", "").split()[:200] == "".join(bare.words).split()[:200]


def test_an_empty_sheet_is_a_sheet() -> None:
    bare = dataclasses.replace(SAMPLE, sections=(Section("x", "x", "Nothing", "", ()),), warnings=(), glossary=(), subtitle="")
    for make in (to_json, to_text, to_html):
        assert "Nothing" in make(bare)
