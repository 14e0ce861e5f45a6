"""What a request sees of a household beyond the fold: days away to come, and files that have changed."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.errors import Busy
from coach.ground.ports import CourseVersion
from coach.ground.situation import looking
from coach.ground.versions import noticed
from coach.habits import pauses
from coach.progress.opening import Phase
from coach.store.memory import MemoryStore
from habits.house import HOME, SMALL, House
from progress.living import on

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.ground.situation import Situation
    from coach.store.memory import MemoryWriting

Words = tuple[tuple[int, int | None], ...]


class BusyStore(MemoryStore):
    """A store that can be read, but is kept by somebody else from being written."""

    @contextmanager
    def writing(self, household_id: str) -> Iterator[MemoryWriting]:
        raise Busy(f"Somebody else has {household_id}. Try again.")
        yield


@pytest.mark.parametrize(
    "words",
    [
        ((2, 20), (8, 10)),
        ((2, None), (8, 10)),
        ((4, 6), (9, None), (12, 13)),
        ((4, None), (4, 5)),
    ],
)
@pytest.mark.parametrize("called_off", [False, True])
def test_days_to_come_are_away_as_they_are_once_they_come(words: Words, *, called_off: bool) -> None:
    house = House().begun()
    for since, until in words:
        pauses.pause(house.context, HOME, on(since), on(until) if until else None)
    if called_off:
        pauses.call_off(house.context, HOME, on(words[-1][0]))
    with looking(house.context, HOME) as where:
        foreseen = [where.away(on(day)) for day in range(2, 16)]
    came = []
    for day in range(2, 16):
        house.at(day)
        with looking(house.context, HOME) as where:
            came.append(where.standing.phase is Phase.PAUSED)
        if not came[-1]:
            house.mark(day, "bed")
    assert foreseen == came


def test_what_was_worked_out_of_the_plan_is_worked_out_anew_for_another_date() -> None:
    house = House().begun()
    house.at(5)
    with looking(house.context, HOME) as where:
        assert (day_worked_out(where), day_worked_out(where.at(on(3)))) == (5, 3)


def test_an_answer_stands_though_new_files_cannot_be_noticed_now() -> None:
    house = House().begun()
    busy = BusyStore()
    busy.__dict__ |= house.store.__dict__
    house.shelf.put(SMALL)
    with looking(replace(house.context, store=busy), HOME) as where:
        assert where.course_is_new
    assert versions(house) == 1


def test_new_files_are_noticed_once_and_not_for_a_household_that_has_gone() -> None:
    house = House().begun()
    house.shelf.put(SMALL)
    version = CourseVersion(on(3), house.shelf.course("").digest)
    with house.store.writing(HOME) as writing:
        noticed(house.context, writing, version)
        noticed(house.context, writing, replace(version, since=on(4)))
    assert versions(house) == 2
    with house.store.writing(HOME) as writing:
        writing.clear()
        noticed(house.context, writing, version)
    assert versions(house) == 0


def versions(house: House) -> int:
    with house.store.reading(HOME) as reading:
        return len(reading.courses())


def day_worked_out(where: Situation) -> int:
    return where.plan.once("day", lambda: where.standing.day)
