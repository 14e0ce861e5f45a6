"""What holds on every page: any colours, letters twice as large, small phones, headings, stops, paper."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

import pytest

from browser.every_page import every_page
from browser.looking import (
    COLOURS,
    OPEN_ALL,
    TWICE_AS_LARGE,
    backward_steps,
    broken_rules,
    broken_words,
    cut_labels,
    heading_jumps,
    lost_landmarks,
    too_wide,
    wrong_on_paper,
)
from browser.visitor import DESK, NARROW, PAPER, PHONE
from web.at_home import give_certificate
from web.demo_home import tern_streets
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from playwright.sync_api import Browser, Page, ViewportSize

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

Findings = dict[str, dict[str, Any]]
"""By what was looked for, then by page: what is wrong."""


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """Tern Street, with its whole home plan."""
    folder = tmp_path_factory.mktemp("house")
    with tern_streets(LiveHouse, folder) as house:
        give_certificate(house, folder)
        yield house


@pytest.fixture(scope="module")
def wrong(browser: Browser, live: LiveHouse) -> Findings:
    """What is wrong on all of them."""
    context = browser.new_context(base_url=live.url)
    found = wrong_on(context.new_page(), every_page(live))
    context.close()
    return found


def wrong_on(page: Page, paths: Iterable[str]) -> Findings:
    """Every page, opened once on a phone and looked at in all ways, at the width of a desk among them."""
    found: Findings = defaultdict(dict)
    for path in paths:
        page.set_viewport_size(sized(PHONE))
        page.goto(path)
        for what, one in look(page).items():
            found[what] |= {path: one} if one else {}
    return found


def sized(viewport: dict[str, int]) -> ViewportSize:
    """A viewport as Playwright has it."""
    return {"width": viewport["width"], "height": viewport["height"]}


def look(page: Page) -> Findings:
    """All ways in which a page is looked at: first as it opens, then with everything unfolded."""
    found: dict[str, Any] = {}
    page.emulate_media(media="screen", color_scheme="light", forced_colors="none")
    found["by day"] = broken_rules(page)
    page.emulate_media(color_scheme="dark")
    found["by night"] = broken_rules(page, COLOURS)
    page.emulate_media(color_scheme="light", forced_colors="active")
    found["in forced colours"] = broken_rules(page, COLOURS)
    page.emulate_media(media="print", forced_colors="none")
    page.set_viewport_size(sized(PAPER))
    found["on paper"] = wrong_on_paper(page)
    page.emulate_media(media="screen")
    # What is another order where there is room for several columns.
    page.set_viewport_size(sized(DESK))
    found["stops at a desk"] = backward_steps(page)
    page.evaluate(OPEN_ALL)
    found["width of a desk"] = too_wide(page)
    page.set_viewport_size(sized(NARROW))
    found["on the smallest phone"] = too_wide(page) + broken_words(page)
    page.set_viewport_size(sized(PHONE))
    found |= {
        "labels": cut_labels(page),
        "headings": heading_jumps(page),
        "landmarks": lost_landmarks(page),
        "stops": backward_steps(page),
    }
    page.evaluate(TWICE_AS_LARGE)
    return found | {"with letters twice as large": too_wide(page) + broken_words(page)}


@pytest.mark.parametrize("light", ["by day", "by night", "in forced colours"])
def test_axe_finds_nothing_in_any_colours(wrong: Findings, light: str) -> None:
    assert wrong[light] == {}


@pytest.mark.parametrize("where", ["with letters twice as large", "on the smallest phone"])
def test_no_word_breaks_and_nothing_scrolls_sideways(wrong: Findings, where: str) -> None:
    assert wrong[where] == {}


def test_nothing_scrolls_sideways_at_a_desk(wrong: Findings) -> None:
    assert wrong["width of a desk"] == {}


def test_no_drawing_cuts_a_label_off(wrong: Findings) -> None:
    assert wrong["labels"] == {}


@pytest.mark.parametrize("what", ["headings", "landmarks"])
def test_every_page_has_its_headings_and_landmarks(wrong: Findings, what: str) -> None:
    assert wrong[what] == {}


@pytest.mark.parametrize("where", ["stops", "stops at a desk"])
def test_the_tab_key_goes_the_way_one_reads(wrong: Findings, where: str) -> None:
    assert wrong[where] == {}


def test_no_page_prints_what_one_taps_leaves_anything_folded_or_is_too_wide(wrong: Findings) -> None:
    assert wrong["on paper"] == {}


def test_what_is_wrong_would_be_found(live: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come()
    page.goto(f"{live.url}/settings")
    assert (broken_words(page), too_wide(page), heading_jumps(page), backward_steps(page)) == ([], [], [], [])
    assert (lost_landmarks(page), cut_labels(page)) == ({}, [])
    page.evaluate("""() => {
        const words = document.createElement('p');
        words.textContent = 'Unbreakable';
        words.style.cssText = 'width: 3em; overflow-wrap: anywhere';
        const wide = document.createElement('h5');
        wide.textContent = 'Too wide';
        wide.style.width = '500px';
        const high = document.createElement('button');
        high.textContent = 'Above';
        high.style.cssText = 'position: absolute; top: 0; left: 0; display: block !important';
        const drawing = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
        drawing.innerHTML = '<text x="-6" y="20">100 %</text>';
        document.querySelector('main').append(words, wide, high, drawing);
        document.querySelector('nav').removeAttribute('aria-label');
    }""")
    assert broken_words(page)[0].startswith("Unbreakable in <p")
    assert too_wide(page)[0].endswith("px too wide")
    assert [jump[:8] for jump in heading_jumps(page)] == ["h5 after"]
    assert len(backward_steps(page)) == 1
    assert len(cut_labels(page)) == 1
    assert list(lost_landmarks(page)) == ["unnamed"]
    assert [rule[0] for rule in broken_rules(page)] != []  # type: ignore[index]  # [id, nodes, why]
    page.emulate_media(media="print")
    assert set(wrong_on_paper(page)) == {"tapped", "too_wide"}
