"""Today's list without network: opened from cold, marked, sent once, and nothing else kept in the browser."""

from __future__ import annotations

import re
import socket
import time
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.visitor import becomes
from coach.web import offline
from web.at_home import HomeHouse
from web.demo_home import move_in
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page, Route

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

UNREACHED = ("Failed to fetch", "net::ERR_")
COLD = 1.0
"""Seconds from the tap on the icon to the first line."""

KEPT = """async () => {
  const found = [JSON.stringify({ ...localStorage }), JSON.stringify({ ...sessionStorage })];
  for (const { name, version } of await indexedDB.databases()) {
    const database = await new Promise((done) => {
      const asked = indexedDB.open(name, version);
      asked.onsuccess = () => done(asked.result);
    });
    for (const store of database.objectStoreNames) {
      found.push(await new Promise((done) => {
        const asked = database.transaction(store).objectStore(store).getAll();
        asked.onsuccess = () => done(`${store}: ${JSON.stringify(asked.result)}`);
      }));
    }
    database.close();
  }
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      found.push(request.url, await (await cache.match(request)).text());
    }
  }
  return found.join("\\n");
}"""
NOTHING = """async () => [
  (await navigator.serviceWorker.getRegistrations()).length,
  (await caches.keys()).length,
  (await everyDay()).length,
]"""


class LiveHome(LiveHouse, HomeHouse):
    """A home network's house on a port, whose own machine's browser comes."""


@pytest.fixture
def two_lines(live: LiveHouse, visitors: Visitors) -> LiveHouse:
    live.start()
    live.live(3)
    visitors.expected = UNREACHED
    return live


def visit(visitors: Visitors) -> Page:
    """Somebody at today's page whose browser has everything that is kept."""
    page = visitors.come(service_workers="allow")
    page.goto("/today")
    becomes(page, "async () => (await everyDay()).length && (await caches.keys()).length")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return page


def marks(house: LiveHouse) -> list[str | None]:
    return [line["mark"] for line in house.day()["checklist"]]


def test_today_opens_from_cold_without_network_and_takes_marks_that_stay(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    page = visit(visitors)
    two_lines.go_offline()
    cold = visitors.open_tab(page.context)
    page.close()
    began = time.perf_counter()
    cold.goto("/today")
    expect(cold.locator(".line").first).to_be_visible()
    assert time.perf_counter() - began < COLD
    expect(cold.locator("#from")).to_have_text(re.compile(r"^from \w+day \d+ \w+, \d\d:\d\d$"))
    cold.get_by_role("button", name="Kept").first.click()
    expect(cold.locator(".stamp")).to_contain_text("not sent yet")
    again = visitors.open_tab(page.context)
    cold.close()
    again.goto("/today")
    expect(again.locator("#unsent")).to_have_text("1 mark not sent yet")
    two_lines.come_online()
    again.evaluate("dispatchEvent(new Event('pageshow'))")
    expect(again.get_by_role("heading", level=1)).to_have_text("Today")
    assert marks(two_lines) == ["kept", None]


def test_a_server_that_does_not_answer_in_three_seconds_is_not_waited_for(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    page = visit(visitors)
    two_lines.go_offline()
    with socket.create_server(("127.0.0.1", two_lines.port)):
        page.goto("/today")
        expect(page.locator("#from")).to_contain_text("from ")
        page.close()
    two_lines.come_online()


def test_taps_without_network_are_kept_and_sent_in_order_each_once(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    page = visit(visitors)
    before = len(two_lines.http.get("/api/log.csv").text.splitlines())
    page.context.set_offline(True)
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_have_text("1 mark not sent yet")
    page.locator(".keep").first.click()
    expect(page.locator(".stamp.unsent")).to_have_count(2)
    page.get_by_role("button", name="Undo").first.click()
    expect(page.locator("#unsent")).to_have_text("3 marks not sent yet")
    other = visitors.open_tab(page.context)
    page.context.set_offline(False)
    other.goto("/today")
    expect(page.locator("#unsent")).to_have_count(0)
    # A list is waited for; a single text is refused at once while two lines still have a stamp.
    expect(page.locator(".stamp")).to_have_text(["Kept"])
    assert marks(two_lines) == [None, "kept"]
    assert len(two_lines.http.get("/api/log.csv").text.splitlines()) == before + 3


def test_a_mark_whose_answer_was_lost_is_not_written_twice(two_lines: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/today")
    before = len(two_lines.http.get("/api/log.csv").text.splitlines())
    two_lines.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_have_text("1 mark not sent yet")
    two_lines.come_online()
    lost: list[str] = []

    def lose(route: Route) -> None:
        lost.append(str(route.request.post_data))
        route.fetch()
        if len(lost) == 1:
            route.abort()
        else:
            route.fulfill(status=200, json={})

    page.route("**/api/days/**", lose)
    page.evaluate("send().then(send)")
    expect(page.locator("#unsent")).to_have_count(0)
    assert len(set(lost)) == 1 < len(lost)
    assert len(two_lines.http.get("/api/log.csv").text.splitlines()) == before + 1


def test_all_of_a_part_of_the_day_is_kept_in_one_tap_too(live: LiveHouse, visitors: Visitors) -> None:
    visitors.expected = UNREACHED
    move_in(live)
    before = marks(live).count("kept")
    page = visitors.come()
    page.goto("/today")
    live.go_offline()
    page.locator(".together button").first.click()
    expect(page.locator("#unsent")).to_contain_text("not sent yet")
    count = page.evaluate("everyMark().then((marks) => marks.length)")
    live.come_online()
    page.reload()
    # The page says nothing of what waits before it has looked.
    becomes(page, "async () => !(await everyMark()).length")
    expect(page.locator("#unsent")).to_have_count(0)
    assert marks(live).count("kept") - before == count > 1


def test_neither_a_redirect_nor_any_page_is_cached(live: LiveHouse, visitors: Visitors) -> None:
    page = visitors.come(service_workers="allow")
    page.goto("/start")
    page.evaluate("navigator.serviceWorker.register('/sw.js').then(() => navigator.serviceWorker.ready)")
    page.wait_for_function("() => navigator.serviceWorker.controller")
    page.goto("/today")
    expect(page).to_have_url(f"{live.url}/start")
    (name,) = page.evaluate("caches.keys()")
    addresses = page.evaluate(
        "async (name) => (await (await caches.open(name)).keys()).map(({ url }) => new URL(url).pathname)",
        name,
    )
    assert [address for address in addresses if not address.startswith("/static/")] == [offline.SHELL]


def test_another_version_takes_the_place_of_the_worker_and_of_what_it_kept(
    two_lines: LiveHouse, visitors: Visitors, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = visit(visitors)
    assert page.evaluate("caches.keys()") != ["steading-next"]
    text = offline.worker(wanted=True).decode()
    name = text.split('"')[3]
    assert name.startswith("steading-")
    monkeypatch.setattr(offline, "worker", lambda **_: text.replace(name, "steading-next").encode())
    page.reload()
    becomes(page, "async () => String(await caches.keys()) === 'steading-next'")
    assert marks(two_lines) == [None, None]


def test_where_none_is_wanted_the_worker_and_what_was_kept_go(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    page = visit(visitors)
    two_lines.app.state.offline = False
    # The page in memory is of the time before.
    two_lines.mark(two_lines.day()["checklist"][0]["step"])
    page.reload()
    becomes(page, f"async () => String(await ({NOTHING})()) === '0,0,0'")


def test_the_browser_keeps_titles_and_marks_and_no_word_of_anything_else(
    live: LiveHouse, visitors: Visitors
) -> None:
    move_in(live)
    page = visit(visitors)
    for path in ("/desk", "/dinner", "/week", "/today"):
        page.goto(path)
    kept = page.evaluate(KEPT)
    dues = [due["name"] for due in live.http.get("/api/dues").json()["dues"]]
    todos = [todo["title"] for todo in live.http.get("/api/to-dos").json()["open"]]
    dinners = live.http.get("/api/favourites").json()["favourites"]
    others = dues + todos + [dinner["dish"] for dinner in dinners]
    assert len(others) > 5
    assert [words for words in others if words in kept] == []
    assert live.day()["lesson"]["title"] not in kept
    assert all(line["title"] in kept for line in live.day()["checklist"])


SIGN_OUT = """() => {
  const form = document.createElement("form");
  Object.assign(form, { method: "post", action: "/sign-out" });
  form.append(Object.assign(document.createElement("button"), { textContent: "Sign out of it" }));
  document.getElementById("main").prepend(form);
}"""


def test_signing_out_leaves_nothing_behind_and_says_first_what_would_be_lost(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = (*UNREACHED, "404", "405")
    page = visit(visitors)
    page.context.set_offline(True)
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_be_visible()
    page.evaluate(SIGN_OUT)
    page.get_by_role("button", name="Sign out of it").click()
    expect(page.get_by_role("alert")).to_contain_text("1 not sent yet would be lost")
    # What looks for marks while the answer is on its way brings nothing back.
    page.evaluate("setInterval(showUnsent, 20)")

    def sign_out(route: Route) -> None:
        page.wait_for_timeout(300)
        route.fulfill(status=200, body="Signed out", content_type="text/html")

    page.route("**/sign-out", sign_out)
    page.get_by_role("button", name="Sign out of it").click()
    expect(page.get_by_text("Signed out")).to_be_visible()
    page.context.set_offline(False)
    # The last of it goes as the page that was signed out of closes, which nobody tells.
    becomes(
        page,
        "async () => [await indexedDB.databases(), await caches.keys(),"
        " await navigator.serviceWorker.getRegistrations()].flat().length === 0",
    )
    assert marks(two_lines) == [None, None]


PLAIN = """
  delete Navigator.prototype.serviceWorker;
  delete Navigator.prototype.locks;
  delete Crypto.prototype.randomUUID;
"""


def test_on_plain_http_the_open_page_keeps_marks_and_no_list(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    page = visitors.come()
    page.context.add_init_script(PLAIN)
    page.goto("/today")
    two_lines.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator(".stamp.unsent")).to_contain_text("not sent yet")
    assert page.evaluate("everyDay()") == []
    two_lines.come_online()
    page.goto("/path")
    expect(page.locator("#unsent")).to_have_count(0)
    becomes(page, "async () => !(await everyMark()).length")
    assert marks(two_lines) == ["kept", None]


def test_a_device_that_was_ended_keeps_its_marks_and_asks_to_be_paired(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = (*UNREACHED, "401")
    page = visitors.come()
    page.goto("/today")
    two_lines.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_be_visible()
    two_lines.come_online()
    page.route("**/api/days/**", lambda route: route.fulfill(status=401, json={}))
    page.evaluate("send()")
    expect(page.get_by_role("link", name="Pair this device")).to_have_attribute("href", "/pair")
    assert page.evaluate("everyMark().then((marks) => marks.length)") == 1


def test_a_mark_that_comes_too_late_stays_in_sight_until_it_is_taken_off(
    two_lines: LiveHouse, visitors: Visitors
) -> None:
    visitors.expected = (*UNREACHED, "409")
    page = visitors.come()
    page.goto("/today")
    two_lines.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_be_visible()
    two_lines.sleep(10)
    two_lines.come_online()
    page.reload()
    title = two_lines.day()["checklist"][0]["title"]
    expect(page.locator("#answered")).to_contain_text(title)
    expect(page.locator("#answered")).to_contain_text("can no longer be changed")
    page.reload()
    page.get_by_role("button", name="Take it off").click()
    expect(page.locator("#answered")).to_have_count(0)


@pytest.fixture
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHome]:
    house = LiveHome(tmp_path_factory.mktemp("home"))
    house.start()
    yield house
    house.close()


def test_anothers_newer_mark_is_shown_beside_ones_own(home: LiveHome, visitors: Visitors) -> None:
    visitors.expected = (*UNREACHED, "409")
    page = visitors.come(base_url=home.url)
    page.goto("/today")
    home.go_offline()
    page.locator(".keep").first.click()
    expect(page.locator("#unsent")).to_be_visible()
    home.paired("Ana").put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "excused"})
    home.come_online()
    page.reload()
    expect(page.locator("#answered")).to_contain_text("Ana marked it excused at")
    assert marks(home) == ["excused"]
    page.get_by_role("button", name="Use mine").click()
    expect(page.locator("#answered")).to_have_count(0)
    expect(page.locator(".stamp")).to_have_text(["Kept"])
    assert marks(home) == ["kept"]
