"""Two tabs at once, no connection, and the back button."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from coach.limits import ANSWER_SECONDS
from coach.web.line import Door, Full

if TYPE_CHECKING:
    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser


@pytest.fixture
def two_lines(live: LiveHouse) -> LiveHouse:
    live.start()
    live.live(3)
    return live


def test_two_tabs_at_once_end_with_the_same_list(two_lines: LiveHouse, visitors: Visitors) -> None:
    first = visitors.come()
    second = visitors.open_tab(first.context)
    for tab in (first, second):
        tab.goto("/today")
    one, other = (line["title"] for line in two_lines.day()["checklist"])
    first.get_by_role("button", name=f"{one}: kept").click()
    second.get_by_role("button", name=f"{other}: kept").click()
    expect(second.locator(".stamp")).to_have_text(["Kept", "Kept"])
    first.reload()
    expect(first.locator(".stamp")).to_have_text(["Kept", "Kept"])


def test_of_two_tabs_that_mark_the_same_line_the_last_one_holds(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    first = visitors.come()
    second = visitors.open_tab(first.context)
    for tab in (first, second):
        tab.goto("/today")
    first.locator(".keep").first.click()
    expect(first.locator(".stamp")).to_have_count(1)
    second.locator("[popovertarget]").first.click()
    second.get_by_role("button", name="Missed").click()
    expect(second.locator(".stamp")).to_have_text("Missed")
    assert two_lines.day()["checklist"][0]["mark"] == "missed"


def test_quick_taps_on_several_lines_are_all_saved(two_lines: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/today")
    page.evaluate("document.querySelectorAll('.keep').forEach((button) => button.click())")
    expect(page.locator(".stamp")).to_have_text(["Kept", "Kept"])
    assert [line["mark"] for line in two_lines.day()["checklist"]] == ["kept", "kept"]


def test_without_a_connection_a_mark_is_kept_and_sent_and_the_line_says_so(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = ("ERR_CONNECTION_REFUSED", "Failed to fetch")
    page = visitors.come()
    page.goto("/today")
    two_lines.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator(".stamp")).to_contain_text("not sent yet")
    expect(page.locator("#trouble")).to_be_empty()
    expect(page.locator(".line")).to_have_count(2)
    two_lines.come_online()
    page.locator(".keep").first.click()
    expect(page.locator(".stamp")).to_have_text(["Kept", "Kept"])
    expect(page.locator("#unsent")).to_have_count(0)
    assert [line["mark"] for line in two_lines.day()["checklist"]] == ["kept", "kept"]


def test_without_a_connection_a_form_says_so_and_keeps_what_was_typed(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = ("ERR_INTERNET_DISCONNECTED", "Failed to fetch")
    page = visitors.come()
    page.goto("/new-step")
    page.locator("#title").fill("Air the room")
    page.context.set_offline(True)
    page.locator("main form button").last.click()
    expect(page.get_by_role("alert")).to_contain_text("Not saved: there is no connection")
    expect(page.locator("#title")).to_have_value("Air the room")
    page.context.set_offline(False)
    # A browser that takes itself to be without network may reach its own machine all the same.
    page.evaluate("Object.defineProperty(navigator, 'onLine', { value: false })")
    page.locator("main form button").last.click()
    expect(page).not_to_have_url(f"{two_lines.url}/new-step")


def test_a_mark_whose_answer_does_not_come_in_time_is_kept_and_not_called_unsaved(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = ("timeout",)
    page = visitors.come()
    page.goto("/today")
    assert page.evaluate("htmx.config.defaultTimeout") == 1000 * ANSWER_SECONDS
    page.evaluate("htmx.config.defaultTimeout = 200")
    page.route(f"{two_lines.url}/days/**", lambda _: None)
    page.locator(".keep").first.click()
    expect(page.locator(".stamp")).to_contain_text("not sent yet")
    expect(page.get_by_text("Not saved")).to_have_count(0)
    page.evaluate("send()")
    expect(page.locator(".stamp")).to_have_text("Kept")
    assert two_lines.day()["checklist"][0]["mark"] == "kept"


@pytest.mark.usefixtures("two_lines")
def test_a_full_house_says_so_where_it_was_tapped(
    visitors: Visitors, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def enter(_: Door) -> None:
        raise Full

    monkeypatch.setattr(Door, "enter", enter)
    visitors.expected = ("503",)
    page = visitors.come()
    page.goto("/today")
    page.locator(".keep").first.click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was saved: too many changes wait")
    expect(page.locator(".line")).to_have_count(2)


def test_a_mark_that_is_too_late_is_explained_where_it_was_tapped(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = ("409",)
    page = visitors.come()
    page.goto("/today")
    two_lines.sleep(10)
    page.locator(".keep").first.click()
    expect(page.get_by_role("alert")).to_contain_text("can no longer be changed")
    expect(page.locator(".line")).to_have_count(2)


@pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])
def test_back_shows_the_list_as_it_stands_and_sends_nothing_again(
    two_lines: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    page = visitors.come(java_script_enabled=script)
    page.goto("/today")
    page.locator(".keep").first.click()
    expect(page.locator(".stamp")).to_have_count(1)
    rows = two_lines.http.get("/api/log.csv").text
    page.get_by_role("link", name="Path").click()
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    expect(page.locator(".stamp")).to_have_count(1)
    assert two_lines.http.get("/api/log.csv").text == rows


def test_back_after_the_start_does_not_start_again(live: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/start")
    page.get_by_role("button", name="Begin today").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    assert live.day()["day"] == 1
