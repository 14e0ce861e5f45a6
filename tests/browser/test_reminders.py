"""Messages in a browser: what the worker shows of one, and where a tap on it leads."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import sync_playwright

from browser.conftest import ARGUMENTS, CHROMIUM

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

READY = (
    "navigator.serviceWorker.register('/sw.js').then(() => navigator.serviceWorker.ready).then(() => true)"
)
SHOWN = """async (title) => {
  for (let tries = 0; tries < 200; tries += 1) {
    const found = await (await navigator.serviceWorker.ready).getNotifications();
    const said = found.map(({ title, body, data }) => ({ title, body, link: data }));
    if (said.some((one) => one.title === title)) return said;
    await new Promise((done) => setTimeout(done, 20));
  }
  return [];
}"""
TAP = """async ([link, open]) => {
  const led = [];
  clients.openWindow = async (address) => led.push(`opened ${address}`);
  clients.matchAll = async () => open.map((url) => ({ url, focus: async () => led.push(`went to ${url}`) }));
  const waits = [];
  const notification = { data: link, close: () => led.push("closed it") };
  const waitUntil = (wait) => waits.push(wait);
  dispatchEvent(Object.assign(new Event("notificationclick"), { notification, waitUntil }));
  await Promise.all(waits);
  return led;
}"""
"""A worker opens a window only where somebody tapped, which no test can: what it would do is written down."""

BED = {"title": "Make the bed", "body": "4 lines today.", "link": "/today"}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """The whole browser: its shell shows no notifications."""
    if not CHROMIUM.exists():
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail("there is no chromium")
        pytest.skip("there is no chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


class Delivery:
    """What a push service brings to a browser, without one."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._session = page.context.new_cdp_session(page)
        self._found: list[dict[str, Any]] = []
        self._session.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda event: self._found.extend(event["registrations"]),
        )
        self._session.send("ServiceWorker.enable")
        page.evaluate(READY)
        page.wait_for_function("() => navigator.serviceWorker.controller")

    def _find(self, event: dict[str, Any]) -> None:
        self._found.extend(event["registrations"])

    def bring(self, said: str) -> None:
        """Give the worker a message, as it comes out of its encryption."""
        scope = self._found[-1]
        origin = scope["scopeURL"].removesuffix("/")
        self._session.send(
            "ServiceWorker.deliverPushMessage",
            {"origin": origin, "registrationId": scope["registrationId"], "data": said},
        )


def asked(visitors: Visitors, path: str = "/start") -> Page:
    """Somebody who lets the page show messages."""
    page = visitors.come(service_workers="allow", permissions=["notifications"])
    page.goto(path)
    return page


def shown(page: Page, title: str) -> list[dict[str, str]]:
    """What stands among the browser's notifications, once one has that title."""
    return list(page.evaluate(SHOWN, title))


def test_a_message_is_shown_in_the_place_of_the_one_before(visitors: Visitors) -> None:
    page = asked(visitors)
    post = Delivery(page)
    for title in ("Make the bed", "Two cups"):
        post.bring(json.dumps({**BED, "title": title}))
        assert shown(page, title) == [{**BED, "title": title}]
    for unreadable in ("", "no JSON", "null"):
        post.bring(unreadable)
        assert shown(page, "Steading") == [
            {"title": "Steading", "body": "Your list for today", "link": "/today"}
        ]
        post.bring(json.dumps(BED))
        shown(page, "Make the bed")


def test_a_tap_on_it_goes_to_the_page_that_is_open_or_opens_one_of_ours(
    live: LiveHouse, visitors: Visitors
) -> None:
    page = asked(visitors)
    Delivery(page)
    (worker,) = page.context.service_workers
    week, today = f"{live.url}/week", f"{live.url}/today?said=x"
    assert worker.evaluate(TAP, ["/today", [week]]) == ["closed it", "opened /today"]
    assert worker.evaluate(TAP, ["/today", [week, today]]) == ["closed it", f"went to {today}"]
    assert worker.evaluate(TAP, ["https://elsewhere.example/today", []]) == ["closed it", "opened /today"]
