"""The preview: a save is seen, the page hears of it, faults are shown, and nobody from elsewhere is answered."""

from __future__ import annotations

import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path

import pytest
from operations.small_shop import FILES

from benchleaf.cli.preview import _build
from benchleaf.preview import Preview, serve
from benchleaf.preview.page import POLICY, RELOAD, index, with_reload
from benchleaf.preview.watch import mark


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name, text in FILES.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def port(shop: Path) -> Iterator[int]:
    preview = Preview(shop, "Small shop", lambda: _build(shop))
    preview.refresh()
    server = serve(preview)
    threads = [threading.Thread(target=server.serve_forever, daemon=True), threading.Thread(target=preview.watch, daemon=True)]
    for thread in threads:
        thread.start()
    yield server.server_port
    preview.stop()
    server.shutdown()
    server.server_close()


def get(port: int, path: str) -> str:
    with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=20) as answer:
        assert answer.headers["Content-Security-Policy"] == POLICY
        return str(answer.read().decode())


def test_the_sheets_are_listed_and_shown(port: int) -> None:
    assert "Test stud" in get(port, "/")
    page = get(port, "/job.html")
    assert "M16x2" in page
    assert page.count(RELOAD) == 1
    assert "http-equiv" not in page


def test_a_save_is_told_to_the_page_and_a_fault_is_shown_with_its_line(shop: Path, port: int) -> None:
    connection = HTTPConnection("127.0.0.1", port, timeout=30)
    connection.request("GET", "/changes")
    stream = connection.getresponse()
    job = shop / "job.yaml"
    job.write_text(job.read_text(encoding="utf-8").replace("outside: 15.9 mm", "outside: 15.0 mm"), encoding="utf-8")
    line = stream.fp.readline()
    while line.startswith(b":") or not line.strip():
        line = stream.fp.readline()
    assert line.startswith(b"data: ")
    page = get(port, "/")
    assert "error[thread/blank-small]" in page
    assert "job.yaml:6:" in page
    stream.close()
    connection.close()


def test_nobody_from_elsewhere_is_answered(port: int) -> None:
    asked = urllib.request.Request(f"http://127.0.0.1:{port}/", headers={"Host": "elsewhere.example"})
    with pytest.raises(urllib.error.HTTPError) as told:
        urllib.request.urlopen(asked, timeout=20)
    assert told.value.code == 421
    told.value.close()
    with pytest.raises(urllib.error.HTTPError) as told:
        get(port, "/../lathe.yaml")
    assert told.value.code == 404
    told.value.close()


def test_words_of_files_cannot_become_markup() -> None:
    page = index("<b>", {'a"><script>': "<script>x</script>"}, "</pre><script>y</script>").decode()
    assert page.count("<script>") == 1


def test_a_page_without_a_policy_of_its_own_is_left_as_it_is_but_for_the_reload() -> None:
    assert with_reload(b"<body>x</body>").decode() == f"<body>x<script>{RELOAD}</script></body>"


def test_only_yaml_of_the_folder_is_looked_at_and_links_are_not_followed(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("x", encoding="utf-8")
    (tmp_path / "b.txt").write_text("x", encoding="utf-8")
    (tmp_path / ".hidden").mkdir()
    (tmp_path / ".hidden" / "c.yaml").write_text("x", encoding="utf-8")
    (tmp_path / "loop").symlink_to(tmp_path)
    before = mark(tmp_path)
    assert {Path(name).name for name, _, _ in before} == {"a.yaml"}
    time.sleep(0.01)
    (tmp_path / "a.yaml").write_text("xy", encoding="utf-8")
    assert mark(tmp_path) != before
