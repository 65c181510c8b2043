"""Files that are broken, or meant to break things: refused in words, at their place, quickly, and nothing is written.

The situations are known from the YAML 1.1 and 1.2 specifications (yaml.org) and from common practice in reading files of strangers.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest
from small_shop import FILES, write

from benchleaf.cli import main

CHECKOUT = Path(__file__).resolve().parents[2]
HEAD = "schema: 1\nkind: material\nname: x\n"
BOMB = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 10))

# What stands in steel.yaml, what must be told (in any case), and the line it must be told at.
TEXTS = {
    "the same key twice": (HEAD + "group: mild steel\ngroup: brass\n", ["group"], 5),
    "tab for indentation": (HEAD + "turning-speed:\n\thss: 30 m/min\n", ["tab"], 5),
    "decimal comma": (HEAD + "group: mild steel\nturning-speed: {hss: '1,5 m/min'}\n", ["1.5 m/min"], 5),
    "not a number": (HEAD + "group: mild steel\nturning-speed: {hss: nan m/min}\n", ["nan"], 5),
    "infinity": (HEAD + "group: mild steel\nturning-speed: {hss: .inf}\n", [], 5),
    "zero": (HEAD + "group: mild steel\nturning-speed: {hss: 0 m/min}\n", [], 5),
    "several documents": (HEAD + "group: mild steel\n---\nname: two\n", ["document"], 5),
    "a tag that asks for code": (HEAD + "group: !!python/object/apply:os.system ['touch ran']\n", ["tag"], 4),
    "alias bomb": (BOMB, [], 0),
    "a list that holds itself": (HEAD + "group: &a [*a]\n", ["a"], 4),
    "deep nesting": (HEAD + "group: " + "[" * 5000 + "]" * 5000 + "\n", [], 4),
    "a long name": ("schema: 1\nkind: material\nname: " + "a" * 10**6 + "\ngroup: mild steel\n", [], 0),
    "a long key": (HEAD + "group: mild steel\n" + "k" * 3000 + ": 1\n", [], 0),
    "nothing but a word": ("mild steel\n", [], 1),
    "a list": ("- schema: 1\n- kind: material\n", [], 1),
    "version of the future": ("schema: 2\nkind: material\nname: x\ngroup: brass\n", ["schema: 1"], 1),
    "no version": ("kind: material\nname: x\ngroup: brass\n", ["schema"], 1),
    "kind with a capital": ("schema: 1\nkind: Material\nname: x\ngroup: brass\n", ["material"], 2),
    "escape sequences": (HEAD + "group: mild\x1b]0;owned\x07 steel\n", ["U+001B"], 4),
    "right-to-left override": (HEAD + "group: mild \u202e steel\n", ["U+202E"], 4),
}  # fmt: skip


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(write(tmp_path))
    return tmp_path


@pytest.mark.parametrize("title", TEXTS)
def test_text(title: str, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text, words, line = TEXTS[title]
    (shop / "steel.yaml").write_text(text, encoding="utf-8")
    (shop / "out").mkdir()
    (shop / "out" / "job.txt").write_text("old")
    start = time.perf_counter()
    assert main(["build", ".", "--format", "text"]) == 1
    assert time.perf_counter() - start < 2
    told = capsys.readouterr().err
    assert f"--> steel.yaml:{line or ''}" in told
    for word in words:
        assert word.lower() in told.lower()
    assert "Traceback" not in told
    assert len(told) < 4000
    assert "\x1b]" not in told
    assert sorted(path.name for path in shop.rglob("*") if path.is_file()) == sorted([*FILES, "job.txt"])
    assert (shop / "out" / "job.txt").read_text() == "old"


@pytest.mark.parametrize("raw", [HEAD.encode("utf-16"), b"\xff\xfe\x00\x00", b"name: \xe4\xf6\n", b"\x00" * 4096, b"%PDF-1.7\n\x00\x01", b""], ids=repr)
def test_bytes(raw: bytes, shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "steel.yaml").write_bytes(raw)
    assert main(["check", "."]) == 1
    told = capsys.readouterr().err
    assert "steel.yaml" in told
    assert "Traceback" not in told


def test_ten_million_letters_and_a_bomb_stay_small(shop: Path) -> None:
    """Under ten seconds and 200 MB beside what Python and its libraries take."""
    (shop / "steel.yaml").write_text("schema: 1\nkind: material\nname: " + "a" * 10**7 + "\n")
    (shop / "tooling.yaml").write_text(BOMB)
    script = f"import sys; sys.path.insert(0, {str(CHECKOUT / 'compiler')!r}); from benchleaf.cli import main; sys.exit(main(['check', '.']))"
    limit = 600 * 2**20
    done = subprocess.run([sys.executable, "-c", script], cwd=shop, capture_output=True, text=True, timeout=10, check=False,
                          preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)))  # fmt: skip
    assert done.returncode == 1, done.stderr[-2000:]
    assert "Traceback" not in done.stderr
    assert len(done.stderr) < 4000


def test_several_faults_in_one_file_are_all_told(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shop / "gears.yaml").write_text(FILES["gears.yaml"].replace("[20, 25,", "[{teeth: -40}, {teeth: 0}, {teeth: 1}, 40.5, 4e1, "))
    assert main(["check", "gears.yaml"]) == 1
    assert capsys.readouterr().err.count("error[") == 5


def test_words_of_a_stranger_stay_words_on_every_sheet(shop: Path) -> None:
    (shop / "job.yaml").write_text(FILES["job.yaml"].replace("name: Test stud", "name: '<script>alert(1)</script>'\npart: '\"><img src=x onerror=alert(1)>'"))
    assert main(["build", ".", "--quiet"]) == 0
    page = (shop / "out" / "job.html").read_text(encoding="utf-8")
    assert "<script>alert" not in page
    assert "<img src=x" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert "<script>alert(1)</script>" in (shop / "out" / "job.txt").read_text(encoding="utf-8")
