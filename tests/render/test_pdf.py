"""The PDF: nothing lost, nothing fetched, same bytes, black on white, and clear words where it cannot be made."""

from __future__ import annotations

import ctypes
import dataclasses
import io
import os
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream
from render.sample import SAMPLE, hostile

from benchleaf.diagnostics import Severity
from benchleaf.render import FORMATS, pdf
from benchleaf.render.engine import engine
from benchleaf.render.pdf import to_pdf
from benchleaf.render.svg import Svg
from benchleaf.sheet.digest import digest
from benchleaf.sheet.model import Sheet, Table

TESTS = Path(__file__).resolve().parents[1]
MM = 72 / 25.4


@cache
def made(name: str) -> bytes:
    content, faults = to_pdf({"sample": SAMPLE, "hostile": hostile()}[name])
    assert faults == []
    assert content is not None
    return content


def reader(name: str) -> PdfReader:
    return PdfReader(io.BytesIO(made(name)))


def squeezed(text: str) -> str:
    return re.sub(r"[\s\u00a0]+", "", text)


def test_everything_that_is_said_can_be_read_back() -> None:
    text = squeezed("".join(page.extract_text() for page in reader("sample").pages))
    section = SAMPLE.sections[0]
    for figure in section.figures():
        assert squeezed(figure.shown + figure.unit) in text
        assert squeezed(figure.label) in text
        assert squeezed(figure.also) in text
    for table in section.tables():
        for row in table.rows:
            assert squeezed("".join(row.shown) + row.note) in text
    for words in SAMPLE.warnings:
        assert squeezed(words) in text
    assert "Workthatcarriesload,pressureorpeopleisforaqualifiedpersontoapprove." in text
    assert digest(SAMPLE)[:8] in text


def test_the_sample_takes_three_pages_and_says_so_on_each() -> None:
    pages = reader("sample").pages
    assert len(pages) == 3
    assert [f"page {n} of 3" in page.extract_text() for n, page in enumerate(pages, 1)] == [True, True, True]
    assert [round(float(side) / MM) for side in pages[0].mediabox[2:]] == [210, 297]


def placed(page: PageObject) -> list[tuple[str, float, float, float]]:
    """Runs of text with where they start (mm from the lower left of the paper) and their size in points."""
    found: list[tuple[str, float, float, float]] = []

    def visit(text: str, outer: list[float], matrix: list[float], font: object, size: float) -> None:
        if text.strip() and outer[:4] != [1, 0, 0, 1]:  # the reader loses track of the outer matrix after centred words of drawings
            x, y = outer[0] * matrix[4] + outer[4], outer[3] * matrix[5] + outer[5]
            found.append((text.strip(), x / MM, y / MM, abs(size * matrix[3] * outer[3])))

    page.extract_text(visitor_text=visit)
    return found


def test_essentials_are_on_the_first_page_and_large() -> None:
    found = placed(reader("sample").pages[0])
    assert len(found) > 50
    for words in ("40", "63", "50", "60", "PLAIN", "52", "0.55", "1.90"):
        assert max(size for text, _, _, size in found if words in text.split()) >= 26
    assert max(size for text, _, _, size in found if text == "keep closed") >= 20
    assert min(size for *_, size in found) >= 8.9


def test_the_dial_column_is_the_largest_of_the_table() -> None:
    sizes = {text: size for text, _, _, size in placed(reader("sample").pages[1])}
    assert sizes["0.75"] == max(sizes[words] for words in ("0.75", "0.375", "0.100", "2"))
    assert sizes["0.75"] >= 16


@pytest.mark.parametrize("name", ["sample", "hostile"])
def test_no_word_starts_off_the_type_area(name: str) -> None:
    for page in reader(name).pages:
        found = placed(page)
        assert found
        assert all(19.9 <= x <= 194 and 5 <= y <= 289 for _, x, y, _ in found)


def test_tagged_titled_and_in_the_bundled_typeface_only() -> None:
    book = reader("sample")
    root = book.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en-GB"
    assert root["/StructTreeRoot"]
    assert book.metadata.title == "Packing tube"
    assert next(item.title for item in book.outline if not isinstance(item, list)).startswith("Look at this first")
    assert book.trailer["/ID"][0] == digest(SAMPLE)
    fonts = {str(font["/BaseFont"]) for page in book.pages for font in (ref.get_object() for ref in page["/Resources"]["/Font"].values())}
    assert fonts
    assert all(re.fullmatch(r"/[A-Z]{6}\+Sheet(-Bold)?-Semi-Condensed", font) for font in fonts)  # 'Sheet' is the bundled typeface's name in the stylesheet
    descendants = [
        font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
        for page in book.pages
        for font in (ref.get_object() for ref in page["/Resources"]["/Font"].values())
    ]
    assert all("/FontFile2" in descriptor or "/FontFile3" in descriptor for descriptor in descendants)


def test_black_and_white_only() -> None:
    book = reader("sample")
    seen = set()
    for page in book.pages:
        streams = [page.get_contents(), *(x.get_object() for x in page["/Resources"].get("/XObject", {}).values())]
        for stream in streams:
            for operands, operator in ContentStream(stream, book).operations:
                if operator in (b"rg", b"RG", b"g", b"G", b"k", b"K", b"sc", b"scn", b"SC", b"SCN"):
                    seen |= {tuple(float(value) for value in operands)}
    assert seen
    assert seen <= {(0.0, 0.0, 0.0), (1.0, 1.0, 1.0), (0.0,), (1.0,)}


def test_same_bytes_in_another_process_time_zone_and_hash_seed(tmp_path: Path) -> None:
    command = "import sys; from render.sample import SAMPLE; from benchleaf.render.pdf import to_pdf; sys.stdout.buffer.write(to_pdf(SAMPLE)[0])"
    paths = os.pathsep.join([str(TESTS.parent / "compiler"), str(TESTS)])
    environment = {**os.environ, "PYTHONPATH": paths, "PYTHONHASHSEED": "7", "TZ": "Pacific/Chatham", "LC_ALL": "C"}
    done = subprocess.run([sys.executable, "-c", command], cwd=tmp_path, env=environment, capture_output=True, check=True)
    assert done.stdout == made("sample")
    assert to_pdf(SAMPLE)[0] == made("sample")


@pytest.mark.parametrize("page", [
    '<img src="file:///etc/hostname">', '<img src="http://127.0.0.1:9/x.png">', '<img src="data:image/png;base64,AAAA">', '<embed src="file:///etc/hostname">',
    '<link rel=attachment href="file:///etc/hostname">', '<link rel=stylesheet href="file:///etc/hostname">', '<style>@import "file:///etc/hostname";</style>',
    '<p style="background: url(file:///etc/hostname)">x</p>', '<style>p::before { content: url(file:///etc/hostname) }</style><p>x</p>', '<object data="file:///etc/hostname"></object>',
])  # fmt: skip
def test_a_page_can_fetch_nothing(page: str) -> None:
    press = engine()
    with pytest.raises(press.refused, match="asked for"):
        press.html(string=page, url_fetcher=press.fetcher).write_pdf(font_config=press.fonts)


def with_drawing(monkeypatch: pytest.MonkeyPatch, svg: Svg) -> Sheet:
    monkeypatch.setattr("benchleaf.render.view.draw", lambda drawing: svg)
    return dataclasses.replace(SAMPLE, digest="")


def test_a_drawing_too_wide_for_the_paper_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("benchleaf.render.page.lay_out", lambda blocks, used, **_: ([], used))
    content, faults = to_pdf(SAMPLE)
    assert content is None  # the page itself names nothing that is missing, but the sheet does
    assert {fault.code for fault in faults} == {"pdf/lost"}
    monkeypatch.undo()
    content, faults = to_pdf(with_drawing(monkeypatch, Svg(150, 400, "too tall for any page")))
    assert content is None
    assert {fault.code for fault in faults} == {"pdf/off-page"}


def test_half_a_drawing_is_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    broken = Svg(50, 50, "broken")
    broken.parts.append('<g transform="rotate(x)"><rect width="5" height="5"/></g>')
    content, faults = to_pdf(with_drawing(monkeypatch, broken))
    assert content is None
    assert {fault.code for fault in faults} == {"pdf/not-clean"}


def test_without_shared_libraries_the_other_formats_still_work(monkeypatch: pytest.MonkeyPatch) -> None:
    def gone(name: str) -> None:
        raise OSError(name)

    monkeypatch.setattr(ctypes, "CDLL", gone)
    monkeypatch.setattr(sys, "platform", "linux")
    content, faults = FORMATS["pdf"][1](SAMPLE)
    assert content is None
    assert [fault.code for fault in faults] == ["pdf/library-missing"]
    assert "sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in faults[0].hints[0]
    assert "libpango-1.0.so.0" in faults[0].message
    for name in ("html", "json", "text"):
        assert FORMATS[name][1](SAMPLE)[0]


def test_a_failing_import_and_a_missing_font_are_faults_too(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    for fault, code in ((OSError("cannot load library 'x': gone"), "pdf/library-missing"), (FileNotFoundError(2, "gone", "fonts/x.ttf"), "pdf/font-missing")):
        def fail(fault: OSError = fault) -> None:
            raise fault

        monkeypatch.setattr(pdf, "engine", fail)
        content, faults = to_pdf(SAMPLE)
        assert content is None
        assert [found.code for found in faults] == [code]
    assert capsys.readouterr().out == ""


def test_a_character_that_the_typeface_lacks_is_named() -> None:
    _, faults = to_pdf(dataclasses.replace(SAMPLE, title="Packing tube 水"))
    assert ("pdf/character", Severity.WARNING) in {(fault.code, fault.severity) for fault in faults}
    assert any("水" in fault.message for fault in faults)


def test_a_long_table_repeats_its_head_and_keeps_rows_whole() -> None:
    section = SAMPLE.sections[0]
    blocks = tuple(dataclasses.replace(block, rows=block.rows * 6) if isinstance(block, Table) and block.id == "passes" else block for block in section.blocks)
    content, faults = to_pdf(dataclasses.replace(SAMPLE, sections=(dataclasses.replace(section, blocks=blocks),)))
    assert faults == []
    assert content is not None
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(content)).pages]
    with_rows = [text for text in texts if "spring pass" in text]
    assert len(with_rows) >= 3
    assert all("cross-slide" in text for text in with_rows)
    assert sum(len(re.findall("spring pass(?!es)", text)) for text in texts) == 6
