"""Asking the coach below a lesson and reading the answer there, in a browser with JavaScript and without."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.visitor import NARROW
from coach.coaching.answering import Answering, answer, questions
from coach.coaching.notes import put_note
from coach.ground.people import Caller
from web.coaching.in_a_group import join

if TYPE_CHECKING:
    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

ANA = Caller("", person="ana", coaches=True)


@pytest.mark.parametrize("script", [True, False], ids=["with JavaScript", "without"])
def test_a_household_asks_reads_the_answer_and_puts_the_note_away(
    live: LiveHouse, visitors: Visitors, *, script: bool
) -> None:
    live.start()
    group, context = join(live), live.app.state.context
    put_note(context, ANA, group, live.today, "Open a window while you read this.")
    page = visitors.come(java_script_enabled=script, viewport=NARROW)
    page.goto("/today")
    expect(page.get_by_label("Your question")).to_be_hidden()
    page.get_by_text("Ask the coach").click()
    page.get_by_label("Your question").fill("<b>And with a bunk bed?</b>")
    page.get_by_label("With our household\u2019s name").check()
    page.get_by_role("button", name="Ask", exact=True).click()
    expect(page.get_by_text("Asked. The answer comes below the lesson.")).to_be_visible()
    [step] = questions(context, ANA, group).waiting
    [asked] = step.piles[0].questions
    assert (asked.text, asked.name) == ("<b>And with a bunk bed?</b>", "Tern Street")
    answer(context, ANA, group, Answering((asked.question,), "The lower one first."))
    page.goto("/today?said=asked")
    page.get_by_text("Questions and answers: 1").click()
    expect(page.get_by_text("The lower one first.")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_role("button", name="Put it away").click()
    expect(page.get_by_text("Open a window while you read this.")).to_have_count(0)
