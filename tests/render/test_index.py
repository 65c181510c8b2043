"""The contents of a folder of sheets, as far as it can be told without a browser."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import json
import re
from collections.abc import Callable
from fractions import Fraction
from html import unescape

import pytest
from render.sample import HOSTILE_WORDS, SAMPLE, hostile

from benchleaf.render.clean import clean
from benchleaf.render.entries import IndexEntry, entry_of
from benchleaf.render.index import index_html
from benchleaf.sheet.digest import sealed
from benchleaf.sheet.drawings import ThreadProfileDrawing
from benchleaf.sheet.model import Basis, Figure, FigureGroup, Given, Source, Status

FILES = {"pdf": "packing-tube.pdf", "html": "packing-tube.html", "json": "packing-tube.json"}


def entry(name: str, *threads: str, files: dict[str, str] | None = None) -> IndexEntry:
    return IndexEntry(name, name, "", "Long lathe", "", ("turn",), threads, "0" * 64, FILES if files is None else files)


def test_the_contents_are_as_last_looked_at(golden: Callable[[str, str], None]) -> None:
    page = index_html([entry_of(sealed(SAMPLE), FILES), entry("Plain", files={})], "Osier Lane").decode("utf-8")
    golden("index.html", page)


def test_an_entry_says_what_the_sheet_cuts_and_how() -> None:
    found = entry_of(sealed(SAMPLE), FILES)
    assert (found.operations, found.threads, found.digest) == (("screwcut",), (), sealed(SAMPLE).digest)
    blocks = tuple(dataclasses.replace(block, title="1 1/8-16 UN, inside") if isinstance(block, ThreadProfileDrawing) else block for block in SAMPLE.sections[0].blocks)
    drawn = dataclasses.replace(SAMPLE, sections=(dataclasses.replace(SAMPLE.sections[0], blocks=blocks),))
    assert entry_of(drawn, FILES).threads == ("1 1/8-16 UN",)
    named = Given("steps[2].screwcut.thread", "1 1/8-16 UN-2B", "job.yaml", 4, 9)
    figure = Figure("depth", "depth", Fraction(1), "mm", "1", Basis("from the thread", (named,), Source("x", Status.OWNER)))
    job = dataclasses.replace(SAMPLE.sections[0], blocks=(*blocks, FigureGroup("", (figure,))))
    assert entry_of(dataclasses.replace(SAMPLE, sections=(job,)), FILES).threads == ("1 1/8-16 UN-2B",)
    other = dataclasses.replace(job, kind="turn", blocks=(FigureGroup("", (figure,)),))  # works to a thread of another step
    assert entry_of(dataclasses.replace(SAMPLE, sections=(other,)), FILES).threads == ()


def test_same_entries_same_bytes() -> None:
    entries = [entry_of(sealed(hostile()), FILES)] * 2
    assert index_html(entries, "x") == index_html(list(entries), "x")


def test_threads_stand_as_one_counts() -> None:
    page = index_html([entry("a", "M16x2", "M6", "Tr24x5"), entry("b", "M6", "1/2-12 BSW", "1 1/8-16 UN")], "x").decode()
    values = re.findall(r"<option>(.*?)</option>", page.split('id="thread"')[1].split("</select>")[0])
    assert values == ["1 1/8-16 UN", "1/2-12 BSW", "M6", "M16x2", "Tr24x5"]


@pytest.mark.parametrize("path", ["/etc/passwd", "../up.html", "a/../../b.html", "", "."])
def test_a_file_outside_the_folder_is_refused(path: str) -> None:
    with pytest.raises(ValueError, match="not a file of the folder"):
        index_html([entry("a", files={"html": path})], "x")


@pytest.mark.parametrize(("path", "link"), [("javascript:alert(1)", "javascript%3Aalert%281%29"), ("a b/ü#1?.html", "a%20b/%C3%BC%231%3F.html"), ('"><b>.html', "%22%3E%3Cb%3E.html")])
def test_a_link_is_a_path_whatever_the_file_is_called(path: str, link: str) -> None:
    assert f'<a href="{link}">' in index_html([entry("a", files={"html": path})], "x").decode()


def test_markup_in_names_stays_text() -> None:
    page = index_html([entry_of(sealed(hostile()), {"html": "a.html"})], HOSTILE_WORDS).decode()
    body = page.split("</head>")[1].split("<script>")[0]
    assert not {"script", "img", "b onclick"} & set(re.findall(r"<(\w+)", body.replace("<b>", "").replace('<b class="begun">', "")))
    assert unescape(body).count(clean(HOSTILE_WORDS)) >= 4
    assert json.loads(unescape(re.findall(r'data-keys="(.*?)"', body)[0]))["operation"] == ["screwcut"]
    policy = unescape(re.findall(r'content="(default-src.*?)"', page)[0])
    for name in ("script", "style"):
        inner = re.findall(f"<{name}>(.*?)</{name}>", page, re.DOTALL)
        assert f"{name}-src 'sha256-{base64.b64encode(hashlib.sha256(inner[0].encode()).digest()).decode()}'" in policy
        assert len(inner) == 1
        assert "url(" not in inner[0]
        assert not re.search(r"\beval\b|\bFunction\b|innerHTML|document\.write|import\(|fetch\(|https?:", inner[0])


def test_an_empty_folder_has_contents() -> None:
    assert b"0 sheets" in index_html([], "x")
