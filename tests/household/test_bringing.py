"""A home comes along into a household among many, and nothing of it is taken for somebody else's."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from coach.desk import todos
from coach.errors import NotEditable, NotStarted
from coach.ground.people import MEMBER
from coach.habits.day import today
from coach.household import bringing, leaving, replacing, start
from coach.household.pairing import MOST_MEMBERS
from coach.store.memory import MemoryStore
from household.moving import HOSTED, NOW, PEOPLE, context_of, move_in, seen
from household.test_leaving import changed

if TYPE_CHECKING:
    from coach.ground.ports import Context

NEW = "new-home"


@pytest.fixture(scope="module")
def taken() -> bytes:
    return leaving.take_along(move_in(MemoryStore()), HOSTED)


@pytest.fixture
def service() -> Context:
    """A service where Ana has just begun, and where a Ben lives next door under a key of the file."""
    context = context_of(MemoryStore())
    with context.store.people_writing() as writing:
        for person, name, household in (("here-1", "ana", NEW), ("p-ben", "Next-door Ben", "next-door")):
            writing.add_person(person, name, NOW)
            writing.put_member(household, person, "keeper", NOW)
    start.start(context, NEW)
    return context


def names(context: Context) -> list[tuple[str, str, str]]:
    with context.store.reading(NEW) as reading:
        members = sorted(reading.members(), key=lambda one: one.name.casefold())
        return [(one.person, one.name, one.role) for one in members]


def test_people_become_those_of_the_same_name_or_new_ones(taken: bytes, service: Context) -> None:
    bringing.bring_along(service, NEW, taken)
    (first, *_), (other, name, role) = names(service)
    assert (first, name, role) == ("here-1", "Ben", MEMBER)
    assert other not in PEOPLE
    with service.store.reading(NEW) as reading:
        assert {one.by for one in reading.written_rows()} & set(PEOPLE) == set()
        assert list(reading.names())[-3:] == ["ana", "Ben", "Cleo"]
        rows = [one for one in reading.planned_rows() if one.row.what == "taken"]
        assert [json.loads(one.row.value) for one in rows] == [{"person": other}]
    with service.store.people_reading() as people:
        assert [one.household for one in people.homes_of("p-ben")] == ["next-door"]


def test_its_days_are_those_it_was_lived_in(taken: bytes, service: Context) -> None:
    bringing.bring_along(service, NEW, taken)
    there = today(move_in(MemoryStore()), HOSTED)
    here = today(service, NEW)
    assert (here.day, here.phase, [line.step for line in here.checklist]) == (
        there.day,
        there.phase,
        [line.step for line in there.checklist],
    )


def test_no_version_of_a_course_is_believed_to_be_one_that_is_known(taken: bytes, service: Context) -> None:
    """A file may give any content the digest of a course that others follow."""
    false = changed(taken, "courses/1.json", lambda course: {**course, "title": "Not what it was"})
    bringing.bring_along(service, NEW, false)
    with service.store.reading(NEW) as reading:
        [version, *_] = reading.courses()
        assert json.loads(reading.course_content(version.digest))["title"] != "Not what it was"
    other = changed(taken, "courses/1.json", lambda course: {**course, "digest": "f" * 64})
    other = changed(
        other, "home.json", lambda home: {**home, "versions": [{**home["versions"][0], "digest": "f" * 64}]}
    )
    fresh = context_of(MemoryStore())
    bringing.bring_along(fresh, NEW, other)
    with fresh.store.reading(NEW) as reading:
        assert "f" * 64 not in {one.digest for one in reading.courses()}


def test_the_course_is_the_one_followed_here(taken: bytes, service: Context) -> None:
    foreign = changed(taken, "home.json", lambda home: {**home, "course": "group:somebody-elses"})
    bringing.bring_along(service, NEW, foreign)
    home = service.store.version(NEW)
    assert home is not None
    assert home.course == "three-weeks"


def test_what_was_here_can_be_put_back_with_its_plan(taken: bytes, service: Context) -> None:
    todos.add(service, NEW, "Post the parcel")
    before = seen(service, NEW)
    kept = bringing.bring_along(service, NEW, taken)
    assert kept is not None
    found = replacing.compare_kept(service, NEW, kept.name)
    assert found.file.plan is not None
    replacing.put_back(service, NEW, kept.name)
    assert seen(service, NEW) == before
    assert [name for _, name, _ in names(service)] == ["ana"]
    replacing.put_back(service, NEW, kept.name)
    assert today(service, NEW).day > 1
    assert [name for _, name, _ in names(service)] == ["ana", "Ben"]


def test_whoever_has_looked_at_another_state_is_shown_it_anew(taken: bytes, service: Context) -> None:
    found = bringing.compare_home(service, NEW, taken)
    todos.add(service, NEW, "Post the parcel")
    with pytest.raises(NotEditable):
        bringing.bring_along(service, NEW, taken, found.seen)
    assert [name for _, name, _ in names(service)] == ["ana"]
    with service.store.people_reading() as people:
        assert {one.name for one in people.everybody()} == {"ana", "Next-door Ben"}


def test_no_more_people_come_along_than_a_household_holds(taken: bytes, service: Context) -> None:
    def crowd(home: dict[str, object]) -> dict[str, object]:
        people = [
            {"id": f"x-{n}", "name": f"Somebody {n}", "role": "member", "since": "2027-01-01T00:00:00+00:00"}
            for n in range(MOST_MEMBERS + 20)
        ]
        return {**home, "people": people}

    bringing.bring_along(service, NEW, changed(taken, "home.json", crowd))
    assert len(names(service)) == MOST_MEMBERS


def test_there_is_nothing_to_take_along_before_the_start() -> None:
    with pytest.raises(NotStarted):
        leaving.take_along(context_of(MemoryStore()), NEW)
