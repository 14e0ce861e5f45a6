"""CommonMark as plain values for a template: paragraphs, lists, headings and words, never a source."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from markdown_it import MarkdownIt
from markdown_it.token import Token

from coach.press.letters import plain

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_PARSER = MarkdownIt("commonmark", {"html": False})
_LEAST, _MOST = 3, 5
"""The levels of headings within a text: it stands under a heading of the second level."""
_SHOWN = ("http://", "https://", "mailto:")
_HOLDERS = {"bullet_list": "list", "ordered_list": "numbers", "list_item": "item", "blockquote": "quote"}

_BLANK = "blank"
_GAP = re.compile(r"(_{4,})")
"""What is filled in by hand on a page of the household's own, as `coach.ground.prose` shows it."""

Node = dict[str, Any]


@dataclass
class _Words:
    """Words within a line, as they are gathered.

    Attributes:
        done: Words in their order, each with how they are set; a break is one of its own.
        strong: How many times what comes now is set strongly.
        slanted: How many times it is set slanted.
        address: Where the present link leads.
        began: How many letters of words stood before it.
    """

    done: list[Node] = field(default_factory=list)
    strong: int = 0
    slanted: int = 0
    address: str = ""
    began: int = 0

    @property
    def text(self) -> str:
        """All words so far."""
        return "".join(one["words"] for one in self.done)

    def add(self, words: str) -> None:
        """Words set as all that comes now is, together with those before them where these are set so too."""
        strong, slanted = self.strong > 0, self.slanted > 0
        last = self.done[-1] if self.done else {}
        if last.get("strong") == strong and last.get("slanted") == slanted and "blank" not in last:
            last["words"] += plain(words)
        else:
            self.done.append({"words": plain(words), "strong": strong, "slanted": slanted})


def nodes_of(markdown: str, level: int = _LEAST) -> list[Node]:
    """A text as nodes.

    Args:
        markdown: As a person wrote it; raw HTML is words like any others.
        level: The level of its first headings; none is skipped further down.
    """
    tokens = iter(_PARSER.parse(markdown))
    return list(_blocks(tokens, _Levels(level)))


def own_nodes_of(markdown: str) -> list[Node]:
    """The same of a page of the household's own: four low lines or more are a blank to be filled in."""
    lines = markdown.split("\n")
    tokens = (_with_gaps(token, lines) for token in _PARSER.parse(markdown))
    return list(_blocks(tokens, _Levels(_LEAST)))


def _with_gaps(token: Token, lines: Sequence[str]) -> Token:
    """A token with its blanks as pieces of their own; low lines that stand alone are no rule either."""
    if token.type == "hr" and token.map and (found := _GAP.search(lines[token.map[0]])):
        return Token(_BLANK, "", 0, content=found[0])
    token.children = token.children and [part for child in token.children for part in _divided(child)]
    return token


def _divided(token: Token) -> Iterator[Token]:
    if token.type != "text":
        yield token
        return
    for part in filter(None, _GAP.split(token.content)):
        yield Token(_BLANK if _GAP.fullmatch(part) else "text", "", 0, content=part)


def _blank(content: str) -> Node:
    return {"words": content, "strong": False, "slanted": False, "blank": True}


@dataclass
class _Levels:
    """What level a heading of a text stands on, so that none is skipped.

    Attributes:
        least: The level of the first one.
        last: The level of the latest one.
    """

    least: int
    last: int = 0

    def of(self, tag: str) -> int:
        """The level of a heading that the text calls `h1` to `h6`."""
        wanted = self.least + max(0, int(tag[1:]) - 2)
        self.last = min(wanted, _MOST + self.least - _LEAST, (self.last or self.least - 1) + 1)
        return self.last


def _blocks(tokens: Iterator[Token], levels: _Levels) -> Iterator[Node]:
    """The nodes up to the end of what holds them."""
    for token in tokens:
        if token.nesting < 0:
            return
        yield _block(token, tokens, levels)


def _block(token: Token, tokens: Iterator[Token], levels: _Levels) -> Node:
    kind = token.type.removesuffix("_open")
    if kind in _HOLDERS:
        start = token.attrGet("start")
        inside = list(_blocks(tokens, levels))
        return {"kind": _HOLDERS[kind], "inside": inside, "start": 1 if start is None else int(start)}
    if kind in {"paragraph", "heading"}:
        words = _words(next(tokens))
        next(tokens)
        level = levels.of(token.tag) if kind == "heading" else 0
        return {"kind": kind, "words": words, "level": level, "plain": "".join(one["words"] for one in words)}
    if kind == _BLANK:
        return {"kind": "paragraph", "words": [_blank(token.content)], "level": 0, "plain": token.content}
    if kind == "hr":
        return {"kind": "rule"}
    return {"kind": "code", "lines": [plain(line) for line in token.content.rstrip("\n").split("\n")]}


def _words(token: Token) -> list[Node]:
    found = _Words()
    for child in token.children or ():
        _take(child, found)
    return found.done


def _take(token: Token, words: _Words) -> None:
    """One piece of a line: where it turns to another way of setting, or words."""
    match token.type:
        case "strong_open" | "strong_close":
            words.strong += token.nesting
        case "em_open" | "em_close":
            words.slanted += token.nesting
        case "link_open":
            words.address, words.began = str(token.attrGet("href") or ""), len(words.text)
        case "link_close":
            _say_address(words)
        case "hardbreak":
            words.done.append({"words": "", "break": True})
        case "softbreak":
            words.add(" ")
        case "blank":
            words.done.append(_blank(token.content))
        case _:
            # A picture's words stand for it; code is set like any other words.
            words.add(token.content)


def _say_address(words: _Words) -> None:
    """On paper a link is only good for what can be read of it."""
    address, words.address = words.address, ""
    said = words.text[words.began :]
    if address.startswith(_SHOWN) and said != address.removeprefix("mailto:"):
        words.add(f" ({address.removeprefix('mailto:')})")
