"""Messages in a browser: asked for by a tap, what the worker shows of one, and where a tap on it leads."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import expect, sync_playwright

from browser.conftest import ARGUMENTS, CHROMIUM
from coach.settings import Settings
from coach.web.carrying import Post
from machine.push_service import Browser as Subscriber
from machine.push_service import PushService

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

READY = (
    "navigator.serviceWorker.register('/sw.js').then(() => navigator.serviceWorker.ready).then(() => true)"
)
SHOWN = """async (title) => {
  for (let tries = 0; tries < 1000; tries += 1) {
    const found = await (await navigator.serviceWorker.ready).getNotifications();
    const said = found.map(
      ({ title, body, data, actions }) => ({ title, body, ...data, ends: actions.length }),
    );
    if (said.some((one) => one.title === title)) return said;
    await new Promise((done) => setTimeout(done, 20));
  }
  return [];
}"""
TAP = """async ([action, open, link = "/today"]) => {
  const led = [];
  clients.openWindow = async (address) => led.push(`opened ${address}`);
  clients.matchAll = async () => open.map((url) => ({ url, focus: async () => led.push(`went to ${url}`) }));
  const waits = [];
  const notification = { data: { link, stop: "/stop/abc" }, close: () => led.push("closed it") };
  const waitUntil = (wait) => waits.push(wait);
  dispatchEvent(Object.assign(new Event("notificationclick"), { action, notification, waitUntil }));
  await Promise.all(waits);
  return led;
}"""
"""A worker opens a window only where somebody tapped, which no test can: what it would do is written down."""

PUSH_MANAGER = """(said) => {
  const subscription = {
    toJSON: () => said,
    unsubscribe: async () => { sessionStorage.subscribed = "no more"; },
  };
  PushManager.prototype.getSubscription = async () => sessionStorage.subscribed ? subscription : null;
  PushManager.prototype.subscribe = async (how) => {
    sessionStorage.subscribed = JSON.stringify(how);
    return subscription;
  };
}"""
"""A browser of a test has no push service, so it says what a subscription would be."""

HINDRANCES = {
    "Object.defineProperty(window, 'isSecureContext', { value: false })": "has to trust the certificate",
    "Object.defineProperty(navigator, 'userAgent', { value: 'Mozilla/5.0 (iPhone)' })": "put Steading there",
    "delete window.PushManager": "takes no messages from pages",
    "PushManager.prototype.subscribe = () => Promise.reject(new Error())": "did not answer",
    "Object.defineProperty(Notification, 'permission', { value: 'denied' })": "was told to show no messages",
}
"""What keeps a browser from subscribing, and what the page says of it."""

BED = {"title": "Make the bed", "body": "4 lines today.", "link": "/today", "stop": "/stop/abc"}


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


def shown(page: Page, title: str) -> list[dict[str, Any]]:
    """What stands among the browser's notifications, once one has that title."""
    return list(page.evaluate(SHOWN, title))


def test_a_message_is_shown_in_the_place_of_the_one_before(visitors: Visitors) -> None:
    page = asked(visitors)
    post = Delivery(page)
    for title in ("Make the bed", "Two cups"):
        post.bring(json.dumps({**BED, "title": title}))
        assert shown(page, title) == [{**BED, "title": title, "ends": 1}]
    for unreadable in ("", "no JSON", "null"):
        post.bring(unreadable)
        (one,) = shown(page, "Steading")
        assert (one["body"], one["link"], one["ends"]) == ("Your list for today", "/today", 0)
        post.bring(json.dumps(BED))
        shown(page, "Make the bed")


def test_a_tap_on_it_goes_to_the_page_that_is_open_or_opens_one_of_ours(
    live: LiveHouse, visitors: Visitors
) -> None:
    page = asked(visitors)
    Delivery(page)
    (worker,) = page.context.service_workers
    week, today = f"{live.url}/week", f"{live.url}/today?said=x"
    assert worker.evaluate(TAP, ["", [week]]) == ["closed it", "opened /today"]
    assert worker.evaluate(TAP, ["", [week, today]]) == ["closed it", f"went to {today}"]
    assert worker.evaluate(TAP, ["stop", [today]]) == ["closed it", "opened /stop/abc"]
    assert worker.evaluate(TAP, ["", [], "https://elsewhere.example/today"]) == ["closed it", "opened /today"]


@pytest.fixture
def pushing(live: LiveHouse, tmp_path: Path) -> Iterator[PushService]:
    """A push service on this machine, to which the house sends."""
    live.start()
    folder = tmp_path / "push"
    folder.mkdir()
    with PushService(folder) as service:
        settings = Settings(push="on", push_contact="mailto:ana@home.example")
        live.app.state.carrier = Post(settings, live.app.state.context, service.outside())
        live.app.state.carrier.prepare()
        yield service


def reminder(house: LiveHouse) -> Any:  # noqa: ANN401  whatever JSON it is
    return house.http.get("/api/reminder").json()["reminder"]


def test_from_a_tap_to_a_message_that_only_this_browser_reads_and_to_none_any_more(
    live: LiveHouse, pushing: PushService, visitors: Visitors
) -> None:
    browser = Subscriber()
    said = {"endpoint": pushing.endpoint, "keys": {"p256dh": browser.key, "auth": browser.auth}}
    page = asked(visitors)
    page.add_init_script(f"({PUSH_MANAGER})({json.dumps(said)})")
    page.goto("/reminders")
    page.get_by_role("button", name="Remind me here").click()
    expect(page.get_by_role("button", name="Try it now")).to_be_visible()
    how = json.loads(page.evaluate("sessionStorage.subscribed"))
    assert how == {"userVisibleOnly": True, "applicationServerKey": live.app.state.carrier.public_key()}
    assert reminder(live)["way"] == "push"
    page.get_by_role("button", name="Try it now").click()
    expect(page.get_by_text("One message to try it")).to_be_visible()
    sent = pushing.read(browser)
    Delivery(page).bring(json.dumps(sent))
    assert shown(page, sent["title"]) == [{**sent, "ends": 1}]
    page.get_by_role("button", name="End them").click()
    expect(page.get_by_text("You get no messages.")).to_be_visible()
    assert page.evaluate("sessionStorage.subscribed") == "no more"
    assert reminder(live) is None


@pytest.mark.usefixtures("pushing")
def test_where_it_cannot_be_the_page_says_why_and_nothing_is_kept(
    live: LiveHouse, visitors: Visitors
) -> None:
    context = asked(visitors).context
    for before, says in HINDRANCES.items():
        page = visitors.open_tab(context)
        page.add_init_script(before)
        page.goto("/reminders")
        page.get_by_role("button", name="Remind me here").click()
        expect(page.get_by_role("status").filter(has_text=says)).to_be_visible()
        page.close()
    assert reminder(live) is None
