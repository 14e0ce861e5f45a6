"""What holds on every page holds on a coach's too, and on those of a household in a group."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from browser.test_every_page import Findings, wrong_on
from coach.ground.spells import Followed, Spell
from web.coaching.valley import ANA, HOUSEHOLD, Valley
from web.many import PUBLIC

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser, Page, Route

pytestmark = pytest.mark.browser

OF_COACH = (
    "/groups",
    "/groups/new",
    "/groups/spring",
    "/groups/spring/households",
    "/groups/spring/households/home",
    "/groups/spring/questions",
    "/groups/spring/notes",
    "/groups/spring/invitation",
    "/groups/spring/course",
    "/groups/spring/course/pace",
    "/groups/spring/course/pace?rules=1of3%2C+9of12&pace=gentle",
    "/groups/spring/course/pace?rules=20of28",
)
OF_HOUSEHOLD = ("/today", "/steps/bed-made", "/questions")


@pytest.fixture(scope="module")
def valley(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Valley]:
    """A group with something of everything; its household shares by name, and may want a word."""
    house = Valley(tmp_path_factory.mktemp("valley"))
    house.joins("by name", house.today + timedelta(days=90))
    house.furnish()
    began, yesterday = house.today - timedelta(days=20), house.today - timedelta(days=1)
    spell = Spell("bed-made", "d", began, 20, "open", None, "practising", None, 12, 14, "open")
    with house.store.writing(HOUSEHOLD) as writing:
        quiet = yesterday - timedelta(days=4)
        writing.save_followed(Followed(yesterday, began, "ramping", quiet, 4, ("ramping",)), [spell])
    yield house
    house.close()


def _carry(page: Page, valley: Valley, caller: str) -> None:
    """Let the service answer in the place of its public address."""
    client = valley.asker(caller)

    def answer(route: Route) -> None:
        asked = route.request
        sent = {name: text for name, text in asked.headers.items() if name in {"content-type", "accept"}}
        path = asked.url.removeprefix(PUBLIC)
        found = client.request(asked.method, path, content=asked.post_data_buffer, headers=sent)
        told = {name: text for name, text in found.headers.items() if name in {"content-type", "location"}}
        route.fulfill(status=found.status_code, headers=told, body=found.content)

    page.route("**/*", answer)


@pytest.fixture(scope="module")
def wrong(browser: Browser, valley: Valley) -> Findings:
    """What is wrong on all of them."""
    found: Findings = defaultdict(dict)
    for caller, pages in ((ANA, OF_COACH), (HOUSEHOLD, OF_HOUSEHOLD)):
        context = browser.new_context(base_url=PUBLIC, service_workers="block", ignore_https_errors=True)
        page = context.new_page()
        _carry(page, valley, caller)
        for what, wrong in wrong_on(page, pages).items():
            found[what] |= wrong
        context.close()
    return found


def test_nothing_is_wrong_on_any_of_them_in_any_way(wrong: Findings) -> None:
    assert {what: pages for what, pages in wrong.items() if pages} == {}


@pytest.mark.parametrize(("layout", "slips"), [("slips", 8), ("one", 1)])
def test_an_invitation_is_printed_alone_on_one_page(
    browser: Browser, valley: Valley, layout: str, slips: int
) -> None:
    pdfium = pytest.importorskip("pypdfium2")
    context = browser.new_context(base_url=PUBLIC, service_workers="block", ignore_https_errors=True)
    page = context.new_page()
    _carry(page, valley, ANA)
    page.goto("/groups/spring/invitation")
    page.check(f"input[value={layout}]")
    page.get_by_role("button", name="Make it").click()
    page.locator(".slip").first.wait_for()
    document = pdfium.PdfDocument(page.pdf(prefer_css_page_size=True, format="A4"))
    text = document[0].get_textpage().get_text_range()
    assert len(document) == 1
    document.close()
    assert text.count("You are invited") == slips
    assert "Another one" not in text
    context.close()
