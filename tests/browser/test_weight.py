"""What a browser really takes over the way for today's page, at first and again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.demo_home import move_in
from web.test_weight import FIRST, SECOND

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser


class Counted:
    """The bytes that come over the way, by request, as the browser counts them: headers too, caches not."""

    def __init__(self, page: Page) -> None:
        self.took = 0
        self._page = page
        session = page.context.new_cdp_session(page)
        session.send("Network.enable")
        session.on("Network.loadingFinished", self._count)

    def _count(self, event: dict[str, Any]) -> None:
        self.took += int(event["encodedDataLength"])

    def visit(self, path: str) -> int:
        """Open a page, and give the bytes."""
        self.took = 0
        self._page.goto(path, wait_until="networkidle")
        self._page.evaluate("document.fonts.ready.then(() => true)")
        return self.took


def test_a_browser_takes_under_80_kb_at_first_and_under_12_for_each_page_after_it(
    live: LiveHouse, visitors: Visitors
) -> None:
    move_in(live)
    # What goes through a worker is not counted where the page is; tests/web/test_weight.py does that.
    counted = Counted(visitors.come())
    first, second = (counted.visit("/today") for _ in range(2))
    assert 20_000 < first < FIRST
    assert 1_000 < second < SECOND
    for path in ("/week", "/areas/week", "/dinner", "/desk", "/path"):
        assert counted.visit(path) < SECOND, path
