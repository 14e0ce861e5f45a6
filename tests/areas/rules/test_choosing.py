"""Which starter tasks an area begins with: intervals, hygiene, the rest, until four turns are full."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.areas.rules.choosing import APART, VISITS, chosen, meeting, ranked
from coach.areas.rules.model import MOST_TASKS
from coach.areas.rules.packing import visits
from coach.course.rooms import RoomTask

if TYPE_CHECKING:
    from collections.abc import Sequence

REST = RoomTask("Rest", 10)
CLEAN = RoomTask("Hygiene", 10, hygiene=True)
EVERY = RoomTask("Interval", 10, 14, "An authority")
ACID = RoomTask("Chalk", 10, caution="acids", hygiene=True)
BLEACH = RoomTask("Seat", 10, caution="bleach", hygiene=True)

TASKS = st.builds(
    RoomTask,
    title=st.just("Task"),
    minutes=st.integers(1, 60),
    every_days=st.sampled_from([None, None, 14]),
    caution=st.sampled_from([None, None, None, "acids", "bleach", "mould", "caustic", "dust"]),
    hygiene=st.booleans(),
)
LISTS = st.lists(st.lists(TASKS, max_size=20), min_size=1, max_size=3)
WEEKLY = st.integers(5, 90)


def taken(tasks: Sequence[RoomTask], minutes: int, beside: Sequence[int] = ()) -> list[str]:
    places = chosen([tasks], minutes, beside)
    return [task.title for at, task in enumerate(tasks) if (0, at) in places]


def test_an_interval_comes_before_hygiene_and_hygiene_before_the_rest() -> None:
    assert taken([REST, CLEAN, EVERY], 10) == ["Rest", "Hygiene", "Interval"]
    assert taken([REST] * 4 + [CLEAN], 10) == ["Rest"] * 3 + ["Hygiene"]
    assert taken([CLEAN] * 4 + [EVERY], 10) == ["Hygiene"] * 3 + ["Interval"]


def test_alike_ones_come_in_the_order_of_their_lists_room_by_room() -> None:
    first, second = [REST, REST, CLEAN], [REST, CLEAN]
    assert ranked([first, second]) == [(1, 1), (0, 2), (0, 0), (1, 0), (0, 1)]


def test_a_shorter_task_takes_the_place_that_a_longer_one_does_not_fill() -> None:
    long, short = RoomTask("Long", 15), RoomTask("Short", 5)
    assert taken([*[CLEAN] * 7, long, short], 20) == ["Hygiene"] * 7 + ["Short"]


def test_what_needs_a_day_without_bleach_is_left_beside_where_both_could_meet() -> None:
    assert taken([ACID, BLEACH], 40) == ["Seat"]
    assert taken([ACID, RoomTask("Dust", 21), BLEACH], 40) == ["Chalk", "Dust", "Seat"]
    assert taken([ACID, REST], 40) == ["Chalk", "Rest"]


def test_an_area_begins_with_no_more_tasks_than_a_list_holds() -> None:
    assert len(taken([CLEAN] * 250, 1440)) == MOST_TASKS
    assert len(taken([CLEAN] * 250, 1440, beside=[10] * 190)) == 10
    assert taken([CLEAN], 1440, beside=[10] * MOST_TASKS) == []


def test_a_room_that_is_added_brings_what_it_needs_and_the_rest_as_far_as_there_is_room() -> None:
    tasks = [REST, CLEAN, EVERY]
    assert taken(tasks, 10, beside=[10] * 4) == ["Hygiene", "Interval"]
    assert taken(tasks, 10, beside=[10]) == ["Rest", "Hygiene", "Interval"]


@given(lists=LISTS, minutes=WEEKLY)
def test_a_pass_takes_at_most_four_turns_and_none_of_them_lets_what_is_kept_apart_meet(
    lists: list[list[RoomTask]], minutes: int
) -> None:
    tasks = [lists[room][at] for room, at in sorted(chosen(lists, minutes))]
    assert visits([task.minutes for task in tasks], minutes) <= VISITS
    assert not meeting(tasks, minutes)
    turn: list[RoomTask] = []
    for task in tasks:
        if sum(one.minutes for one in turn) + task.minutes > minutes:
            turn = []
        turn.append(task)
        cautions = {one.caution for one in turn}
        assert not ("acids" in cautions and cautions & APART["acids"])


@given(lists=LISTS, minutes=WEEKLY)
def test_whatever_is_left_beside_would_be_too_much_with_all_that_is_needed_more(
    lists: list[list[RoomTask]], minutes: int
) -> None:
    """Each task by itself: added to those taken that are needed more, it no longer goes."""
    begins, order = chosen(lists, minutes), ranked(lists)
    for place, at in ((place, at) for at, place in enumerate(order) if place not in begins):
        before = sorted([*(one for one in order[:at] if one in begins), place])
        tasks = [lists[room][task] for room, task in before]
        over = visits([task.minutes for task in tasks], minutes) > VISITS
        assert over or meeting(tasks, minutes)
