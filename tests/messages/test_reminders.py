"""Asking for messages, what one is told of them, trying one, and ending them by a link."""

from __future__ import annotations

from datetime import time, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotAllowed, NotEditable, NotStarted, TooOften, Unknown
from coach.ground.people import KEEPER, MEMBER
from coach.messages import reminders, stopping
from coach.messages.answers import Asked, Outcome
from coach.messages.reminders import Wish
from habits.house import HOME, House
from messages.post import ALONE, ANA, BEN, PostOffice, asked, lived, rung, with_reminder

if TYPE_CHECKING:
    from coach.ground.sending import Way


def with_two() -> tuple[House, PostOffice]:
    """A household with two members."""
    house, post = with_reminder()
    with house.store.people_writing() as people:
        people.add_person("a", "Ana", house.now)
        people.add_person("b", "Ben", house.now)
        people.put_member(HOME, "a", KEEPER, house.now)
        people.put_member(HOME, "b", MEMBER, house.now)
    asked(house.context, post, ANA, time(8), "ana@b.example")
    asked(house.context, post, BEN, time(20), "ben@b.example")
    return house, post


def test_everybody_has_one_and_sees_their_own_alone() -> None:
    house, post = with_two()
    found = reminders.reminders(house.context, post, BEN)
    assert found.reminder is not None
    assert (found.reminder.way, found.reminder.at, found.reminder.to) == (
        "mail",
        "20:00",
        "ben@b.example",
    )
    assert "ana" not in str(found)
    reminders.end(house.context, post, BEN)
    assert reminders.reminders(house.context, post, BEN).reminder is None
    assert reminders.reminders(house.context, post, ANA).reminder is not None


def test_what_is_asked_for_anew_stands_in_the_place_of_what_was() -> None:
    house, post = with_reminder()
    before = reminders.reminders(house.context, post, ALONE).reminder
    reminders.put(house.context, post, ALONE, Wish("mail", time(21)))
    assert before is not None
    found = reminders.reminders(house.context, post, ALONE).reminder
    assert found == Asked("mail", "21:00", "ana@example.org", before.next_at)


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        (Wish("mail", time(7)), "e-mail address"),
        (Wish("mail", time(7), "nonsense"), "no e-mail address"),
        (Wish("push", time(7)), "This browser"),
        (Wish("push", time(7), "https://push.example/1"), "keys"),
    ],
)
def test_what_cannot_be_sent_is_refused_with_words_and_changes_nothing(wish: Wish, words: str) -> None:
    house, post = House().begun(), PostOffice()
    with pytest.raises(Malformed, match=words):
        reminders.put(house.context, post, ALONE, wish)
    assert reminders.reminders(house.context, post, ALONE).reminder is None


def test_without_a_mail_server_or_a_start_there_is_nothing_to_ask_for() -> None:
    house, post = House().begun(), PostOffice(closed="No mail server is set.")
    with pytest.raises(NotEditable, match="No mail server"):
        asked(house.context, post)
    with pytest.raises(NotStarted):
        asked(House().context, PostOffice())


def test_a_message_to_try_it_does_not_count_and_cannot_be_asked_for_every_second() -> None:
    house, post = with_reminder()
    house.at(1, "06:00")
    assert reminders.send_a_test(house.context, post, ALONE) == "Sent."
    with pytest.raises(TooOften):
        reminders.send_a_test(house.context, post, ALONE)
    assert rung(house, post, 1).sent == 1
    told = reminders.reminders(house.context, post, ALONE).sent
    assert [one.what for one in told] == ["day", "test"]


def test_a_message_of_a_lapse_stands_once_among_those_sent() -> None:
    house, post = with_reminder()
    lived(house, post, 1, 8)
    told = reminders.reminders(house.context, post, ALONE).sent
    assert [one.what for one in told] == ["lapse"] + ["day"] * 7


def test_of_one_that_was_claimed_and_never_told_of_it_says_that_nothing_is_known() -> None:
    house, post = with_reminder()
    with house.store.people_writing() as writing:
        writing.claim(HOME, "", ["2027-01-04"], house.now)
    assert "not known" in reminders.reminders(house.context, post, ALONE).sent[0].outcome


def token(post: PostOffice) -> str:
    """What stands in the link of the message that was carried last."""
    return post.carried[-1][1].stop_link.removeprefix("/stop/")


def test_the_link_of_a_message_ends_those_of_its_person_alone_and_once_is_as_good_as_twice() -> None:
    house, post = with_two()
    rung(house, post, 1)
    rung(house, post, 1, "08:00")
    assert post.carried[-1][0] == "ana@b.example"
    assert stopping.stop(house.context, token(post))
    assert stopping.stop(house.context, token(post)) == ""
    with house.store.people_reading() as reading:
        assert [one.person for one in reading.reminders(HOME)] == ["", "b"]


def test_the_link_of_an_old_message_ends_what_was_asked_for_anew() -> None:
    house, post = with_reminder()
    rung(house, post, 1)
    reminders.end(house.context, post, ALONE)
    asked(house.context, post, to="other@example.org")
    stopping.stop(house.context, token(post))
    assert reminders.reminders(house.context, post, ALONE).reminder is None


def test_what_a_link_has_ended_goes_on_as_it_was_when_that_is_taken_back_in_time() -> None:
    house, post = with_reminder()
    rung(house, post, 1)
    with house.store.people_reading() as reading:
        before = reading.reminders(HOME)
    sealed = stopping.stop(house.context, token(post))
    stopping.take_back(house.context, token(post), sealed)
    with house.store.people_reading() as reading:
        assert reading.reminders(HOME) == before
    stopping.stop(house.context, token(post))
    house.now += timedelta(hours=2)
    with pytest.raises(Malformed, match="any more"):
        stopping.take_back(house.context, token(post), sealed)


def test_nothing_is_taken_back_for_one_who_has_left() -> None:
    house, post = with_two()
    rung(house, post, 1, "20:00")
    mine = next(letter for to, letter in post.carried if to == "ben@b.example")
    link = mine.stop_link.removeprefix("/stop/")
    sealed = stopping.stop(house.context, link)
    with house.store.people_writing() as writing:
        writing.drop_member(HOME, "b")
    stopping.take_back(house.context, link, sealed)
    with house.store.people_reading() as reading:
        assert all(one.person != "b" for one in reading.reminders(HOME))


@pytest.mark.parametrize("sealed", ["", "x", "AAAA", "é", "A" * 5000])
def test_what_was_not_sealed_here_is_not_taken_back(sealed: str) -> None:
    house, post = with_reminder()
    rung(house, post, 1)
    stopping.stop(house.context, token(post))
    with pytest.raises(Malformed):
        stopping.take_back(house.context, token(post), sealed)
    assert reminders.reminders(house.context, post, ALONE).reminder is None


@pytest.mark.parametrize("wrong", ["", ".", "x", "x.y", "é.é", "a.b.c", "\udcff.\udcff", "." * 5000])
def test_a_link_that_is_none_of_ours_ends_nothing_and_says_the_same_whatever_is_wrong(wrong: str) -> None:
    house, _ = with_reminder()
    with pytest.raises(Unknown, match="There is no such page"):
        stopping.stop(house.context, wrong)


def test_a_link_that_is_tried_before_there_are_any_makes_no_secret() -> None:
    house = House().begun()
    with pytest.raises(Unknown):
        stopping.checked(house.context, "x.y")
    with house.store.people_reading() as reading:
        assert reading.key(stopping.KEY) is None


def test_a_proof_for_one_is_none_for_another_nor_in_another_service() -> None:
    house, post = with_two()
    rung(house, post, 1, "08:00")
    key = stopping.stop_key(house.context)
    theirs = stopping.reminder_id(key, HOME, "b")
    with pytest.raises(Unknown):
        stopping.stop(house.context, f"{theirs}.{token(post).partition('.')[2]}")
    elsewhere, _ = with_reminder()
    with pytest.raises(Unknown):
        stopping.stop(elsewhere.context, token(post))


def test_an_outcome_is_kept_short() -> None:
    house, post = with_reminder()
    post.answers = [Outcome("refused", "x" * 5000)]
    rung(house, post, 1)
    assert len(reminders.reminders(house.context, post, ALONE).sent[0].outcome) < 300


def test_a_device_keeps_its_name_where_only_the_hour_changes() -> None:
    house, post = House().begun(), PostOffice()
    wish = Wish("push", time(7), "https://push.example/1", "key", "auth", "Kitchen phone")
    reminders.put(house.context, post, ALONE, wish)
    reminders.put(house.context, post, ALONE, Wish("push", time(9)))
    with house.store.people_reading() as reading:
        found = reading.reminders(HOME)[0]
    assert (found.key, found.auth, found.device, found.at) == ("key", "auth", "Kitchen phone", time(9))


def test_whoever_is_taken_out_while_their_address_is_looked_at_is_sent_nothing() -> None:
    house, post = with_two()
    reminders.end(house.context, post, BEN)

    class Slow(PostOffice):
        def fault_of(self, way: Way, address: str, key: str = "", auth: str = "") -> str:
            with house.store.people_writing() as people:
                people.drop_member(HOME, "b")
            return super().fault_of(way, address, key, auth)

    with pytest.raises(NotAllowed):
        reminders.put(house.context, Slow(), BEN, Wish("mail", time(20), "ben@b.example"))
    with house.store.people_reading() as people:
        assert [one.person for one in people.reminders(HOME)] == ["", "a"]
