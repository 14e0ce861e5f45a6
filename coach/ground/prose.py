"""Lesson Markdown as HTML that is safe to show."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import nh3
from markdown_it import MarkdownIt

if TYPE_CHECKING:
    from collections.abc import Sequence

    from markdown_it.token import Token

# A lesson stands under a heading of its page, so its own headings begin at the third level.
_LEVELS = {"h1": "h3", "h2": "h3", "h3": "h3", "h4": "h4", "h5": "h4", "h6": "h4"}
_TAGS = {"p", "ul", "ol", "li", "em", "strong", "a", "code", "pre", "blockquote", "br", "hr", "h3", "h4"}
_ATTRIBUTES = {"a": {"href", "title"}, "ol": {"start"}}
_PARSER = MarkdownIt("commonmark", {"html": False})
_CACHED = 1024


@lru_cache(maxsize=_CACHED)
def render(markdown: str) -> str:
    """CommonMark as sanitised HTML; raw HTML shows as text, pictures and unknown addresses are dropped."""
    tokens = _PARSER.parse(markdown)
    _lower_headings(tokens)
    html = _PARSER.renderer.render(tokens, _PARSER.options, {})
    return nh3.clean(
        html, tags=_TAGS, attributes=_ATTRIBUTES, url_schemes={"http", "https", "mailto"}
    ).strip()


def _lower_headings(tokens: Sequence[Token]) -> None:
    for token in tokens:
        token.tag = _LEVELS.get(token.tag, token.tag)
