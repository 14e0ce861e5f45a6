"""Where people stop: what holds on every page holds here, with curves and weeks on a phone and at a desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.test_every_page import wrong_on
from web.coaching.crowd import add
from web.coaching.test_stops_pages import PLACE, Valley
from web.many import PUBLIC

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page, Route

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def valley(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Valley]:
    house = Valley(tmp_path_factory.mktemp("valley")).filled()
    house.group("ana", "g2")
    for number in range(60, 100):
        add(house.store, "g2", house.sunday, number, house.steps)
    yield house
    house.close()


def _carry(page: Page, valley: Valley) -> None:
    """Let the service answer in the place of its public address."""

    def answer(route: Route) -> None:
        found = valley.ana.get(route.request.url.removeprefix(PUBLIC))
        told = {name: text for name, text in found.headers.items() if name == "content-type"}
        route.fulfill(status=found.status_code, headers=told, body=found.content)

    page.route("**/*", answer)


def test_nothing_is_wrong_on_them_in_any_way(browser: Browser, valley: Valley) -> None:
    context = browser.new_context(base_url=PUBLIC, service_workers="block")
    page = context.new_page()
    _carry(page, valley)
    compared = f"{PLACE}/compare?step={valley.steps[0]}&with_what=group:g2"
    wrong = wrong_on(page, [f"{PLACE}/stops", compared])
    context.close()
    assert {what: pages for what, pages in wrong.items() if pages} == {}
