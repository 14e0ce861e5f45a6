"""How long a device is let in, and what the session of somebody who signs in for themselves opens."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

import pytest

from coach.ground.ports import Context
from coach.household import devices
from coach.household.devices import let_in, new_secret, new_session, signed_in
from coach.store.memory import MemoryStore

if TYPE_CHECKING:
    from coach.ground.people import Caller

NOW = datetime(2026, 3, 2, 9, tzinfo=UTC)


class Service(NamedTuple):
    context: Context
    store: MemoryStore

    def at(self, now: datetime) -> Context:
        return replace(self.context, clock=lambda: now)


@pytest.fixture
def service() -> Service:
    """Ben keeps a household and coaches; Cora coaches and has no household; Ana has a household."""
    store = MemoryStore()
    with store.people_writing() as people:
        for person, name in (("b", "Ben"), ("c", "Cora"), ("a", "Ana")):
            people.add_person(person, name, NOW)
        people.put_member("first", "b", "keeper", NOW)
        people.put_member("second", "a", "keeper", NOW)
        people.put_member("second", "b", "member", NOW + timedelta(days=1))
        people.put_coach("b", NOW)
        people.put_coach("c", NOW)
    return Service(Context(store, None, lambda: NOW), store)  # type: ignore[arg-type]  # no lessons are asked for


def shown_by(service: Service, person: str, *, paired: bool = False) -> str:
    """What a browser of theirs shows that was signed in, or paired with the first household."""
    secret, kept = new_secret()
    with service.store.people_writing() as people:
        session = new_session("first", person, "phone", NOW)
        people.add_session(kept, session if paired else signed_in(people, person, "phone", NOW))
    return secret


def asked(service: Service, secret: str, later: timedelta = timedelta(0)) -> Caller:
    return let_in(service.at(NOW + later), secret, "203.0.113.7", "browser")


def test_one_who_signs_in_asks_about_the_first_household_they_belong_to(service: Service) -> None:
    caller = asked(service, shown_by(service, "b"))
    assert (caller.household, caller.role, caller.coaches) == ("first", "keeper", True)


def test_a_coach_without_a_household_is_let_in_without_a_role(service: Service) -> None:
    caller = asked(service, shown_by(service, "c"))
    assert (caller.household, caller.role, caller.coaches) == ("", None, True)
    assert (caller.is_let_in, caller.may_write, caller.is_keeper) == (True, True, False)


def test_one_who_does_not_coach_signs_in_as_with_any_device(service: Service) -> None:
    caller = asked(service, shown_by(service, "a"), timedelta(days=80))
    assert (caller.role, caller.coaches) == ("keeper", False)


def test_a_phone_paired_with_a_coachs_household_opens_no_groups_and_stays_let_in(service: Service) -> None:
    caller = asked(service, shown_by(service, "b", paired=True), timedelta(days=80))
    assert (caller.role, caller.coaches) == ("keeper", False)


@pytest.mark.parametrize("later", [timedelta(hours=24), timedelta(days=30)])
def test_a_coachs_session_ends_after_a_day_unseen(service: Service, later: timedelta) -> None:
    caller = asked(service, shown_by(service, "b"), later)
    assert (caller.is_let_in, caller.over) == (False, devices.COACH_OVER)


def test_a_coachs_session_ends_after_thirty_days_however_often_it_is_seen(service: Service) -> None:
    secret = shown_by(service, "c")
    seen = [asked(service, secret, timedelta(hours=hours)).is_let_in for hours in range(0, 30 * 24, 20)]
    assert all(seen)
    assert asked(service, secret, timedelta(days=30)).over == devices.COACH_OVER


def test_one_who_coaches_no_more_and_has_no_household_is_let_in_no_more(service: Service) -> None:
    secret = shown_by(service, "c")
    kept = service.store.kept
    service.store.kept = replace(kept, coaches={})
    assert asked(service, secret).over == devices.ENDED
