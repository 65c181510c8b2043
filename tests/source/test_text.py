"""Reading files: what is refused, in which words, at which place, and that nothing but ordinary files is opened."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchleaf.diagnostics import Span
from benchleaf.source.text import LARGEST, read_text
from benchleaf.source.yaml_ import load


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_byte_order_mark_make_no_difference(tmp_path: Path, ends: str, mark: bytes) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(mark + f"name: Möwe{ends}bore: 25.4\u00a0mm{ends}".encode())
    source, faults = read_text(path, "x.yaml")
    assert faults == []
    assert source is not None
    assert source.lines == ("name: Möwe", "bore: 25.4\u00a0mm", "")
    assert source.text == "\n".join(source.lines)
    assert (source.name_shown, source.path) == ("x.yaml", path)
    node, _, faults = load(path, "x.yaml")
    assert faults == []
    assert node is not None
    assert node["bore"].span == Span("x.yaml", 2, 7, 2, 14)


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-le", "utf-32-be"])
def test_other_unicode_encodings_are_named(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes("lead: 3 mm\nname: Möwe\n".encode(encoding))
    source, faults = read_text(path, "x.yaml")
    assert source is None
    assert [fault.code for fault in faults] == ["source/encoding"]
    assert "UTF-16" in faults[0].message
    assert "UTF-8" in faults[0].hints[0]


@pytest.mark.parametrize(
    ("raw", "line", "column"),
    [
        ("a: 1\r\nname: Möwe\n".encode("latin-1"), 2, 8),
        (b"\xef\xbb\xbfna\xc3\xb6me\xff: x", 1, 6),
        (b"\xc3", 1, 1),
        (b"a: \xed\xa0\x80", 1, 4),  # half of a surrogate pair
        (b"a: \xc0\xaf", 1, 4),  # an overlong form
    ],
)
def test_a_byte_that_is_not_utf_8_is_shown_at_its_place(tmp_path: Path, raw: bytes, line: int, column: int) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(raw)
    source, faults = read_text(path, "x.yaml")
    assert source is None
    assert [(fault.code, fault.span) for fault in faults] == [("source/encoding", Span("x.yaml", line, column, line, column + 1))]


@pytest.mark.parametrize("char", ["\x00", "\x07", "\x1b", "\x7f", "\x85", "\x9b", "\u2028", "\u202e", "\u2066", "\ufeff", "\ufffe", "\x0c"])
def test_control_characters_are_refused_at_their_place_and_the_text_kept_for_an_excerpt(tmp_path: Path, char: str) -> None:
    path = tmp_path / "x.yaml"
    path.write_text(f"# the first line is sound\r\nname: ö{char}{char}\n", encoding="utf-8", newline="")
    node, source, faults = load(path, "x.yaml")
    assert node is None
    assert source is not None
    assert len(source.lines) == 3
    assert [(fault.code, fault.span) for fault in faults] == [
        ("source/control-character", Span("x.yaml", 2, column, 2, column + 1)) for column in (8, 9)
    ]
    assert f"U+{ord(char):04X}" in faults[0].message
    assert char not in faults[0].message


def test_many_control_characters_are_not_all_reported(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_text("\x01" * 500, encoding="utf-8")
    assert 2 <= len(read_text(path, "x")[1]) <= 20


def test_the_size_limit_is_exact(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(b"#" * LARGEST)
    assert read_text(path, "x")[1] == []
    path.write_bytes(b"#" * (LARGEST + 1))
    assert [fault.code for fault in read_text(path, "x")[1]] == ["source/too-large"]


def test_what_is_no_ordinary_file_is_never_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "loop").symlink_to("back")
    (tmp_path / "back").symlink_to("loop")
    (tmp_path / "gone").symlink_to("nowhere")
    (tmp_path / "file").write_text("a: b\n")

    def opened(*arguments: object) -> int:
        raise AssertionError(arguments)

    monkeypatch.setattr(os, "open", opened)
    found = {
        "pipe": "source/not-a-file", ".": "source/not-a-file", "/dev/zero": "source/not-a-file", "loop": "source/loop", "gone": "source/missing",
        "none": "source/missing", "file/below": "source/missing", "x" * 5000: "source/missing", "nul\0": "source/missing",
    }  # fmt: skip
    for name, code in found.items():
        source, faults = read_text(tmp_path / name, name)
        assert source is None
        assert [fault.code for fault in faults] == [code], name
        assert len(faults[0].message) < 100


def test_a_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The refusal is the system's own exception, raised here by hand because the tests may run as root, whom nothing is refused."""
    path = tmp_path / "x.yaml"
    path.write_text("a: b")

    def refuse(*arguments: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    assert [fault.code for fault in read_text(path, "x")[1]] == ["source/unreadable"]


@given(st.binary(max_size=300) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=300)
def test_no_bytes_make_it_raise(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(raw)
    node, source, faults = load(path, "x.yaml")
    assert node is not None or faults
    for fault in faults:
        assert fault.span is not None
        if source is not None:
            assert 1 <= fault.span.line <= len(source.lines)
            assert 1 <= fault.span.column <= len(source.lines[fault.span.line - 1]) + 1
