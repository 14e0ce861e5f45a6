"""The handover in a browser: moved by a tap, looked at as one types, printed in one go and alone."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Any

import pdfplumber
import pytest
from playwright.sync_api import expect

from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

TITLES = ("Bins", "Doors", "Vet")


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """A house with three pages for whoever stands in."""
    house = LiveHouse(tmp_path_factory.mktemp("house"))
    house.start()
    for title in TITLES:
        text = f"About the {title}: ____\n\n- one\n- two"
        page = {"title": title, "markdown": text, "whom": ["stand-in"]}
        assert house.http.post("/api/handover/pages", json=page).status_code == 201
    yield house
    house.close()


def _titles(page: Page) -> list[str]:
    return page.locator("#pages .title").all_text_contents()


@pytest.mark.parametrize("javascript", [True, False], ids=["with", "without"])
def test_a_page_is_moved_up_and_down(visitors: Visitors, javascript: bool) -> None:  # noqa: FBT001  pytest's
    page = visitors.come(java_script_enabled=javascript)
    page.goto("/handover")
    page.get_by_role("button", name="Move Vet up").click()
    expect(page.locator("#pages .title")).to_have_text(["Bins", "Vet", "Doors"])
    page.get_by_role("button", name="Move Vet down").click()
    expect(page.locator("#pages .title")).to_have_text(list(TITLES))
    assert ("said=" in page.url) is not javascript


def test_the_focus_stays_on_the_arrow_that_was_pressed(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/handover")
    page.get_by_role("button", name="Move Bins down").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#pages .title")).to_have_text(["Doors", "Bins", "Vet"])
    expect(page.get_by_role("button", name="Move Bins down")).to_be_focused()
    page.get_by_role("button", name="Move Bins up").click()
    expect(page.locator("#pages .title")).to_have_text(list(TITLES))


def test_a_search_finds_while_it_is_typed(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/handover")
    page.get_by_role("searchbox").press_sequentially("the vet")
    expect(page.locator("#pages .title")).to_have_text(["Vet"])
    expect(page.get_by_role("searchbox")).to_be_focused()


def test_the_text_shows_as_it_is_typed_and_a_script_stays_text(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/handover/new")
    page.get_by_label("Text", exact=True).fill("**never** <script>document.title = 'x'</script>")
    expect(page.locator("#preview strong")).to_have_text("never")
    expect(page.locator("#preview")).to_contain_text("<script>")
    assert page.title() != "x"


def test_all_of_it_prints_each_page_on_its_own_sheet_with_numbers(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/handover?whom=stand-in")
    with _printed(page) as paper:
        texts = [one.extract_text() for one in paper.pages]
    assert [next(line for line in text.splitlines() if line) for text in texts[1:4]] == list(TITLES)
    assert all(text.splitlines()[-1].startswith(f"{number} / ") for number, text in enumerate(texts, 1))
    assert "Contents" in texts[0]
    assert not {"Change it", "As PDF", "Other dates"} & {line for text in texts for line in text.splitlines()}


def test_one_page_prints_alone(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto("/handover")
    page.get_by_role("link", name="Bins").click()
    page.wait_for_url("**/handover/pages/*")
    with _printed(page) as paper:
        [text] = [one.extract_text() for one in paper.pages]
    assert text.splitlines()[0] == "Bins"
    assert text.splitlines()[-1] == "1 / 1"
    assert "Change" not in text


def _printed(page: Page) -> Any:  # noqa: ANN401  pdfplumber has no types
    return pdfplumber.open(BytesIO(page.pdf(prefer_css_page_size=True)))
