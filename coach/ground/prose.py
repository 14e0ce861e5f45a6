"""Markdown as HTML that is safe to show: that of lessons, and what a household writes itself."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

import nh3
from markdown_it import MarkdownIt
from markdown_it.token import Token

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

# A lesson stands under a heading of its page, so its own headings begin at the third level.
_LEVELS = {"h1": "h3", "h2": "h3", "h3": "h3", "h4": "h4", "h5": "h4", "h6": "h4"}
_TAGS = {"p", "ul", "ol", "li", "em", "strong", "a", "code", "pre", "blockquote", "br", "hr", "h3", "h4"}
_ATTRIBUTES = {"a": {"href", "title"}, "ol": {"start"}}
_PARSER = MarkdownIt("commonmark", {"html": False})
_CACHED = 1024
# Two households' pages: each may be long once it is rendered, and previews come and go.
_OWN_CACHED = 128
_CONTAINERS = {"blockquote_open", "list_item_open"}
# What CommonMark's parser would pass over without a word lies deeper than this.
_DEEPEST = int(_PARSER.options["maxNesting"])
_LEADS_OUT = re.compile(r"(?:https?://|mailto:|tel:)[^\s]", re.IGNORECASE)
_GAP = re.compile(r"(_{4,})")
_OWN_TAGS = {*_TAGS, "span"}
_OWN_ATTRIBUTES = {**_ATTRIBUTES, "span": {"class"}}
_OWN_SCHEMES = {"http", "https", "mailto", "tel"}

HTML_LENGTH = 200_000
"""Characters a text may have once it is rendered: an address used a thousand times makes much of little."""


@lru_cache(maxsize=_CACHED)
def render(markdown: str) -> str:
    """CommonMark as sanitised HTML; raw HTML shows as text, pictures and unknown addresses are dropped."""
    html = _html(_PARSER.parse(markdown))
    return nh3.clean(
        html, tags=_TAGS, attributes=_ATTRIBUTES, url_schemes={"http", "https", "mailto"}
    ).strip()


@lru_cache(maxsize=_OWN_CACHED)
def render_own(markdown: str) -> str:
    """The same of a text that a household writes itself: links lead to web pages, mail and telephones alone.

    Four low lines or more are a blank to be filled in by hand; a sheet of styles makes it wide enough.

    Raises:
        Malformed: Quotes and lists stand deeper in one another than can be shown, or it becomes too long.
    """
    tokens = _PARSER.parse(markdown)
    if any(token.type in _CONTAINERS and token.level + 1 >= _DEEPEST for token in tokens):
        raise Malformed(
            "Quotes or lists stand too deep in one another to be shown. Take some of the signs > and - away "
            "where a line begins with many."
        )
    lines = markdown.split("\n")
    html = _html([_filled_in(token, lines) for token in tokens])
    if len(html) > HTML_LENGTH:
        raise Malformed("This becomes too long to be shown. Use long addresses less often.")
    return nh3.clean(
        html,
        tags=_OWN_TAGS,
        attributes=_OWN_ATTRIBUTES,
        url_schemes=_OWN_SCHEMES,
        attribute_filter=_own_attribute,
    ).strip()


def _filled_in(token: Token, lines: Sequence[str]) -> Token:
    """A token with its blanks; low lines that stand alone are one too, and no rule across the page."""
    if token.type == "hr" and token.map and (found := _GAP.search(lines[token.map[0]])):
        return Token("html_block", "", 0, content=f"<p>{_gap(found[0])}</p>\n", block=True)
    token.children = token.children and [part for child in token.children for part in _with_gaps(child)]
    return token


def _gap(text: str) -> str:
    return f'<span class="blank">{text}</span>'


def _with_gaps(token: Token) -> Iterator[Token]:
    """A piece of a line, divided where something has to be filled in; no other HTML is ever raw."""
    if token.type != "text" or not _GAP.search(token.content):
        yield token
        return
    for part in filter(None, _GAP.split(token.content)):
        is_gap = _GAP.fullmatch(part) is not None
        content = _gap(part) if is_gap else part
        yield Token("html_inline" if is_gap else "text", "", 0, content=content, level=token.level)


def _own_attribute(tag: str, name: str, value: str) -> str | None:
    is_lost = tag == "a" and name == "href" and _LEADS_OUT.match(value) is None
    return None if is_lost else value


def _html(tokens: list[Token]) -> str:
    _lower_headings(tokens)
    return str(_PARSER.renderer.render(tokens, _PARSER.options, {}))


def _lower_headings(tokens: Sequence[Token]) -> None:
    for token in tokens:
        token.tag = _LEVELS.get(token.tag, token.tag)
