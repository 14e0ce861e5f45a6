"""What today's page takes on the way, compressed, with all that it asks for and every header."""

from __future__ import annotations

from http.client import HTTPConnection
from typing import TYPE_CHECKING

import pytest

from coach.web import offline
from web.demo_home import tern_streets
from web.live import LiveHouse
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator

FIRST = 80_000
SECOND = 12_000
WORKERS = 10_000
"""What the worker may take besides, once, after the page is there: itself, a page, a script, a font."""

FOR_A_HOME_SCREEN = {"manifest", "apple-touch-icon"}
"""What a browser takes when somebody puts the page there."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """Tern Street, served."""
    with tern_streets(LiveHouse, tmp_path_factory.mktemp("home")) as home:
        yield home


class Browser:
    """Asks as a browser does, and keeps what it may.

    Attributes:
        kept: The addresses it will not ask for again.
        took: Bytes on the way, those of the headers with them.
    """

    def __init__(self, home: LiveHouse) -> None:
        self._connection = HTTPConnection("127.0.0.1", home.port)
        self.kept: set[str] = set()
        self.took = 0

    def leave(self) -> None:
        """Close the connection."""
        self._connection.close()

    def get(self, address: str) -> None:
        """Ask for one thing, unless it is kept."""
        if address in self.kept:
            return
        self._connection.request("GET", address, headers={"Accept-Encoding": "gzip, deflate, br, zstd"})
        answer = self._connection.getresponse()
        assert answer.status == 200, address
        self.took += len(str(answer.headers)) + len(answer.read())
        if "immutable" in answer.headers["cache-control"]:
            self.kept.add(address)

    def visit(self, path: str, home: LiveHouse) -> int:
        """Ask for a page and what it names, and give the bytes."""
        self.took = 0
        self.get(path)
        page = read(home.http.get(path).text)
        links = [link.attributes for link in page.every("link")]
        named = [link["href"] for link in links if link["rel"] not in FOR_A_HOME_SCREEN]
        for address in named + [script.attributes["src"] for script in page.every("script")]:
            self.get(address)
        return self.took


@pytest.fixture
def browser(home: LiveHouse) -> Iterator[Browser]:
    browser = Browser(home)
    yield browser
    browser.leave()


def test_the_first_visit_takes_under_80_kb_and_the_second_under_12(home: LiveHouse, browser: Browser) -> None:
    first, second = (browser.visit("/today", home) for _ in range(2))
    assert 20_000 < first < FIRST
    assert 1_000 < second < SECOND


def test_what_a_worker_keeps_for_days_without_network_takes_little_more_and_once(
    home: LiveHouse, browser: Browser
) -> None:
    browser.visit("/today", home)
    browser.took = 0
    for address in ("/sw.js", offline.SHELL, *offline.files()):
        browser.get(address)
    assert 1_000 < browser.took < WORKERS
    assert set(offline.files()) <= browser.kept


@pytest.mark.parametrize("path", ["/path", "/week", "/areas/week", "/areas", "/dinner", "/shopping", "/desk"])
def test_every_page_after_the_first_takes_under_12_kb_again(
    home: LiveHouse, browser: Browser, path: str
) -> None:
    browser.visit(path, home)
    assert browser.visit(path, home) < SECOND


def test_all_that_a_page_asks_for_is_kept_for_good(home: LiveHouse, browser: Browser) -> None:
    browser.visit("/today", home)
    named = len(browser.kept)
    browser.visit("/today", home)
    assert named == len(browser.kept) >= 7
    assert "/today" not in browser.kept
