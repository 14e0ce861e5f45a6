"""The offered mark in a browser: it comes with the tap that makes the minutes full, and one tap takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.looking import broken_rules
from browser.test_looks import LEAST, SMALL_TARGETS
from browser.visitor import Visitors
from web.live import LiveHouse
from web.parts.house import areas, grown, lessons, tick

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveHouse]:
    house = LiveHouse(tmp_path, lessons=lessons(tmp_path))
    yield grown(house, "q2")  # type: ignore[misc]  # the same house
    house.close()


@pytest.fixture
def visitors(browser: Browser, live: LiveHouse) -> Iterator[Visitors]:
    visitors = Visitors(browser, live.url)
    yield visitors
    visitors.leave()


@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_ticking_tasks_offers_the_step_and_one_tap_marks_it(
    live: LiveHouse, visitors: Visitors, *, scripts: bool
) -> None:
    first, second, _ = areas(live)
    page = visitors.come(java_script_enabled=scripts)
    page.goto("/areas/week")
    offer = page.locator(".mark-offer")
    for task in (first, second):
        expect(offer).to_have_count(0)
        page.get_by_role("button", name=f"{task['title']}: finished", exact=True).click()
        page.get_by_role("button", name=f"Undo the mark of {task['title']}", exact=True).wait_for()
    expect(offer).to_be_in_viewport()
    if scripts:
        assert broken_rules(page) == []
        assert page.evaluate(SMALL_TARGETS, LEAST) == []
    page.get_by_role("button", name="Mark it kept: Sweep about").click()
    expect(page.locator("#said")).to_have_text("Marked as kept.")
    assert page.url.partition("?")[0].endswith("/areas/week")
    expect(offer).to_have_count(0)
    assert {line["step"]: line["mark"] for line in live.day()["checklist"]}["q2"] == "kept"


def test_on_todays_page_the_line_itself_says_that_its_tasks_are_finished(
    live: LiveHouse, visitors: Visitors
) -> None:
    for task in areas(live)[:2]:
        tick(live, task)
    page = visitors.come()
    page.goto("/today")
    line = page.locator("#line-q2")
    expect(line).to_contain_text("20 minutes are finished.")
    expect(page.locator(".mark-offer")).to_have_count(0)
    line.get_by_role("button", name=": kept").click()
    expect(line.locator(".stamp")).to_have_text("Kept")
    page.reload()
    expect(line).not_to_contain_text("20 minutes are finished.")
