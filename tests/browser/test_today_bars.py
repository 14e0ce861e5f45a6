"""Today fits a hand: what one sees, scrolls, taps and waits for on a phone, on a busy evening above all."""

from __future__ import annotations

from contextlib import contextmanager
from statistics import median
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect
from starlette.testclient import TestClient

from browser import busy
from browser.visitor import DESK, PHONE, Visitors
from coach.coaching.demo import furnish, tern_street
from coach.household import data
from coach.progress.csvform import write_log
from web.at_home import MACHINE
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

HIGHEST = 1_600
"""The pixels of today's page at most, with twelve lines and the home plan."""

ON_IT = "http://127.0.0.1:8420"
"""What the house is called by the browser of its own machine."""

MOST_FLICKS = 2
"""Screens to scroll at most, from the first of twelve lines to the last."""

WAITED = 100
"""Milliseconds from a tap to its mark at most, beyond what a request that does nothing takes meanwhile."""

# From the click to the frame in which the mark of a line stands, in milliseconds.
TIMED = """(step) => new Promise((done) => {
    const place = document.getElementById(`do-${step}`);
    const from = performance.now();
    new MutationObserver((_, seen) => {
        if (place.querySelector('.stamp')) { seen.disconnect(); done(performance.now() - from); }
    }).observe(place, { childList: true, subtree: true });
    place.querySelector('.keep').click();
})"""
# What a request takes that asks for nothing, for the tests are not alone on the machine.
BARE = """async () => {
    const from = performance.now();
    await (await fetch('/static/gate.svg', { cache: 'no-store' })).text();
    return performance.now() - from;
}"""
TOPS = """() => Object.fromEntries([...document.querySelectorAll('#list section li.line[id]')]
    .map((line) => [line.id, line.getBoundingClientRect().top + scrollY]))"""
BOTTOM_OF_BAR = "document.querySelector('.places').getBoundingClientRect().top"


def tern(house: LiveHouse) -> None:
    """The demo household on that evening."""
    house.now = busy.EVENING
    context = house.app.state.context
    course = context.library.course(context.course)
    data.load(context, busy.HOME, write_log(tern_street(course, busy.TODAY)))
    furnish(context, busy.HOME, busy.TODAY)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """The busy household, for all tests here; each leaves it as it found it."""
    house = LiveHouse(tmp_path_factory.mktemp("busy"))
    busy.busy(house)
    yield house
    house.close()


@contextmanager
def visiting(browser: Browser, house: LiveHouse, **choices: object) -> Iterator[Page]:
    """Today's page of a house, with somebody in front of it."""
    visitors = Visitors(browser, house.url)
    page = visitors.come(**choices)
    page.goto("/today", timeout=30_000)
    yield page
    visitors.leave()


@pytest.fixture(autouse=True)
def _put_back(house: LiveHouse) -> Iterator[None]:
    """Take back what was marked this evening, whatever came of it."""
    yield
    for line in house.day()["checklist"]:
        if line["slot"] == "evening" and line["mark"]:
            house.http.delete(f"/api/days/{house.today}/marks/{line['step']}")


def sees_a_line(page: Page) -> bool:
    """Whether the first large button stands whole above the bar, without scrolling."""
    box = page.locator("#list section .keep").first.bounding_box()
    return box is not None and box["y"] + box["height"] <= page.evaluate(BOTTOM_OF_BAR)


def height(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollHeight"))


def test_a_busy_evening_fits_and_shows_what_is_urgent_before_its_lines(
    browser: Browser, house: LiveHouse
) -> None:
    with visiting(browser, house) as page:
        assert height(page) <= HIGHEST
        assert sees_a_line(page)
        expect(page.locator("#list section li.line[id]")).to_have_count(12)
        urgent = page.locator(".urgent")
        for text in ("chicken legs", "Into the refrigerator today", "Swimming fee", "Dentist"):
            expect(urgent).to_contain_text(text)
        lines = page.locator("#list").bounding_box()
        box = urgent.bounding_box()
        assert box
        assert lines
        assert box["y"] + box["height"] <= lines["y"]
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_the_demo_household_sees_a_line_at_once(browser: Browser, tmp_path: Path) -> None:
    house = LiveHouse(tmp_path)
    tern(house)
    with visiting(browser, house) as page:
        assert sees_a_line(page)
        assert height(page) <= HIGHEST
    house.close()


def test_a_busy_evening_of_two_members_fits_whoever_takes_and_marks_its_lines(
    browser: Browser, tmp_path: Path
) -> None:
    house = LiveHouse(tmp_path, way="home")
    house.http = TestClient(house.app, base_url=ON_IT, follow_redirects=False, client=MACHINE)
    busy.busy(house)
    for name in ("Ana", "Ben"):
        code = house.http.post("/api/pairing", json={}).json()["code"]
        sent = {"code": code, "name": name, "device": "phone", "token": "write"}
        token = house.http.post("/api/pair", json=sent).json()["token"]
    evening = [line["step"] for line in house.day()["checklist"] if line["slot"] == "evening"]
    bens = {"authorization": f"Bearer {token}"}
    with visiting(browser, house) as page:
        assert height(page) <= HIGHEST
        for step in evening:
            house.http.put(f"/api/days/{house.today}/taken/{step}", headers=bens)
        page.reload()
        expect(page.locator("#list section .takes:visible")).to_have_count(len(evening))
        assert height(page) <= HIGHEST
        for step in evening[:4]:
            house.http.put(f"/api/days/{house.today}/marks/{step}", json={"mark": "kept"}, headers=bens)
        page.reload()
        expect(page.locator("#list section .takes:visible")).to_have_count(len(evening) - 4)
        assert height(page) <= HIGHEST
    house.close()


def test_twelve_lines_are_marked_with_twelve_taps_two_flicks_and_no_wait(
    browser: Browser, house: LiveHouse
) -> None:
    screen = PHONE["height"]
    with visiting(browser, house) as page:
        steps = page.locator("#list section li.line[id]").evaluate_all(
            "(all) => all.map((one) => one.id.slice(5))"
        )
        taps, flicks, waits = 0, 0, []
        before = page.evaluate(TOPS)
        free = page.evaluate(BOTTOM_OF_BAR)
        for step in steps:
            box = page.locator(f"#do-{step} .keep").bounding_box()
            assert box
            if box["y"] + box["height"] > free:
                page.mouse.wheel(0, screen - (screen - free))
                page.wait_for_function(
                    f"document.getElementById('do-{step}').getBoundingClientRect().top < {free}"
                )
                flicks += 1
            bare = page.evaluate(BARE)
            waits.append(page.evaluate(TIMED, step) - bare)
            taps += 1
            moved = {line: top for line, top in page.evaluate(TOPS).items() if abs(top - before[line]) > 1}
            assert not moved, (step, moved)
        assert (taps, len(steps)) == (12, 12)
        assert flicks <= MOST_FLICKS
        assert median(waits) < WAITED, waits
        assert all(line["mark"] == "kept" for line in house.day()["checklist"] if line["slot"] == "evening")


@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_all_daily_lines_of_the_evening_are_kept_with_one_tap_and_taken_back_with_one(
    browser: Browser, house: LiveHouse, *, scripts: bool
) -> None:
    def kept() -> set[str]:
        return {
            line["step"]
            for line in house.day()["checklist"]
            if line["slot"] == "evening" and line["mark"] == "kept"
        }

    house.mark("hob-wiped")
    with visiting(browser, house, java_script_enabled=scripts) as page:
        page.get_by_role("button", name="All 9 daily kept").click()
        undo = page.get_by_role("button", name="Undo all 9")
        expect(undo).to_be_visible()
        evening = {line["step"] for line in house.day()["checklist"] if line["slot"] == "evening"}
        assert kept() == evening - {"papers", "area-time"}
        undo.click()
        expect(undo).to_have_count(0)
        expect(page.get_by_role("button", name="All 9 daily kept")).to_be_visible()
        assert kept() == {"hob-wiped"}


def test_a_tap_for_all_moves_no_line(browser: Browser, house: LiveHouse) -> None:
    with visiting(browser, house) as page:
        before = page.evaluate(TOPS)
        page.get_by_role("button", name="All 10 daily kept").click()
        expect(page.locator("#list section .stamp")).to_have_count(11)
        assert page.evaluate(TOPS) == pytest.approx(before, abs=1)


def test_what_was_marked_folds_on_the_next_visit_and_can_be_undone_there(
    browser: Browser, house: LiveHouse
) -> None:
    for step in ("dog-fed", "hob-wiped", "alarm-set"):
        house.mark(step)
    with visiting(browser, house) as page:
        folded = page.locator("#list .marked-lines")
        expect(folded.locator("summary")).to_have_text("3 kept")
        expect(page.locator("#line-hob-wiped")).to_be_hidden()
        folded.locator("summary").click()
        page.get_by_role("button", name="Undo the mark of Wipe the hob").click()
        expect(page.get_by_role("button", name="Wipe the hob: kept")).to_be_visible()
        expect(page.locator("#line-hob-wiped")).to_be_focused()


def test_a_lines_part_of_the_plan_unfolds_in_it_and_stands_nowhere_else(
    browser: Browser, house: LiveHouse
) -> None:
    with visiting(browser, house) as page:
        area = page.locator("#line-area-time")
        expect(page.locator(".area-today")).to_have_count(0)
        task = area.get_by_role("button", name=": finished").first
        expect(task).to_be_hidden()
        area.locator("summary").first.click()
        expect(task).to_be_visible()
        papers = page.locator("#line-papers")
        papers.locator("summary").first.click()
        expect(papers).to_contain_text("Water bill")
        expect(papers).to_contain_text("Replies that somebody waits for")
        expect(page.get_by_text("Water bill")).to_have_count(1)


def test_without_javascript_a_mark_comes_back_to_the_part_it_stands_in(
    browser: Browser, house: LiveHouse
) -> None:
    with visiting(browser, house, java_script_enabled=False) as page:
        page.locator("summary", has_text="Anytime").click()
        page.get_by_role("button", name="Open the post where it lands: kept").click()
        expect(page.locator("#line-post-opened .stamp")).to_be_visible()
        page.get_by_role("button", name="Undo the mark of Open the post where it lands").click()
        expect(page.get_by_role("button", name="Open the post where it lands: kept")).to_be_visible()


def test_what_to_take_care_of_opens_from_an_icon_with_its_name(browser: Browser, house: LiveHouse) -> None:
    with visiting(browser, house) as page:
        line = page.locator("#line-table-cleared")
        line.get_by_role("button", name="Take care: ").click()
        sheet = page.locator("#care-table-cleared")
        expect(sheet).to_be_visible()
        expect(sheet).to_contain_text("Source")
        page.keyboard.press("Escape")
        expect(sheet).to_be_hidden()


def test_at_a_desk_the_list_stands_left_and_what_surrounds_it_right(
    browser: Browser, house: LiveHouse
) -> None:
    with visiting(browser, house, viewport=DESK) as page:
        first, second = (page.locator(f".spread > .{name}").bounding_box() for name in ("first", "second"))
        assert first
        assert second
        assert first["x"] + first["width"] <= second["x"]
        assert abs(first["y"] - second["y"]) <= 1


def test_on_paper_there_is_an_empty_box_where_nothing_is_marked(browser: Browser, house: LiveHouse) -> None:
    house.mark("hob-wiped")
    with visiting(browser, house) as page:
        page.emulate_media(media="print")
        expect(page.locator("#list .keep:visible")).to_have_count(0)
        expect(page.locator("#line-post-opened")).to_be_visible()
        box = "getComputedStyle(document.querySelector('#line-{}'), '::after').borderTopStyle"
        assert page.evaluate(box.format("post-opened")) == "solid"
        assert page.evaluate(box.format("hob-wiped")) == "none"
        expect(page.locator("#do-hob-wiped .stamp")).to_be_visible()
