"""What a coach may see of a household is saved as its days close, and forgotten when it may not be seen."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.coaching import following
from coach.coaching.following import Following, follow
from coach.coaching.rules.following import Saved, saved_through
from coach.errors import StoreError
from coach.ground.groups import COUNTED, NOTHING, Enrolment
from coach.household import start
from coach.progress.journal import Version, journal
from habits import marking
from habits.house import HOME, House
from progress.living import on

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.ground.groups import Level
    from coach.ground.ports import Writing

NOW = datetime(2027, 1, 4, 12, tzinfo=UTC)


def enrol(house: House, level: Level = COUNTED, until: date | None = None, home: str = HOME) -> None:
    last = until or date(2027, 7, 4)
    with house.store.writing(home) as writing:
        writing.put_enrolment(
            Enrolment(home, "Tern Street", "g", NOW, level, NOW, None if level == NOTHING else last)
        )


def kept(house: House, home: str = HOME) -> Saved | None:
    with house.store.reading(home) as reading:
        followed = reading.followed()
        return None if followed is None else Saved(followed, tuple(reading.saved_spells()))


@pytest.fixture
def house() -> House:
    lived = House().begun()
    for day in range(1, 9):
        lived.at(day)
        for step in marking.mark(lived.context, HOME, on(day), "bed", "kept").checklist:
            lived.mark(day, step.step)
    enrol(lived)
    return lived.at(9)


def test_spells_are_saved_through_the_last_closed_day(house: House) -> None:
    follow(house.context, HOME)
    book = journal([Version(date.min, house.shelf.course(""))], house.rows())
    assert kept(house) == saved_through(book, on(8))
    assert kept(house) is not None


def test_it_says_when_the_next_day_closes(house: House) -> None:
    assert follow(house.context, HOME) == datetime(2027, 1, 13, 3, tzinfo=UTC)


def test_before_the_first_day_has_closed_there_is_nothing(house: House) -> None:
    house.at(1)
    assert follow(house.context, HOME) is not None
    assert kept(house) is None


def test_what_was_marked_late_is_taken_in_with_the_next_day(house: House) -> None:
    follow(house.context, HOME)
    house.mark(8, "bed", "excused")
    follow(house.context, HOME)
    book = journal([Version(date.min, house.shelf.course(""))], house.rows())
    assert kept(house) != saved_through(book, on(8))
    house.at(10)
    follow(house.context, HOME)
    assert kept(house) == saved_through(book, on(9))


def test_nothing_is_written_of_one_that_is_followed_so_far(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    follow(house.context, HOME)
    monkeypatch.setattr(house.store, "writing", None)
    assert follow(house.context, HOME) is not None


def test_nothing_is_saved_of_a_household_that_lets_nothing_be_seen(house: House) -> None:
    enrol(house, NOTHING)
    assert follow(house.context, HOME) is None
    assert kept(house) is None


def test_what_is_saved_goes_when_consent_is_taken_back_or_over(house: House) -> None:
    follow(house.context, HOME)
    enrol(house, NOTHING)
    assert follow(house.context, HOME) is None
    assert kept(house) is None
    enrol(house, until=on(10))
    follow(house.context, HOME)
    assert kept(house) is not None
    house.at(11)
    assert follow(house.context, HOME) is None
    assert kept(house) is None


def test_nothing_is_kept_of_what_changed_while_it_was_worked_out(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = house.store.writing

    @contextmanager
    def later(home: str) -> Iterator[Writing]:
        with whole(home) as writing:
            enrolment = writing.enrolment()
            assert enrolment is not None
            writing.put_enrolment(replace(enrolment, level=NOTHING, level_until=None))
        with whole(home) as writing:
            yield writing

    monkeypatch.setattr(house.store, "writing", later)
    follow(house.context, HOME)
    assert kept(house) is None


def test_a_household_that_is_alone_at_home_is_not_followed() -> None:
    alone = House().begun().at(9)
    assert follow(alone.context, HOME) is None
    assert follow(alone.context, "nobody") is None
    assert kept(alone) is None


def many(house: House, *zones: str) -> list[str]:
    """As many more households as zones, each started on day 1 and counted."""
    for number, zone in enumerate(zones):
        house.at(2)
        start.start(house.context, f"h{number}", None, zone)
        enrol(house, home=f"h{number}")
    house.at(9)
    return [f"h{number}" for number in range(len(zones))]


def test_a_round_follows_whoever_is_behind_and_then_nobody(house: House) -> None:
    homes = [HOME, *many(house, "UTC", "UTC")]
    rounds = Following()
    assert list(rounds.round(house.context, house.now)) == []
    assert all(kept(house, home) for home in homes)
    assert rounds._behind(house.context, house.now) == []  # noqa: SLF001  who is left is nobody's business


def test_a_round_takes_a_few_and_the_next_one_goes_on(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(following, "MOST_AT_ONCE", 1)
    # In the first two it is yesterday still at 04:00, so that their eighth day has not closed.
    homes = many(house, "America/New_York", "America/New_York", "UTC")
    house.at(9, "04:00")
    rounds = Following()
    for _ in (HOME, *homes):
        rounds.round(house.context, house.now)
    found = [kept(house, home) for home in homes]
    assert [one.followed.through for one in found if one] == [on(7), on(7), on(8)]
    house.now += timedelta(hours=5)
    for _ in homes:
        rounds.round(house.context, house.now)
    assert {one.followed.through for home in homes if (one := kept(house, home))} == {on(8)}


def test_one_that_a_process_knows_is_followed_as_soon_as_its_own_day_has_closed(house: House) -> None:
    [early] = many(house, "Pacific/Auckland")
    rounds = Following()
    rounds.round(house.context, house.now)
    # In Auckland the ninth day closes at 14:00 UTC, when the ninth day of UTC has just begun.
    for hour, through in (("13:59", on(8)), ("14:00", on(9))):
        house.at(9, hour)
        rounds.round(house.context, house.now)
        found = kept(house, early)
        assert found is not None
        assert found.followed.through == through


def test_what_is_saved_goes_once_consent_is_over_though_nobody_asks(house: House) -> None:
    enrol(house, until=on(9))
    rounds = Following()
    rounds.round(house.context, house.now)
    assert kept(house) is not None
    house.at(10)
    rounds.round(house.context, house.now)
    assert kept(house) is None
    assert rounds.waits == {}


def test_what_is_saved_goes_once_consent_is_over_though_the_process_is_another_one(house: House) -> None:
    enrol(house, until=on(10))
    Following().round(house.context, house.context.clock())
    assert kept(house) is not None
    house.at(13)
    Following().round(house.context, house.context.clock())
    assert kept(house) is None


def test_a_fault_in_one_household_harms_no_other(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    [other] = many(house, "UTC")
    whole = house.store.reading

    def torn(home: str) -> object:
        if home == HOME:
            raise StoreError("Nothing can be read.")
        return whole(home)

    monkeypatch.setattr(house.store, "reading", torn)
    rounds = Following()
    [fault] = rounds.round(house.context, house.now)
    assert isinstance(fault, StoreError)
    assert list(rounds.round(house.context, house.now)) == []
    monkeypatch.undo()
    assert kept(house, other) is not None
    house.now += timedelta(hours=1)
    rounds.round(house.context, house.now)
    assert kept(house) is not None


def test_told_to_end_a_round_goes_no_further(house: House) -> None:
    Following().round(house.context, house.now, lambda: False)
    assert kept(house) is None
