"""Markdown becomes HTML that cannot carry a script, an address of another kind, or a picture."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.ground.prose import render
from web.markup import read

TAGS = {"p", "ul", "ol", "li", "em", "strong", "a", "code", "pre", "blockquote", "br", "hr", "h3", "h4"}
ATTRIBUTES = {"href", "title", "rel", "start"}


def assert_harmless(markdown: str) -> None:
    """The HTML of a text has no tag, attribute or kind of address but those that lessons need."""
    for element in read(render(markdown)).every():
        assert element.tag in TAGS
        assert element.attributes.keys() <= ATTRIBUTES
        scheme, colon, _ = element.attributes.get("href", "").partition(":")
        assert not colon or scheme in {"http", "https", "mailto"} or "/" in scheme or "#" in scheme


def test_paragraphs_lists_and_emphasis_come_through() -> None:
    html = render("Wipe *one* shelf.\n\n- cloth\n- water")
    assert html == "<p>Wipe <em>one</em> shelf.</p>\n<ul>\n<li>cloth</li>\n<li>water</li>\n</ul>"


def test_headings_go_below_those_of_the_page() -> None:
    assert render("# One\n\n## Two\n\n##### Five") == "<h3>One</h3>\n<h3>Two</h3>\n<h4>Five</h4>"


def test_links_to_the_web_stay_and_carry_no_trace_back() -> None:
    html = render("[label](https://example.org/)")
    assert html == '<p><a href="https://example.org/" rel="noopener noreferrer">label</a></p>'


@pytest.mark.parametrize(
    "markdown",
    [
        "<script>alert(1)</script>",
        "[x](javascript:alert(1))",
        '<a href="javascript:alert(1)">x</a>',
        "[x](data:text/html;base64,PHNjcmlwdD4=)",
        "<img src=x onerror=alert(1)>",
        "![x](https://example.org/x.png)",
        "<style>*{display:none}</style>",
        '<p style="color:red" onclick="x()">x</p>',
        "[x](vbscript:x 'onmouseover=alert(1)')",
    ],
)
def test_nothing_that_acts_comes_through(markdown: str) -> None:
    assert_harmless(markdown)


@given(st.text(alphabet="<>/=\"'ascriptonlod:()[]!&;#*_-` \n", max_size=200))
def test_no_text_makes_a_tag_that_is_not_expected(markdown: str) -> None:
    assert_harmless(markdown)
