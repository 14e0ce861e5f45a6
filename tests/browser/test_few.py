"""Only a few today: folded away, open after two empty days, taken and undone by a tap each."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from coach.household import data

if TYPE_CHECKING:
    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

STORY = Path(__file__).parents[1] / "golden" / "stories" / "three-weeks-standard" / "log.csv"


@pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])
def test_only_a_few_is_taken_and_undone_by_a_tap_each(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    live.sleep(22)
    data.load(live.app.state.context, "home", STORY.read_text(encoding="utf-8"))
    page = visitors.come(java_script_enabled=script)
    page.goto("/today")
    take = page.get_by_role("button", name="Only these three")
    expect(take).to_be_hidden()
    live.sleep(2)
    page.goto("/today")
    expect(page.get_by_text("The last days are empty, and that is all right.")).to_be_visible()
    take.click()
    expect(page.get_by_text("Only a few today. 5 lines are excused.")).to_be_visible()
    marks = [line["mark"] for line in live.day()["checklist"]]
    assert marks.count("excused") == 5
    page.get_by_role("button", name="Bring the lines back that are excused").click()
    expect(page.get_by_text("Only a few today. 5 lines are excused.")).to_have_count(0)
    assert {line["mark"] for line in live.day()["checklist"]} == {None}
    page.goto("/days/2027-01-27")
    page.goto("/today")
    page.get_by_role("link", name="Fill it in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Wednesday 27 January")
