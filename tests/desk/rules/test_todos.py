from __future__ import annotations

from dataclasses import replace

import pytest

from areas.rules.homes import day, ids
from coach.desk.rules.todos import ToDo, ToDoKind, checked_todo, errands_by_place, put_off, titles_in
from coach.errors import Malformed

ENTERED = day("2027-01-04")


def todo(
    todo_id: str, kind: ToDoKind = ToDoKind.OPEN, place: str | None = None, entered: str = "2027-01-04"
) -> ToDo:
    return ToDo(todo_id, f"Do {todo_id}", day(entered), kind, place)


def test_the_oldest_put_off_job_comes_first() -> None:
    todos = [
        todo("fence", ToDoKind.PUT_OFF),
        todo("shelf", ToDoKind.PUT_OFF, entered="2026-10-01"),
        replace(todo("roof", ToDoKind.PUT_OFF, entered="2026-01-01"), done=ENTERED),
        todo("call"),
    ]
    assert ids(put_off(todos)) == ["shelf", "fence"]


def test_errands_stand_by_place_and_those_without_one_last() -> None:
    errand = ToDoKind.ERRAND
    todos = [
        todo("stamps", errand, "Post  office"),
        todo("keys", errand),
        todo("paint", errand, "hardware shop"),
        todo("parcel", errand, " post OFFICE"),
        replace(todo("seeds", errand, "hardware shop"), done=ENTERED),
        todo("call", place="post office"),
    ]
    groups = [(group.place, ids(group.todos)) for group in errands_by_place(todos)]
    assert groups == [("hardware shop", ["paint"]), ("Post office", ["stamps", "parcel"]), (None, ["keys"])]


def test_a_pasted_list_is_one_thing_on_each_line() -> None:
    assert titles_in("- fix lamp\n\n  * call the school \r\n• post\n") == (
        "fix lamp",
        "call the school",
        "post",
    )


def test_the_longest_title_can_be_kept() -> None:
    assert titles_in(f"- {'x' * 200}\n") == ("x" * 200,)


def test_two_hundred_lines_are_taken_at_once() -> None:
    assert len(titles_in("call\n" * 200)) == 200


def test_ten_thousand_lines_at_once_are_refused() -> None:
    with pytest.raises(Malformed, match=r"10,000 things to do\. Add at most 200 at once; nothing was added"):
        titles_in("call\n" * 10_000)


@pytest.mark.parametrize(
    ("pasted", "said"),
    [
        (" \n-\n", "nothing to add"),
        ("a\n" + "b" * 201, "Line 2 has 201"),
        ("a\nb\x00", "Line 2 has characters"),
    ],
)
def test_a_pasted_list_that_cannot_be_kept_is_refused_whole(pasted: str, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        titles_in(pasted)


def test_a_thing_to_do_has_a_name() -> None:
    assert checked_todo(todo("call", place="x" * 80)).id == "call"
    for wrong in (
        replace(todo("call"), title=" "),
        replace(todo("call"), title="x" * 201),
        todo("call", place="x" * 81),
    ):
        with pytest.raises(Malformed):
            checked_todo(wrong)
