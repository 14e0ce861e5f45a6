"""What holds on every page: any colours, letters twice as large, small phones, headings, landmarks, Tab."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.every_page import every_page
from browser.looking import (
    COLOURS,
    OPEN_ALL,
    TWICE_AS_LARGE,
    backward_steps,
    broken_rules,
    broken_words,
    heading_jumps,
    lost_landmarks,
    too_wide,
)
from browser.visitor import DESK, NARROW, PHONE
from web.demo_home import move_in
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Page

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

LIGHTS = {
    "by night": {"color_scheme": "dark", "forced_colors": "none"},
    "in forced colours": {"color_scheme": "light", "forced_colors": "active"},
}


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """Tern Street, with its whole home plan."""
    house = LiveHouse(tmp_path_factory.mktemp("house"))
    move_in(house)
    yield house
    house.close()


@pytest.fixture(scope="module")
def paths(live: LiveHouse) -> list[str]:
    return every_page(live)


def walk(page: Page, paths: list[str], look: Callable[[Page], object]) -> dict[str, object]:
    """What is found on which pages; a look that finds nothing gives something empty."""
    found = {}
    for path in paths:
        page.goto(path)
        found[path] = look(page)
    return {path: one for path, one in found.items() if one}


def test_axe_finds_nothing_by_day_by_night_and_in_forced_colours(
    paths: list[str], visitors: Visitors
) -> None:
    visitors.expected = ("404",)

    def look(page: Page) -> dict[str, object]:
        page.emulate_media(color_scheme="light", forced_colors="none")
        found = {"by day": broken_rules(page)}
        for name, light in LIGHTS.items():
            page.emulate_media(**light)  # type: ignore[arg-type]  # its literals
            found[name] = broken_rules(page, COLOURS)
        return {name: rules for name, rules in found.items() if rules}

    assert walk(visitors.come(), paths, look) == {}


def test_no_word_breaks_and_nothing_is_too_wide_with_letters_twice_as_large(
    paths: list[str], visitors: Visitors
) -> None:
    visitors.expected = ("404",)

    def look(page: Page) -> list[str]:
        page.evaluate(OPEN_ALL)
        page.evaluate(TWICE_AS_LARGE)
        return too_wide(page) + broken_words(page)

    assert walk(visitors.come(viewport=PHONE), paths, look) == {}


def test_no_word_breaks_and_nothing_is_too_wide_on_the_smallest_phone(
    paths: list[str], visitors: Visitors
) -> None:
    visitors.expected = ("404",)

    def look(page: Page) -> list[str]:
        page.evaluate(OPEN_ALL)
        return too_wide(page) + broken_words(page)

    assert walk(visitors.come(viewport=NARROW), paths, look) == {}


@pytest.mark.parametrize("viewport", [PHONE, DESK], ids=["phone", "desk"])
def test_headings_landmarks_and_stops_follow_what_one_sees(
    paths: list[str], visitors: Visitors, viewport: dict[str, int]
) -> None:
    visitors.expected = ("404",)

    def look(page: Page) -> list[object]:
        page.evaluate(OPEN_ALL)
        found = [*heading_jumps(page), *backward_steps(page)]
        return found + [lost for lost in (lost_landmarks(page),) if lost]

    assert walk(visitors.come(viewport=viewport), paths, look) == {}


def test_what_is_wrong_would_be_found(live: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come()
    page.goto(f"{live.url}/settings")
    assert (broken_words(page), too_wide(page), heading_jumps(page), backward_steps(page)) == ([], [], [], [])
    assert lost_landmarks(page) == {}
    page.evaluate("""() => {
        const words = document.createElement('p');
        words.textContent = 'Unbreakable';
        words.style.cssText = 'width: 3em; overflow-wrap: anywhere';
        const wide = document.createElement('h5');
        wide.textContent = 'Too wide';
        wide.style.width = '500px';
        const high = document.createElement('button');
        high.textContent = 'Above';
        high.style.cssText = 'position: absolute; top: 0; left: 0';
        document.querySelector('main').append(words, wide, high);
        document.querySelector('nav').removeAttribute('aria-label');
    }""")
    assert broken_words(page)[0].startswith("Unbreakable in <p")
    assert too_wide(page)[0].endswith("px too wide")
    assert heading_jumps(page) == ["h5 after h2: Too wide"]
    assert len(backward_steps(page)) == 1
    assert list(lost_landmarks(page)) == ["unnamed"]
