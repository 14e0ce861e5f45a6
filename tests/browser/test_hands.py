"""Two phones of two members: one sees what the other marks, and chooses where both have marked a line."""

from __future__ import annotations

import time
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from browser.visitor import Visitors
from web.at_home import MACHINE
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

SPAN = 10
"""Seconds in which another's mark is seen, and in which a page asks once at most."""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """A house at home with two lines on its list."""
    house = LiveHouse(tmp_path_factory.mktemp("two"), way="home")
    house.http = TestClient(
        house.app, base_url="http://127.0.0.1:8420", follow_redirects=False, client=MACHINE
    )
    house.start()
    house.live(3)
    yield house
    house.close()


@pytest.fixture
def visitors(browser: Browser, house: LiveHouse) -> Iterator[Visitors]:
    visitors = Visitors(browser, house.url)
    yield visitors
    visitors.leave()


def come(visitors: Visitors, house: LiveHouse, name: str) -> Page:
    """Somebody's phone, let in."""
    code = house.http.post("/api/pairing", json={}).json()["code"]
    page = visitors.come()
    sent = {"code": code, "name": name, "device": f"{name}'s phone"}
    answer = page.context.request.post("/api/pair", data=sent, headers={"origin": house.url})
    assert answer.status == 201, answer.text()
    return page


def test_anothers_mark_is_seen_within_ten_seconds_and_what_is_open_stays_open(
    visitors: Visitors, house: LiveHouse
) -> None:
    ana, ben = come(visitors, house, "Ana"), come(visitors, house, "Ben")
    asked: list[float] = []
    ana.on("request", lambda one: asked.append(time.monotonic()) if "/today/changes" in one.url else None)
    ana.goto("/today")
    ben.goto("/today")
    lesson = ana.locator("details.lesson").first
    lesson.evaluate("one => { one.open = true; }")
    step = house.day()["checklist"][0]["step"]
    before = ana.locator(f"#line-{step}").bounding_box()
    began = time.monotonic()
    ben.locator(f"#line-{step} .keep").click()
    expect(ana.locator(f"#by-{step}")).to_contain_text("Ben", timeout=SPAN * 1000)
    assert time.monotonic() - began < SPAN
    expect(ana.locator(f"#do-{step} .stamp")).to_have_text("Kept")
    expect(ana.locator("#said")).to_contain_text("Ben: ")
    assert lesson.evaluate("one => one.open")
    assert ana.locator(f"#line-{step}").bounding_box() == before
    assert all(later - earlier > SPAN - 0.5 for earlier, later in pairwise(asked))
    ben.locator(f"#do-{step} [value=undo]").click()
    expect(ana.locator(f"#do-{step} .keep")).to_have_count(1, timeout=2 * SPAN * 1000)


@pytest.mark.parametrize(("choice", "mark"), [("Keep Ben’s", "kept"), ("Use mine", "missed")])  # noqa: RUF001  as it is written
def test_a_tap_that_met_anothers_mark_is_chosen_from(
    visitors: Visitors, house: LiveHouse, choice: str, mark: str
) -> None:
    visitors.expected = ("409",)
    ana, ben = come(visitors, house, "Ana"), come(visitors, house, "Ben")
    ana.route("**/today/changes*", lambda route: route.fulfill(status=204))
    ana.goto("/today")
    ben.goto("/today")
    step = house.day()["checklist"][1]["step"]
    ben.locator(f"#line-{step} .keep").click()
    expect(ben.locator(f"#by-{step}")).to_contain_text("Ben, ")
    ana.locator(f"#do-{step} [popovertarget]").first.click()
    ana.locator(f"#other-{step} [value=missed]").click()
    expect(ana.locator(f"#do-{step}")).to_contain_text("Ben marked it kept at 12:00.")
    ana.get_by_role("button", name=choice).click()
    expect(ana.locator(f"#do-{step} .stamp")).to_have_count(1)
    assert next(line["mark"] for line in house.day()["checklist"] if line["step"] == step) == mark
    house.http.delete(f"/api/days/{house.today}/marks/{step}")
