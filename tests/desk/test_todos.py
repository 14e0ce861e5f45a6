"""To-dos of a household: many at once, put off, errands by place, done and undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.desk import overview, todos
from coach.errors import Malformed, NotEditable, Unknown
from habits.house import HOME, House
from kitchen.cooking import written
from progress.living import on

if TYPE_CHECKING:
    from coach.desk.answers import ToDos


@pytest.fixture
def house() -> House:
    return House().begun()


def seen(house: House) -> ToDos:
    return overview.todos(house.context, HOME)


def ids(found: ToDos) -> dict[str, str]:
    """The id of each that is not done, by its title."""
    errands = [todo for place in found.errands for todo in place.todos]
    return {todo.title: todo.id for todo in (*found.open, *found.put_off, *errands)}


def test_one_on_each_line_in_their_order(house: House) -> None:
    found = todos.add(house.context, HOME, "Ring the school\n\n- Find the key\n* Post the form")
    assert [todo.title for todo in found.open] == ["Ring the school", "Find the key", "Post the form"]
    assert {todo.entered for todo in found.open} == {on(1)}


def test_two_hundred_at_once_and_not_one_more(house: House) -> None:
    many = "\n".join(f"thing {number}" for number in range(201))
    with pytest.raises(
        Malformed, match=r"These are 201 things to do.+at most 200 at once; nothing was added"
    ):
        todos.add(house.context, HOME, many)
    assert seen(house).open == ()
    assert len(todos.add(house.context, HOME, many.rpartition("\n")[0]).open) == 200


def test_there_is_an_end_to_what_is_open(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(todos, "MOST", 3)
    todos.add(house.context, HOME, "a\nb")
    with pytest.raises(NotEditable, match="There are 2 things to do already, and 3 is the most"):
        todos.add(house.context, HOME, "c\nd")
    assert len(seen(house).open) == 2


@pytest.mark.parametrize("lines", ["", " \n - \n", "ok\n" + "x" * 201, "ok\nbell\x07"])
def test_what_cannot_be_kept_adds_nothing(house: House, lines: str) -> None:
    with pytest.raises(Malformed):
        todos.add(house.context, HOME, lines)
    assert written(house, "todo") == []


def test_errands_stand_by_place(house: House) -> None:
    todos.add(house.context, HOME, "Stamps\nParcel", "errand", "Post office")
    todos.add(house.context, HOME, "Lead for the dog", "errand")
    found = todos.add(house.context, HOME, "Aspirin", "errand", "Chemist")
    assert [(place.place, [todo.title for todo in place.todos]) for place in found.errands] == [
        ("Chemist", ["Aspirin"]),
        ("Post office", ["Stamps", "Parcel"]),
        (None, ["Lead for the dog"]),
    ]


def test_only_errands_have_a_place(house: House) -> None:
    assert todos.add(house.context, HOME, "Stamps", "open", "Post office").open[0].place is None


def test_done_and_undone(house: House) -> None:
    found = todos.add(house.context, HOME, "Ring the school\nFind the key")
    todo = ids(found)["Ring the school"]
    found = todos.finish(house.context, HOME, todo)
    assert [one.title for one in found.open] == ["Find the key"]
    assert [(one.title, one.done) for one in found.done] == [("Ring the school", on(1))]
    found = todos.unfinish(house.context, HOME, todo)
    assert [one.title for one in found.open] == ["Ring the school", "Find the key"]
    assert found.done == ()


def test_done_twice_is_done_once_and_undone_twice_too(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Ring"))["Ring"]
    for step in (todos.finish, todos.finish, todos.unfinish, todos.unfinish):
        step(house.context, HOME, todo)
    assert [row.value != "" for row in written(house, "todo-done")] == [True, False]


def test_what_was_done_is_shown_for_two_weeks(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Ring"))["Ring"]
    todos.finish(house.context, HOME, todo)
    assert len(seen(house.at(15)).done) == 1
    assert seen(house.at(16)).done == ()
    with pytest.raises(Unknown, match="There is no such thing to do"):
        todos.unfinish(house.context, HOME, todo)


def test_ids_are_not_given_again_to_what_could_be_undone(house: House) -> None:
    first = ids(todos.add(house.context, HOME, "Ring"))["Ring"]
    todos.finish(house.context, HOME, first)
    second = ids(todos.add(house.context, HOME, "Write"))["Write"]
    todos.unfinish(house.context, HOME, first)
    assert ids(seen(house)) == {"Ring": first, "Write": second}


def test_the_oldest_put_off_job_is_offered_until_another_is_picked(house: House) -> None:
    todos.add(house.context, HOME, "Mirror", "put-off")
    found = todos.add(house.at(2).context, HOME, "Tap", "put-off")
    assert found.picked is not None
    assert found.picked.title == "Mirror"
    found = todos.pick(house.context, HOME, ids(found)["Tap"])
    assert found.picked is not None
    assert found.picked.title == "Tap"
    found = todos.finish(house.context, HOME, found.picked.id)
    assert found.picked is not None
    assert found.picked.title == "Mirror"


def test_only_what_is_put_off_can_be_picked(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Ring"))["Ring"]
    with pytest.raises(Malformed, match="“Ring” is not put off"):
        todos.pick(house.context, HOME, todo)


def test_a_to_do_can_be_put_off_taken_along_and_opened_again(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Stamps"))["Stamps"]
    assert todos.change(house.context, HOME, todo, kind="put-off").put_off[0].id == todo
    found = todos.change(house.context, HOME, todo, kind="errand", place=" Post  office ")
    assert (found.put_off, found.errands[0].place) == ((), "Post office")
    found = todos.change(house.context, HOME, todo, title="Ten stamps")
    assert (found.errands[0].place, found.errands[0].todos[0].title) == ("Post office", "Ten stamps")
    assert todos.change(house.context, HOME, todo, kind="open").open[0].place is None


def test_the_same_again_writes_nothing(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Stamps"))["Stamps"]
    todos.change(house.context, HOME, todo, "Stamps", "open", "")
    assert len(written(house, "todo")) == 1


@pytest.mark.parametrize(("title", "place"), [("", None), ("x" * 201, None), ("Stamps", "p" * 81)])
def test_a_change_that_cannot_be_kept_changes_nothing(house: House, title: str, place: str | None) -> None:
    todo = ids(todos.add(house.context, HOME, "Stamps", "errand"))["Stamps"]
    with pytest.raises(Malformed):
        todos.change(house.context, HOME, todo, title, place=place)
    assert ids(seen(house)) == {"Stamps": todo}


def test_a_to_do_can_be_taken_off(house: House) -> None:
    todo = ids(todos.add(house.context, HOME, "Ring"))["Ring"]
    assert todos.remove(house.context, HOME, todo).open == ()
    for step in (todos.remove, todos.finish, todos.unfinish, todos.pick, todos.change):
        with pytest.raises(Unknown, match="There is no such thing to do"):
            step(house.context, HOME, todo)
