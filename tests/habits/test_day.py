"""Today's page and the days before it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from coach.course.model import Lesson
from coach.course.texts import TextFile
from coach.errors import OutOfRange, Unknown
from coach.ground.memo import Memo
from coach.habits import pauses
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import settings, start
from habits.house import HOME, House
from progress.living import a_course, a_step, on


def test_a_line_has_all_that_stands_on_it() -> None:
    job = a_step("job", repeats="FREQ=WEEKLY", cue="after lunch", small="A little", minutes=30, caution="hot")
    house = House(a_course(job)).begun()
    house.at(4)
    line = today(house.context, HOME).checklist[0]
    assert (line.title, line.slot, line.minutes) == ("The job", "anytime", 30)
    assert (line.cue, line.small) == ("after lunch", "A little")
    assert (line.state, line.mark, line.open_since) == ("practising", None, on(1))
    assert line.caution is not None
    assert line.caution.source == "common practice, no source"


@pytest.mark.parametrize(
    ("day", "error", "words"),
    [
        (0, OutOfRange, "3 January 2027 lies before the start on 4 January 2027"),
        (6, OutOfRange, "9 January 2027 lies in the future; today is 8 January 2027"),
    ],
)
def test_only_days_from_the_start_to_today_can_be_looked_at(
    day: int, error: type[Exception], words: str
) -> None:
    house = House().begun()
    house.at(5)
    with pytest.raises(error, match=words):
        day_on(house.context, HOME, on(day))


def test_a_date_that_never_happened_cannot_be_looked_at() -> None:
    house = House()
    house.now = house.now.replace(year=2011, month=12, day=20)
    house.begun()
    settings.change(house.context, HOME, zone="Pacific/Apia")
    house.now = house.now.replace(year=2012, month=1, day=5)
    assert day_on(house.context, HOME, date(2011, 12, 31)).earlier == date(2011, 12, 29)
    with pytest.raises(Unknown, match="30 December 2011 never happened in Pacific/Apia"):
        day_on(house.context, HOME, date(2011, 12, 30))


def test_days_lead_to_their_neighbours_from_the_start_to_today() -> None:
    house = House().begun()
    house.at(3)
    first, second, third = (day_on(house.context, HOME, on(day)) for day in (1, 2, 3))
    assert (first.earlier, first.later, first.today) == (None, on(2), False)
    assert (second.earlier, second.later) == (on(1), on(3))
    assert (third.earlier, third.later, third.today) == (on(2), None, True)


def test_older_days_can_be_read_and_not_edited() -> None:
    house = House().begun()
    house.at(10)
    editable = {day: day_on(house.context, HOME, on(day)).editable for day in range(1, 11)}
    assert editable == {day: day >= 3 for day in range(1, 11)}


def test_why_the_next_step_has_not_come_is_said_in_words() -> None:
    house = House().begun()
    first = today(house.context, HOME).waiting_for[0]
    assert first.text == "The bed has just come; kept 2 of 3 days, it brings the next step."
    house.mark(1, "bed")
    house.at(2)
    house.mark(2, "bed", "missed")
    house.at(3)
    said = [reason.text for reason in today(house.context, HOME).waiting_for]
    assert "The bed has held 1 of the last 2 days; 2 of 3 bring the next step." in said


def test_another_day_can_be_tried_out() -> None:
    house = House().begun()
    tried = today(replace(house.context, pretend=on(9), memo=Memo()), HOME)
    assert (tried.date, tried.phase) == (on(9), "lapsed")
    assert today(house.context, HOME).date == on(1)


def test_the_lesson_of_a_day_stands_in_it_as_text_and_html() -> None:
    text = TextFile("paused", lessons=(Lesson("Away", "Nothing is *due*."),))
    house = House(texts=[text]).begun()
    pauses.pause(house.context, HOME)
    house.at(2)
    lesson = today(house.context, HOME).lesson
    assert lesson is not None
    assert (lesson.step, lesson.title, lesson.markdown) == (None, "Away", "Nothing is *due*.")
    assert lesson.html == "<p>Nothing is <em>due</em>.</p>"


def test_today_is_worked_out_once_while_nothing_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    house = House().begun()
    first = today(house.context, HOME)
    read = house.store.reading
    monkeypatch.setattr(house.store, "reading", lambda _: pytest.fail("the store was read again"))
    assert today(house.context, HOME) is first
    monkeypatch.setattr(house.store, "reading", read)
    house.mark(1, "bed")
    assert today(house.context, HOME).checklist[0].mark == "kept"
    house.at(2)
    assert today(house.context, HOME).date == on(2)


def test_two_households_keep_apart() -> None:
    house = House().begun()
    house.mark(1, "bed")
    start.start(house.context, "other")
    assert today(house.context, "other").checklist[0].mark is None
    assert today(house.context, HOME).checklist[0].mark == "kept"
