"""A week as it is run: marks, lines, the timer, a job moved, balance; with JavaScript and without."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.looking import broken_rules
from browser.test_looks import LEAST, SMALL_TARGETS
from browser.visitor import BY_DAY_AND_NIGHT, DESK, NARROW, PHONE
from web.lived import once
from web.week.house import JOB, SATURDAY, grown, six_lines

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

PLACES = ("/week", "/week/2027-W03", "/week/2027-W05", "/week/2027-W05/balance", JOB, f"{JOB}/lines",
          "/jobs/papers")  # fmt: skip
MINUTES = {"minutes": {"SA": 60, "SU": 60, "TU": 30, "WE": 60}}
SCRIPTS = pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])


@once
def busy(house: LiveHouse) -> None:
    """A Saturday with too much on it, a job under way, and another one moved."""
    grown(house)
    house.http.put("/api/available", json=MINUTES)
    house.http.put(f"/api{JOB}/ticks/1", json={})
    house.http.put(f"/api{JOB}/ticks/2", json={"state": "later"})
    house.http.put(f"/api{JOB}/timer")
    house.http.post("/api/jobs/papers/move", json={"on": "2027-02-02", "to": "2027-02-03"})


@SCRIPTS
def test_a_week_is_run(live: LiveHouse, visitors: Visitors, *, script: bool) -> None:
    six_lines(live)
    page = visitors.come(java_script_enabled=script)
    page.goto("/week")
    page.get_by_role("link", name="Out and back").click()
    _work(page)
    live.now = live.now.replace(minute=20)
    page.reload()
    expect(page.get_by_role("heading", name="40 minutes left")).to_be_visible()
    page.get_by_role("button", name="Kept", exact=True).click()
    expect(page.get_by_role("heading", name="Kept")).to_be_visible()
    expect(page.locator(".line")).to_have_count(0)
    page.get_by_role("link", name="The week", exact=False).last.click()
    expect(page.locator(f"#day-{SATURDAY}")).to_contain_text("Kept")
    live.sleep()
    _plan(page)
    rows = live.http.get("/api/log.csv").text
    assert f"{SATURDAY},kept,out-and-back" in rows
    assert rows.count(",adjust,papers,") == 2


def _work(page: Page) -> None:
    """Start the timer, tick two lines, leave one."""
    expect(page.locator(".line")).to_have_count(6)
    page.get_by_role("button", name="Start the timer").click()
    expect(page.get_by_role("heading", name="60 minutes left")).to_be_visible()
    page.get_by_role("button", name="Bakery: finished").click()
    expect(page.locator(".line")).to_have_count(5)
    page.get_by_role("button", name="Library: finished").click()
    expect(page.locator(".line")).to_have_count(4)
    page.get_by_role("button", name="Shop: next time").click()
    expect(page.locator(".line")).to_have_count(3)
    expect(page.get_by_text("2 lines finished, 1 left for next time")).to_be_visible()


def _plan(page: Page) -> None:
    """In the week after: move a job and back, say how many minutes there are, and accept a proposal."""
    page.reload()
    page.get_by_role("link", name="Week after").click()
    tuesday = page.locator("#day-2027-02-02")
    tuesday.locator(".job", has_text="Papers").get_by_text("Move").click()
    tuesday.get_by_role("button", name="Wednesday").click()
    expect(page.locator("#said")).to_have_text("Moved. It holds from today on.")
    expect(page.locator("#day-2027-02-03")).to_contain_text("Papers")
    page.get_by_role("button", name="Move back").click()
    expect(page.locator("#day-2027-02-02")).to_contain_text("Papers")
    page.get_by_text("Minutes you have").click()
    page.get_by_label("Saturday", exact=True).fill("40")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#day-2027-02-06")).to_contain_text("minutes over")
    page.get_by_role("link", name="Look for other days").click()
    page.get_by_role("button", name="Accept").click()
    expect(page.locator("#said")).to_have_text("The week is balanced. It holds from today on.")
    expect(page.locator("#day-2027-02-06")).not_to_contain_text("minutes over")


def test_ticking_needs_no_reload_and_the_next_line_takes_the_focus(
    live: LiveHouse, visitors: Visitors
) -> None:
    six_lines(live)
    page = visitors.come()
    page.goto(JOB)
    page.evaluate("window.same = true")
    page.get_by_role("button", name="Library: finished").click()
    expect(page.get_by_role("status")).to_have_text("Library: finished.")
    expect(page.locator("#line-3")).to_be_focused()
    assert page.evaluate("window.same") is True


def test_the_timer_goes_on_by_itself_and_speaks_three_times(live: LiveHouse, visitors: Visitors) -> None:
    grown(live)
    page = visitors.come()
    page.clock.install()
    page.goto(JOB)
    said = page.get_by_role("status")
    page.get_by_role("button", name="Start the timer").click()
    expect(said).to_have_text("The timer runs until 12:45.")
    page.evaluate("""() => {
        window.heard = [];
        new MutationObserver(() => window.heard.push(document.getElementById('said').textContent))
            .observe(document.getElementById('said'), {childList: true, characterData: true, subtree: true});
    }""")
    page.clock.run_for("30:00")
    expect(page.get_by_role("heading", name="15 minutes left")).to_be_visible()
    assert page.evaluate("window.heard") == []
    page.clock.run_for("10:05")
    assert page.evaluate("window.heard") == ["5 minutes left."]
    page.clock.run_for("05:05")
    expect(page.get_by_role("heading", name="Time is up")).to_be_visible()
    assert page.evaluate("window.heard") == [
        "5 minutes left.",
        "Time is up. The job ends here, finished or not.",
    ]


def test_a_job_is_dragged_to_another_day(live: LiveHouse, visitors: Visitors) -> None:
    grown(live)
    page = visitors.come(viewport=DESK)
    page.goto("/week/2027-W05")
    page.locator("#day-2027-02-02 .job", has_text="Papers").hover()
    page.mouse.down()
    # A hand moves on its way; a single jump to the other day does not begin a drag.
    box = page.locator("#day-2027-02-03").bounding_box()
    assert box
    page.mouse.move(box["x"] + 20, box["y"] + 40, steps=4)
    page.mouse.move(box["x"] + 40, box["y"] + 60, steps=4)
    page.mouse.up()
    expect(page.locator("#said")).to_have_text("Moved. It holds from today on.")
    expect(page.locator("#day-2027-02-03")).to_contain_text("Papers")


def test_a_week_is_moved_through_by_keyboard(live: LiveHouse, visitors: Visitors) -> None:
    grown(live)
    page = visitors.come(viewport=DESK)
    page.goto("/week/2027-W05")
    summary = page.locator("#day-2027-02-02 .move summary").first
    summary.focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Monday").first).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Moved. It holds from today on.")


def test_enter_in_a_line_saves_and_moves_nothing(live: LiveHouse, visitors: Visitors) -> None:
    grown(live)
    page = visitors.come()
    page.goto(f"{JOB}/lines")
    page.get_by_label("Line 2", exact=True).fill("Dust the shelves")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Saved.")
    expect(page.get_by_label("Line 2", exact=True)).to_have_value("Dust the shelves")
    assert [line["line"] for line in live.http.get(f"/api{JOB}").json()["lines"]] == list("123")


PLACES_OF_DAYS = """() => [...document.querySelectorAll('.day')]
    .filter((day) => day.checkVisibility()).map((day) => day.getBoundingClientRect())
    .map((box) => [Math.round(box.x), Math.round(box.y), Math.round(box.x + box.width / 2)])"""
MIDDLES_OF_POSTS = """() => [...document.querySelectorAll('.fence .wood')].map((post) => {
    const box = post.getBoundingClientRect();
    return Math.round(box.x + box.width / 2);
})"""
# Words that stand in two lines, as those do that were broken inside.
BROKEN_WORDS = """() => {
    const walk = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT), found = [];
    const range = document.createRange();
    for (let node = walk.nextNode(); node; node = walk.nextNode())
        for (const word of node.data.matchAll(/[\\p{L}\\p{N}]+/gu)) {
            range.setStart(node, word.index);
            range.setEnd(node, word.index + word[0].length);
            const lines = new Set([...range.getClientRects()].map((box) => Math.round(box.y)));
            if (lines.size > 1) found.push(word[0]);
        }
    return found;
}"""


@pytest.mark.parametrize("width", [1100, 1280])
def test_at_a_desk_each_day_is_a_column_below_its_post_and_none_is_folded(
    live: LiveHouse, visitors: Visitors, width: int
) -> None:
    busy(live)
    page = visitors.come(viewport=DESK | {"width": width})
    page.goto("/week")
    days = page.evaluate(PLACES_OF_DAYS)
    assert len(days) == 7
    assert days == sorted(days)
    assert len({top for _, top, _ in days}) == 1
    middles = [middle for _, _, middle in days]
    assert middles == pytest.approx(page.evaluate(MIDDLES_OF_POSTS), abs=2)
    assert page.evaluate(BROKEN_WORDS) == []


def test_on_a_phone_days_are_one_below_the_other_and_those_gone_by_open_from_their_post(
    live: LiveHouse, visitors: Visitors
) -> None:
    busy(live)
    page = visitors.come()
    page.goto("/week")
    assert len(page.evaluate(PLACES_OF_DAYS)) == 2
    page.get_by_role("link", name="Tuesday 26 January: 78 minutes").click()
    expect(page.locator("#day-2027-01-26")).to_be_visible()
    tops = [top for _, top, _ in page.evaluate(PLACES_OF_DAYS)]
    assert tops == sorted(set(tops))
    assert len(tops) == 7


def test_letters_twice_as_large_break_no_word_and_push_nothing_aside(
    live: LiveHouse, visitors: Visitors
) -> None:
    busy(live)
    for viewport in (PHONE, DESK, DESK | {"width": 1920}):
        page = visitors.come(viewport=viewport)
        for path in PLACES:
            page.goto(path)
            page.evaluate("document.documentElement.style.fontSize = '200%'")
            page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
            assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"], path
            assert page.evaluate(BROKEN_WORDS) == [], (path, viewport)


@BY_DAY_AND_NIGHT
def test_axe_finds_nothing(
    live: LiveHouse, visitors: Visitors, scheme: str, viewport: dict[str, int]
) -> None:
    busy(live)
    page = visitors.come(color_scheme=scheme, viewport=viewport)
    for path in PLACES:
        page.goto(path)
        assert broken_rules(page) == [], path
        page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
        assert broken_rules(page) == [], path


def test_pages_reflow_at_320_pixels_with_everything_open_and_targets_stay_large(
    live: LiveHouse, visitors: Visitors
) -> None:
    busy(live)
    page = visitors.come(viewport=NARROW)
    for path in PLACES:
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach((one) => (one.open = true))")
        assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"], path
        assert page.evaluate(SMALL_TARGETS, LEAST) == [], path


@pytest.mark.parametrize("path", PLACES)
def test_what_is_printed_has_no_controls_and_is_not_cut_off(
    live: LiveHouse, visitors: Visitors, path: str
) -> None:
    busy(live)
    page = visitors.come(viewport=NARROW)
    page.goto(path)
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"]
    if not path.endswith(("lines", "balance")):
        assert page.locator("button:visible").count() == 0
    assert page.pdf(format="A4").startswith(b"%PDF")


def test_a_week_prints_on_one_sheet_across_with_all_days_and_an_empty_box_for_what_is_open(
    live: LiveHouse, visitors: Visitors
) -> None:
    busy(live)
    page = visitors.come()
    page.goto("/week")
    page.emulate_media(media="print")
    sheet = page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", sheet)) == 1
    [(width, height)] = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", sheet)
    assert (round(float(width)), round(float(height))) == (842, 595)
    page.set_viewport_size({"width": 1054, "height": 725})
    assert len(page.evaluate(PLACES_OF_DAYS)) == 7
    open_lines = page.locator(f"#day-{SATURDAY} li")
    assert page.locator(f"#day-{SATURDAY} .paper-box:visible").count() == open_lines.count()
    assert page.locator("#day-2027-01-27 .paper-box").count() == 0
    expect(page.locator("#day-2027-01-27")).to_contain_text("Kept")


def test_a_job_prints_its_open_lines_with_boxes(live: LiveHouse, visitors: Visitors) -> None:
    six_lines(live)
    live.http.put(f"/api{JOB}/ticks/1", json={})
    page = visitors.come()
    page.goto(JOB)
    assert page.locator(".paper-box:visible").count() == 0
    page.emulate_media(media="print")
    assert page.locator(".line .paper-box:visible").count() == 5


def test_the_fence_keeps_its_lines_in_forced_colours(live: LiveHouse, visitors: Visitors) -> None:
    busy(live)
    page = visitors.come(forced_colors="active")
    page.goto("/week")
    stroke = "(one) => getComputedStyle(one).stroke"
    assert page.locator(".rail").first.evaluate(stroke) == page.locator(".wood").first.evaluate(stroke)
    assert broken_rules(page) == []
