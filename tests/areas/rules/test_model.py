from __future__ import annotations

from dataclasses import replace

import pytest

from areas.rules.homes import area, ids, kitchen, task, tern_street
from coach.areas.rules import division
from coach.areas.rules.model import Area, DetailTask, TaskList, all_tasks, area_faults, checked
from coach.errors import Malformed, Unknown

DETAIL, DECLUTTER = TaskList.DETAIL, TaskList.DECLUTTER


def test_a_home_has_an_area_at_least() -> None:
    with pytest.raises(Malformed, match="There is no area"):
        checked(())


def test_a_home_has_twelve_areas_at_most() -> None:
    twelve = tuple(area(f"a{number}") for number in range(12))
    assert checked(twelve) == twelve
    with pytest.raises(Malformed, match="13 areas"):
        division.add(twelve, area("more"))


@pytest.mark.parametrize("minutes", [0, 2000, -5, 1441])
def test_a_task_takes_a_minute_to_a_day(minutes: int) -> None:
    with pytest.raises(Malformed, match=f"needs 1 to 1440 minutes, not {minutes}"):
        checked([area("hall", task("mat", minutes))])


@pytest.mark.parametrize("days", [0, 4000])
def test_a_task_comes_every_day_to_every_ten_years(days: int) -> None:
    with pytest.raises(Malformed, match=f"not every {days}"):
        checked([area("hall", task("mat", 5, days))])


def test_the_limits_themselves_can_be_kept() -> None:
    tasks = [DetailTask("least", "x", 1, 1), DetailTask("most", "x" * 200, 1440, 3660, None, "x" * 200)]
    rooms = tuple(f"room {number}" for number in range(40))
    many = tuple(task(f"t{number}") for number in range(200))
    home = (Area("hall", "x" * 80, rooms, many, tuple(tasks)),)
    assert checked(home) == home


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (Area("hall", " "), "An area has no name"),
        (Area("hall", "x" * 81), "An area has a name of 81 characters"),
        (Area("hall", "Hall", ("x" * 81,)), "A room of Hall has a name of 81 characters"),
        (area("hall", DetailTask("mat", "\x00a", 5)), "A task has characters in its name"),
        (area("hall", DetailTask("mat", "x" * 201, 5)), "A task has a name of 201 characters"),
        (
            area("hall", DetailTask("mat", "Mat", 5, source="x" * 201)),
            "A source has a name of 201 characters",
        ),
        (area("hall", DetailTask("mat", "Mat", 5, source=" ")), "A source has no name"),
        (Area("hall", "Hall", tuple("x" * 41)), "Hall has 41 rooms"),
    ],
)
def test_a_fault_says_what_has_it(wrong: Area, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        checked([wrong])


def test_every_fault_is_said_at_once() -> None:
    wrong = [
        area("hall", task("mat", 0), task("mat", 5)),
        Area("hall", " ", ("x" * 81,)),
        area("bath", *(task(f"t{number}") for number in range(201))),
        Area("attic", "Att\x00ic", tuple(f"room {number}" for number in range(41))),
    ]
    assert len(list(area_faults(wrong))) == 8


def test_an_area_is_renamed() -> None:
    assert division.rename(tern_street(), "bath", " Upstairs ")[1].name == "Upstairs"
    with pytest.raises(Malformed, match="has no name"):
        division.rename(tern_street(), "bath", "  ")
    with pytest.raises(Unknown, match="no area “attic”"):
        division.rename(tern_street(), "attic", "Attic")


def test_areas_are_put_into_another_order() -> None:
    moved = division.reorder(tern_street(), ["stairs", "kitchen", "bath"])
    assert [one.id for one in moved] == ["stairs", "kitchen", "bath"]
    for order in (["stairs", "kitchen"], ["stairs", "kitchen", "kitchen"], ["stairs", "kitchen", "attic"]):
        with pytest.raises(Malformed, match="names every area once"):
            division.reorder(tern_street(), order)


def test_an_area_comes_where_it_is_put_and_goes() -> None:
    more = division.add(tern_street(), area("hall"), 1)
    assert [one.id for one in more] == ["kitchen", "hall", "bath", "stairs"]
    assert [one.id for one in division.add(tern_street(), area("hall"))][-1] == "hall"
    assert division.remove(more, "hall") == tern_street()
    with pytest.raises(Malformed, match="There is no area"):
        division.remove((kitchen(),), "kitchen")


def test_two_areas_become_one_with_all_tasks_and_rooms() -> None:
    merged = division.merge(tern_street(), "stairs", "bath", "Upstairs")
    assert [one.id for one in merged] == ["kitchen", "stairs"]
    assert ids(merged[1].detail) == ["rail", "treads", "grout", "drain"]
    assert ids(merged[1].declutter) == ["bottles", "towels"]
    assert (merged[1].name, merged[1].rooms) == ("Upstairs", ("stairs room", "bath room"))
    assert division.merge(tern_street(), "stairs", "bath")[1].name == "Stairs"
    with pytest.raises(Malformed, match="with itself"):
        division.merge(tern_street(), "bath", "bath")


def test_an_area_becomes_two_and_no_task_is_lost() -> None:
    split = division.split(tern_street(), "bath", Area("sink", "Sink", ("bath room",)), ["drain", "towels"])
    assert [one.id for one in split] == ["kitchen", "bath", "sink", "stairs"]
    assert (ids(split[1].detail), ids(split[1].declutter)) == (["grout"], ["bottles"])
    assert (ids(split[2].detail), ids(split[2].declutter)) == (["drain"], ["towels"])
    assert (split[1].rooms, split[2].rooms) == ((), ("bath room",))
    with pytest.raises(Unknown, match="no task “oven” in Bath"):
        division.split(tern_street(), "bath", Area("sink", "Sink"), ["oven"])
    with pytest.raises(Malformed, match="Two areas have the id “stairs”"):
        division.split(tern_street(), "bath", Area("stairs", "Sink"), [])


def test_tasks_a_new_area_brings_come_after_those_that_go_over() -> None:
    new = Area("sink", "Sink", (), (task("tap"),), (task("soap"),))
    sink = division.split(tern_street(), "bath", new, ["drain", "towels"])[2]
    assert (ids(sink.detail), ids(sink.declutter)) == (["drain", "tap"], ["towels", "soap"])


def test_tasks_come_change_move_and_go() -> None:
    home = division.insert_task(tern_street(), "bath", task("mirror", 5), DETAIL, 0)
    assert ids(home[1].detail) == ["mirror", "grout", "drain"]
    home = division.replace_task(home, replace(task("mirror"), minutes=7, title="Mirror"))
    assert home[1].detail[0].minutes == 7
    home = division.move_task(home, "mirror", "stairs", 1)
    assert (ids(home[1].detail), ids(home[2].detail)) == (["grout", "drain"], ["rail", "mirror", "treads"])
    home = division.move_task(home, "mirror", "stairs")
    assert ids(home[2].detail) == ["rail", "treads", "mirror"]
    assert division.drop_task(home, "mirror") == tern_street()


def test_a_declutter_task_moves_to_the_declutter_list() -> None:
    home = division.move_task(tern_street(), "towels", "stairs")
    assert (ids(home[1].declutter), ids(home[2].declutter)) == (["bottles"], ["towels"])


def test_what_cannot_be_kept_is_refused_when_it_is_changed() -> None:
    with pytest.raises(Malformed, match="Two tasks have the id “oven”"):
        division.insert_task(tern_street(), "bath", task("oven"), DETAIL)
    with pytest.raises(Malformed, match="not 2000"):
        division.replace_task(tern_street(), task("oven", 2000))
    with pytest.raises(Malformed, match="A room of Bath has no name"):
        division.set_rooms(tern_street(), "bath", ["Bath", ""])
    with pytest.raises(Unknown, match="no task “moon”"):
        division.drop_task(tern_street(), "moon")


def test_rooms_are_named_anew() -> None:
    assert division.set_rooms(tern_street(), "bath", [" Bath ", "Landing"])[1].rooms == ("Bath", "Landing")


def test_all_tasks_are_all_of_both_lists() -> None:
    assert ids(all_tasks(tern_street()[1:])) == ["grout", "drain", "bottles", "towels", "rail", "treads"]
