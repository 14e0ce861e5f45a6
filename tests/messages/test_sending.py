"""One message a day at most: on the days on which there is something to say, and each of them once."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.habits import pauses
from coach.household import data, settings
from coach.messages import reminders
from coach.messages.answers import Outcome
from coach.messages.sending import MOST_AT_ONCE, send_due
from habits.house import HOME
from messages.post import ALONE, ANA, BEN, asked, lived, rung, with_reminder
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    import pytest

    from coach.ground.ports import Household

LATER = Outcome("later", "The mail server is busy.")
WEEKLY = a_course(a_step("job", repeats="FREQ=WEEKLY", settles={"kept": 1, "of": 1}), ramp_days=30)


def test_at_the_hour_chosen_it_says_the_title_of_the_lesson_and_how_many_lines() -> None:
    house, post = with_reminder()
    assert rung(house, post, 1, "06:59").sent == 0
    assert rung(house, post, 1).sent == 1
    _, letter = post.carried[0]
    assert (letter.title, letter.body, letter.link) == ("bed 1", "1 line today.", "/today")
    assert letter.stop_link.startswith("/stop/")
    assert letter.until == house.at(2, "03:00").now


def test_it_is_said_once_a_day_however_often_is_looked() -> None:
    house, post = with_reminder()
    assert lived(house, post, 1, 3) == [1, 2, 3]


def test_nothing_is_said_when_every_line_is_marked() -> None:
    house, post = with_reminder()
    house.at(1, "05:00").mark(1, "bed")
    assert lived(house, post, 1, 1) == []


def test_nothing_is_said_on_a_day_without_lines() -> None:
    house, post = with_reminder(WEEKLY)
    house.at(1, "05:00").mark(1, "job")
    assert lived(house, post, 1, 8) == [8]


def test_nothing_is_said_on_a_paused_day() -> None:
    house, post = with_reminder()
    house.at(1, "05:00").mark(1, "bed")
    pauses.pause(house.context, HOME, on(2), on(4))
    assert lived(house, post, 1, 6) == [5, 6]


def test_a_lapse_has_two_and_no_third() -> None:
    house, post = with_reminder()
    found = lived(house, post, 1, 60)
    assert found == [1, 2, 3, 4, 5, 6, 7, 8, 22]
    assert post.titles[-2:] == ["Your list is here when you want it", "One last note, and then it is quiet"]


def test_a_household_that_is_back_is_told_of_its_days_again_and_its_next_lapse_has_its_own_two() -> None:
    house, post = with_reminder()
    lived(house, post, 1, 30)
    house.at(31, "05:00").mark(31, "bed")
    assert lived(house, post, 32, 70) == [32, 33, 34, 35, 36, 37, 38, 39, 53]


def test_the_two_of_a_long_lapse_are_not_sent_again_after_what_was_sent_is_long_past() -> None:
    house, post = with_reminder()
    lived(house, post, 1, 23)
    assert [rung(house, post, day).sent for day in range(100, 500, 13)] == [0] * 31


def test_a_service_that_was_off_says_it_up_to_three_hours_late_and_then_not_for_that_day() -> None:
    house, post = with_reminder()
    assert rung(house, post, 2, "09:59").sent == 1
    assert rung(house, post, 3, "10:00").sent == 0
    assert rung(house, post, 3, "23:00").sent == 0
    assert rung(house, post, 9, "07:30").sent == 1
    assert len(post.carried) == 2


def test_what_is_put_off_is_tried_again_while_it_is_not_too_late_and_counts_once() -> None:
    house, post = with_reminder()
    post.answers = [LATER]
    assert rung(house, post, 1).later == 1
    assert rung(house, post, 1, "07:19").looked == 0
    assert rung(house, post, 1, "07:20").sent == 1
    assert lived(house, post, 1, 1) == []


def test_what_is_put_off_until_it_is_too_late_is_not_sent() -> None:
    house, post = with_reminder()
    house.at(1, "10:00")
    post.answers = [replace(LATER, again_at=house.now)]
    assert lived(house, post, 1, 1) == [1]


def test_where_nobody_is_reached_any_more_the_reminder_ends() -> None:
    house, post = with_reminder()
    post.answers = [Outcome("gone")]
    assert rung(house, post, 1).gone == 1
    assert lived(house, post, 1, 3) == []
    assert reminders.reminders(house.context, post, ALONE).reminder is None


def test_what_is_refused_is_not_sent_again_that_day() -> None:
    house, post = with_reminder()
    post.answers = [Outcome("refused", "The mail server wants another name.")]
    assert lived(house, post, 1, 2) == [1, 2]
    said = reminders.reminders(house.context, post, ALONE).sent
    assert [one.outcome for one in said] == ["Sent.", "Not sent. The mail server wants another name."]


def test_a_claim_is_written_before_anything_is_carried_and_outside_the_transaction() -> None:
    house, post = with_reminder()

    def look() -> None:
        with house.store.people_writing() as writing:
            assert [one.name for one in writing.messages(HOME, "", house.now)] == ["2027-01-04"]
            assert not writing.claim(HOME, "", ["2027-01-04"], house.now)

    post.on_the_way = look
    assert rung(house, post, 1).sent == 1


def test_one_that_was_changed_while_a_round_went_on_is_left_to_the_next() -> None:
    house, post = with_reminder()
    asked(house.at(1, "04:30").context, post, ANA, to="first@example.org")
    house.at(1, "07:00")

    def move() -> None:
        post.on_the_way = lambda: None
        asked(house.context, post, ANA, to="second@example.org")

    post.on_the_way = move
    send_due(house.context, post, house.now)
    send_due(house.context, post, house.now)
    assert [to for to, _ in post.carried] == ["ana@example.org", "second@example.org"]


def test_two_members_are_told_each_at_their_hour() -> None:
    house, post = with_reminder(at=time.fromisoformat("20:00"))
    asked(house.context, post, BEN, at=time.fromisoformat("06:30"), to="ben@example.org")
    rung(house, post, 1, "06:30")
    rung(house, post, 1, "20:00")
    assert [to for to, _ in post.carried] == ["ben@example.org", "ana@example.org"]


def test_an_hour_that_has_gone_by_when_it_is_chosen_comes_on_the_next_day() -> None:
    house, post = with_reminder(at=time(6))
    house.at(1, "07:30")
    asked(house.context, post)
    assert lived(house, post, 1, 2) == [2]


def test_a_household_that_moves_to_an_earlier_zone_is_told_in_time() -> None:
    house, post = with_reminder()
    house.at(1, "12:00").mark(1, "bed")
    rung(house, post, 1, "12:00")
    settings.change(house.context, HOME, zone="Asia/Tokyo")
    # Seven in Tokyo is ten in the evening of UTC.
    found = [hour for hour in range(13, 24) if rung(house, post, 1, f"{hour:02}:00").sent]
    assert found
    assert found[0] - 22 in {0, 1}


def test_nothing_is_sent_while_another_day_is_tried() -> None:
    house, post = with_reminder()
    house.at(1, "07:00")
    tried = replace(house.context, pretend=on(5))
    assert send_due(tried, post, house.now).looked == 0


def test_where_nothing_can_be_sent_nothing_is_claimed() -> None:
    house, post = with_reminder()
    post.closed = "No mail server is set."
    assert rung(house, post, 1).sent == 0
    post.closed = ""
    assert rung(house, post, 1, "09:00").sent == 1


def test_a_household_that_cannot_be_read_harms_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    house, post = with_reminder()
    with house.store.people_writing() as writing:
        ours = writing.reminders(HOME)[0]
        torn = [replace(ours, id=f"torn-{number}", household=f"torn-{number}") for number in range(3)]
        for one in torn:
            writing.put_reminder(replace(one, next_at=one.next_at - timedelta(days=1)))
    whole = house.store.version

    def version(household: str) -> Household | None:
        if household != HOME:
            raise StoreError("It cannot be read.")
        return whole(household)

    monkeypatch.setattr(house.store, "version", version)
    found = rung(house, post, 1)
    assert found.sent == 1
    assert len(found.faults) == 3
    assert rung(house, post, 1, "07:01").faults == ()


def test_more_than_one_round_takes_are_told_in_the_next() -> None:
    house, post = with_reminder()
    for number in range(MOST_AT_ONCE):
        asked(house.context, post, replace(ANA, person=f"p{number}"))
    assert rung(house, post, 1, "07:00").sent == MOST_AT_ONCE
    assert rung(house, post, 1, "07:01").sent == 1


def test_one_whose_hours_are_over_when_its_turn_comes_is_not_sent() -> None:
    house, post = with_reminder()
    asked(house.context, post, BEN)

    def slowly() -> None:
        house.at(1, "23:30")

    post.on_the_way = slowly
    found = rung(house, post, 1)
    assert (found.looked, found.sent) == (2, 1)


def test_a_round_ends_as_soon_as_there_is_no_time_any_more() -> None:
    house, post = with_reminder()
    asked(house.context, post, BEN)
    house.at(1, "07:00")
    assert send_due(house.context, post, house.now, lambda: not post.carried).sent == 1


def test_a_household_that_was_deleted_is_sent_nothing() -> None:
    house, post = with_reminder()
    data.forget(house.context, HOME)
    assert rung(house, post, 1).looked == 0
