"""A sheet in a real browser, from disk: ticks, measurements and their sums, keys, thumbs, and paper."""

from __future__ import annotations

import dataclasses
import io
import json
import random
import re
import unicodedata
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from browser.chromium import Browser, Page
from browser.conftest import sheet_in
from pypdf import PdfReader
from render.sample import SAMPLE, hostile

from benchleaf.render import PAPERS, paper
from benchleaf.render.html import to_html
from benchleaf.render.pdf import to_pdf
from benchleaf.sheet.model import Box, Graduation, Limits, Section, Sheet, Sum
from benchleaf.sheet.numbers import fixed
from benchleaf.sheet.reckon import Outcome, reckon
from benchleaf.sheet.words import figures_by_name, spoken_text

THUMB = 60  # px on a phone that is 360 px and about 65 mm wide: 11 mm
MOUSE = 41  # px: 11 mm as CSS counts them
TICKED = "[...document.querySelectorAll('input.tick')].map(box => box.checked)"
WRITTEN = "[...document.querySelectorAll('.room input')].map(field => field.value)"
STATUS = "document.querySelector('#bar p').textContent"
CLEAR = "#bar button"


def written(folder: Path, sheet: Sheet, name: str = "sheet") -> Path:
    path = folder / f"{name}.html"
    path.write_text(to_html(sheet), encoding="utf-8")
    return path


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    return written(tmp_path, SAMPLE)


def test_ticks_and_measurements_survive_a_reload(desk: Page, sample: Path) -> None:
    desk.open(sample)
    assert not any(desk.run(TICKED))
    desk.click("tr:nth-child(2) input.tick")
    desk.click(".checks li:nth-child(2) span")
    desk.fill(".room input.size", "26.95")
    ticked, fields = desk.run(TICKED), desk.run(WRITTEN)
    assert ticked.count(True) == 2
    assert "26.95" in fields
    answer = desk.run("document.querySelector('output').textContent")
    desk.reload()
    assert (desk.run(TICKED), desk.run(WRITTEN)) == (ticked, fields)
    assert desk.run("document.querySelector('output').textContent") == answer != ""
    assert desk.run(STATUS) == f"2 of {len(ticked)} ticked"


def test_a_sheet_that_says_something_else_begins_afresh(desk: Page, sample: Path, tmp_path: Path) -> None:
    desk.open(sample)
    desk.click("tr:nth-child(2) input.tick")
    other = written(tmp_path, dataclasses.replace(SAMPLE, subtitle="for another pump"), "other")
    desk.open(other)
    assert not any(desk.run(TICKED))
    desk.open(sample)
    assert desk.run(TICKED).count(True) == 1


def test_clearing_asks_nothing_and_can_be_taken_back(desk: Page, sample: Path) -> None:
    desk.open(sample)
    desk.click("tr:nth-child(1) input.tick")
    desk.fill(".room input.size", "27")
    desk.click(CLEAR)
    assert not any(desk.run(TICKED))
    assert not any(desk.run(WRITTEN))
    assert desk.run("Object.keys(localStorage)") == []
    desk.click(CLEAR)
    assert desk.run(TICKED).count(True) == 1
    assert "27" in desk.run(WRITTEN)
    desk.click(CLEAR)
    desk.click("tr:nth-child(3) input.tick")  # going on makes it final
    assert desk.run(f"document.querySelector('{CLEAR}').textContent") == "Clear all"
    desk.reload()
    assert desk.run(TICKED).count(True) == 1
    assert not any(desk.run(WRITTEN))


@pytest.mark.parametrize("rubbish", ["", "null", "[]", "7", "{", '{"screwcut.passes.1": "yes", "x": true}'])
def test_rubbish_in_the_memory_is_no_harm(desk: Page, sample: Path, rubbish: str) -> None:
    desk.open(sample)
    desk.run(f"localStorage.setItem('benchleaf/' + document.body.dataset.sheet, {json.dumps(rubbish)})")
    desk.reload()
    assert not any(desk.run(TICKED))
    desk.click("tr:nth-child(1) input.tick")
    desk.reload()
    assert desk.run(TICKED).count(True) == 1


def test_without_memory_the_sheet_says_so_and_goes_on(desk: Page, sample: Path) -> None:
    desk.call("Page.addScriptToEvaluateOnNewDocument", source="Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };")
    desk.open(sample)
    desk.click("tr:nth-child(1) input.tick")
    assert desk.run(TICKED).count(True) == 1
    assert "not kept" in desk.run(STATUS)


def test_two_windows_agree(browser: Browser, sample: Path) -> None:
    page = browser.page()
    page.open(sample)
    key = page.run("'benchleaf/' + document.body.dataset.sheet")
    name = page.run("document.querySelector('input.tick').dataset.keep")
    page.run(
        f"localStorage.setItem({json.dumps(key)}, JSON.stringify({{[{json.dumps(name)}]: true}})),"
        f"dispatchEvent(new StorageEvent('storage', {{key: {json.dumps(key)}}}))"
    )
    assert page.run(TICKED)[0]
    page.close()


def test_the_next_pass_stands_out(desk: Page, sample: Path) -> None:
    desk.open(sample)
    lines = "[...document.querySelectorAll('tbody')].find(b => b.querySelector('input.tick')).children"
    look = f"[...{lines}].map(line => line.className.replace(/row|fifth/, '').trim())"
    assert desk.run(look)[:3] == ["next", "", ""]
    desk.click("tr:nth-child(1) input.tick")
    assert desk.run(look)[:3] == ["ticked", "next", ""]


def test_keys_alone_will_do(desk: Page, sample: Path) -> None:
    desk.open(sample)
    focused = "document.activeElement.dataset.keep || document.activeElement.tagName"
    for _ in range(40):
        desk.press("Tab", 9)
        if desk.run("document.activeElement.matches('tr input.tick')"):
            break
    first = desk.run(focused)
    desk.press(" ", 32, " ")
    desk.press("ArrowDown", 40)
    assert desk.run(focused) != first
    desk.press(" ", 32, " ")
    assert desk.run("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    desk.press("ArrowUp", 38)
    assert desk.run(focused) == first
    ticked = desk.run(TICKED)
    assert ticked.count(True) == 2
    order = []
    for _ in range(60):
        desk.press("Tab", 9)
        order.append(desk.run(focused))
        if order[-1] == "BUTTON":
            break
    names = desk.run("[...document.querySelectorAll('[data-keep]')].map(field => field.dataset.keep)")
    assert [name for name in order if name in names] == names[names.index(first) + 1 :]  # nothing is left out, in reading order
    desk.press("Enter", 13, "\r")
    assert not any(desk.run(TICKED))
    desk.press(" ", 32, " ")
    assert desk.run(TICKED) == ticked


def test_every_control_has_a_name(desk: Page, sample: Path) -> None:
    desk.open(sample)
    nodes = desk.call("Accessibility.getFullAXTree")["nodes"]
    controls = [node for node in nodes if node.get("role", {}).get("value") in ("checkbox", "textbox", "button", "combobox")]
    assert len(controls) > 10
    assert [node["role"]["value"] for node in controls if not node["name"]["value"].strip()] == []


@pytest.mark.parametrize("screen", [{"width": 360, "height": 740, "touch": True}, {"width": 820, "height": 1100, "touch": True}, {"width": 1000}], ids=["phone", "tablet", "desk"])
@pytest.mark.parametrize("name", ["sample", "hostile", "pump-spindle", "taper-plug", "feed-screw", "hand-wheel-keyway"])
def test_nothing_runs_off_the_screen_and_everything_is_wide_enough_for_a_thumb(
    browser: Browser, shop: Path, tmp_path: Path, screen: dict[str, int | bool], name: str
) -> None:
    page = browser.page(**screen)
    page.open(written(tmp_path, {"sample": SAMPLE, "hostile": hostile()}[name]) if name in ("sample", "hostile") else shop / f"{name}.html")
    assert page.run("document.documentElement.scrollWidth") <= screen["width"]
    if name != "hostile" and (name, screen["width"]) != ("sample", 360):  # words as long as a line; eight columns: they scroll in their own box
        inner = "[...document.querySelectorAll('.passes, .list')].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.id)"
        assert page.run(inner) == []
    least = THUMB if screen.get("touch") else MOUSE
    small = page.run(
        "[...document.querySelectorAll('input, button, select')].map(field => { const e = field.closest('label, tr') || field;"
        "  const r = e.getBoundingClientRect(); return [e.className || e.tagName, r.width, r.height]; })"
        f".filter(([, width, height]) => width < {least} || height < {least})"
    )
    assert small == []
    assert page.complaints() == []
    page.close()


def test_a_thumb_anywhere_on_the_row_ticks_it(phone: Page, shop: Path) -> None:
    phone.open(shop / "pump-spindle.html")
    x, y = phone.middle("#turn tr:nth-child(2) td.dial")
    for count in (1, 0):
        phone.call("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
        phone.call("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
        assert phone.run(TICKED).count(True) == count


def test_the_list_of_steps_leads_to_the_step(phone: Page, shop: Path) -> None:
    phone.open(shop / "pump-spindle.html")
    steps = phone.run("[...document.querySelector('#bar select').options].map(option => option.textContent)")
    assert len(steps) > 12
    phone.run("(s => { s.value = 'turn-3'; s.dispatchEvent(new Event('change', {bubbles: true})); })(document.querySelector('#bar select'))")
    assert abs(phone.run("document.getElementById('turn-3').getBoundingClientRect().top")) < 2
    assert phone.run("document.activeElement.id") == "turn-3"


# ---- sums


def told(rule: Sum, unit: str, words: dict[str, str], found: Outcome) -> str:
    """What the page should say, put together from the sum and its outcome in another way than the page does it."""
    if found.kind != "cut":
        return words[found.kind]
    assert found.after is not None
    amount, after = f"{fixed(found.amount, rule.places)} {rule.unit}", f"It then measures {fixed(found.after, rule.reads)} {unit}."
    if rule.collar is None:
        return f"{words['amount']} {amount}. {after}"
    assert found.divisions is not None
    per = rule.collar.turn / rule.collar.division
    turns, rest = divmod(found.divisions, int(per)) if per.denominator == 1 else (0, found.divisions)
    parts = [f"{number} {name}{'s' if number > 1 else ''}" for number, name in ((turns, "turn"), (rest, "division")) if number]
    shows = "" if found.shows is None else f", to {fixed(found.shows, rule.places)}"
    return f"{words['amount']} {' + '.join(parts)}{shows} ({amount} on the dial). {after}"


def rounded(value: Fraction) -> Fraction:
    """What can be typed: four decimals."""
    return Fraction(round(value * 10**4), 10**4)


def typed(value: Fraction, places: int, chance: random.Random) -> str:
    text = fixed(value, places)
    return chance.choice([text, text.replace(".", ","), f" {text}", text.rstrip("0") if "." in text else text])


def answers(page: Page, box: str, pairs: list[tuple[str, str]]) -> list[str]:
    """What the page says to each reading, with what the dial shows now ('' for not said)."""
    said: list[str] = page.run(
        f"{json.dumps(pairs)}.map(([size, now]) => {{ const room = document.querySelector('[data-keep=\"{box}.1\"]').closest('.reading');"
        " const put = (field, text) => { if (field) { field.value = text; field.dispatchEvent(new Event('input', {bubbles: true})); } };"
        " put(room.querySelector('.now input'), now); put(room.querySelector('.size'), size); return room.querySelector('output').textContent; })"
    )
    return [text.replace("\u00a0", " ") for text in said]


def compare(page: Page, sheet: Sheet, section: Section, box: Box, chance: random.Random, number: int) -> None:
    assert box.sum is not None
    rule, names = box.sum, figures_by_name(sheet)
    words = {name: spoken_text(getattr(rule.words, name), names, section.id).replace("\u00a0", " ") for name in ("amount", "done", "fine", "spoilt", "odd")}
    spread = 6 * (rule.collar.division / rule.factor) if rule.collar is not None else Fraction(1)
    cases: list[tuple[Fraction, Fraction | None]] = []
    for _ in range(number):
        wide = chance.choice([spread, spread, spread * 20, spread * 200])
        reading = rounded(abs(rule.target + wide * Fraction(chance.randint(-1000, 1000), 1000)))
        now = None
        if rule.collar is not None and chance.random() < 0.5:
            now = rounded(rule.collar.division * chance.randrange(int(rule.collar.turn / rule.collar.division)))
        cases.append((reading, now))
    ends = [] if rule.limits is None else [end for end in (rule.limits.lower, rule.limits.upper) if end is not None]
    cases += [(rounded(size), None) for size in (rule.target, *ends, *([rule.start] if rule.start is not None else []))]
    pairs = [(typed(reading, 4, chance), "" if now is None else typed(now, 4, chance)) for reading, now in cases]
    wanted = [told(rule, box.unit, words, reckon(rule, reading, now)) for reading, now in cases]
    assert answers(page, f"{section.id}.{box.id}", pairs) == wanted


def test_the_page_does_the_sums_of_the_demo_as_python_does(desk: Page, shop: Path) -> None:
    chance = random.Random(6)
    kinds = set()
    for file in sorted(shop.glob("*.json")):
        sheet = sheet_in(file)
        for section in sheet.sections:
            for box in (block for block in section.blocks if isinstance(block, Box) and block.sum is not None):
                desk.open(file.with_suffix(".html"))
                compare(desk, sheet, section, box, chance, 40)
                kinds.add((section.kind, box.id))
    assert {("turn", "measured"), ("bore", "measured"), ("keyway", "measured"), ("flats", "across"), ("face", "measured"), ("screwcut", "over_wires"), ("taper", "stands_off")} <= kinds


def test_the_page_does_any_sum_as_python_does(desk: Page, tmp_path: Path) -> None:
    chance = random.Random(27)
    original = next(block for block in SAMPLE.sections[0].blocks if isinstance(block, Box) and block.sum is not None)
    assert original.sum is not None
    for number in range(25):
        target = Fraction(chance.randint(1, 60000), chance.choice([1000, 7, 254]))
        tolerance = Fraction(chance.randint(0, 300), 1000)
        division = Fraction(chance.choice(["0.001", "0.02", "0.05", "0.1", "1/3"]))
        collar = Graduation(division, division * chance.choice([40, 125, Fraction(81, 2)]), chance.random() < 0.5)
        rule = dataclasses.replace(
            original.sum,
            target=target,
            factor=Fraction(chance.choice(["1", "1/2", "574477770792/1000000000000", "1/10", "7"])),
            places=chance.randint(0, 4),
            grows=chance.random() < 0.5,
            rounding=chance.choice(["nearest", "up", "down"]),
            limits=chance.choice([None, Limits(target - tolerance, target + tolerance), Limits(None, target), Limits(target, None)]),
            start=None,
            collar=chance.choice([collar, collar, None]),
        )
        box = dataclasses.replace(original, sum=rule)
        section = dataclasses.replace(SAMPLE.sections[0], blocks=tuple(box if block is original else block for block in SAMPLE.sections[0].blocks))
        sheet = dataclasses.replace(SAMPLE, sections=(section,))
        desk.open(written(tmp_path, sheet, f"sum-{number}"))
        compare(desk, sheet, section, box, chance, 40)


def test_a_boring_worked_by_hand(phone: Page, shop: Path) -> None:
    """20 H9 is 20.000 to 20.052 (ISO 286-2); the dial of the long lathe reads diameter by 0.05 mm, 4 mm to a turn, and counts down outwards."""
    phone.open(shop / "gland-nut.html")
    room = "#bore-2 .box .reading:nth-child(1)"
    phone.fill(f"{room} input.size", "19,71")
    # 0.303 under the 20.013 to aim at: 6.06 divisions, six, which leave 20.010
    assert phone.run(f"document.querySelector('{room} output').textContent").replace("\u00a0", " ") == "Wind towards you 6 divisions (0.30 mm on the dial). It then measures 20.010 mm."
    phone.fill(f"{room} .now input", "0.10")
    assert "6 divisions, to 3.80 " in phone.run(f"document.querySelector('{room} output').textContent")
    phone.fill(f"{room} input.size", "20.06")
    assert "Larger than it may be" in phone.run(f"document.querySelector('{room} output').textContent")
    phone.fill(f"{room} input.size", "17.2")
    assert "misread" in phone.run(f"document.querySelector('{room} output').textContent")


@pytest.mark.parametrize("text", ["abc", "1.2.3", "-4", "1e3", "19 9", "12345678901", ".", "½"])
def test_what_is_no_number_is_not_reckoned_with(desk: Page, sample: Path, text: str) -> None:
    desk.open(sample)
    assert answers(desk, "screwcut.bore", [(text, "")]) == ["Not a number: write it like 12.34."]
    assert desk.run("document.querySelector('input.size').getAttribute('aria-invalid')") == "true"
    assert answers(desk, "screwcut.bore", [("26.9", text)]) == ["Not a number: write it like 12.34."]
    assert answers(desk, "screwcut.bore", [("26.9", "4")]) == ["The dial reads less than 4.00 mm."]
    assert answers(desk, "screwcut.bore", [("", "")]) == [""]


# ---- paper


def characters(pdf: bytes) -> Counter[str]:
    """How often each character stands on the paper: order and line ends differ between two page engines, ligatures too."""
    text = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    plain = unicodedata.normalize("NFKC", re.sub(r"page \d+ of \d+", "", text))
    return Counter("".join(plain.split()).replace("▪", ""))  # squares before the items of a list: text for one, drawn by the other


@pytest.mark.parametrize("name", ["gland-nut", "flange-stud", "taper-plug"])
def test_the_browser_prints_what_the_pdf_says_and_no_control(desk: Page, shop: Path, name: str) -> None:
    desk.open(shop / f"{name}.html")
    clean = desk.pdf()
    pages = PdfReader(io.BytesIO(clean)).pages
    assert {(round(float(page.mediabox.width)), round(float(page.mediabox.height))) for page in pages} == {(595, 842)}  # A4 in points
    pdf, faults = to_pdf(sheet_in(shop / f"{name}.json"))
    assert faults == []
    assert pdf is not None
    ours, theirs = characters(clean), characters(pdf)
    sheet = sheet_in(shop / f"{name}.json")
    feet = Counter((sheet.id + sheet.digest[:8]) * (len(PdfReader(io.BytesIO(pdf)).pages) - 1))  # a browser knows no running feet
    assert (ours + feet - theirs, theirs - ours - feet) == (Counter(), Counter())
    desk.click("input.tick")
    desk.fill("[data-sum] input.size", "19.71")
    seen = desk.run("document.body.innerText")
    assert all(word in seen for word in ("ticked", "Clear all", "dial now" if name != "flange-stud" else "ticked"))
    assert characters(desk.pdf()) == ours  # what was ticked and measured here is not what the next one ticks and measures


@pytest.mark.parametrize("name", PAPERS)
def test_the_browser_prints_on_the_paper_that_was_asked_for(desk: Page, tmp_path: Path, name: str) -> None:
    path = tmp_path / "sheet.html"
    wanted = paper(name)
    path.write_text(to_html(SAMPLE, wanted), encoding="utf-8")
    desk.open(path)
    sizes = [(float(page.mediabox.width), float(page.mediabox.height)) for page in PdfReader(io.BytesIO(desk.pdf())).pages]
    assert sizes
    assert all(abs(width * 25.4 / 72 - wanted.width) < 0.5 and abs(height * 25.4 / 72 - wanted.height) < 0.5 for width, height in sizes)


# ---- what a page may do


def test_a_script_that_is_not_ours_does_not_run(browser: Browser, sample: Path) -> None:
    page = browser.page()
    page.open(sample)
    page.run("(e => { e.textContent = 'window.strange = 1'; document.body.append(e); })(document.createElement('script'))")
    page.run("(e => { e.setAttribute('onclick', 'window.strange = 2'); document.body.append(e); e.click(); })(document.createElement('button'))")
    page.run("(e => { e.src = 'https://localhost/x.png'; document.body.append(e); })(document.createElement('img'))")
    assert page.run("typeof window.strange") == "undefined"
    assert page.run("fetch('file:///etc/hostname').then(() => 'read', () => 'refused')") == "refused"
    assert len(page.complaints()) >= 3
    page.close()


def test_names_full_of_markup_run_nothing(desk: Page, tmp_path: Path) -> None:
    desk.open(written(tmp_path, hostile()))
    assert desk.run("document.querySelectorAll('script').length") == 1
    desk.click("tr:nth-child(1) input.tick")
    fields = desk.run("document.querySelectorAll('[data-sum]').length")
    assert fields == 2
    assert "26.95" not in answers(desk, "other.written", [("26.95", "")])[0]
    desk.reload()
    assert desk.run(TICKED).count(True) == 1


def test_without_script_the_sheet_is_all_there(desk: Page, sample: Path) -> None:
    desk.call("Emulation.setScriptExecutionDisabled", value=True)
    desk.open(sample)
    tree = desk.call("Accessibility.getFullAXTree")["nodes"]
    said = " ".join(str(node.get("name", {}).get("value", "")) for node in tree)
    assert all(figure.label in said for section in SAMPLE.sections for figure in section.figures())
    roles = [node.get("role", {}).get("value") for node in tree if not node.get("ignored")]
    assert "button" not in roles  # the bar needs the script
    assert "checkbox" in roles
