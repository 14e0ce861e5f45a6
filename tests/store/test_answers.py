"""Answers are kept in the transaction that writes, found again for so long, and go with their household."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import AskedOtherwise, StoreError
from coach.ground.answered import Answered
from coach.ground.once import Known, Named, OnceStore
from coach.ground.people import KEEPER
from coach.limits import ANSWER_BYTES
from store.tern_street import HOME, NOW, add, begin, kept, rows_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from coach.ground.ports import Store

GIVEN = Answered("asked", 200, '{"day": 1}')
DAYS = timedelta(days=14)
AT_ONCE = 8


def keep(store: Store, request_id: str, at: datetime = NOW) -> None:
    with store.writing(HOME) as writing:
        writing.keep_answer(request_id, GIVEN, at, at - DAYS)


def known(store: Store, request_id: str, now: datetime = NOW, household: str = HOME) -> Answered | None:
    with store.reading(household) as reading:
        return reading.answered(request_id, now - DAYS)


def once(store: Store, asked: str = "asked", request_id: str = "one", now: datetime = NOW) -> OnceStore:
    return OnceStore(store, Named(request_id, HOME, asked, now))


def marking(store: OnceStore, number: int = 1) -> Callable[[], Answered]:
    """A use case that writes a row and reads in a transaction of its own what then stands."""

    def work() -> Answered:
        with store.writing(HOME) as writing:
            writing.append([kept(number)], NOW)
        with store.reading(HOME) as reading:
            return Answered("asked", 200, str(len(reading.rows())))

    return work


def run(store: OnceStore, number: int = 1) -> Answered:
    """What a request is answered, the first time or again."""
    try:
        return store.run(marking(store, number), lambda given: given)
    except Known as found:
        return found.answered


def test_an_answer_is_known_for_fourteen_days_and_not_a_second_longer(store: Store) -> None:
    begin(store)
    keep(store, "one")
    assert known(store, "one", NOW + DAYS) == GIVEN
    assert known(store, "one", NOW + DAYS + timedelta(seconds=1)) is None
    assert known(store, "two") is None


def test_with_a_later_one_old_ones_are_let_go_of_and_an_id_is_free_again(store: Store) -> None:
    begin(store)
    keep(store, "one")
    keep(store, "one", NOW + DAYS + timedelta(seconds=1))
    keep(store, "two", NOW + DAYS + timedelta(seconds=1))
    assert known(store, "one", NOW) == known(store, "two", NOW) == GIVEN


def test_answers_belong_to_a_household_and_go_with_it(store: Store) -> None:
    begin(store)
    begin(store, "other")
    keep(store, "one")
    assert known(store, "one", household="other") is None
    with store.writing(HOME) as writing:
        writing.clear()
    begin(store)
    assert known(store, "one") is None


def test_what_is_written_about_people_keeps_its_answer_too(store: Store) -> None:
    with store.people_writing() as writing:
        writing.add_person("ana", "Ana", NOW)
        writing.put_member(HOME, "ana", KEEPER, NOW)
        writing.keep_answer(HOME, "one", GIVEN, NOW, NOW - DAYS)
    with store.people_reading() as reading:
        assert reading.answered(HOME, "one", NOW - DAYS) == GIVEN
        assert reading.answered(HOME, "one", NOW + timedelta(seconds=1)) is None
    assert known(store, "one") == GIVEN


def test_the_same_request_is_written_once_and_answered_as_the_first_time(store: Store) -> None:
    begin(store)
    first = run(once(store))
    add(store, kept(2))
    assert run(once(store)) == first
    assert len(rows_of(store)) == 3


def test_the_same_id_for_something_else_is_refused_before_anything_is_decided(store: Store) -> None:
    begin(store)
    run(once(store))
    with pytest.raises(AskedOtherwise):
        run(once(store, asked="another"))
    assert len(rows_of(store)) == 2


def test_what_fails_leaves_neither_rows_nor_an_answer(store: Store) -> None:
    begin(store)
    request = once(store)

    def fails() -> Answered:
        marking(request)()
        raise StoreError("Too late.")

    with pytest.raises(StoreError, match="Too late"):
        request.run(fails, lambda given: given)
    assert (len(rows_of(store)), known(store, "one")) == (1, None)


def test_what_is_lost_with_a_block_that_a_use_case_could_do_without_is_said(store: Store) -> None:
    begin(store)
    request = once(store)

    def goes_on() -> Answered:
        found = marking(request)()
        with pytest.raises(StoreError), request.writing(HOME):
            raise StoreError("Not now.")
        return found

    with pytest.raises(StoreError, match="Not now"):
        request.run(goes_on, lambda given: given)
    assert (len(rows_of(store)), known(store, "one")) == (1, None)


def test_an_answer_that_is_too_long_is_not_kept_and_its_rows_are(store: Store) -> None:
    begin(store)
    request = once(store)
    request.run(marking(request), lambda _: Answered("asked", 200, "x" * (ANSWER_BYTES + 1)))
    assert (len(rows_of(store)), known(store, "one")) == (2, None)


def test_what_writes_about_a_household_and_then_about_people_keeps_one_answer(store: Store) -> None:
    begin(store)
    request = once(store)

    def both() -> Answered:
        with request.writing(HOME) as writing:
            writing.append([kept(1)], NOW)
        with request.people_writing() as people:
            people.add_person("ana", "Ana", NOW)
        return GIVEN

    assert request.run(both, lambda given: given) == GIVEN
    assert (len(rows_of(store)), known(store, "one")) == (2, GIVEN)


def test_a_household_that_is_deleted_by_a_request_keeps_no_answer(store: Store) -> None:
    begin(store)
    request = once(store)

    def forget() -> Answered:
        with request.writing(HOME) as writing:
            writing.clear()
        return GIVEN

    request.run(forget, lambda given: given)
    assert (store.version(HOME), known(store, "one")) == (None, None)


def test_requests_that_are_sent_at_once_are_written_once_and_all_answered_alike(store: Store) -> None:
    begin(store)
    with ThreadPoolExecutor(AT_ONCE) as threads:
        found = list(threads.map(lambda _: run(once(store)), range(AT_ONCE)))
    assert found == [Answered("asked", 200, "2")] * AT_ONCE
    assert len(rows_of(store)) == 2
