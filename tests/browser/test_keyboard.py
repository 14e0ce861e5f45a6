"""Everything by keyboard alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

NAME = "document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent.trim()"


def tab_to(page: Page, name: str) -> None:
    """Press Tab until the focus is on the control of that name."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(NAME) == name:
            return
    pytest.fail(f"Tab never came to “{name}”")


@pytest.fixture
def page(live: LiveHouse, visitors: Visitors) -> Page:
    live.start()
    live.live(3)
    page = visitors.come()
    page.goto("/today")
    return page


def test_the_first_tab_skips_to_the_page(page: Page) -> None:
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


def test_a_line_is_marked_and_undone_and_the_next_one_marked(page: Page, live: LiveHouse) -> None:
    one, other = (line["title"] for line in live.day()["checklist"])
    tab_to(page, f"{one}: kept")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_have_text(f"{one}: kept.")
    tab_to(page, f"Undo the mark of {one}")
    page.keyboard.press("Space")
    expect(page.get_by_role("status")).to_have_text(f"{one}: mark taken back.")
    tab_to(page, f"{other}: kept")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_have_text(f"{other}: kept.")


def test_another_mark_is_chosen_in_the_sheet_which_escape_closes(page: Page, live: LiveHouse) -> None:
    one = live.day()["checklist"][0]["title"]
    sheet = page.locator(".others").first
    tab_to(page, f"Other marks for {one}")
    page.keyboard.press("Enter")
    expect(sheet).to_be_visible()
    page.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".stamp")).to_have_text("Small")


def test_the_focus_can_always_be_seen(page: Page) -> None:
    seen = """() => {
        if (document.activeElement === document.body) return true;  // past the end of the page
        const style = getComputedStyle(document.activeElement);
        return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
    }"""
    for _ in range(20):
        page.keyboard.press("Tab")
        assert page.evaluate(seen), page.evaluate(NAME)


def test_the_lesson_folds_and_unfolds(page: Page) -> None:
    prose = page.locator("#lesson .prose")
    expect(prose).to_be_visible()
    page.locator("#lesson summary").focus()
    page.keyboard.press("Enter")
    expect(prose).to_be_hidden()


def test_a_step_is_opened_from_the_picture(page: Page) -> None:
    page.goto("/path")
    tab_to(page, "Make the bed: settled")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Make the bed")
