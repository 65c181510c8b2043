"""The layout of a file made even: indents, blanks, empty lines and line ends.  Words, comments and their order stay as they are.

The text is taken apart into the tokens of PyYAML's scanner, which know where they stand, and put together again: tokens of one line stay on
one line.  Whether it still says the same is then looked at by reading both.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import yaml
from yaml import tokens as t

from benchleaf.diagnostics import Diagnostic, Span
from benchleaf.source.node import Node
from benchleaf.source.yaml_ import parse_text

__all__ = ["laid_out", "layout_refused"]

_STEP = 2
_OPENING = (t.FlowSequenceStartToken, t.FlowMappingStartToken)
_CLOSING = (t.FlowSequenceEndToken, t.FlowMappingEndToken)
_UNSEEN = (t.StreamStartToken, t.StreamEndToken, t.BlockMappingStartToken, t.BlockSequenceStartToken, t.BlockEndToken)
_COMMENT = re.compile(r"#[^\n]*")


@dataclass(slots=True)
class _Block:
    """An open block: where it stood, where it stands now, and whether it is a list that stands no deeper than its key."""

    old: int
    new: int
    kind: str  # 'map', 'list' or 'level list'


def laid_out(text: str) -> str | None:
    """The text with an even layout; None where that is not safe to do: it cannot be read, or would not be read as the same.

    ``text`` has plain line ends and no byte-order mark.
    """
    before, faults = parse_text(text, "")
    if before is None or faults:
        return None
    try:
        made = _Writer(text).written()
    except yaml.YAMLError:
        return None
    after, faults = parse_text(made, "")
    same = after is not None and not faults and _same(before, after) and _comments(made) == _comments(text)
    return made if same else None


def layout_refused(shown: str) -> Diagnostic:
    """The fault that a file is left as it is."""
    message = "the layout of this file cannot be made even without touching what it says"
    return Diagnostic("layout/refused", message, Span(shown), hints=("it is as sound as before: `benchleaf check` says what matters",))


def _same(one: Node, other: Node) -> bool:
    if (one.kind, one.text, one.quoted) != (other.kind, other.text, other.quoted) or len(one.items) != len(other.items):
        return False
    if len(one.elements) != len(other.elements) or not all(map(_same, one.elements, other.elements)):
        return False
    return all(a.text == b.text and _same(x, y) for (a, x), (b, y) in zip(one.items, other.items, strict=True))


def _comments(text: str) -> list[str]:
    """Every comment, in order, without the blank behind its mark."""
    found: list[str] = []
    end = 0
    for token in _seen(text):
        found += _COMMENT.findall(text[end : token.start_mark.index])
        end = max(end, _end(token, text))
    return [re.sub(r"^(#+) *", r"\1", words).rstrip() for words in [*found, *_COMMENT.findall(text[end:])]]


def _seen(text: str) -> Iterator[t.Token]:
    yield from (token for token in yaml.scan(text, Loader=yaml.SafeLoader) if _shows(token, text))


def _shows(token: t.Token, text: str) -> bool:
    """Does it stand in the text?  A key is marked by `?` or by nothing."""
    return not isinstance(token, _UNSEEN) and (not isinstance(token, t.KeyToken) or text.startswith("?", token.start_mark.index))


def _end(token: t.Token, text: str) -> int:
    """Where a token ends; of a block of text, behind its last line that is not empty (but for `+`, which keeps them)."""
    start, end = int(token.start_mark.index), int(token.end_mark.index)
    if isinstance(token, t.ScalarToken) and token.style in ("|", ">"):
        whole = text[start:end]
        head = whole.partition("\n")[0]
        return end - whole.endswith("\n") if "+" in head.split("#")[0] else start + len(whole.rstrip())
    return end


class _Writer:
    """One text on its way through."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.lines: list[str] = []
        self.line = ""
        self.blocks: list[_Block] = []
        self.flow = 0
        self._base = 0  # where the line of a block stands that a flow began on
        self._last: t.Token | None = None
        self._ended: list[t.Token] = []  # ends of blocks, and keys behind a list, met since the last token that shows

    def written(self) -> str:
        """The text put together again."""
        end = 0
        for token in yaml.scan(self.text, Loader=yaml.SafeLoader):
            if isinstance(token, (t.StreamStartToken, t.StreamEndToken)):
                continue
            if isinstance(token, t.BlockEndToken):
                self._ended.append(token)
                continue
            if isinstance(token, (t.BlockMappingStartToken, t.BlockSequenceStartToken)):
                self._open(token)
                continue
            if isinstance(token, t.KeyToken) and not self.flow:
                self._ended.append(token)
            if not _shows(token, self.text):
                continue
            self._between(self.text[end : token.start_mark.index], token)
            self._put(token)
            end = max(end, _end(token, self.text))
        self._between(self.text[end:], None)
        self._finish_line()
        return "\n".join(self.lines).strip("\n") + "\n"

    def _open(self, token: t.Token) -> None:
        column = token.start_mark.column
        parent = self.blocks[-1] if self.blocks else None
        kind = "map" if isinstance(token, t.BlockMappingStartToken) else "list"
        self.blocks.append(_Block(column, 0 if parent is None else parent.new + _STEP, kind))

    def _between(self, gap: str, token: t.Token | None) -> None:
        """What stands between two tokens: blanks, comments, line ends."""
        self._open_level_list(token)
        self._write_gap(gap, token)
        self._close()
        self._open_level_list(token)

    def _open_level_list(self, token: t.Token | None) -> None:
        if isinstance(token, t.BlockEntryToken) and not self._ended and self.blocks and self.blocks[-1].kind == "map":
            self.blocks.append(_Block(token.start_mark.column, self.blocks[-1].new + _STEP, "level list"))

    def _close(self) -> None:
        """Leave the blocks that have ended: only now, since comments behind their last line may belong to them."""
        for token in self._ended:
            if isinstance(token, t.BlockEndToken):
                while self.blocks.pop().kind == "level list":
                    pass
            elif self.blocks[-1].kind == "level list":
                self.blocks.pop()  # the next key of the map whose value the list was
        self._ended.clear()

    def _write_gap(self, gap: str, token: t.Token | None) -> None:
        first, *rest = gap.split("\n")
        if first.strip():
            blanks = max(1, len(first) - len(first.lstrip(" ")))  # comments may stand below one another
            self.line = f"{self.line}{' ' * blanks if self.line else ''}{_comment(first)}"
        if not rest:
            return
        self._finish_line()
        for words in rest[:-1]:
            if words.strip():
                self.lines.append(" " * self._column_of(words, token) + _comment(words))
            elif self.lines and self.lines[-1]:
                self.lines.append("")
        if token is None and rest[-1].strip():
            self.lines.append(_comment(rest[-1]))

    def _column_of(self, words: str, token: t.Token | None) -> int:
        """Where a comment on a line of its own stands: with what it stood level with, else with what follows."""
        old = len(words) - len(words.lstrip())
        for block in reversed(self.blocks):
            if block.old == old:
                return block.new
        return 0 if token is None else self._indent(token)

    def _indent(self, token: t.Token) -> int:
        if self.flow:
            return self._base + _STEP * (self.flow - isinstance(token, _CLOSING))
        if isinstance(token, t.BlockEntryToken) or self._begins_key(token):
            return self.blocks[-1].new if self.blocks else 0
        return (self.blocks[-1].new if self.blocks else 0) + _STEP

    def _begins_key(self, token: t.Token) -> bool:
        return bool(self.blocks) and self.blocks[-1].kind == "map" and token.start_mark.column == self.blocks[-1].old

    def _put(self, token: t.Token) -> None:
        start, end = token.start_mark.index, _end(token, self.text)
        raw = self.text[start:end]
        if not self.line:
            self.line = " " * self._indent(token) + "\0"
        elif self._spaced(token):
            self.line += " "
        if "\n" in raw:
            raw = self._moved(token, raw)
        self.line += raw
        if isinstance(token, _OPENING):
            if not self.flow:
                self._base = len(self.line) - len(self.line.lstrip(" "))
            self.flow += 1
        elif isinstance(token, _CLOSING):
            self.flow -= 1
        self._last = token

    def _spaced(self, token: t.Token) -> bool:
        last = self._last
        if isinstance(token, (t.FlowEntryToken, t.ValueToken, *_CLOSING)):
            return isinstance(token, t.ValueToken) and isinstance(last, (t.AliasToken, t.AnchorToken, t.TagToken))
        return not isinstance(last, _OPENING)

    def _moved(self, token: t.Token, raw: str) -> str:
        """Text over several lines: what follows the first line stands a step deeper than the block, or the flow, that it is in."""
        first, *rest = raw.split("\n")
        block = self.blocks[-1].new + _STEP if self.blocks else 0
        new = self._base + _STEP * self.flow if self.flow else block
        if isinstance(token, t.ScalarToken) and token.style in ("|", ">"):
            old = self.blocks[-1].old if self.blocks else 0
            shift = (self.blocks[-1].new if self.blocks else 0) - old
            if not re.search(r"\d", first.split("#")[0]):  # no indent is stated: any deeper one will do
                here = min((len(line) - len(line.lstrip(" ")) for line in rest if line.strip()), default=0)
                shift = new - here
            moved = [" " * max(0, len(line) - len(line.lstrip(" ")) + shift) + line.lstrip(" ") if line.strip(" ") else "" for line in rest]
            return "\n".join([re.sub(r" *(#.*)?$", lambda found: f"  {_comment(found[1])}" if found[1] else "", first), *moved])
        middle = (" " * new + line.strip(" ") if line.strip(" ") else "" for line in rest[:-1])
        return "\n".join([first.rstrip(" "), *middle, " " * new + rest[-1].lstrip(" ")])

    def _finish_line(self) -> None:
        self.lines += self.line.replace("\0", "").split("\n") if self.line else []
        self.line = ""


def _comment(words: str) -> str:
    """A comment with a blank behind its mark; what belongs to editors and shells is left alone."""
    said = words.strip()
    return re.sub(r"^(#+)(?=[^\s#!:])", r"\1 ", said)
