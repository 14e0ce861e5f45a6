"""Titles of every kind on every page: long words break, and a direction stays with the title that has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.visitor import NARROW, PHONE
from web.areas.house import set_up
from web.kitchen.full_week import ask
from web.week.house import grown

if TYPE_CHECKING:
    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

LONG = "Donaudampfschifffahrt" * 5 + "sgesellschafter"
HEBREW = "\u05dc\u05e9\u05d8\u05d5\u05e3 \u05db\u05dc\u05d9\u05dd"
TITLES = {
    "an override": "\u202eBed made",
    "Hebrew": HEBREW,
    "a long word": LONG,
}
PATHS = (
    "/today", "/path", "/steps/bed-made", "/steps/out-and-back", "/new-step", "/catalogue", "/home", "/more",
    "/week", "/week/2027-W05/balance", "/jobs/out-and-back", "/jobs/out-and-back/lines", "/areas",
    "/areas/week", "/areas/weeks", "/areas/{area}", "/areas/{area}/split", "/areas/{area}/tasks/{task}",
    "/dinner", "/dinner/favourites", "/shopping", "/desk", "/desk/dues/20270130-0001",
    "/desk/to-dos/20270130-0001", "/desk/to-dos/20270130-0002", "/quick?line=renew+library+card+fri",
    "/days/2027-01-29", "/path/what-if",
)  # fmt: skip
PLACED = """(title) => {
    const found = [];
    for (const bdi of document.querySelectorAll('bdi')) {
        if (!bdi.textContent.includes(title) || !bdi.checkVisibility() || bdi.closest('.hidden')) continue;
        const after = bdi.nextSibling;
        if (!after || after.nodeType !== Node.TEXT_NODE || !after.data.trim()) continue;
        const range = document.createRange();
        const begins = after.data.search(/\\S/);
        const rectangle = (from, to) => {
            range.setStart(after, from);
            range.setEnd(after, to);
            return range.getBoundingClientRect();
        };
        const end = after.data.trimEnd().length;
        const first = rectangle(begins, begins + 1), last = rectangle(end - 1, end);
        const boxes = bdi.getClientRects(), box = boxes[boxes.length - 1];
        const behind = first.top > box.top + 2 || first.left >= box.right - 2;
        const onward = last.top > first.top + 2 || last.left >= first.left;
        found.push([after.data.trim().slice(0, 40), behind && onward]);
    }
    return found;
}"""
UNFOLD = "document.querySelectorAll('details').forEach((one) => (one.open = true))"


def named(house: LiveHouse, title: str) -> dict[str, str]:
    """A household that calls everything so; the ids that addresses need."""
    grown(house)
    for step in ("bed-made", "kitchen-closed", "out-and-back"):
        ask(house, "PATCH", f"/api/steps/{step}", {"title": title, "cue": title, "small": title})
    ask(house, "PUT", "/api/jobs/out-and-back/lines", {"lines": [{"title": title, "minutes": 5}]})
    set_up(house, ["Kitchen", "Bathroom"])
    areas = ask(house, "GET", "/api/areas")["areas"]
    for number, area in enumerate(areas):
        ask(
            house,
            "PATCH",
            f"/api/areas/{area['area']}",
            {"name": title[:80], "rooms": [title[:80], f"Room {number}"]},
        )
    task = areas[0]["detail"][0]["task"]
    ask(house, "PATCH", f"/api/tasks/{task}", {"title": title, "every_days": 7, "minutes": 200})
    frozen = [{"name": title, "weight": "1.4 kg", "kind": "poultry"}]
    dish = {"dish": title[:120], "ingredients": [title[:100]], "frozen": frozen}
    ask(house, "POST", "/api/favourites", dish)
    for on in ("2027-01-30", "2027-01-31"):
        ask(house, "PUT", f"/api/dinners/{on}", dish)
    ask(house, "POST", "/api/dues", {"name": title, "on": "2027-01-31", "amount": title[:40]})
    for kind in ("open", "errand", "put-off", "put-off"):
        ask(house, "POST", "/api/to-dos", {"titles": [title], "kind": kind, "place": title[:80]})
    return {"area": areas[0]["area"], "task": task}


@pytest.mark.parametrize("title", TITLES.values(), ids=TITLES)
def test_no_page_scrolls_sideways_and_what_follows_a_title_stays_behind_it(
    live: LiveHouse, visitors: Visitors, title: str
) -> None:
    ids = named(live, title)
    page = visitors.come()
    followed, too_wide, astray = 0, list[tuple[str, int]](), list[tuple[str, str]]()
    for path in (one.format_map(ids) for one in PATHS):
        for viewport in (NARROW, PHONE):
            page.set_viewport_size({"width": viewport["width"], "height": viewport["height"]})
            page.goto(path)
            page.evaluate(UNFOLD)
            width = page.evaluate("document.documentElement.scrollWidth")
            too_wide += [(path, width)] if width > viewport["width"] else []
        placed = page.evaluate(PLACED, title[:60])
        followed += len(placed)
        astray += [(path, text) for text, in_place in placed if not in_place]
    assert too_wide == []
    assert astray == []
    assert followed >= 10
