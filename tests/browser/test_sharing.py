"""What is shared, with everything on its page, and leaving: on a phone, at a desk, twice as large."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.test_every_page import wrong_on
from web.coaching.in_a_group import join
from web.demo_home import tern_streets
from web.live import LiveHouse

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

PAGES = ("/sharing", "/leave", "/data/home", "/more")


def test_what_is_shared_reads_well_wherever_it_is_looked_at(browser: Browser, tmp_path: Path) -> None:
    with tern_streets(LiveHouse, tmp_path) as house:
        join(house)
        house.http.put("/api/sharing", json={"level": "by name", "until": str(house.today)})
        context = browser.new_context(base_url=house.url)
        wrong = wrong_on(context.new_page(), PAGES)
        context.close()
    assert {what: pages for what, pages in wrong.items() if pages} == {}
