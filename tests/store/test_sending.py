"""Feeds, reminders and what was sent, over every store."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta
from typing import TYPE_CHECKING

from coach.ground.sending import Feed, Message, Reminder
from store.tern_street import HOME, NOW, begin

if TYPE_CHECKING:
    from coach.ground.ports import Store

LATER = NOW + timedelta(hours=2)
FEED = Feed("f1", HOME, "a", "Ana's calendar", ("jobs", "dues"), NOW)
REMINDER = Reminder("r1", HOME, "a", "mail", "ana@example.org", "", "", "", time(7, 30), NOW, NOW)


def with_ana(store: Store) -> None:
    begin(store)
    with store.people_writing() as people:
        people.add_person("a", "Ana", NOW)
        people.put_member(HOME, "a", "keeper", NOW)
        people.add_feed("hash-1", FEED)
        people.put_reminder(REMINDER)


def test_a_feed_is_found_by_what_it_shows_and_by_nothing_else(store: Store) -> None:
    with_ana(store)
    assert store.fed("hash-1") == FEED
    assert store.fed("hash-2") is None
    with store.people_reading() as people:
        assert list(people.feeds(HOME)) == [FEED]
        assert list(people.feeds("another")) == []


def test_a_renewed_feed_is_found_by_its_new_secret_alone(store: Store) -> None:
    with_ana(store)
    with store.people_writing() as people:
        people.touch_feed("f1", LATER)
        people.renew_feed(HOME, "f1", "hash-2", LATER)
        people.renew_feed("another", "f1", "hash-3", LATER)
    assert store.fed("hash-1") is None
    assert store.fed("hash-2") == replace(FEED, made_at=LATER)
    assert store.fed("hash-3") is None


def test_a_feed_is_changed_seen_and_ended(store: Store) -> None:
    with_ana(store)
    changed = replace(FEED, name="Kitchen", holds=())
    with store.people_writing() as people:
        people.change_feed(changed)
        people.touch_feed("f1", LATER)
    assert store.fed("hash-1") == replace(changed, seen_at=LATER)
    with store.people_writing() as people:
        people.drop_feed(HOME, "f1")
    assert store.fed("hash-1") is None


def test_a_person_has_one_reminder_in_a_household(store: Store) -> None:
    with_ana(store)
    other = replace(REMINDER, id="r2", way="push", address="https://push.example/1", at=time(20))
    with store.people_writing() as people:
        people.put_reminder(other)
        people.put_reminder(replace(REMINDER, id="r3", person=""))
    with store.people_reading() as people:
        assert [one.id for one in people.reminders(HOME)] == ["r3", "r2"]
        assert people.reminder("r1") is None
        assert people.reminder("r2") == other


def test_those_that_wait_come_in_the_order_in_which_they_waited_and_not_before(store: Store) -> None:
    with_ana(store)
    with store.people_writing() as people:
        people.put_reminder(replace(REMINDER, id="r2", household="another", next_at=NOW - timedelta(hours=1)))
        people.put_reminder(replace(REMINDER, id="r3", person="b", next_at=LATER))
    with store.people_reading() as people:
        assert [one.id for one in people.waiting(NOW, 9)] == ["r2", "r1"]
        assert [one.id for one in people.waiting(NOW, 1)] == ["r2"]
    with store.people_writing() as people:
        people.postpone("r2", LATER)
        assert [one.id for one in people.waiting(LATER, 9)] == ["r1", "r2", "r3"]


def test_what_was_claimed_is_claimed_by_nobody_else(store: Store) -> None:
    begin(store)
    with store.people_writing() as people:
        assert people.claim(HOME, "a", ["2027-01-10", "away-1"], NOW)
    with store.people_writing() as people:
        assert not people.claim(HOME, "a", ["2027-01-11", "away-1"], LATER)
        assert people.claim(HOME, "b", ["away-1"], LATER)
        people.came_of(HOME, "a", ["2027-01-10"], "sent")
    with store.people_reading() as people:
        assert list(people.messages(HOME, "a", NOW)) == [
            Message("2027-01-10", NOW, "sent"),
            Message("away-1", NOW, ""),
        ]
        assert list(people.messages(HOME, "a", LATER)) == []


def test_what_was_sent_long_ago_is_forgotten(store: Store) -> None:
    begin(store)
    with store.people_writing() as people:
        people.claim(HOME, "a", ["old"], NOW)
        people.claim(HOME, "a", ["new"], LATER)
        people.drop_messages(HOME, LATER)
        assert [one.name for one in people.messages(HOME, "a", NOW)] == ["new"]


def test_a_key_that_is_there_stays(store: Store) -> None:
    with store.people_writing() as people:
        assert people.key("stop") is None
        assert people.put_key("stop", "first", NOW) == "first"
    with store.people_writing() as people:
        assert people.put_key("stop", "second", LATER) == "first"
        assert people.key("stop") == "first"


def test_what_somebody_fetches_and_is_sent_ends_when_they_leave(store: Store) -> None:
    with_ana(store)
    with store.people_writing() as people:
        people.put_reminder(replace(REMINDER, id="r2", person="b"))
        people.drop_member(HOME, "a")
        assert [one.id for one in people.reminders(HOME)] == ["r2"]
    assert store.fed("hash-1") is None


def test_nothing_is_fetched_or_sent_of_a_household_that_was_deleted(store: Store) -> None:
    with_ana(store)
    with store.people_writing() as people:
        people.claim(HOME, "a", ["2027-01-10"], NOW)
        people.put_reminder(replace(REMINDER, id="r2", household="another"))
    with store.writing(HOME) as writing:
        writing.clear()
    assert store.fed("hash-1") is None
    with store.people_reading() as people:
        assert [one.id for one in people.waiting(LATER, 9)] == ["r2"]
        assert list(people.messages(HOME, "a", NOW)) == []
