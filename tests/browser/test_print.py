"""Every page prints as something to hang up: no buttons, nothing folded, a box where a line is open."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from browser.visitor import PAPER
from web.demo_home import tern_streets
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """Tern Street, with its whole home plan."""
    with tern_streets(LiveHouse, tmp_path_factory.mktemp("house")) as house:
        yield house


@pytest.fixture
def page(visitors: Visitors) -> Page:
    """A sheet of paper."""
    visitors.expected = ("404",)
    page = visitors.come(viewport=PAPER)
    page.emulate_media(media="print")
    return page


def sheets(page: Page) -> int:
    """How many the page takes."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True)))


def test_what_is_folded_is_open_without_a_script_and_closed_again_on_the_screen(page: Page) -> None:
    page.goto("/week")
    folded = page.locator("details.habits li").first
    assert folded.is_visible()
    page.emulate_media(media="screen")
    assert not folded.is_visible()


def test_a_browser_whose_styles_cannot_open_what_is_folded_is_helped(page: Page) -> None:
    page.emulate_media(media="screen")
    page.goto("/week")
    is_open = "[...document.querySelectorAll('details')].map((one) => one.open)"
    before = page.evaluate(is_open)
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert set(page.evaluate(is_open)) == {True}
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    assert page.evaluate(is_open) == before
    assert False in before


def test_a_marked_line_has_its_shape_and_an_open_one_an_empty_box(live: LiveHouse, page: Page) -> None:
    step = next(line["step"] for line in live.day()["checklist"] if not line["mark"])
    page.goto("/today")
    size = "(id) => getComputedStyle(document.getElementById(id), '::after').width"
    assert page.evaluate(size, f"line-{step}") == "18px"
    live.mark(step)
    page.goto("/today")
    assert page.locator(f"#line-{step} .stamp svg").is_visible()
    assert page.evaluate(size, f"line-{step}") == "auto"


def test_the_grid_of_the_days_before_keeps_its_marks(page: Page) -> None:
    page.goto("/days")
    marks = page.locator(".grid-line button.marked svg")
    assert marks.count() > 0
    assert all(mark.is_visible() for mark in marks.all())
    heads, boxes = page.locator(".grid-days li"), page.locator(".grid-line form").first.locator("> *")
    middle = "(one) => { const box = one.getBoundingClientRect(); return box.left + box.width / 2; }"
    for head, box in zip(heads.all(), boxes.all()[-heads.count() :], strict=True):
        assert abs(head.evaluate(middle) - box.evaluate(middle)) < 1


def test_finished_tasks_within_a_line_have_no_box(page: Page) -> None:
    page.goto("/today")
    content = "(one) => getComputedStyle(one, '::after').content"
    finished, open_tasks = (
        page.locator(".finished > .lines > .line"),
        page.locator("#held-areas > .lines > .line"),
    )
    assert finished.count() > 0
    assert {one.evaluate(content) for one in finished.all()} == {"none"}
    assert open_tasks.count() > 0
    assert "none" not in {one.evaluate(content) for one in open_tasks.all()}


def test_paper_is_white_by_night_too(visitors: Visitors) -> None:
    page = visitors.come(viewport=PAPER, color_scheme="dark")
    page.emulate_media(media="print")
    page.goto("/today")
    colours = "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]"
    assert page.evaluate(colours) == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]


@pytest.mark.parametrize(
    ("path", "most"),
    [("/today", 3), ("/week", 2), ("/areas/week", 3), ("/shopping", 1), ("/dinner", 1), ("/path", 2)],
)
def test_a_page_takes_few_sheets(page: Page, path: str, most: int) -> None:
    page.goto(path)
    assert 1 <= sheets(page) <= most
