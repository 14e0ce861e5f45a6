"""The quick line of a household: read and said back, then saved as what it is."""

from __future__ import annotations

from datetime import date

import pytest

from coach.desk import overview as desk
from coach.desk import quick
from coach.desk.quick import TypedQuick
from coach.errors import Malformed
from coach.ground.faults import Unfit
from habits.house import HOME, House
from kitchen.cooking import written
from progress.living import on


@pytest.fixture
def house() -> House:
    return House().begun()


def save(house: House, *typed: str) -> None:
    quick.save(house.context, HOME, TypedQuick(*typed))


def test_a_line_is_said_back_and_nothing_is_written(house: House) -> None:
    found = quick.read(house.context, HOME, "renew library card fri")
    assert (found.kind, found.title, found.on) == ("due", "renew library card", on(5))
    assert found.text == "Due: renew library card, on Friday 8 January 2027."
    assert written(house, "due") == []


def test_a_weekday_is_counted_from_the_households_own_day(house: House) -> None:
    house.at(5, "02:00")  # Friday by the clock, Thursday for the household, whose day begins at 03:00
    assert quick.read(house.context, HOME, "ring thu").on == on(4)


@pytest.mark.parametrize("line", ["", "   ", "tax 30 feb", "x" * 251, "due: something"])
def test_what_cannot_be_read_is_said(house: House, line: str) -> None:
    with pytest.raises(Malformed):
        quick.read(house.context, HOME, line)


def test_a_due_becomes_a_due(house: House) -> None:
    save(house, "due", "renew library card", "2027-01-08")
    assert [(one.name, one.on) for one in desk.desk(house.context, HOME).dues] == [
        ("renew library card", on(5))
    ]


def test_an_appointment_keeps_its_time_and_needs_no_days() -> None:
    house = House().begun()
    found = quick.read(house.context, HOME, "dentist 14 May 15:30")
    assert (found.on, found.time, found.text) == (
        date(2027, 5, 14),
        "15:30",
        "Due: dentist, on Friday 14 May 2027 at 15:30.",
    )
    saved = quick.save(house.context, HOME, TypedQuick("due", "dentist", "2027-05-14", "", "15:30"))
    assert (saved.on, saved.time) == (date(2027, 5, 14), "15:30")
    assert [(one.time, one.needs) for one in desk.desk(house.context, HOME).dues] == [("15:30", 0)]


@pytest.mark.parametrize(
    ("on", "time", "title"),
    [
        ("2027-05-14", "15:30", "film, by Friday 14 May 2027 at 15:30"),
        ("", "15:30", "film, at 15:30"),
        ("2027-05-14", "", "film, by Friday 14 May 2027"),
    ],
)
def test_a_date_and_a_time_of_what_is_no_due_go_into_its_words(
    house: House, on: str, time: str, title: str
) -> None:
    save(house, "to-do", "film", on, "", time)
    assert [todo.title for todo in desk.todos(house.context, HOME).open] == [title]


def test_a_time_that_is_none_is_said_beside_its_field(house: House) -> None:
    with pytest.raises(Unfit) as caught:
        save(house, "due", "film", "2027-05-14", "", "25:00")
    assert [(fault.field, fault.reason) for fault in caught.value.faults] == [
        ("time", "“25:00” is not a time of day. Write it as HH:MM, such as 03:00.")
    ]


def test_to_dos_put_off_jobs_and_errands_become_those(house: House) -> None:
    save(house, "to-do", "Ring the school")
    save(house, "put-off", "Hang the mirror")
    save(house, "errand", "Stamps", "", "Post office")
    found = desk.todos(house.context, HOME)
    assert [todo.title for todo in found.open] == ["Ring the school"]
    assert [todo.title for todo in found.put_off] == ["Hang the mirror"]
    assert [(place.place, place.todos[0].title) for place in found.errands] == [("Post office", "Stamps")]


def test_a_date_or_place_its_kind_has_no_room_for_goes_into_the_words(house: House) -> None:
    save(house, "errand", "Parcel", "2027-01-08", "Post office")
    save(house, "due", "Dentist", "2027-01-09", "Mill Lane")
    assert desk.todos(house.context, HOME).errands[0].todos[0].title == "Parcel, by Friday 8 January 2027"
    assert desk.desk(house.context, HOME).dues[0].name == "Dentist, at Mill Lane"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (("due", "card", ""), "on"),
        (("due", "card", "2027-02-30"), "on"),
        (("due", "card", "1850-01-01"), "on"),
        (("to-do", "  "), "title"),
        (("to-do", "x" * 201), "title"),
        (("due", "x" * 201, "2027-01-08"), "title"),
        (("errand", "Stamps", "", "p" * 81), "place"),
        (("wish", "A pony"), "kind"),
    ],
)
def test_what_cannot_be_kept_is_said_beside_its_field(
    house: House, typed: tuple[str, ...], field: str
) -> None:
    with pytest.raises(Unfit) as caught:
        save(house, *typed)
    assert [fault.field for fault in caught.value.faults] == [field]
    assert written(house, "due") == written(house, "todo") == []


def test_the_answer_names_what_it_was_saved_as(house: House) -> None:
    saved = quick.save(house.context, HOME, TypedQuick("to-do", "Ring"))
    assert (saved.kind, saved.id, saved.title, saved.on) == ("to-do", "20270104-0001", "Ring", None)
