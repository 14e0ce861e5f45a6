"""Debian's Chromium in front of the real application."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import sync_playwright

from browser.visitor import Visitors
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

CHROMIUM = Path("/usr/bin/chromium")
"""The whole browser, for what its shell does not have: lists of authorities, installed pages."""

CHROMIUMS = (Path("/usr/lib/chromium/chromium-headless-shell"), CHROMIUM)
"""Debian's packages `chromium-headless-shell`, which needs half the time for a page, and `chromium`."""
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    # Letters are as wide as with a window.
    "--font-render-hinting=none",
]


# One browser for each module and not for the session: while it runs, other tests could start no event loop.
@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    chromium = next((path for path in CHROMIUMS if path.exists()), None)
    if chromium is None:
        reason = "there is no chromium (Debian: chromium-headless-shell)"
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveHouse]:
    """A house before its start, on a port of its own."""
    house = LiveHouse(tmp_path)
    yield house
    house.close()


@pytest.fixture
def visitors(browser: Browser, live: LiveHouse) -> Iterator[Visitors]:
    """People at the house's pages; at the end, none of them may have met an error in the console."""
    visitors = Visitors(browser, live.url)
    yield visitors
    visitors.leave()
