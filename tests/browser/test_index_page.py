"""The contents of a folder of sheets in a real browser, from disk."""

from __future__ import annotations

import dataclasses
import io
import json
import unicodedata
from pathlib import Path
from urllib.parse import unquote, urlparse

import pytest
from browser.chromium import Browser, Page
from browser.conftest import sheet_in
from pypdf import PdfReader
from render.sample import HOSTILE_WORDS

from benchleaf.render.entries import IndexEntry, entry_of
from benchleaf.render.index import index_html
from benchleaf.sheet.model import Sheet

THUMB = 60  # px: 11 mm of a phone
SHOWN = "[...document.querySelectorAll('#sheets > li')].filter(line => line.checkVisibility()).map(line => line.querySelector('.tag').textContent)"


def sheets(shop: Path) -> dict[str, Sheet]:
    """By name, in the order of the contents: by title."""
    found = {file.stem: sheet_in(file) for file in shop.glob("*.json")}
    return dict(sorted(found.items(), key=lambda item: (item[1].title.casefold(), item[0])))


def choose(page: Page, select: str, value: str) -> None:
    page.run(f"(s => {{ s.value = {json.dumps(value)}; s.dispatchEvent(new Event('input', {{bubbles: true}})); }})(document.getElementById({json.dumps(select)}))")


def test_each_filter_keeps_what_it_says(desk: Page, shop: Path) -> None:
    everything = sheets(shop)
    desk.open(shop / "index.html")
    assert desk.run(SHOWN) == list(everything)
    entries = {name: entry_of(sheet, {}) for name, sheet in everything.items()}
    for select, of in (("thread", lambda e: e.threads), ("machine", lambda e: [e.machine]), ("operation", lambda e: e.operations)):
        values = {value for entry in entries.values() for value in of(entry)}
        assert set(desk.run(f"[...document.getElementById('{select}').options].map(option => option.value)")) == values | {""}
        for value in values:
            choose(desk, select, value)
            assert desk.run(SHOWN) == [name for name, entry in entries.items() if value in of(entry)]
        choose(desk, select, "")
    assert desk.run(SHOWN) == list(everything)


def test_filters_work_together_and_never_lead_to_nothing(desk: Page, shop: Path) -> None:
    desk.open(shop / "index.html")
    choose(desk, "operation", "knurl")
    assert desk.run(SHOWN) == ["gland-nut"]
    assert desk.run("count.textContent") == f"1 of {len(sheets(shop))} sheets"
    open_ones = desk.run("[...document.querySelectorAll('#thread option:not(:disabled)')].map(option => option.value)")
    assert open_ones == ["", "M30x1.5-6H"]
    choose(desk, "operation", "")
    desk.click("#words")
    desk.type("GUNMETAL nüt")
    assert set(desk.run(SHOWN)) == {"cap-nut", "gland-nut", "spindle-nut"} & set(desk.run(SHOWN))
    assert "gland-nut" in desk.run(SHOWN)
    desk.type(" zebra")
    assert desk.run(SHOWN) == []
    assert desk.run("document.getElementById('none').checkVisibility()")
    desk.click("#all")
    assert desk.run(SHOWN) == list(sheets(shop))
    assert not desk.run("document.getElementById('none').checkVisibility()")


def test_a_sheet_opens_and_coming_back_finds_the_same_list(phone: Page, shop: Path) -> None:
    phone.open(shop / "index.html")
    choose(phone, "machine", "Long lathe")
    choose(phone, "operation", "taper")
    assert phone.run(SHOWN) == ["taper-plug"]
    phone.click("#sheets > li:not([hidden]) .does")  # all of the line is the link
    phone.wait("document.body.dataset.sheet !== undefined")
    where = phone.run("location.href")
    assert Path(unquote(urlparse(where).path)) == shop / "taper-plug.html"
    phone.click("tr input.tick")
    phone.run("history.back()")
    phone.wait("document.getElementById('sheets') !== null && document.querySelector('.begun:not(:empty)') !== null")
    assert phone.run(SHOWN) == ["taper-plug"]
    assert phone.run("document.querySelector('#sheets > li:not([hidden]) .begun').textContent") == "begun: 1 ticked"


def test_every_link_leads_to_a_file_of_the_folder(desk: Page, shop: Path) -> None:
    desk.open(shop / "index.html")
    links = desk.run("[...document.links].map(link => link.href)")
    assert len(links) == 2 * len(sheets(shop))
    for link in links:
        assert Path(unquote(urlparse(link).path)).is_file()
        assert Path(unquote(urlparse(link).path)).parent == shop


def test_keys_alone_will_do(desk: Page, shop: Path) -> None:
    desk.open(shop / "index.html")
    desk.press("Tab", 9)
    desk.type("packing")
    assert desk.run(SHOWN) == ["packing-tube"]
    seen = []
    for _ in range(8):
        desk.press("Tab", 9)
        seen.append(desk.run("document.activeElement.id || document.activeElement.textContent"))
        if desk.run("document.activeElement.tagName") == "A":
            break
    assert seen == ["thread", "machine", "operation", "all", "Packing tube"]
    desk.press("Enter", 13, "\r")
    desk.wait("document.body.dataset.sheet !== undefined")


def test_a_phone_holds_it(browser: Browser, shop: Path, tmp_path: Path) -> None:
    long = "Unbreakable" * 11
    odd = IndexEntry(HOSTILE_WORDS, f"{HOSTILE_WORDS} {long}", long, long, HOSTILE_WORDS, (long, HOSTILE_WORDS), (long,), "ab" * 32, {"html": "a b/ü#?.html", "pdf": "a.pdf"})
    hostile = tmp_path / "index.html"
    hostile.write_bytes(index_html([odd, odd], HOSTILE_WORDS))
    for path in (shop / "index.html", hostile):
        for width in (360, 760, 1000):
            page = browser.page(width=width, height=740, touch=width < 1000)
            page.open(path)
            assert page.run("document.documentElement.scrollWidth") <= width
            if width == 360:
                small = page.run(
                    "[...document.querySelectorAll('input, select, button, #sheets > li')].map(e => e.getBoundingClientRect())"
                    f".filter(r => r.width < {THUMB} || r.height < {THUMB}).length"
                )
                assert small == 0
            assert page.run("document.scripts.length") == 1
            assert page.complaints() == []
            page.close()


def test_without_script_it_is_the_plain_list(desk: Page, shop: Path) -> None:
    desk.call("Emulation.setScriptExecutionDisabled", value=True)
    desk.open(shop / "index.html")
    nodes = [node for node in desk.call("Accessibility.getFullAXTree")["nodes"] if not node.get("ignored")]
    roles = [node.get("role", {}).get("value") for node in nodes]
    assert roles.count("link") == 2 * len(sheets(shop))
    assert "combobox" not in roles
    assert "searchbox" not in roles


def test_printed_it_is_a_list_without_controls(desk: Page, shop: Path) -> None:
    desk.open(shop / "index.html")
    desk.run("localStorage.setItem('benchleaf/' + JSON.parse(document.querySelector('#sheets > li').dataset.keys).digest, '{\"a\": true}')")
    desk.reload()
    text = unicodedata.normalize("NFKC", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(desk.pdf())).pages))  # ligatures
    for word in ("Any word", "all threads", "Show all", "begun", "PDF"):
        assert word not in text
    assert all(name in text for name in sheets(shop))


def test_a_thousand_sheets_are_filtered_at_once(desk: Page, shop: Path, tmp_path: Path) -> None:
    one = entry_of(next(iter(sheets(shop).values())), {"html": "a.html"})
    many = [dataclasses.replace(one, id=f"sheet-{number}", threads=(f"M{number % 60 + 3}",)) for number in range(1000)]
    path = tmp_path / "index.html"
    path.write_bytes(index_html(many, "Many"))
    desk.open(path)
    milliseconds = desk.run(
        "(s => { const began = performance.now(); s.value = 'M16'; s.dispatchEvent(new Event('input', {bubbles: true})); return performance.now() - began; })"
        "(document.getElementById('thread'))"
    )
    assert len(desk.run(SHOWN)) == 1000 // 60 + 1
    assert milliseconds < 1000  # about 20 on a quiet machine


@pytest.mark.parametrize("lost", ["sessionStorage", "localStorage"])
def test_a_browser_that_keeps_nothing_is_no_harm(desk: Page, shop: Path, lost: str) -> None:
    desk.call("Page.addScriptToEvaluateOnNewDocument", source=f"Object.defineProperty(window, '{lost}', {{ get() {{ throw new DOMException('no', 'SecurityError'); }} }});")
    desk.open(shop / "index.html")
    choose(desk, "operation", "knurl")
    assert desk.run(SHOWN) == ["gland-nut"]
