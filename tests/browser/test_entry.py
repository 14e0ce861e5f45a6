"""Entering a ticked sheet with a thumb: every box is large enough, and it works without JavaScript."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.test_looks import LEAST, SMALL_TARGETS
from web.demo_home import tern_streets
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

SHEET = "/sheet/2027-W04/enter"
LOW_BOXES = """[...document.querySelectorAll('.tap')].map((one) => one.getBoundingClientRect())
    .filter((box) => box.height < 47.5).length"""
UNEVEN = """[...document.querySelectorAll('.week-grid tbody tr:not(.slot)')].map((row) => {
    const cells = [...row.querySelectorAll('td')].map((cell) => cell.getBoundingClientRect().width);
    return row.getBoundingClientRect().width - cells.reduce((one, other) => one + other);
}).filter((left) => Math.abs(left) > 1)"""
SIDEWAYS = "document.documentElement.scrollWidth - innerWidth"


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """Tern Street on a Tuesday, with its whole home plan."""
    with tern_streets(LiveHouse, tmp_path_factory.mktemp("house")) as house:
        yield house


def test_every_box_is_as_large_as_a_thumb_and_nothing_scrolls_sideways(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto(SHEET)
    assert page.locator(".tap").count() > 10
    assert page.evaluate(SMALL_TARGETS, LEAST) == []
    assert page.evaluate(LOW_BOXES) == 0
    assert page.evaluate(SIDEWAYS) <= 0
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate(SIDEWAYS) <= 0


def test_on_a_phone_the_seven_boxes_of_a_line_share_its_width(visitors: Visitors) -> None:
    page = visitors.come()
    for path in (SHEET, SHEET.removesuffix("/enter")):
        page.goto(path)
        assert page.evaluate(UNEVEN) == [], path


def test_boxes_are_tapped_and_saved_as_a_whole_without_javascript(
    live: LiveHouse, visitors: Visitors
) -> None:
    page = visitors.come(java_script_enabled=False)
    page.goto(SHEET)
    name = f"{live.today}/bed-made"
    box = page.locator(f'input[value^="{name}="]')
    was = box.is_checked()
    page.locator(f'.tap:has(input[value^="{name}="])').click()
    assert box.is_checked() is not was
    assert (live.day()["checklist"][0]["mark"] is not None) is was
    page.get_by_role("button", name="Save all of it").click()
    assert page.get_by_role("status").inner_text() == "Entered."
    assert page.locator(f'input[value^="{name}="]').is_checked() is not was
    marks = {line["step"]: line["mark"] for line in live.day()["checklist"]}
    assert (marks["bed-made"] is not None) is not was


def test_the_keyboard_ticks_a_box_and_the_focus_is_seen(visitors: Visitors) -> None:
    page = visitors.come()
    page.goto(SHEET)
    box = page.locator(".tap input").first
    was = box.is_checked()
    box.focus()
    page.keyboard.press("Space")
    assert box.is_checked() is not was
    outline = "(one) => getComputedStyle(one.closest('.tap')).outlineStyle"
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    assert box.evaluate(outline) == "solid"
