"""Day cards on paper: exactly the pages that are shown, nothing cut off, no type under 8 points."""

from __future__ import annotations

from io import BytesIO
from math import ceil
from typing import TYPE_CHECKING, Any

import pdfplumber
import pytest

from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

LEAST = 8.0
"""Points."""

TITLES = (
    "Wipe", "Put the cups away, rinse the sink and hang the cloth up to dry", "W" * 60, "食卓を拭く" * 9,
    "Sort the letters that have come", "\u1ec4" * 40, "Air the room",
)  # fmt: skip
OVERFULL = """[...document.querySelectorAll('.day-card')].filter((card) => {
    const last = card.querySelector('li:last-child').getBoundingClientRect();
    return last.bottom > card.getBoundingClientRect().bottom + 1 || card.scrollWidth > card.clientWidth + 1;
}).length"""


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """A house with forty lines of every length in the evening."""
    house = LiveHouse(tmp_path_factory.mktemp("house"))
    house.start()
    for number in range(40):
        title = f"{TITLES[number % len(TITLES)]} {number}"
        new: dict[str, Any] = {"title": title, "slot": "evening", "minutes": 5}
        new |= {"cue": "after the last meal of the day " * (number % 4)} if number % 4 else {}
        new |= {"small": "A little of it, as much as one can " * (number % 3)} if number % 3 else {}
        house.mark(house.http.post("/api/steps", json=new).json()["step"])
    yield house
    house.close()


@pytest.mark.parametrize(
    ("paper", "per_page", "size"),
    [
        ("a4", 4, (595, 842)),
        ("a4", 2, (842, 595)),
        ("letter", 4, (612, 792)),
        ("letter", 2, (792, 612)),
    ],
)
def test_forty_lines_print_on_the_pages_that_are_shown(
    live: LiveHouse, visitors: Visitors, paper: str, per_page: int, size: tuple[int, int]
) -> None:
    assert live.http.put("/api/sheet/choices", json={"paper": paper}).status_code == 200
    page = visitors.come()
    page.goto(f"/cards?per_page={per_page}")
    cards = page.locator(".day-card").count()
    assert cards > per_page
    with _printed(page) as printed:
        assert len(printed.pages) == ceil(cards / per_page)
        assert {(round(one.width), round(one.height)) for one in printed.pages} == {size}
        assert min(letter["size"] for one in printed.pages for letter in one.chars) >= LEAST
        said = "".join(one.extract_text() for one in printed.pages)
    assert all(f"Wipe {number}" in said for number in range(0, 40, len(TITLES)))
    page.emulate_media(media="print")
    assert page.evaluate(OVERFULL) == 0


def _printed(page: Page) -> Any:  # noqa: ANN401  pdfplumber has no types
    return pdfplumber.open(BytesIO(page.pdf(prefer_css_page_size=True)))
