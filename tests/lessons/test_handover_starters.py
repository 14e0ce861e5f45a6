"""The shipped pages to begin with: something for everybody, nothing filled in, nothing asserted."""

from __future__ import annotations

import re

import pytest

from coach.coaching.library import FolderLibrary
from coach.course.starters import BLANK, PURPOSES, Starter
from coach.ground.prose import render_own
from coach.paper.pages import TypedPage, checked

STARTERS = FolderLibrary().starters()
NUMBERED = re.compile(r"^\d+\.", re.MULTILINE)


@pytest.mark.parametrize("whom", PURPOSES)
def test_there_is_something_to_begin_with_for_everybody(whom: str) -> None:
    assert sum(whom in starter.whom for starter in STARTERS) >= 3


@pytest.mark.parametrize("starter", STARTERS, ids=lambda one: one.id)
def test_a_page_can_be_kept_as_it_is(starter: Starter) -> None:
    checked(TypedPage(starter.title, starter.markdown, starter.whom))


@pytest.mark.parametrize("starter", STARTERS, ids=lambda one: one.id)
def test_every_blank_is_shown_as_one(starter: Starter) -> None:
    html = render_own(starter.markdown)
    assert html.count('<span class="blank">') == starter.markdown.count(BLANK) > 2
    assert not re.search("<(hr|em|strong|pre|code|blockquote)", html)


@pytest.mark.parametrize("starter", STARTERS, ids=lambda one: one.id)
def test_no_number_is_filled_in(starter: Starter) -> None:
    assert not re.search(r"\d", NUMBERED.sub("", starter.markdown))


def test_whom_to_call_is_said_without_a_number_of_any_country() -> None:
    first = next(starter for starter in STARTERS if "emergency" in starter.whom)
    assert f"Your local emergency number: {BLANK}" in first.markdown
    assert set(first.whom) == set(PURPOSES)


def test_medicines_are_as_the_label_and_the_note_say() -> None:
    health = next(starter for starter in STARTERS if starter.id == "health")
    assert "the only measure for medicines" in health.markdown
    assert not re.search(r"\b(mg|ml|tablets?|drops|dose)\b", health.markdown)


def test_gas_and_wiring_are_for_those_who_are_licensed() -> None:
    shut_offs = next(starter for starter in STARTERS if starter.id == "shut-offs")
    assert "licensed fitter" in shut_offs.markdown
    assert "rules where we live" in shut_offs.markdown
