"""A week of dinners, a round of the shop, and the desk, by tapping; and how their pages look."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.looking import broken_rules
from browser.test_looks import LEAST, SMALL_TARGETS
from browser.visitor import BY_DAY_AND_NIGHT, NARROW
from web.kitchen.full_week import a_full_week, ask

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

WITH_AND_WITHOUT = pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])
PATHS = (
    "/dinner",
    "/dinner/2026-W50",
    "/dinner/favourites",
    "/shopping",
    "/desk",
    "/desk/dues/20270104-0001",
    "/desk/to-dos/20270104-0001",
    "/quick?line=renew+library+card+fri",
    "/quick?line=tax+30+feb",
)
UNFOLD = "document.querySelectorAll('details').forEach((one) => (one.open = true))"


def plan_tuesday(page: Page) -> None:
    """Type a dinner with something from the freezer into the week's form."""
    page.goto("/dinner")
    tuesday = page.get_by_role("group", name="Tuesday 5 January", exact=True)
    tuesday.get_by_label("Dish", exact=True).fill("Chicken soup")
    tuesday.get_by_text(re.compile("[Tt]ime, ingredients")).click()
    tuesday.get_by_label("Ingredients").fill("400 g rice\n1 onion")
    tuesday.get_by_label("What", exact=True).first.fill("chicken")
    tuesday.get_by_label("Weight").first.fill("a lot")


@WITH_AND_WITHOUT
def test_a_week_is_planned_and_a_slip_of_the_pen_costs_nothing(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    visitors.expected = ("422",)
    live.start()
    page = visitors.come(java_script_enabled=script)
    plan_tuesday(page)
    page.get_by_role("group", name="Friday 8 January").get_by_label("Dish", exact=True).fill("Pancakes")
    page.get_by_role("button", name="Save the week").click()

    expect(page.get_by_role("alert")).to_contain_text("“a lot” is not a weight")
    tuesday = page.get_by_role("group", name="Tuesday 5 January", exact=True)
    weight = tuesday.get_by_label("Weight").first
    expect(weight).to_have_value("a lot")
    weight.fill("3 lb")
    page.get_by_role("button", name="Save the week").click()

    expect(page.get_by_role("status")).to_have_text("Saved. The dinners are planned.")
    freezer = page.get_by_role("region", name="Out of the freezer")
    expect(freezer).to_contain_text("chicken, 3 lb")
    freezer.get_by_role("button", name="Moved: chicken").click()
    expect(freezer).to_contain_text("It left the freezer today.")
    assert [day["dinner"] and day["dinner"]["dish"] for day in ask(live, "GET", "/api/dinners")["days"]] == [
        None, "Chicken soup", None, None, "Pancakes", None, None,
    ]  # fmt: skip


@WITH_AND_WITHOUT
def test_the_list_is_ticked_at_home_and_in_the_shop(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    live.start()
    a_full_week(live)
    page = visitors.come(java_script_enabled=script)
    page.goto("/shopping")
    page.get_by_role("button", name="At home: 1000 g rice").click()
    expect(page.get_by_text("Everything on the list is in the basket or at home.")).to_be_visible()
    page.get_by_text("At home: 2").click()
    page.get_by_role("button", name="Needed: 1000 g rice").click()
    page.get_by_role("button", name="Basket: 1000 g rice").click()
    expect(page.get_by_role("region", name="In the basket").locator(".item")).to_have_text(
        ["1000 g rice", "1 leek"]
    )


@WITH_AND_WITHOUT
def test_lines_are_written_on_the_list_ticked_and_cleared(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    live.start()
    page = visitors.come(java_script_enabled=script)
    page.goto("/shopping")
    page.get_by_label("Write on the list, one thing on each line").fill("soap\n1 kg rice\n500 g rice")
    page.get_by_role("button", name="Add").click()
    page.get_by_role("button", name="Basket: 1.5 kg rice").click()
    expect(page.get_by_role("region", name="In the basket").locator(".item")).to_have_text(["1.5 kg rice"])
    page.get_by_role("button", name="Clear what is ticked").click()
    expect(page.get_by_role("status").first).to_have_text("Cleared.")
    expect(page.locator(".item")).to_have_text(["soap"])


def test_a_tick_needs_no_reload(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    a_full_week(live)
    page = visitors.come()
    page.goto("/shopping")
    page.evaluate("window.same = true")
    page.get_by_role("button", name="Basket: 1000 g rice").click()
    expect(page.get_by_role("button", name="Put back: 1000 g rice")).to_be_visible()
    assert page.evaluate("window.same") is True


def test_the_list_can_be_copied(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    a_full_week(live)
    page = visitors.come(permissions=["clipboard-read", "clipboard-write"])
    page.goto("/shopping")
    page.get_by_text("Share the list").click()
    page.get_by_role("button", name="Copy").click()
    expect(page.locator("#copied")).to_have_text("Copied.")
    assert page.evaluate("navigator.clipboard.readText()") == "- 1000 g rice\n"


def test_without_javascript_the_text_is_there_to_be_marked(live: LiveHouse, visitors: Visitors) -> None:
    # Plain text names no icon, so the browser looks for one where there is none.
    visitors.expected = ("404",)
    live.start()
    a_full_week(live)
    page = visitors.come(java_script_enabled=False)
    page.goto("/shopping")
    page.get_by_text("Share the list").click()
    expect(page.get_by_role("button", name="Copy")).to_be_hidden()
    expect(page.get_by_label("As text")).to_have_value("- 1000 g rice\n")
    page.get_by_role("link", name="Open as plain text").click()
    expect(page.locator("body")).to_have_text("- 1000 g rice")


@WITH_AND_WITHOUT
def test_a_due_is_seen_to_and_opened_again(live: LiveHouse, visitors: Visitors, *, script: bool) -> None:
    live.start()
    a_full_week(live)
    page = visitors.come(java_script_enabled=script)
    page.goto("/desk")
    page.get_by_role("button", name="Seen to: Library card, Tuesday 5 January").click()
    expect(page.get_by_role("status")).to_have_text("Seen to.")
    page.get_by_text("Seen to or paid lately: 1").click()
    page.get_by_role("button", name="Undo: Library card, Tuesday 5 January, is seen to").click()
    expect(page.get_by_role("button", name="Seen to: Library card, Tuesday 5 January")).to_be_visible()


@WITH_AND_WITHOUT
def test_a_quick_line_is_said_back_before_it_is_saved(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    visitors.expected = ("422",)
    live.start()
    page = visitors.come(java_script_enabled=script)
    page.goto("/desk")
    line = page.get_by_label("Write something down")
    line.fill("renew library card 30 feb")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_text("There is no date “30 feb”")).to_be_visible()
    expect(line).to_have_value("renew library card 30 feb")
    line.fill("renew library card fri")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_text("Due: renew library card, on Friday 8 January 2027.")).to_be_visible()
    assert ask(live, "GET", "/api/dues")["dues"] == []
    page.get_by_role("button", name="Save").click()
    expect(page).to_have_url(f"{live.url}/desk?said=written-down")
    expect(page.get_by_role("region", name="Coming")).to_contain_text("renew library card")


def test_the_focus_goes_where_the_answer_stands(live: LiveHouse, visitors: Visitors) -> None:
    visitors.expected = ("422",)
    live.start()
    page = visitors.come()
    page.goto("/desk")
    line = page.get_by_label("Write something down")
    line.fill("tax 30 feb")
    line.press("Enter")
    expect(page.locator("#quick-line-fault")).to_be_visible()
    expect(line).to_be_focused()
    line.fill("tax fri")
    line.press("Enter")
    expect(page.get_by_role("heading", name="Is this right?")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.get_by_role("radio", name="Due on a date")).to_be_focused()


@WITH_AND_WITHOUT
def test_a_quick_line_can_be_cancelled(live: LiveHouse, visitors: Visitors, *, script: bool) -> None:
    live.start()
    page = visitors.come(java_script_enabled=script)
    page.goto("/desk")
    page.get_by_label("Write something down").fill("errand: stamps at the post office")
    page.get_by_role("button", name="Add", exact=True).click()
    expect(page.get_by_role("radio", name="Errand")).to_be_checked()
    page.get_by_role("link", name="Cancel").click()
    expect(page).to_have_url(f"{live.url}/desk")
    assert ask(live, "GET", "/api/to-dos")["errands"] == []


@BY_DAY_AND_NIGHT
def test_axe_finds_nothing(
    live: LiveHouse, visitors: Visitors, scheme: str, viewport: dict[str, int]
) -> None:
    visitors.expected = ("422",)
    live.start()
    page = visitors.come(color_scheme=scheme, viewport=viewport)
    for path in ("/dinner", "/dinner/favourites", "/shopping", "/desk"):
        page.goto(path)
        assert broken_rules(page) == [], path
    a_full_week(live)
    for path in PATHS:
        page.goto(path)
        page.evaluate(UNFOLD)
        assert broken_rules(page) == [], path
    plan_tuesday(page)
    page.get_by_role("button", name="Save the week").click()
    page.locator(".fault").first.wait_for()
    assert broken_rules(page) == []


def test_pages_reflow_at_320_pixels_and_targets_are_large_enough(live: LiveHouse, visitors: Visitors) -> None:
    visitors.expected = ("422",)
    live.start()
    a_full_week(live)
    ask(live, "POST", "/api/to-dos", {"titles": ["Pneumonoultramicroscopicsilicovolcanoconiosis" * 3]})
    page = visitors.come(viewport=NARROW)
    for path in PATHS:
        page.goto(path)
        page.evaluate(UNFOLD)
        assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"], path
        assert page.evaluate(SMALL_TARGETS, LEAST) == [], path


def test_the_list_prints_as_a_list_with_boxes_to_tick(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    a_full_week(live)
    page = visitors.come()
    page.goto("/shopping")
    page.emulate_media(media="print")
    expect(page.get_by_text("1000 g rice").first).to_be_visible()
    for hidden in (".places", ".spans", ".share", ".shop button"):
        expect(page.locator(hidden).first).to_be_hidden()
    box = page.evaluate("getComputedStyle(document.querySelector('.shop > li'), '::before').borderTopWidth")
    assert float(box.removesuffix("px")) >= 1
