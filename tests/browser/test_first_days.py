"""From the first page to day 5, by tapping."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser


def keep_everything(page: Page) -> None:
    """Tap every line's large button, from the top."""
    while (buttons := page.get_by_role("button", name=": kept")).count():
        left = buttons.count()
        buttons.first.click()
        expect(buttons).to_have_count(left - 1)


@pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])
def test_from_the_start_to_day_five(live: LiveHouse, visitors: Visitors, *, script: bool) -> None:
    page = visitors.come(java_script_enabled=script, timezone_id="Europe/Lisbon")
    page.goto("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("One small step to begin with")
    if not script:
        page.get_by_label("Time zone").select_option("Europe/Lisbon")
    page.get_by_role("radio", name="Clear the table").check()
    page.get_by_role("button", name="Begin today").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    expect(page.locator(".line")).to_have_count(1)
    expect(page.get_by_text("New step")).to_be_visible()
    for lines in (1, 1, 1, 2, 2):
        expect(page.locator(".line")).to_have_count(lines)
        keep_everything(page)
        expect(page.locator(".stamp")).to_have_text(["Kept"] * lines)
        live.sleep()
        page.get_by_role("link", name="Today", exact=True).click()

    kept = [row for row in live.http.get("/api/log.csv").text.splitlines() if ",kept," in row]
    assert len(kept) == 7
    assert live.day()["day"] == 6
    assert ",zone,,Europe/Lisbon" in live.http.get("/api/log.csv").text


def test_the_browser_fills_in_its_time_zone(visitors: Visitors) -> None:
    page = visitors.come(timezone_id="Pacific/Auckland")
    page.goto("/start")
    expect(page.get_by_label("Time zone")).to_have_value("Pacific/Auckland")


def test_a_mark_needs_no_reload_and_says_what_happened(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    page = visitors.come()
    page.goto("/today")
    page.evaluate("window.same = true")
    page.get_by_role("button", name="Make the bed: kept").click()
    expect(page.get_by_role("status")).to_have_text("Make the bed: kept.")
    expect(page.locator("#line-bed-made")).to_be_focused()
    assert page.evaluate("window.same") is True


def test_the_other_marks_are_a_tap_further_and_can_be_undone(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    page = visitors.come()
    page.goto("/today")
    for name, stamp in (("Small version", "Small"), ("Excused", "Excused"), ("Missed", "Missed")):
        page.get_by_role("button", name="Other marks for Make the bed").click()
        page.get_by_role("button", name=name).click()
        expect(page.locator(".stamp")).to_have_text(stamp)
        page.get_by_role("button", name="Undo the mark of Make the bed").click()
        expect(page.locator(".stamp")).to_have_count(0)


def test_the_sheet_of_other_marks_works_without_javascript(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    page = visitors.come(java_script_enabled=False)
    page.goto("/today")
    expect(page.get_by_role("button", name="Missed")).to_be_hidden()
    page.get_by_role("button", name="Other marks for Make the bed").click()
    page.get_by_role("button", name="Missed").click()
    expect(page.locator(".stamp")).to_have_text("Missed")
