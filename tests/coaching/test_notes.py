"""What a coach says on a date stands on today's page of that date, and can be put away."""

from __future__ import annotations

from datetime import timedelta

import pytest

from coach.coaching.below import below, lesson_in
from coach.coaching.notes import drop_note, notes, put_away, put_note
from coach.coaching.questions import own_questions
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.situation import looking
from coaching.village import BEN, Village, coach
from habits.house import HOME
from progress.living import on


@pytest.fixture
def village() -> Village:
    return Village().begun().joins()


def said(village: Village) -> str | None:
    with looking(village.context, HOME) as where:
        place = lesson_in(where, "bed")
    assert place is not None
    note = below(village.context, place).note
    return note.text if note else None


def test_one_date_says_one_thing_and_the_latest_stands_first(village: Village) -> None:
    for day, text in ((1, "Hello"), (3, "Later"), (1, "Welcome")):
        put_note(village.context, coach(), village.group, on(day), text)
    found = notes(village.context, coach(), village.group).notes
    assert [(one.on, one.text) for one in found] == [(on(3), "Later"), (on(1), "Welcome")]


def test_it_stands_on_its_date_and_on_no_other(village: Village) -> None:
    put_note(village.context, coach(), village.group, on(2), "Windows")
    assert [said(village.at(day)) for day in (1, 2, 3)] == [None, "Windows", None]


def test_it_is_put_away_for_the_household_and_stays_so(village: Village) -> None:
    put_note(village.context, coach(), village.group, on(1), "Windows")
    for _ in range(2):
        put_away(village.context, HOME, on(1))
    put_note(village.context, coach(), village.group, on(1), "Windows, wide open")
    assert said(village) is None
    assert own_questions(village.context, HOME).note is None
    with pytest.raises(NotEditable):
        put_away(village.context, HOME, on(2))


def test_it_can_be_taken_back(village: Village) -> None:
    put_note(village.context, coach(), village.group, on(1), "Windows")
    drop_note(village.context, coach(), village.group, on(1))
    drop_note(village.context, coach(), village.group, on(1))
    assert said(village) is None


@pytest.mark.parametrize("ago", [2, -367])
def test_a_date_that_is_over_or_too_far_ahead_says_nothing(village: Village, ago: int) -> None:
    with pytest.raises(NotEditable):
        put_note(village.at(9).context, coach(), village.group, on(9) - timedelta(days=ago), "Windows")


@pytest.mark.parametrize("text", ["", "x" * 1001])
def test_a_note_says_something_in_a_thousand_characters(village: Village, text: str) -> None:
    with pytest.raises(Malformed):
        put_note(village.context, coach(), village.group, on(1), text)


def test_another_coach_says_nothing_here(village: Village) -> None:
    for change in (
        lambda: notes(village.context, coach(BEN), village.group),
        lambda: put_note(village.context, coach(BEN), village.group, on(1), "Mine"),
        lambda: drop_note(village.context, coach(BEN), village.group, on(1)),
    ):
        with pytest.raises(Unknown):
            change()
