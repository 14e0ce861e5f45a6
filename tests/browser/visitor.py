"""People who visit the pages: with or without JavaScript, on a phone or at a desk, by day or by night."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page

PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 800}
NARROW = {"width": 320, "height": 640}
PAPER = {"width": 718, "height": 1032}
"""A4 at 96 pixels an inch, without the margins of 10 and 12 mm."""

VIEWS = (("light", PHONE), ("dark", DESK))
"""Each scheme and each width once: what axe-core finds of one hardly depends on the other."""

BY_DAY_AND_NIGHT = pytest.mark.parametrize(("scheme", "viewport"), VIEWS, ids=["light-phone", "dark-desk"])


def becomes(page: Page, asked: str, seconds: float = 10) -> None:
    """Wait until what a page promises is true; `wait_for_function` takes the promise itself for that."""
    until = time.monotonic() + seconds
    while not page.evaluate(asked):
        assert time.monotonic() < until, f"It never became so: {asked}"
        page.wait_for_timeout(50)


class Visitors:
    """Opens pages and listens for what goes wrong in them.

    Attributes:
        expected: Parts of console messages that a test brings about on purpose.
    """

    def __init__(self, browser: Browser, url: str) -> None:
        self._browser = browser
        self._url = url
        self._contexts: list[BrowserContext] = []
        self._errors: list[str] = []
        self.expected: tuple[str, ...] = ()

    def come(self, **choices: Any) -> Page:  # noqa: ANN401  as Playwright takes them
        """A new person with a new browser profile, on a phone and without a worker if not said."""
        usual = {"viewport": PHONE, "base_url": self._url, "service_workers": "block"}
        context = self._browser.new_context(**(usual | choices))
        context.set_default_timeout(10_000)
        self._contexts.append(context)
        return self.open_tab(context)

    def open_tab(self, context: BrowserContext) -> Page:
        """Another tab of the same person."""
        page = context.new_page()
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self._errors.append(str(error)))
        return page

    def _hear(self, message: ConsoleMessage) -> None:
        if message.type == "error":
            self._errors.append(message.text)

    def leave(self) -> None:
        """Close every page; errors that were not expected fail the test."""
        for context in self._contexts:
            context.close()
        unexpected = [text for text in self._errors if not any(part in text for part in self.expected)]
        assert not unexpected, unexpected
