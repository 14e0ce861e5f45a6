from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from areas.rules.homes import MONDAY, day
from coach.desk.rules.dues import Due, Urgency, checked_due, listed
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.desk.rules.dues import DeskDays

ENTERED = day("2026-12-01")


def on_days(*desk_days: str) -> DeskDays:
    days = [day(text) for text in desk_days]
    return lambda after: next((one for one in days if one >= after), None)


def mondays(after: date) -> date | None:
    return after + timedelta(days=-after.weekday() % 7)


def water(on: str, **more: Any) -> Due:  # noqa: ANN401  any of the other fields
    return replace(Due("water", "Water bill", day(on), ENTERED), **more)


def shown(
    dues: Iterable[Due], on: str, desk: DeskDays = mondays, settled: Iterable[tuple[str, str]] = ()
) -> list[str]:
    done = {(name, day(text)) for name, text in settled}
    return [f"{one.due.id} {one.on} {one.urgency}" for one in listed(dues, done, day(on), desk)]


@pytest.mark.parametrize(
    ("due", "listed_on"),
    [
        ("2027-01-13", True),
        ("2027-01-14", False),
        ("2027-01-07", True),
        ("2027-01-04", True),
        ("2026-12-30", True),
    ],
)
def test_a_desk_day_lists_what_is_comfortable_only_before_the_next(due: str, listed_on: bool) -> None:  # noqa: FBT001
    # Three days before the 14th is the next Monday, the 11th, which is early enough.
    assert bool(shown([water(due)], "2027-01-04")) is listed_on


def test_how_a_due_stands_is_said() -> None:
    dues = [
        water("2027-01-04", id="c"),
        water("2027-01-03", id="d"),
        water("2027-01-07", id="b"),
        water("2027-01-06", id="a"),
    ]
    assert shown(dues, "2027-01-04") == [
        "d 2027-01-03 overdue",
        "c 2027-01-04 late",
        "a 2027-01-06 late",
        "b 2027-01-07 in-time",
    ]


def test_other_days_list_nothing_that_was_entered_in_time() -> None:
    assert shown([water("2027-01-08")], "2027-01-05") == []


def test_what_is_entered_too_late_is_listed_at_once_until_the_next_desk_day() -> None:
    late = water("2027-01-13", entered=day("2027-01-05"))
    assert shown([late], "2027-01-04") == []
    assert shown([late], "2027-01-05") == ["water 2027-01-13 in-time"]
    assert shown([late], "2027-01-10") == ["water 2027-01-13 in-time"]
    assert shown([late], "2027-01-11") == ["water 2027-01-13 late"]
    assert shown([late], "2027-01-12") == []
    assert shown([late], "2027-01-18") == ["water 2027-01-13 overdue"]


def test_what_is_entered_on_a_desk_day_is_listed_on_it() -> None:
    assert shown([water("2027-01-08", entered=MONDAY)], "2027-01-04") == ["water 2027-01-08 in-time"]
    assert shown([water("2027-01-08", entered=MONDAY)], "2027-01-05") == []


def test_what_is_dealt_with_is_gone() -> None:
    assert shown([water("2027-01-06")], "2027-01-04", settled=[("water", "2027-01-06")]) == []


def test_what_repeats_is_listed_date_by_date() -> None:
    monthly = water("2026-11-20", repeats="FREQ=MONTHLY;BYMONTHDAY=6,20")
    assert shown([monthly], "2027-01-04", settled=[("water", "2026-11-20"), ("water", "2026-12-06")]) == [
        "water 2026-12-20 overdue",
        "water 2027-01-06 late",
    ]
    settled = replace(monthly, settled_through=day("2026-12-31"))
    assert shown([settled], "2027-01-04") == ["water 2027-01-06 late"]


def test_the_date_through_which_a_due_is_settled_is_settled_too() -> None:
    settled = water("2026-11-06", repeats="FREQ=MONTHLY", settled_through=day("2027-01-06"))
    assert shown([settled], "2027-01-04") == []
    assert shown([replace(settled, settled_through=day("2027-01-05"))], "2027-01-04") == [
        "water 2027-01-06 late"
    ]


def test_the_latest_comfortable_date_is_told() -> None:
    (due_date,) = listed([water("2027-01-08", needs=4)], set(), MONDAY, mondays)
    assert (due_date.comfortable, due_date.urgency) == (MONDAY, Urgency.IN_TIME)


def test_days_needed_bring_a_due_forward() -> None:
    assert shown([water("2027-02-13", needs=33)], "2027-01-04") == []
    assert shown([water("2027-02-13", needs=34)], "2027-01-04") == ["water 2027-02-13 in-time"]


def test_without_desk_days_a_due_comes_on_its_latest_comfortable_date() -> None:
    assert shown([water("2027-01-10")], "2027-01-06", on_days()) == []
    assert shown([water("2027-01-10")], "2027-01-07", on_days()) == ["water 2027-01-10 in-time"]
    # Desk work was dropped on the 4th; what is late by then stays in sight.
    dropped = on_days("2026-12-28", "2027-01-04")
    assert shown([water("2027-01-10")], "2027-01-07", dropped) == ["water 2027-01-10 in-time"]


def test_the_last_desk_day_known_lists_a_year() -> None:
    dues = [water("2027-12-30"), water("2028-01-15", id="far")]
    assert shown(dues, "2027-01-04", on_days("2027-01-04")) == ["water 2027-12-30 in-time"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"name": "  "}, "has no name"),
        ({"name": "x" * 201}, "up to 200"),
        ({"name": "tax\x00"}, "can be shown"),
        ({"needs": -1}, "from 0 to 366, not -1"),
        ({"needs": 400}, "not 400"),
        ({"amount": "9" * 41}, "41 characters"),
        ({"repeats": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}, "never comes"),
        ({"repeats": "FREQ=YEARLY;COUNT=2"}, "COUNT is not known here"),
        ({"repeats": "yearly"}, "is not a part"),
    ],
)
def test_a_due_that_cannot_be_kept_is_refused(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(Malformed, match=said):
        checked_due(water("2027-01-10", **wrong))


def test_a_due_that_can_be_kept_is_kept() -> None:
    due = water("2027-01-10", repeats="FREQ=YEARLY", amount="€ 42.50")
    assert checked_due(due) is due
    assert Urgency("late") is Urgency.LATE


@pytest.mark.parametrize(
    "limit", [{"needs": 0}, {"needs": 366}, {"amount": "9" * 40}, {"name": "x" * 200}, {"amount": None}]
)
def test_the_limits_of_a_due_can_be_kept(limit: dict[str, Any]) -> None:
    due = water("2027-01-10", **limit)
    assert checked_due(due) is due
